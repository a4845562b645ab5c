"""Scenes of a car that is looked over: the way of a hit, a gap that is not even."""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Polygon
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, dimension

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words

HIGH, MIDDLE = 260.0, (210.0, 122.0)
LONG, WIDE = 46.0, 22.0  # px: half of the car, along and across
NEAR, FAR = 54.0, 104.0  # px, from its middle to the ends of the arrow


def hit_from_above(words: Words, *, bearing: float) -> list[View]:
    """Draw a car from above, nose up, and the way in which it was hit.

    Words: ``bearing`` of the hit, ``ahead`` for straight ahead, ``pull`` wanted.
    """
    (x, y), way = MIDDLE, (sin(bearing), cos(bearing))
    tail = (x - FAR * way[0], y - FAR * way[1])
    tip = (x - NEAR * way[0], y - NEAR * way[1])
    corners: list[Point] = [
        (x + across * WIDE, y + along * LONG)
        for across, along in ((-1, -1), (-1, 1), (1, 1), (1, -1))
    ]
    marks: list[Mark] = [
        Polygon(corners, "body"),
        Line([(x - WIDE, y + 0.45 * LONG), (x + WIDE, y + 0.45 * LONG)], "angle"),
        Line([MIDDLE, (x, y + FAR)], "reference"),
        Line(arc(MIDDLE, 34, pi / 2 - bearing, pi / 2), "angle"),
        Arrow(tail, tip, "force resultant"),
        Label((8, HIGH - 40), words["ahead"], "small text", (0, 0), "start"),
        Label((8, 32), words["bearing"], "text", (0, 0), "start"),
        Label((8, 12), words["pull"], "strong text", (0, 0), "start"),
    ]
    return [View(words["caption"], marks, HIGH)]


def uneven_gap(words: Words) -> list[View]:
    """Draw the gap between hood and fender, wider at the front.

    Words: ``front`` and ``rear`` gap, ``distance`` between them, ``angle``.
    """
    rear, front = 124.0, 300.0
    low, near, wide = 60.0, 78.0, 118.0
    marks: list[Mark] = [
        Line([(30, low), (390, low)], "sill"),
        Line([(rear, near), (front, wide)], "frame damaged"),
        Line([(rear, near), (front, near)], "reference"),
        *dimension(
            (rear, low), (rear, near), words["rear"], shift=(-8, 0), align="end"
        ),
        *dimension(
            (front, low), (front, wide), words["front"], shift=(8, 0), align="start"
        ),
        *dimension((rear, 38), (front, 38), words["distance"], shift=(0, 13)),
        Label((rear, wide + 24), words["angle"], "strong text", (0, 0), "start"),
    ]
    return [View(words["caption"], marks, 170.0)]
