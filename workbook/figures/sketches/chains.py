"""Scenes of one chain: hung, pulled straight, drawn as a spring."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker
from workbook.figures.sketches.parts import View, dimension, hung, role_of

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words


def hung_chain(words: Words) -> list[View]:
    """Draw a chain hung level.

    Words: ``span``, ``sag``, ``below`` for something said of it, ``at_end`` for what
    it carries, if that is drawn.
    """
    near, far, deep = (60.0, 134.0), (360.0, 134.0), 44.0
    low, sag, at_end = near[1] - deep, words["sag"], words["at_end"]
    said: list[Mark] = [Label((210, 54), words["below"], "text")]
    if at_end:
        said += [
            Arrow(far, (404, 146), "force pull"),
            Label((412, 166), at_end, role_of(at_end), (0, 0), "end"),
        ]
    marks = [
        Line([near, far], "reference"),
        *dimension((60, 18), (360, 18), words["span"], shift=(0, -12)),
        *dimension((210, near[1]), (210, low)),
        Label((210, low), sag, role_of(sag), (0, 17)),
        Line(hung(near, far, deep), "pull leg"),
        *said,
        Marker(near, "square", "clamp"),
        Label(near, "C", "strong text", (-18, 0)),
        Marker(far, "disc", "head"),
        Label(far, "H", "strong text", (0, 18)),
    ]
    return [View(words["caption"], marks)]


def taut_chain(words: Words) -> list[View]:
    """Draw a chain pulled straight.

    Words: ``tension``, ``length``, ``metre`` for one metre of it, ``energy``.
    """
    near, far = (90.0, 104.0), (330.0, 104.0)
    marks: list[Mark] = [
        Arrow(near, (30, 104), "force pull"),
        Arrow(far, (390, 104), "force pull"),
        Line([near, far], "pull leg"),
        *dimension((90, 130), (330, 130), words["length"], shift=(0, -12)),
        *dimension((90, 82), (190, 82)),
        Label((90, 66), words["metre"], "text", (0, 0), "start"),
        Label((412, 86), words["tension"], "text", (0, 0), "end"),
        Label((90, 34), words["energy"], "strong text", (0, 0), "start"),
    ]
    return [View(words["caption"], marks)]


def two_springs(words: Words) -> list[View]:
    """Draw one chain as a spring twice: pulled ``once``, and pulled ``more``.

    Words: what stands beside each, and below it ``once_stores`` and ``more_stores``.
    """
    marks: list[Mark] = []
    for y, long, name in ((128.0, 70.0, "once"), (66.0, 100.0, "more")):
        end = (20 + long, y)
        marks += [
            Line([(20, y - 20), (20, y + 20)], "sill"),
            Line(_coils((20, y), long), "loading"),
            Arrow(end, (end[0] + long / 2.2, y), "force pull"),
            Label((186, y), words[name], "text", (0, 0), "start"),
        ]
        if below := words[f"{name}_stores"]:
            marks.append(Label((186, y), below, "text", (0, 18), "start"))
    return [View(words["caption"], marks)]


def _coils(start: Point, long: float) -> list[Point]:
    x, y = start
    turns = [(x + long * (k + 1) / 11, y + 9 * (-1) ** k) for k in range(10)]
    return [start, *turns, (x + long, y)]
