"""Scenes of bridles: two legs from two clamps to a ring."""

from __future__ import annotations

from math import hypot, pi, tan
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, dimension, role_of

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words


def even_legs(words: Words, *, between: float) -> list[View]:
    """Draw a bridle whose legs are alike, by the angle between them."""
    return two_legs(words, first=between / 2, second=between / 2)


def two_legs(words: Words, *, first: float, second: float) -> list[View]:
    """Draw a bridle from above: two clamps, a ring, and the pull to the right.

    ``first`` and ``second`` are the angles of the legs from the line of pull. Words
    for them, or ``between`` for both together; ``first_leg`` and ``second_leg``
    along the legs; ``pull``, and ``spacing`` of the clamps, if they are drawn.
    """
    ring = (274.0, 88.0)
    deep = min(115.0, 118 / (tan(first) + tan(second)))
    up, down = deep * tan(first), deep * tan(second)
    ring = (ring[0], 88.0 + (down - up) / 2)
    high, low = (ring[0] - deep, ring[1] + up), (ring[0] - deep, ring[1] - down)
    bow = min(0.6 * hypot(deep, min(up, down)), 60.0)
    left = ring[0] - max(deep + 13, bow + 6)
    marks: list[Mark] = [
        Line([(left + 3, ring[1]), ring], "reference"),
        Line(arc(ring, bow, pi - first, pi), "angle"),
        Line(arc(ring, 0.8 * bow if words["first"] else bow, pi, pi + second), "angle"),
    ]
    if words["between"]:
        named = Label((left, ring[1]), words["between"], "angle text", (0, 0), "end")
        marks.append(named)
    for text, way, size in ((words["first"], 1, up), (words["second"], -1, down)):
        if text:
            at = (left, ring[1] + way * max(size / 2, 10.0))
            marks.append(Label(at, text, "small text", (0, 0), "end"))
    if words["pull"]:
        marks += [
            Arrow(ring, (400, ring[1]), "force pull"),
            Label((412, ring[1]), words["pull"], "text", (0, 16), "end"),
        ]
    if words["spacing"]:
        far = left - 100
        marks += [
            *(Line([end, (far, end[1])], "reference") for end in (high, low)),
            *dimension((far + 4, low[1]), (far + 4, high[1])),
            Label((6, low[1]), words["spacing"], "small text", (0, 14), "start"),
        ]
    marks += [
        Line([high, ring], "pull leg"),
        Line([low, ring], "pull leg"),
        *_leg_name(high, ring, words["first_leg"]),
        *_leg_name(low, ring, words["second_leg"]),
        *(Marker(end, "square", "clamp") for end in (high, low)),
        Marker(ring, "disc", "head"),
    ]
    return [View(words["caption"], marks)]


def _leg_name(end: Point, ring: Point, text: str) -> list[Mark]:
    """Name a leg outside it, as far back as its slope leaves room."""
    if not text:
        return []
    middle = ((end[0] + ring[0]) / 2, (end[1] + ring[1]) / 2)
    slope = abs(end[1] - ring[1]) / (ring[0] - end[0])
    way = -1 if end[1] > ring[1] else 1
    shift = (max(-42.0, -8 / slope) + 5, 20.0 * way)
    return [Label(middle, text, role_of(text), shift, "start")]
