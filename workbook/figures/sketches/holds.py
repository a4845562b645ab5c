"""Scenes of holding: levers, a floor redirect, a lift, hold-downs, four hold places."""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, dimension, role_of, towards

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark
    from workbook.figures.sketches.parts import Words

FLOOR, BEAM = 34.0, 96.0
ABOVE = (0.0, -11.0)  # px, a measure's name over it


def _beam(left: float, right: float, *, up: float = 0.0) -> list[Mark]:
    low, floor = BEAM + up, FLOOR + up
    box = [(left, low), (right, low), (right, low + 14), (left, low + 14)]
    return [Line([(8, floor), (412, floor)], "floor"), Polygon(box, "body")]


def _turning_point(x: float, *, up: float = 0.0) -> list[Mark]:
    top, floor = BEAM + up, FLOOR + up
    foot = [(x, top), (x + 14, floor), (x - 14, floor)]
    return [Polygon(foot, "support"), Marker((x, top), "disc", "clamp")]


def lever_hold(words: Words) -> list[View]:
    """Draw a body from the side on its turning point, pulled down and held.

    Words: ``pull`` and its ``arm``, ``hold`` wanted and its ``hold_arm``, ``turns``.
    """
    pivot, hook, back = 186.0, 276.0, 40.0
    marks: list[Mark] = [
        *_beam(20, 296),
        *_turning_point(pivot),
        Arrow((hook, BEAM), (hook, 46), "force pull"),
        Label((hook + 8, 66), words["pull"], role_of(words["pull"]), (0, 0), "start"),
        Arrow((back, BEAM), (back, 46), "force second"),
        Label((back + 10, 66), words["hold"], role_of(words["hold"]), (0, 0), "start"),
        *dimension((pivot, 128), (hook, 128), words["arm"], shift=ABOVE),
        *dimension((back, 150), (pivot, 150), words["hold_arm"], shift=ABOVE),
        Label((pivot, 18), words["turns"], "small text", (0, 0)),
    ]
    return [View(words["caption"], marks, 190.0)]


def redirect_between(words: Words, *, between: float) -> list[View]:
    """Draw a chain over a floor pulley, its runs as far apart as they are.

    Words: ``tension`` at each run, ``between`` them, the ``load`` wanted.
    """
    pulley, long, bow = (210.0, FLOOR + 10), 124.0, 44.0
    ways = (pi / 2 + between / 2, pi / 2 - between / 2)
    marks: list[Mark] = [
        Line([(8, FLOOR), (412, FLOOR)], "floor"),
        *(Line([pulley, towards(pulley, way, long)], "pull leg") for way in ways),
        Line(arc(pulley, bow, ways[1], ways[0]), "angle"),
        Marker(pulley, "ring", "head"),
        Marker((pulley[0], FLOOR), "diamond", "anchor"),
        Label((pulley[0], 14), words["load"], role_of(words["load"]), (0, 0)),
        Label((pulley[0], pulley[1] + bow), words["between"], "angle text", (0, -12)),
    ]
    for way in ways:
        end = towards(pulley, way, long)
        at = (end[0], end[1] + 12)
        marks.append(Label(at, words["tension"], "small text", (0, 0)))
    return [View(words["caption"], marks, 200.0)]


def net_lift(words: Words, *, rise: float) -> list[View]:
    """Draw a body from the side, a rising chain at its front, and the weight there.

    Words: ``tension``, ``rise``, ``weight``, and the ``lift`` wanted.
    """
    hook = (236.0, BEAM + 7)
    tip = (hook[0] + 96 * cos(rise), hook[1] + 96 * sin(rise))
    marks: list[Mark] = [
        *_beam(30, hook[0]),
        Line([hook, (hook[0] + 112, hook[1])], "reference"),
        Line(arc(hook, 58, 0.0, rise), "angle"),
        Arrow(hook, tip, "force pull"),
        Label(
            (tip[0], tip[1] + 14),
            words["tension"],
            role_of(words["tension"]),
            (0, 0),
        ),
        Label((hook[0] + 66, hook[1]), words["rise"], "angle text", (0, -11), "start"),
        Arrow((196, BEAM), (196, 46), "force resultant"),
        Label((206, 66), words["weight"], "text", (0, 0), "start"),
        Marker(hook, "square", "clamp"),
        Label((120, 140), words["lift"], role_of(words["lift"]), (0, 0)),
    ]
    return [View(words["caption"], marks, 210.0)]


def two_hold_downs(words: Words) -> list[View]:
    """Draw a body from the side, pushed up by a jack between two hold-downs.

    Words: ``push``, the distances ``near_by`` and ``far_off``, and ``near`` wanted.
    """
    jack, near, far = 250.0, 340.0, 70.0
    marks: list[Mark] = [
        *_beam(50, 360),
        Line([(jack, FLOOR), (jack, BEAM)], "ram"),
        *(Line([(x, FLOOR), (x, BEAM)], "second leg") for x in (near, far)),
        *(Marker((x, FLOOR), "diamond", "anchor") for x in (near, far)),
        Label((jack - 10, 66), words["push"], "text", (0, 0), "end"),
        Label((near + 8, 66), words["near"], role_of(words["near"]), (0, 0), "start"),
        *dimension((jack, 128), (near, 128), words["near_by"], shift=ABOVE),
        *dimension((far, 128), (jack, 128), words["far_off"], shift=ABOVE),
    ]
    return [View(words["caption"], marks, 170.0)]


def four_holds(words: Words) -> list[View]:
    """Draw a body with four places to hold, one leaning and one on bent metal.

    Words: ``pull``, ``arm``; ``close``, ``square``, ``leaning``, ``soft`` below each
    place; ``bent`` over the last; ``wanted``.
    """
    pivot, hook = 300.0, 372.0
    places = {"close": 240.0, "square": 172.0, "leaning": 124.0, "soft": 34.0}
    up = 14.0  # for the names below the floor
    low, floor = BEAM + up, FLOOR + up
    wavy = [(14, low), (30, low + 6), (44, low - 2), (60, low + 6), (60, low + 14)]
    wavy += [(44, low + 8), (30, low + 20), (14, low + 12)]
    marks: list[Mark] = [
        *_beam(60, 388, up=up),
        Polygon(wavy, "body"),
        *_turning_point(pivot, up=up),
        Arrow((hook, low), (hook, 50 + up), "force pull"),
        Label((hook - 14, 66 + up), words["pull"], "text", (0, 0), "end"),
        *dimension((pivot, 128 + up), (hook, 128 + up), words["arm"], shift=ABOVE),
        Label((34, 130 + up), words["bent"], "small text", (0, 0)),
        Label((180, 140 + up), words["wanted"], "strong text", (0, 0)),
    ]
    rows = {"close": 21.0, "square": 8.0, "leaning": 21.0, "soft": 34.0}
    for name, x in places.items():
        foot = (x - 36, floor) if name == "leaning" else (x, floor)
        at, align = (foot[0], rows[name]), "middle"
        if name == "soft":
            at, align = (4.0, rows[name]), "start"
        marks += [
            Line([(x, low), foot], "second leg"),
            Marker(foot, "diamond", "anchor"),
            Label(at, words[name], "small text", (0, 0), align),
        ]
    return [View(words["caption"], marks, 190.0)]
