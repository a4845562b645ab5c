"""Figures to be read with a ruler: scales put in, the readings left out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import cos, radians, sin

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
from workbook.figures.drawing.named import arc

WIDE, HIGH = 640.0, 290.0  # pixels of a printed figure
TOP = 14.0  # room for the caption


def protractor(
    centre: Point, radius: float, *, start: float, end: float, zero: float
) -> list[Mark]:
    """Return an arc with a tick every 5 degrees, named every 15.

    Parameters
    ----------
    centre : Point
        Where the angle is.
    radius : float
        Of the arc, in data coordinates.
    start, end : float
        Directions between which it runs, from the x axis. [deg]
    zero : float
        Direction that reads 0; the scale counts up both ways from it. [deg]

    Examples
    --------
    >>> scale = protractor((0, 0), 1.0, start=0, end=90, zero=90)
    >>> [mark.text for mark in scale if isinstance(mark, Label)]
    ['90°', '75°', '60°', '45°', '30°', '15°', '0°']
    """
    marks: list[Mark] = [
        Line(arc(centre, radius, radians(start), radians(end)), "angle")
    ]
    for turn in range(round(start), round(end) + 1, 5):
        reading = abs(round(turn - zero))
        way = (cos(radians(turn)), sin(radians(turn)))
        long = reading % 15 == 0
        inner, outer = (
            (centre[0] + r * way[0], centre[1] + r * way[1])
            for r in (radius, radius * (1.1 if long else 1.05))
        )
        marks.append(Line([inner, outer], "angle"))
        if long:
            shift = (13 * way[0], -13 * way[1])
            marks.append(Label(outer, f"{reading}°", "small text", shift))
    return marks


def to_read(
    drawing: Drawing,
    scale: Iterable[Mark],
    *,
    caption: str = "",
    readings: Sequence[str] = ("°",),
    lines: Sequence[str] = (),
) -> Drawing:
    """Return a drawing with a scale in place of what would give the readings away.

    Parameters
    ----------
    drawing : Drawing
        The explorer's own.
    scale : iterable of Mark
        What to read on.
    caption : str
        In place of the drawing's own.
    readings : sequence of str
        Labels with one of these in them are left out.
    lines : sequence of str
        Roles of moving lines and fields that are left out.
    """

    def hides(mark: Mark) -> bool:
        if isinstance(mark, Label):
            return any(part in mark.text for part in readings)
        return isinstance(mark, Line | Polygon) and mark.role in lines

    still = [m for m in drawing.still if not (isinstance(m, Label) and hides(m))]
    return replace(
        drawing,
        still=[*still, *scale],
        moving=[mark for mark in drawing.moving if not hides(mark)],
        caption=caption or drawing.caption,
    )


def place_of(drawing: Drawing, role: str) -> Point:
    """Return where the marker of a role stands."""
    return next(
        mark.at
        for mark in drawing.moving
        if isinstance(mark, Marker) and mark.role == role
    )


def one_view(drawing: Drawing, text: str) -> Sheet:
    """Return a sheet of one drawing, said in words by ``text``."""
    panel = Panel(drawing=drawing, left=0, top=TOP, width=WIDE, height=HIGH - TOP)
    return Sheet(width=WIDE, height=HIGH, text=text, panels=(panel,))


def two_views(left: Drawing, right: Drawing, text: str) -> Sheet:
    """Return a sheet of two drawings side by side, the left one wider."""
    cut, high = 0.58 * WIDE, HIGH - TOP
    panels = (
        Panel(drawing=left, left=0, top=TOP, width=cut, height=high),
        Panel(
            drawing=right, left=cut + 10, top=TOP, width=WIDE - cut - 10, height=high
        ),
    )
    return Sheet(width=WIDE, height=HIGH, text=text, panels=panels)
