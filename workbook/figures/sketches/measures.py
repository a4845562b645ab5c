"""Scenes of measuring: a tilt, two widths, a sloping tape, differences and limits."""

from __future__ import annotations

from math import atan2
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Label, Line, Marker, Polygon
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, dimension, role_of

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark
    from workbook.figures.sketches.parts import Words

SIX = "abcdef"


def tilted_base(words: Words) -> list[View]:
    """Draw from the side a car that stands nose-up on its measuring base.

    Words: ``reading`` of the height, ``distance`` from the zero plane, ``tilt``,
    ``height`` without it, ``zero`` plane and ``base``.
    """
    start, end, rise = (40.0, 62.0), (260.0, 62.0), 30.0
    point = (end[0], 146.0)
    marks: list[Mark] = [
        Line([(20.0, 62.0), (400.0, 62.0)], "floor"),
        Line([start, (start[0], 168.0)], "reference"),
        Line([start, (400.0, 62.0 + rise * 360 / 220)], "wanted"),
        Line(arc(start, 150, 0.0, atan2(rise, 220)), "angle"),
        *dimension((start[0], 30), (end[0], 30)),
        Line([end, (end[0], 26.0)], "reference"),
        *dimension((end[0] + 12, 62), (end[0] + 12, point[1])),
        *dimension((end[0] - 12, 62 + rise), (end[0] - 12, point[1])),
        Marker(point, "square", "measured"),
        Label((150.0, 30), words["distance"], "text", (0, 14)),
        Label((end[0] + 12, 126), words["reading"], "text", (6, 0), "start"),
        Label(
            (end[0] - 12, 118),
            words["height"],
            role_of(words["height"]),
            (-6, 0),
            "end",
        ),
        Label((186, 70), words["tilt"], "text", (0, -22), "end"),
        Label((start[0], 168), words["zero"], "small text", (6, 4), "start"),
        Label((20, 62), words["base"], "small text", (0, 12), "start"),
    ]
    return [View(words["caption"], marks)]


def two_widths(words: Words) -> list[View]:
    """Draw from above two points and the line from which their widths are read.

    Words: ``left`` and ``right`` width, ``line`` for the centre-line, ``middle`` of
    the two, ``off`` for how far it lies off.
    """
    x, line, left, right = 230.0, 78.0, 174.0, 30.0
    middle = (left + right) / 2
    marks: list[Mark] = [
        Line([(30, line), (390, line)], "reference"),
        *dimension((x, line), (x, left)),
        *dimension((x, line), (x, right)),
        Line([(150, middle), (x, middle)], "wanted"),
        *dimension((150, line), (150, middle)),
        Marker((x, left), "square", "measured"),
        Marker((x, right), "square", "measured"),
        Label((x, 136), words["left"], "text", (10, 0), "start"),
        Label((x, 50), words["right"], "text", (10, 0), "start"),
        Label((390, line), words["line"], "small text", (0, 12), "end"),
        Label((150, middle), words["middle"], "small text", (0, -12), "end"),
        Label((142, 90), words["off"], role_of(words["off"]), (0, 0), "end"),
    ]
    return [View(words["caption"], marks)]


def sloping_tape(words: Words) -> list[View]:
    """Draw from the side a tape between two points, one higher than the other.

    Words: ``tape``, ``rise`` between the points, ``level`` along the datum.
    """
    low, high = (40.0, 62.0), (250.0, 142.0)
    corner = (high[0], low[1])
    marks: list[Mark] = [
        Line([low, corner], "reference"),
        Line([low, high], "tape"),
        *dimension((high[0] + 14, low[1]), (high[0] + 14, high[1])),
        *dimension((low[0], 40), (corner[0], 40)),
        Marker(low, "square", "measured"),
        Marker(high, "square", "measured"),
        Label((30, 158), words["tape"], role_of(words["tape"]), (0, 0), "start"),
        Label((high[0] + 14, 102), words["rise"], "text", (7, 0), "start"),
        Label((145, 40), words["level"], role_of(words["level"]), (0, 15)),
    ]
    return [View(words["caption"], marks)]


