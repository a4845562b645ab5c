"""Scenes of point lists: twelve differences in two columns, six neighbours in a row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Label, Line, Marker, Polygon
from workbook.figures.sketches.parts import View, role_of

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark
    from workbook.figures.sketches.parts import Words

COLUMN, ROWS = 200.0, 6


def twelve_points(words: Words) -> list[View]:
    """Draw twelve points of a list in two columns, each difference behind its ring.

    Words: ``p1`` to ``p12``, the differences; what is ``given`` for all of them, and
    what is ``wanted``.
    """
    marks: list[Mark] = []
    for k in range(2 * ROWS):
        x, y = 8 + COLUMN * (k // ROWS), 214.0 - 27 * (k % ROWS)
        band = [(x + 22, y - 9), (x + 58, y - 9), (x + 58, y + 9), (x + 22, y + 9)]
        marks += [
            Polygon(band, "limit band"),
            Marker((x + 40, y), "ring", "specified"),
            Label((x, y), str(k + 1), "strong text", (0, 0), "start"),
            Label((x + 64, y), words[f"p{k + 1}"], "small text", (0, 0), "start"),
        ]
    marks += [
        Label((8, 46), words["given"], "text", (0, 0), "start"),
        Label((8, 20), words["wanted"], role_of(words["wanted"]), (0, 0), "start"),
    ]
    return [View(words["caption"], marks, 252.0)]


def six_neighbours(words: Words) -> list[View]:
    """Draw six neighbours in a row at their places, each difference below its ring.

    Words: ``n1`` to ``n6``, the differences, and the ``step`` wanted.
    """
    marks: list[Mark] = [Line([(20, 98), (400, 98)], "reference")]
    for k in range(6):
        x, aside = 42.0 + 66 * k, 68 + 56.8 * k
        band = [(x - 9, 72), (x + 9, 72), (x + 9, 124), (x - 9, 124)]
        marks += [
            Polygon(band, "limit band"),
            Marker((x, 98), "ring", "specified"),
            Label((x, 142), str(k + 1), "strong text"),
            Label((aside, 60 - 16 * (k % 3)), words[f"n{k + 1}"], "small text"),
        ]
    step = words["step"]
    marks.append(Label((20, 10), step, role_of(step), (0, 0), "start"))
    return [View(words["caption"], marks, 180.0)]
