"""Figures to be read with a ruler: scales put in, the readings left out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray

from workbook.figures.drawing.marks import (
    Drawing,
    Label,
    Line,
    Mark,
    Marker,
    Point,
    Polygon,
)
from workbook.figures.drawing.named import arc

OFF = 13.0  # pixels from the end of a tick to the middle of its reading
_TURNS = (
    0.0,
    0.15,
    -0.15,
    0.3,
    -0.3,
    0.5,
    -0.5,
    0.8,
    -0.8,
    1.1,
    -1.1,
)  # rad, to either side of the tick


class TickLabel(Label):
    """What a scale says at a tick, beyond its end: it may stand a little to a side.

    ``shift`` says which way the tick points.
    """

    def places_to_stand(self, half: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return shifts (k, 2) for a box of half sizes, the straightest first. [px]"""
        x, y = np.asarray(self.shift, dtype=float)
        ways = np.arctan2(y, x) + np.array(_TURNS)
        along = np.stack([np.cos(ways), np.sin(ways)], axis=-1)
        room = 3.0 + np.abs(along) @ half
        return np.concatenate(
            [along * np.maximum(far, room)[:, None] for far in (OFF, OFF + 9.0)]
        )

    def stood(self, shift: NDArray[np.float64]) -> Label:
        """Return it as a label in a place of its own."""
        return Label(
            self.at, self.said, self.role, (shift[0], shift[1]), name=self.name
        )


def protractor(
    centre: Point,
    radius: float,
    *,
    start: float,
    end: float,
    zero: float,
    named: int = 15,
) -> list[Mark]:
    """Return an arc with a tick every 5 degrees, a long one every 15.

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
    named : int
        At every how many degrees it says its reading.

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
        if reading % named == 0:
            shift = (OFF * way[0], -OFF * way[1])
            marks.append(TickLabel(outer, f"{reading}°", "small text", shift))
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
