"""Scenes of a car that is looked over: the way of a hit, a gap that is not even."""

from __future__ import annotations

from math import cos, pi, sin
from string import ascii_lowercase
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Polygon
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, dimension

if TYPE_CHECKING:
    from collections.abc import Sequence

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


def gaps_from_above(words: Words, *, order: Sequence[int]) -> list[View]:
    """Draw a car from above, nose to the right, its gaps by letter.

    The first letter stands at place ``order[0]``: on the left and then on the right,
    fender, front door, rear door, hood in front and behind, lid. Words: ``should``
    be, and ``wanted``.
    """
    middle, half, inner = 152.0, 78.0, 50.0  # px, up: of the car and what lies within
    doors, hood, lid = (268.0, 196.0, 126.0), (280.0, 372.0), (40.0, 92.0)
    band = (half + inner) / 2
    marks: list[Mark] = [
        Polygon(_box(32, 388, middle, half), "body"),
        *(Polygon(_box(*ends, middle, inner), "bench top") for ends in (hood, lid)),
        Polygon(_box(112, 256, middle, inner), "bench top"),
        *(
            Line([(x, middle + side * inner), (x, middle + side * half)], "angle")
            for x in doors
            for side in (1, -1)
        ),
        Label((8, 32), words["should"], "text", (0, 0), "start"),
        Label((8, 12), words["wanted"], "strong text", (0, 0), "start"),
    ]
    spots = [
        *((x, half + 14) for x in doors),
        *((x, band) for x in (hood[1] - 12, hood[0] + 12)),
        (sum(lid) / 2, band),
    ]
    at = [(x, middle + side * y) for side in (1, -1) for x, y in spots]
    marks += [
        Label(at[place], letter, "strong text", (0, 0))
        for letter, place in zip(ascii_lowercase, order, strict=False)
    ]
    return [View(words["caption"], marks, HIGH + 18)]


def _box(rear: float, front: float, middle: float, half: float) -> list[Point]:
    return [
        (rear, middle - half), (rear, middle + half),
        (front, middle + half), (front, middle - half),
    ]  # fmt: skip


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
