"""What of a picture can be taken in the hand, and what a pixel moves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import place
from workbook.figures.drawing.windows import fitted

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from workbook.figures.drawing.marks import Array, Panel
    from workbook.figures.drawing.views import Viewpoint

LEAST_SHOWN = 0.15  # of its true length, of a way that a hand can still follow


@dataclass(frozen=True, kw_only=True)
class Grip:
    """One thing to be taken, and the field that it sets.

    Attributes
    ----------
    field : str
        Name of the field.
    at : Array, shape (..., 2)
        Where it is. [px of the sheet]
    way : Array, shape (..., 2)
        What one unit of the field, as it is typed, moves it by. [px]
    at_the_reader : NDArray, shape (...)
        Whether that way points at the reader, so that no hand can follow it.
    stops : tuple of float, optional
        The only values where the real thing can be put, as a chain in a slot.
    """

    field: str
    at: Array
    way: Array
    at_the_reader: NDArray[np.bool_]
    stops: tuple[float, ...] | None = None

    def moved(self, pixels: Array) -> Array:
        """Return the change of the field (...) that follows a hand best.

        Nought where the way points at the reader. ``pixels`` (..., 2) is how far the
        hand moved.
        """
        along = (pixels * self.way).sum(axis=-1)
        size = (self.way * self.way).sum(axis=-1)
        return np.where(self.at_the_reader, 0.0, along / np.maximum(size, 1e-12))


def grip_at(
    point: Array,
    way: Array,
    *,
    field: str,
    view: Viewpoint,
    panel: Panel,
    stops: tuple[float, ...] | None = None,
) -> Grip:
    """Return what can be taken at a point in space.

    Parameters
    ----------
    point : Array, shape (..., 3)
        Where it is. [m]
    way : Array, shape (..., 3)
        What one unit of the field, as it is typed, moves it by. [m]
    field : str
        Name of the field that it sets.
    view : Viewpoint
        From where it is seen.
    panel : Panel
        The panel of its picture.
    stops : tuple of float, optional
        The only values where the real thing can be put.
    """
    x0, y0, kx, ky = fitted(panel)
    scale, seen = place((kx, -ky)), view.at(way)
    shown = np.hypot(seen[..., 0], seen[..., 1]) / np.linalg.norm(way, axis=-1)
    return Grip(
        field=field,
        at=place((x0, y0)) + scale * view.at(point),
        way=scale * seen,
        at_the_reader=shown < LEAST_SHOWN,
        stops=stops,
    )


def grips_along(
    ways: Mapping[str, tuple[str, Array, Array]], *, view: Viewpoint, panel: Panel
) -> dict[str, Grip]:
    """Return several things to be taken: of each its field, its point and its way.

    Points and ways are those of `grip_at`.
    """
    return {
        name: grip_at(point, way, field=field, view=view, panel=panel)
        for name, (field, point, way) in ways.items()
    }
