"""Scenes of what is left after a pull: its line, eight readings, the next force."""

from __future__ import annotations

from math import atan2, radians
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, dimension, role_of, towards

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words

FAR = 180.0  # px, of the step that is drawn ahead
POINTS = 8


def left_from_above(words: Words) -> list[View]:
    """Draw a point in plan and its place, further forward and to the left.

    Words: ``length`` and ``width`` of what is left, ``angle`` of the line to it.
    """
    marks = _way((46.0, 50.0), 84.0, words["length"], words["width"], words["angle"])
    return [View(words["caption"], marks, 160.0)]


def left_in_space(words: Words) -> list[View]:
    """Draw the same with the place higher too: from above, then along the level way.

    Words: besides, ``level`` for that way, ``height``, ``rise``, and ``far`` for the
    way in space.
    """
    above = _way((46.0, 50.0), 84.0, words["length"], words["width"], words["angle"])
    side = _way((46.0, 50.0), 64.0, words["level"], words["height"], words["rise"])
    far = (46.0 + FAR / 2, 50.0 + 32)
    side.append(Label(far, words["far"], role_of(words["far"]), (-10, -8), "end"))
    return [
        View(words["caption"], above, 160.0),
        View(words["caption_side"], side, 140.0),
    ]


def _way(start: Point, up: float, ahead: str, aside: str, angle: str) -> list[Mark]:
    """Draw the step ahead, the step aside or up, and the way straight there."""
    (x, y), (u, v) = start, (start[0] + FAR, start[1] + up)
    bow, lean = 70.0, atan2(up, FAR)
    turn: list[Mark] = [
        Line(arc(start, bow, 0.0, lean), "angle"),
        Label(towards(start, lean / 2, bow), angle, "strong text", (8, 0), "start"),
    ]
    return [
        Line([start, (u, y)], "reference"),
        Line([(u, y), (u, v)], "reference"),
        *dimension((x, y - 14), (u, y - 14)),
        Label(((x + u) / 2, y - 14), ahead, "text", (0, 14)),
        *dimension((u + 14, y), (u + 14, v)),
        Label((u + 14, (y + v) / 2), aside, "text", (7, 0), "start"),
        Arrow(start, (u, v), "wanted"),
        *(turn if angle else []),
        Marker(start, "square", "measured"),
        Marker((u, v), "ring", "specified"),
    ]


def before_and_now(words: Words) -> list[View]:
    """Draw eight readings as a list: what each was, and what it is now.

    Words: ``p1_was`` and ``p1_is`` to ``p8``, ``was`` and ``is`` above the columns,
    the ``limit``, and what is ``wanted``.
    """
    columns = {"was": 96.0, "is": 240.0}
    marks: list[Mark] = [
        Label((x, 236), words[name], "small text", (0, 0), "start")
        for name, x in columns.items()
    ]
    for k in range(1, POINTS + 1):
        y = 238.0 - 24 * k
        marks.append(Label((16, y), str(k), "strong text", (0, 0), "start"))
        for name, x in columns.items():
            said = words[f"p{k}_{name}"]
            marks.append(Label((x, y), said, "text", (0, 0), "start"))
        ways = ((columns["is"] - 58, y), (columns["is"] - 14, y))
        marks.append(Arrow(*ways, "reference"))
    marks += [
        Label((16, 20), words["limit"], "text", (0, 0), "start"),
        Label((240, 20), words["wanted"], role_of(words["wanted"]), (0, 0), "start"),
    ]
    return [View(words["caption"], marks, 270.0)]


def next_force_to_find(words: Words) -> list[View]:
    """Draw what stays over the force that was pulled with, and go on in a line.

    Words: the ``last`` force, what has ``came`` so far and is ``left``, what ``each``
    further kilonewton brings, and the ``next`` force wanted.
    """
    x, y = 60.0, 62.0
    begins, last, then = 204.0, 264.0, 346.0
    low, high = 112.0, 180.0
    row = y - 20
    marks: list[Mark] = [
        Line([(x, 196), (x, y), (406, y)], "axis"),
        Line([(x, y), (begins, y), (last, low)], "loading"),
        Line([(last, low), (then, high)], "release"),
        Line([(x, high), (406, high)], "wanted"),
        Line([(last, y), (last, low)], "reference"),
        Line([(then, y), (then, high)], "reference"),
        Marker((last, low), "square", "measured"),
        Marker((then, high), "ring", "specified"),
        *dimension((x + 16, y), (x + 16, low)),
        Label((x + 22, 87), words["came"], "text", (0, 0), "start"),
        *dimension((x + 16, low), (x + 16, high)),
        Label((x + 22, 146), words["left"], "text", (0, 0), "start"),
        Label((last + 20, row), words["last"], "text", (0, 0), "end"),
        Label((then, row), words["next"], role_of(words["next"]), (0, 0)),
        Label((x, 16), words["each"], "text", (0, 0), "start"),
    ]
    return [View(words["caption"], marks, 216.0)]


def two_lines_from_above(words: Words, *, over: float) -> list[View]:
    """Draw the line of a pull and the wanted one, both to the left of straight ahead.

    The pull runs further to the left where it is ``over`` the wanted line, above 0.

    Words: ``ahead``, the angle of the ``pull`` and of the ``wanted`` line, and what
    it is ``off``.
    """
    start, long = (60.0, 36.0), 250.0
    low, high = radians(17), radians(34)
    pull, wanted = (high, low) if over > 0 else (low, high)
    ends = {"pull": pull, "wanted": wanted}
    marks: list[Mark] = [
        Line([start, (start[0] + long, start[1])], "reference"),
        Label((start[0] + long, start[1]), words["ahead"], "small text", (0, 14)),
        Arrow(start, towards(start, pull, long), "force pull"),
        Arrow(start, towards(start, wanted, long), "wanted"),
        Line(arc(start, 150.0, low, high), "angle"),
        Marker(start, "square", "measured"),
    ]
    for name, way in ends.items():
        tip = towards(start, way, long)
        marks.append(Label(tip, words[name], "text", (10, 0), "start"))
    at = towards(start, (low + high) / 2, 158)
    marks.append(Label(at, words["off"], role_of(words["off"]), (2, 0), "start"))
    return [View(words["caption"], marks, 200.0)]
