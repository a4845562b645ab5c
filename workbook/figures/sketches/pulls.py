"""Scenes of pulls on a point: one pull and its parts, two pulls together."""

from __future__ import annotations

from math import pi, sin
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, role_of, towards
from workbook.language import say

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words


def one_pull(words: Words, *, angle: float) -> list[View]:
    """Draw one pull and a part of it, at an angle from the wanted line in plan.

    Words: ``line`` at the end of that line, ``angle``, ``chain``, and ``along`` or
    ``across`` for the part that is drawn.
    """
    marks = _level_line(words, angle, role="wanted")
    return [View(words["caption"], marks)]


def rising_pull(words: Words, *, angle: float) -> list[View]:
    """Draw the same from the side, at an angle from the floor."""
    return [View(words["caption"], _level_line(words, angle, role="floor"))]


def rising_anchor(words: Words, *, angle: float) -> list[View]:
    """Draw an anchor leg in the same way."""
    marks = _level_line(words, angle, role="floor", arrow="force anchor")
    return [View(words["caption"], marks)]


def leaning_pull(words: Words, *, angle: float) -> list[View]:
    """Draw one pull and its level part ``along``, at an angle from the vertical."""
    rise, tail = pi / 2 - angle, (135.0, 40.0)
    tip = towards(tail, rise, min(112.0, 100 / sin(rise)))
    foot, top = (tip[0], tail[1]), (tail[0], 150.0)
    bow = arc(tail, 56, rise, pi / 2)
    along = words["along"]
    marks: list[Mark] = [
        Line([(60, tail[1]), (400, tail[1])], "floor"),
        Label((400, tail[1]), say("sketch", "floor"), "small text", (0, 12), "end"),
        Line([tail, top], "reference"),
        Label(top, words["line"], "small text", (-6, 4), "end"),
        Line([tip, foot], "reference"),
        Arrow(tail, foot, "part"),
        Label(tail, along, role_of(along), (0, 18), "start"),
        Line(bow, "angle"),
        Label(bow[-1], words["angle"], "small text", (-8, 12), "end"),
        *_pull(tail, tip, words["chain"]),
    ]
    return [View(words["caption"], marks)]


def _level_line(
    words: Words, rise: float, *, role: str, arrow: str = "force pull"
) -> list[Mark]:
    tail, end = (40.0, 48.0), (400.0, 48.0)
    tip = towards(tail, rise, min(160.0, 100 / sin(rise)))
    foot = (tip[0], tail[1])
    along, across = words["along"], words["across"]
    parts: list[Mark] = []
    if along:
        parts += [
            Arrow(tail, foot, "part"),
            Label(foot, along, role_of(along), (8, -12), "start"),
        ]
    if across:
        middle = (tip[0], (tip[1] + tail[1]) / 2)
        parts += [
            Arrow(foot, tip, "part"),
            Label(middle, across, role_of(across), (8, 0), "start"),
        ]
    return [
        Line([tail, end], role),
        Label(end, words["line"], "small text", (0, 14), "end"),
        Line([tip, foot], "reference"),
        *parts,
        Line(arc(tail, 46 if rise < 1 else 26, 0.0, rise), "angle"),
        Label(tail, words["angle"], "angle text", (0, 18), "start"),
        *_pull(tail, tip, words["chain"], arrow),
    ]


def _pull(tail: Point, tip: Point, chain: str, role: str = "force pull") -> list[Mark]:
    return [
        Arrow(tail, tip, role),
        Label(tip, chain, role_of(chain), (8, -10), "start"),
    ]


def two_pulls(
    words: Words, *, first: float, second: float, between: float, joint: float
) -> list[View]:
    """Draw two pulls on one point and the line of what they make together.

    The first goes to the right; ``between`` and ``joint`` turn left from it. Words:
    ``first``, ``second``, ``between``, ``joint``, and ``joint_angle`` if it is drawn.
    """
    tail, longest = (120.0, 38.0), 110.0 / max(first, second)
    tip = (tail[0] + longest * first, tail[1])
    other, end = towards(tail, between, longest * second), towards(tail, joint, 86.0)
    back = -40.0 if other[0] < tail[0] else -22.0  # clear of the joint pull's name
    marks: list[Mark] = [
        Line(arc(tail, 30, 0.0, between), "angle"),
        Label(tail, words["between"], "angle text", (-28, 18), "start"),
        Line([tail, end], "line of action"),
        Label(end, words["joint"], role_of(words["joint"]), (8, 0), "start"),
        Arrow(tail, tip, "force pull"),
        Label(tip, words["first"], "text", (10, 0), "start"),
        Arrow(tail, other, "force second"),
        Label(other, words["second"], "text", (back, -16), "start"),
    ]
    if words["joint_angle"]:
        wide = arc(tail, 62, 0.0, joint)
        marks += [
            Line(wide, "angle"),
            Label(wide[12], words["joint_angle"], "strong text", (8, -2), "start"),
        ]
    return [View(words["caption"], marks)]


def three_lines(
    words: Words, *, light: float, between: float, straight: float
) -> list[View]:
    """Draw three pulls from above, each at its angle beside the same wanted line.

    Words: ``line`` and ``bracket`` at the first of them, ``NAME_tension`` and
    ``NAME_off`` below each, and ``wanted`` for what is asked.
    """
    marks: list[Mark] = []
    turned = {"light": light, "between": between, "straight": straight}
    for k, (name, angle) in enumerate(turned.items()):
        tail = (70.0 + 140 * k, 62.0)
        x, y = tail
        tip = towards(tail, pi / 2 - angle, 88.0)
        part = [(x + 30, y - 8), (x + 54, y - 8), (x + 54, y + 14), (x + 30, y + 14)]
        marks += [
            Polygon(part, "body"),
            Line([tail, (x, y + 98)], "wanted"),
            Line(arc(tail, 60, pi / 2 - angle, pi / 2), "angle"),
            Arrow(tail, tip, "force pull"),
            Marker(tail, "square", "clamp"),
            Label((x, y), words[f"{name}_tension"], "small text", (0, 17)),
            Label((x, y), words[f"{name}_off"], "small text", (0, 31)),
        ]
    marks += [
        Label((70, 152), words["line"], "small text", (-6, 0), "end"),
        Label((112, 76), words["bracket"], "small text", (0, -8)),
        Label((210, 11), words["wanted"], "strong text", (0, 0)),
    ]
    return [View(words["caption"], marks)]
