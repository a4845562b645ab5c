"""Places that a label may take: round a point, along a line, all over a panel."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Array

ALONG = np.array((0.5, 0.35, 0.65, 0.25, 0.75))
LINE_GAPS = np.array((6.0, 16.0, 30.0))
POINT_GAPS = np.array((9.0, 18.0, 32.0))
# Up and right first; down is where most things stand.
_AROUND = np.array(
    [(0, -1), (1, 0), (-1, 0), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1)], dtype=float
)
# Off the point by the gaps, which are smaller at a corner: (k,).
_OFF = np.outer(POINT_GAPS, np.where(_AROUND.all(axis=-1), 0.9, 1.0)).ravel()
_WAYS = np.tile(_AROUND, (len(POINT_GAPS), 1))
_STEP = (24.0, 12.0)  # px, between places all over a panel


def round_points(points: Array, halves: Array, *, gap: float) -> Array:
    """Return places (n, k, 2) round points (n, 2), the nearest first.

    Parameters
    ----------
    points : Array, shape (n, 2)
        The points. [px]
    halves : Array, shape (n, 2)
        Half sizes of the boxes to be placed. [px]
    gap : float
        How many times as wide as on a page gaps are.
    """
    return points[:, None] + _WAYS * (gap * _OFF[:, None] + halves[:, None])


def along_lines(
    lines: Sequence[Array], halves: Array, *, gap: float
) -> tuple[Array, Array]:
    """Return places on lines (n, 5, 2), and on both sides of them (n, k, 2).

    Parameters
    ----------
    lines : sequence of Array, shape (any, 2)
        The lines. [px]
    halves : Array, shape (n, 2)
        Half sizes of the boxes to be placed. [px]
    gap : float
        How many times as wide as on a page gaps are.
    """
    if not lines:
        return np.empty((0, 0, 2)), np.empty((0, 0, 2))
    counts = np.array([len(line) for line in lines])
    points = np.concatenate(lines)
    last = np.cumsum(counts) - 1
    first = last - counts + 1
    steps = np.diff(points, axis=0)
    long = np.hypot(*steps.T)
    long[last[:-1]] = 0.0  # from one line to the next
    reached = np.concatenate([[0.0], np.cumsum(long)])
    whole = np.maximum(reached[last] - reached[first], 1e-9)
    wanted = reached[first][:, None] + whole[:, None] * ALONG
    which = np.searchsorted(reached, wanted) - 1
    which = np.clip(which, first[:, None], last[:, None] - 1)
    length = np.maximum(long[which], 1e-9)[..., None]
    share = (wanted - reached[which])[..., None] / length
    on = points[which] + share * steps[which]
    way = steps[which] / length
    across = np.stack(
        [way[..., 1], -way[..., 0]], axis=-1
    )  # up, of a line to the right
    away = (np.abs(across) * halves[:, None]).sum(axis=-1)
    off = across[:, None] * (gap * LINE_GAPS[:, None] + away[:, None])[..., None]
    sides = np.stack([on[:, None] + off, on[:, None] - off], axis=3)
    return on, sides.reshape(len(lines), -1, 2)


def all_over(low: Array, high: Array, half: Array) -> Array:
    """Return places (k, 2) for a box of half sizes between two corners."""
    columns, rows = (
        np.arange(low[k] + half[k], high[k] - half[k], _STEP[k]) for k in (0, 1)
    )
    return np.stack(np.meshgrid(columns, rows), axis=-1).reshape(-1, 2)
