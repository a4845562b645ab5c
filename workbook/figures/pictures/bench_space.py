"""A bench in space: its top with sockets, and what several rigs on it have in common.

Shadows on the bench are the plan. Nearer things are drawn over those behind them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

import numpy as np

from workbook.figures.drawing.kept import kept
from workbook.figures.drawing.marks import Line, Mark, Polygon, Strokes
from workbook.figures.drawing.views import VIEWS

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Coordinate, Window
    from workbook.figures.drawing.views import Viewpoint
    from workbook.mechanics.vectors import Array

PLAN = np.array((1.0, 1.0, 0.0))
UP = np.array((0.0, 0.0, 1.0))
# What lies on the bench, the car, and the rig before it or, from behind, after it.
ON_BENCH, CAR, AHEAD, BEHIND = -10.0, 0.0, 5.0, -5.0
PITCH, SOCKETS = 0.5, (9, 7)  # m, between sockets; how many at most
STEP = 0.125  # m, of the scale
_WAYS = np.array([(x, y, z) for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)]) / 2.0
_SQUARE = 0.03 * np.array([(1, 1, 0), (-1, 1, 0), (-1, -1, 0), (1, -1, 0), (1, 1, 0)])


def before_or_behind(view: Viewpoint) -> Array:
    """Return the depth of a rig that stands ahead of the car."""
    return np.where(view.toward[..., 0] > 0, AHEAD, BEHIND)


@kept
def window_round(low: Array, high: Array, view: Viewpoint, shift: Array) -> Window:
    """Return a window on a box, of one scale for every view: that of the named ones.

    Parameters
    ----------
    low, high : Array, shape (..., 3)
        Corners of the box. [m]
    view : Viewpoint
        From where it is seen.
    shift : Array, shape (..., 3)
        How far all of it is moved. [m]
    """
    corners = _WAYS * (high - low)[..., None, :]
    seen = [np.abs(one.along(corners)).max(axis=-2) for one in VIEWS.values()]
    half = np.ceil((np.maximum.reduce(seen) + 0.12) / STEP) * STEP
    x, y = np.moveaxis(view.at((low + high) / 2 + shift), -1, 0)
    return x - half[..., 0], x + half[..., 0], y - half[..., 1], y + half[..., 1]


class Over(Protocol):
    """What stands over a bench: how wide it is, and what lies under it."""

    half_width: Array
    middle: Array

    def shadow(self, view: Viewpoint) -> list[Mark]:
        """Return what lies under it on the bench."""


def bench_top(
    low: Array,
    high: Array,
    body: Over,
    view: Viewpoint,
    shift: Array,
    *,
    sockets: tuple[int, int] = SOCKETS,
) -> list[Mark]:
    """Draw the bench's top under a box and a body, out to the next sockets.

    ``sockets`` is how many there are at most, along the body and across it.
    """
    wide = body.half_width + 0.15
    y = (
        np.minimum(low[..., 1] - 0.3, body.middle - wide),
        np.maximum(high[..., 1] + 0.3, body.middle + wide),
    )
    x0, y0 = (np.floor(at / PITCH) * PITCH for at in (low[..., 0] - 0.3, y[0]))
    x1, y1 = (np.ceil(at / PITCH) * PITCH for at in (high[..., 0] + 0.25, y[1]))
    top = _top(x0, y0, x1, y1, shift, view, sockets)
    return [*top, *(mark.standing(ON_BENCH) for mark in body.shadow(view))]


@kept
def _top(
    x0: Array,
    y0: Array,
    x1: Array,
    y1: Array,
    shift: Array,
    view: Viewpoint,
    sockets: tuple[int, int],
) -> list[Mark]:
    """Draw the bench's top from one corner to the other, and its sockets."""

    def on(x: Coordinate, y: Coordinate) -> Array:
        point = np.stack(np.broadcast_arrays(x, y, 0.0), axis=-1)
        return np.asarray(point + shift)

    top = view.path(on(x0, y0), on(x1, y0), on(x1, y1), on(x0, y1))
    columns, rows = (np.arange(count) + 0.5 for count in sockets)
    k, m = (grid.ravel() for grid in np.meshgrid(columns, rows))
    across, along = x0[..., None] + PITCH * k, y0[..., None] + PITCH * m
    there = (across < x1[..., None]) & (along < y1[..., None])
    across = np.where(there, across, np.nan)
    centre = np.stack(np.broadcast_arrays(across, along, 0.0), axis=-1)
    squares = (centre + shift[..., None, :])[..., None, :] + _SQUARE
    seen = view.along(squares.reshape(*squares.shape[:-3], -1, 3))
    openings = seen.reshape(*seen.shape[:-2], -1, 5, 2)
    return [
        Polygon(top, "bench top", "bench").standing(ON_BENCH),
        Strokes(openings, "socket", "sockets").standing(ON_BENCH),
    ]


def chain(
    start: Array,
    end: Array,
    role: str,
    name: str,
    *,
    view: Viewpoint,
    depth: Coordinate,
    weight: Coordinate = 1.0,
) -> list[Mark]:
    """Draw a chain as links, those on edge between those that lie open."""
    points = view.path(start, end)
    links = [
        Line(points, f"{role} core", name),
        Line(points, f"{role} links", f"links of {name}"),
        Line(points, "open links", f"open links of {name}"),
    ]
    return [line.standing(depth, weight=weight) for line in links]


def shadow(start: Array, end: Array, name: str, view: Viewpoint) -> Mark:
    """Draw the shadow of something straight on the bench."""
    points = view.path(start * PLAN, end * PLAN)
    return Line(points, "shadow", f"shadow of {name}").standing(ON_BENCH)