def difference_in_space(words: Words) -> list[View]:
    """Draw a point and its place: from above, then along the level way between them.

    Words: ``length``, ``width`` and ``height`` of the difference, ``level`` for the
    way seen from above, ``total``.
    """
    ring, square = (40.0, 60.0), (205.0, 132.0)
    corner = (square[0], ring[1])
    above: list[Mark] = [
        Line([ring, corner], "reference"),
        Line([corner, square], "reference"),
        Line([ring, square], "difference"),
        *dimension((ring[0], 44), (corner[0], 44)),
        *dimension((square[0] + 16, corner[1]), (square[0] + 16, square[1])),
        Label((122, 44), words["length"], "text", (0, 14)),
        Label((square[0] + 16, 96), words["width"], "text", (7, 0), "start"),
        Label((20, 132), words["level"], "text", (0, 0), "start"),
        Marker(square, "square", "measured"),
        Marker(ring, "ring", "specified"),
    ]
    low, high = (40.0, 40.0), (205.0, 104.0)
    side: list[Mark] = [
        Line([low, (high[0], low[1])], "reference"),
        Line([low, high], "difference"),
        *dimension((high[0] + 16, low[1]), (high[0] + 16, high[1])),
        Label((high[0] + 16, 72), words["height"], "text", (7, 0), "start"),
        Label((122, low[1]), words["level"], "text", (0, 16)),
        Label((20, 96), words["total"], role_of(words["total"]), (0, 0), "start"),
        Marker(high, "square", "measured"),
        Marker(low, "ring", "specified"),
    ]
    return [
        View(words["caption"], above, 160.0),
        View(words["caption_side"], side, 130.0),
    ]


def six_limits(words: Words) -> list[View]:
    """Draw six points as a list: each difference beside the band of its limit.

    Words: for each letter from ``a`` to ``f`` its difference, and with ``_limit``
    behind it its limit; ``count`` of those outside.
    """
    marks: list[Mark] = [Line([(208, 44), (208, 210)], "reference")]
    for k, name in enumerate(SIX):
        y = 196.0 - 28 * k
        band = [(178, y - 9), (238, y - 9), (238, y + 9), (178, y + 9)]
        marks += [
            Polygon(band, "limit band"),
            Marker((208, y), "ring", "specified"),
            Label((12, y), name.upper(), "strong text", (0, 0), "start"),
            Label((168, y), words[f"{name}_limit"], "small text", (0, 0), "end"),
            Label((252, y), words[name], "text", (0, 0), "start"),
        ]
    count = words["count"]
    marks.append(Label((12, 22), count, role_of(count), (0, 0), "start"))
    return [View(words["caption"], marks, 230.0)]


def three_planes(words: Words) -> list[View]:
    """Draw the planes that a car is measured from, from the side and from above.

    Words: ``datum``, ``zero``, ``centre`` plane, ``side`` and ``above`` for the two
    views, and ``wanted`` for what is asked.
    """
    side = [(60, 52), (350, 52), (350, 76), (286, 84), (250, 116), (150, 116), (96, 84)]
    above = [(60, 30), (340, 30), (352, 56), (352, 90), (340, 116), (60, 116)]
    zero = 214.0
    return [
        View(
            words["side"],
            [
                Polygon([*side, (60, 80)], "body"),
                Line([(24, 30), (400, 30)], "wanted"),
                Line([(zero, 18), (zero, 136)], "wanted"),
                Label((400, 30), words["datum"], "text", (0, 14), "end"),
                Label((zero, 136), words["zero"], "text", (8, 4), "start"),
            ],
            160.0,
        ),
        View(
            words["above"],
            [
                Polygon(above, "body"),
                Line([(24, 73), (412, 73)], "wanted"),
                Line([(zero, 16), (zero, 136)], "wanted"),
                Label((24, 73), words["centre"], "text", (44, -12), "start"),
                Label((zero, 136), words["zero"], "text", (8, 4), "start"),
                Label((24, 8), words["wanted"], "strong text", (0, 0), "start"),
            ],
            164.0,
        ),
    ]
