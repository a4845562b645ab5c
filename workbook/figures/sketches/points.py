"""Scenes of a point that stands where it should not, and of a pull above what holds."""

from __future__ import annotations

from math import atan2
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, dimension, role_of

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words

FAR = 180.0  # px, of the step that is drawn to the right


def point_from_above(words: Words) -> list[View]:
    """Draw a point in plan, too far back and left, and where it belongs.

    Words: ``length`` and ``width`` of the error, ``angle`` of the correction from
    straight ahead.
    """
    marks = _correction(
        (46.0, 138.0), 84.0, down=words["length"], across=words["width"]
    )
    return [View(words["caption"], [*marks, *_angle(words["angle"])])]


def point_in_space(words: Words) -> list[View]:
    """Draw the same with the point too low: from above, then along the level way.

    Words: besides, ``level`` for that way, ``height`` of the error, ``rise``.
    """
    above = _correction(
        (46.0, 138.0), 84.0, down=words["length"], across=words["width"]
    )
    middle = (46 + FAR / 2, 138.0 - 42)
    above.append(Label(middle, words["level"], "text", (-8, 14), "end"))
    start, tip = (46.0, 44.0), (46.0 + FAR, 108.0)
    side: list[Mark] = [
        Line([start, (tip[0], start[1])], "reference"),
        *dimension((tip[0] + 14, start[1]), (tip[0] + 14, tip[1])),
        Label((tip[0] + 14, 76), words["height"], "text", (7, 0), "start"),
        Label(((start[0] + tip[0]) / 2, 44), words["level"], "text", (0, 16)),
        Arrow(start, tip, "wanted"),
        Line(arc(start, 70, 0.0, atan2(64, FAR)), "angle"),
        Label((start[0] + 70, 44), words["rise"], "strong text", (8, -9), "start"),
        *_ends(start, tip),
    ]
    return [
        View(words["caption"], above),
        View(words["caption_side"], side, 150.0),
    ]


def _correction(start: Point, fall: float, *, down: str, across: str) -> list[Mark]:
    """Draw the step ahead, the step to the right and the way straight there."""
    corner, tip = (start[0] + FAR, start[1]), (start[0] + FAR, start[1] - fall)
    return [
        Line([start, corner], "reference"),
        Line([corner, tip], "reference"),
        *dimension((start[0], start[1] + 12), (corner[0], corner[1] + 12)),
        Label(((start[0] + corner[0]) / 2, start[1] + 12), down, "text", (0, -12)),
        *dimension((corner[0] + 14, corner[1]), (tip[0] + 14, tip[1])),
        Label((corner[0] + 14, start[1] - fall / 2), across, "text", (7, 0), "start"),
        Arrow(start, tip, "wanted"),
        *_ends(start, tip),
    ]


def _ends(start: Point, tip: Point) -> list[Mark]:
    return [Marker(start, "square", "measured"), Marker(tip, "ring", "specified")]


def _angle(text: str) -> list[Mark]:
    start, turn = (46.0, 138.0), atan2(84.0, FAR)
    return [
        Line(arc(start, 64, -turn, 0.0), "angle"),
        Label((110.0, 138.0), text, "strong text", (8, 14), "start"),
    ]


def pull_above_hold(words: Words) -> list[View]:
    """Draw a level pull from the side, above the place where a body is held.

    Words: ``pull``, ``pull_height``, ``hold_height``, ``moment``.
    """
    floor, hold, pull = 44.0, 84.0, 146.0
    body = [(160.0, 66.0), (268.0, 66.0), (268.0, 162.0), (160.0, 162.0)]
    marks: list[Mark] = [
        Line([(8, floor), (412, floor)], "floor"),
        Polygon(body, "body"),
        Marker((214, hold), "square", "support"),
        Line([(214, hold), (214, floor)], "reference"),
        Marker((268, pull), "square", "clamp"),
        Arrow((268, pull), (358, pull), "force pull"),
        Label((276, pull), words["pull"], role_of(words["pull"]), (0, -18), "start"),
        *dimension((300, floor), (300, pull)),
        Label((300, floor), words["pull_height"], "text", (0, 17)),
        *dimension((112, floor), (112, hold)),
        Line([(112, hold), (214, hold)], "reference"),
        Label((112, floor), words["hold_height"], "text", (0, 17)),
        Label((164, 122), words["moment"], role_of(words["moment"]), (4, 0), "start"),
    ]
    return [View(words["caption"], marks)]
