"""The words for a direction in space."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.texts import Text, said

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Coordinate
    from workbook.figures.drawing.texts import Show

NONE = 5e-4  # rad; below it an angle is shown as nought


def side_words(angle: Coordinate, show: Show) -> Text:
    """Say side angles (...): which side of straight ahead."""
    key = np.where(angle > 0, "left", "right")
    key = np.where(np.abs(angle) < NONE, "ahead", key)
    return said("picture", "direction", "side", key, show=show, angle=np.abs(angle))


def rise_words(angle: Coordinate, show: Show) -> Text:
    """Say rises (...): up or down from the level."""
    key = np.where(angle > 0, "up", "down")
    key = np.where(np.abs(angle) < NONE, "level", key)
    return said("picture", "direction", "rise", key, show=show, angle=np.abs(angle))
