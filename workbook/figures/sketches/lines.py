"""Scenes of several rams: on one line, and two of their pulls on one side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, role_of, towards

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words

RAMS = ("first", "second", "third", "fourth")
STEP = 40.0  # px, from ram to ram


def rams_on_line(words: Words, *, rams: float) -> list[View]:
    """Draw two to four rams on one line, each with its number.

    Words: ``line`` and ``below`` under the line, ``first`` to ``fourth`` beside the
    rams with ``first_more`` and so on below them, and ``pump`` on the pump before each,
    where there is one.
    """
    top, x, low = 40.0 + STEP * rams, 40.0, 62.0
    marks: list[Mark] = [
        Line([(x, low - 8), (x, top - STEP / 2)], "air line"),
        Label((16, 36), words["line"], role_of(words["line"]), (0, 0), "start"),
        Label((16, 16), words["below"], role_of(words["below"]), (0, 0), "start"),
    ]
    for k in range(round(rams)):
        y = top - STEP / 2 - STEP * k
        wide = y - 10, y + 10
        oil = [(90, wide[0]), (124, wide[0]), (124, wide[1]), (90, wide[1])]
        rod = [(124, y - 4), (182, y - 4), (182, y + 4), (124, y + 4)]
        pump = [(54, wide[0]), (74, wide[0]), (74, wide[1]), (54, wide[1])]
        up = 0 if words["pump"] else -11
        name, more = words[RAMS[k]], words[f"{RAMS[k]}_more"]
        aside = 8 if more else 0
        marks += [
            Line([(x, y), (90, y)], "hose"),
            Polygon(oil, "oil"),
            Polygon(rod, "base"),
            Line([(164, wide[0]), (90, wide[0]), (90, wide[1]), (164, wide[1])], "ram"),
            *([Polygon(pump, "inside")] if words["pump"] else []),
            Label((64, y), words["pump"] or str(k + 1), "strong text", (0, up)),
            Label((194, y), name, role_of(name), (0, -aside), "start"),
            Label((194, y), more, role_of(more), (0, aside), "start"),
        ]
    return [_view(words, marks, top + 24)]


def two_on_one_side(words: Words, *, first: float, second: float) -> list[View]:
    """Draw two pulls, each at its angle to the left of the centre-line.

    Words: ``line`` under the centre-line, ``NAME`` and ``NAME_angle`` of the first and
    the second, ``joint`` below for what is asked, ``also`` for something more.
    """
    marks: list[Mark] = [
        Line([(24, 66), (404, 66)], "reference"),
        Label((404, 66), words["line"], "small text", (0, 13), "end"),
        Label((24, 30), words["joint"], role_of(words["joint"]), (0, 0), "start"),
        Label((24, 11), words["also"], "text", (0, 0), "start"),
    ]
    for name, angle, x, role in (
        ("first", first, 40.0, "force pull"), ("second", second, 222.0, "force second"),
    ):  # fmt: skip
        tail: Point = (x, 66.0)
        tip = towards(tail, angle, 120.0)
        bow = arc(tail, 62, 0.0, angle)
        marks += [
            Arrow(tail, tip, role),
            Line(bow, "angle"),
            Marker(tail, "square", "clamp"),
            Label(bow[len(bow) // 2], words[f"{name}_angle"], "small text", (8, 0),
                  "start"),
            Label(tip, words[name], "text", (0, -13), "middle"),
        ]  # fmt: skip
    return [_view(words, marks, 178.0)]


def _view(words: Words, marks: list[Mark], height: float) -> View:
    """Return a view without the labels that say nothing."""
    said = [m for m in marks if not isinstance(m, Label) or m.text]
    return View(words["caption"], said, height)
