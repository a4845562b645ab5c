"""What the scenes of sketches share: words, views, measures, ram, clamp and head.

Coordinates are pixels of the view, y up.
"""

from __future__ import annotations

from math import cos, hypot, sin
from typing import TYPE_CHECKING, NamedTuple

from workbook.figures.drawing.marks import (
    Drawing,
    Label,
    Line,
    Mark,
    Marker,
    Panel,
    Point,
    Polygon,
    Sheet,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDTH, HEIGHT = 420.0, 190.0


class Words(dict[str, str]):
    """The words of a sketch by what they stand at; what has none is left out."""

    def __missing__(self, name: str) -> str:
        return ""


class View(NamedTuple):
    """One view of a scene."""

    caption: str
    marks: Sequence[Mark]
    height: float = HEIGHT


def sheet(views: Sequence[View], *, text: str) -> Sheet:
    """Return a sheet of views below one another."""
    panels, top = [], 0.0
    for caption, marks, height in views:
        window = (0.0, WIDTH, 0.0, height)
        drawing = Drawing(caption=caption, window=window, moving=marks)
        panels.append(
            Panel(drawing=drawing, left=0, top=top, width=WIDTH, height=height)
        )
        top += height
    return Sheet(panels=panels, width=WIDTH, height=top, text=text)


def dimension(
    start: Point,
    end: Point,
    text: str = "",
    *,
    shift: Point = (0.0, 13.0),
    align: str = "middle",
) -> list[Mark]:
    """Return a measure between two points: a line with end strokes, and its name."""
    (x, y), (u, v) = start, end
    long = hypot(u - x, v - y)
    if long == 0:  # nothing to measure, but it is named all the same
        return [Label(start, text, "small text", shift, align)]
    across = (-4 * (v - y) / long, 4 * (u - x) / long)
    strokes = [
        Line([(p - across[0], q - across[1]), (p + across[0], q + across[1])], "angle")
        for p, q in (start, end)
    ]
    middle = ((x + u) / 2, (y + v) / 2)
    name = [Label(middle, text, "small text", shift, align)] if text else []
    return [Line([start, end], "angle"), *strokes, *name]


def role_of(text: str) -> str:
    """Return the role of a name: what is wanted stands out."""
    return "strong text" if "?" in text else "text"


def towards(start: Point, angle: float, length: float) -> Point:
    """Return the point at an angle and a distance from another."""
    return start[0] + length * cos(angle), start[1] + length * sin(angle)


def hung(near: Point, far: Point, sag: float) -> list[Point]:
    """Return a chain hung between two points, as the parabola of a tight chain."""
    shares = [k / 24 for k in range(25)]
    return [
        (
            near[0] + s * (far[0] - near[0]),
            near[1] + s * (far[1] - near[1]) - 4 * sag * s * (1 - s),
        )
        for s in shares
    ]


def ram(
    base: Point,
    head: Point,
    *,
    joint: Point | None = None,
    letter: Point = (-24.0, -9.0),
) -> list[Mark]:
    """Draw a ram on its base B, an extension above ``joint`` if there is one."""
    x, y = base
    foot = [(x - 14, y), (x + 14, y), (x + 8, y + 7), (x - 8, y + 7)]
    top: list[Mark] = [Line([joint, head], "extension")] if joint else []
    return [
        Line([base, joint or head], "ram"),
        *top,
        Polygon(foot, "base"),
        Label(base, "B", "strong text", letter),
    ]


def clamp_and_head(clamp: Point, head: Point, *, below: bool) -> list[Mark]:
    """Draw clamp C and head H with their letters."""
    return [
        Marker(clamp, "square", "clamp"),
        Label(clamp, "C", "strong text", (0, 20) if below else (-18, -6)),
        Marker(head, "disc", "head"),
        Label(head, "H", "strong text", (18, -2) if below else (-17, -7)),
    ]
