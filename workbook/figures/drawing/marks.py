"""A drawing described once: marks in data coordinates, each with a role.

The description knows nothing of how it is shown. `on_axes` renders it with
matplotlib for print, `svg` as text for the screen; both take the looks of a
role from `styles`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

Point = tuple[float, float]


@dataclass(frozen=True)
class Line:
    """A line through points."""

    points: Sequence[Point]
    role: str


@dataclass(frozen=True)
class Polygon:
    """A closed outline, filled if its role has a fill."""

    points: Sequence[Point]
    role: str


@dataclass(frozen=True)
class Marker:
    """A point: shape is ``disc``, ``ring``, ``square`` or ``diamond``."""

    at: Point
    shape: str
    role: str


@dataclass(frozen=True)
class Arrow:
    """An arrow from tail to head; the head's shape belongs to the role."""

    tail: Point
    head: Point
    role: str


@dataclass(frozen=True)
class Label:
    """Text at a point, shifted by some pixels; align is start, middle or end."""

    at: Point
    text: str
    role: str = "text"
    shift: Point = (0.0, 0.0)
    align: str = "middle"


Mark = Line | Polygon | Marker | Arrow | Label


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """One view: what stands still, what moves, and the window on both.

    ``caption`` says what the view is, ``window`` is (left, right, bottom, top)
    in data coordinates, of the same scale both ways if ``true_scale``.
    """

    caption: str
    window: tuple[float, float, float, float]
    still: Sequence[Mark] = ()
    moving: Sequence[Mark] = ()
    true_scale: bool = True


@dataclass(frozen=True, kw_only=True)
class Panel:
    """Where a drawing goes on a sheet: left, top, width, height in pixels."""

    drawing: Drawing
    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A picture of one or more panels, ``width`` by ``height`` pixels.

    ``text`` says in words what the picture shows, from the same numbers.
    """

    panels: Sequence[Panel]
    width: float
    height: float
    text: str = field(default="")


def arc(centre: Point, radius: float, start: float, end: float) -> list[Point]:
    """Return points of an arc between two angles from the x axis [rad]."""
    angles = np.linspace(start, end, 25)
    return [
        (centre[0] + radius * float(np.cos(a)), centre[1] + radius * float(np.sin(a)))
        for a in angles
    ]


def angle_mark(
    centre: Point, radius: float, start: float, end: float, text: str
) -> list[Mark]:
    """Return an arc with its name beside it, at its middle."""
    middle = (start + end) / 2
    at = (
        centre[0] + radius * float(np.cos(middle)),
        centre[1] + radius * float(np.sin(middle)),
    )
    push = (14 * float(np.cos(middle)), -14 * float(np.sin(middle)))
    align = "start" if np.cos(middle) > -0.2 else "end"
    return [
        Line(arc(centre, radius, start, end), "angle"),
        Label(at, text, "angle text", push, align),
    ]


def window_for(
    points: Sequence[Point], *, step: float, margin: float = 0.0
) -> tuple[float, float, float, float]:
    """Return a window round points, its sides rounded out to whole steps.

    Rounding keeps the picture still while the points move a little.
    """
    xs, ys = np.asarray(points, dtype=float).T
    low = np.floor((np.array([xs.min(), ys.min()]) - margin) / step) * step
    high = np.ceil((np.array([xs.max(), ys.max()]) + margin) / step) * step
    return (float(low[0]), float(high[0]), float(low[1]), float(high[1]))


def placed(panel: Panel) -> tuple[float, float, float, float]:
    """Return (x0, y0, kx, ky): pixel = (x0 + kx x, y0 - ky y) in the sheet."""
    left, right, bottom, top = panel.drawing.window
    kx, ky = panel.width / (right - left), panel.height / (top - bottom)
    if panel.drawing.true_scale:
        kx = ky = min(kx, ky)
    spare_x = (panel.width - kx * (right - left)) / 2
    spare_y = (panel.height - ky * (top - bottom)) / 2
    x0 = panel.left + spare_x - kx * left
    y0 = panel.top + panel.height - spare_y + ky * bottom
    return x0, y0, kx, ky
