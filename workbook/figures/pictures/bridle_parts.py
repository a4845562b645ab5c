"""What the plan of a bridle and its picture in space share: letters, refusals."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    FreeLabel,
    Line,
    Mark,
    Marker,
    Path,
    parts,
    path,
)
from workbook.figures.drawing.texts import said

if TYPE_CHECKING:
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.bridles import SolvedBridle

HATCHES = 14


def letter_of(letter: str, at: Array) -> Mark:
    """Return the letter of a clamp."""
    return FreeLabel(at, letter, "strong text", name=f"label {letter}", rank="point")


def refused_at(solved: SolvedBridle) -> Array:
    """Return where the ring of a bridle that there is none of would lie, (..., 3)."""
    given, stands = solved.given, solved.stands
    out, off = 0.12 * given.array("spacing_mm"), given.array("shift_mm")
    place = np.stack(np.broadcast_arrays(out, off, 0.0), axis=-1)
    return np.where(stands[..., None], np.nan, place)


def refusal_marks(
    solved: SolvedBridle, at: Array, clamps: tuple[Array, Array], system: UnitSystem
) -> list[Mark]:
    """Mark the ring of a bridle that there is none of, with the reason.

    ``at`` and ``clamps`` are where ring and clamps are in the picture, (..., 2).
    """
    given = solved.given
    aside = np.abs(given.array("shift_mm")) >= given.array("spacing_mm") / 2
    key = np.where(aside, "outside", "flat")
    words = said("picture", "bridle", "refused", key, show=system.show)
    label = FreeLabel(at, words, "strong text", name="label refused", rank="warning")
    return [
        Line([clamps[0], at, clamps[1]], "refused", "as it would be"),
        Marker(at, "cross", "fails", "fails"),
        label,
    ]


def hatching(outline: Path, *, count: int) -> Array:
    """Return slanting lines across convex outlines, evenly spaced.

    Parameters
    ----------
    outline : array_like, shape (..., n, 2)
        Corners.
    count : int
        How many lines.

    Returns
    -------
    ndarray, shape (..., count, 2, 2)
        Both ends of each line, the one to the right first.

    Examples
    --------
    >>> square = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    >>> hatching(square, count=1).tolist()
    [[[1.0, 1.0], [0.0, 0.0]]]
    """
    points = path(outline)
    x, y = parts(points)
    across = x - y  # the same all along a line at 45 degrees
    low, high = across.min(axis=-1)[..., None], across.max(axis=-1)[..., None]
    level = low + (high - low) * np.linspace(0, 1, count + 2)[1:-1]
    # Each side of the outline against each line: (..., count, n).
    start, ahead = across[..., None, :], np.roll(across, -1, axis=-1)[..., None, :]
    line, begin = level[..., None], x[..., None, :]
    crossed = ((start - line) * (ahead - line) <= 0) & (start != ahead)
    share = (line - start) / np.where(start != ahead, ahead - start, 1.0)
    cut = begin + share * (np.roll(x, -1, axis=-1)[..., None, :] - begin)
    right = np.where(crossed, cut, -np.inf).max(axis=-1)
    left = np.where(crossed, cut, np.inf).min(axis=-1)
    ends = np.stack([right, left], axis=-1)
    return np.stack([ends, ends - line], axis=-1)
