"""Scenes of a body on its clamps: a pull off the centre-line, a pull that rises."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker, Polygon
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, dimension, role_of, towards

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark
    from workbook.figures.sketches.parts import Words


def pull_off_centre(words: Words) -> list[View]:
    """Draw a body on four clamps from above, and a pull left of its centre-line.

    Words: ``pull``, ``offset``, ``width``; ``clamp`` beside a left one, ``moment``.
    """
    rear, front, left, right, middle, hook = 92.0, 184.0, 150.0, 34.0, 92.0, 128.0
    body = [(70.0, 38.0), (210.0, 38.0), (210.0, 146.0), (70.0, 146.0)]
    clamp, moment = words["clamp"], words["moment"]
    marks: list[Mark] = [
        Polygon(body, "body"),
        Line([(40, middle), (412, middle)], "reference"),
        Line([(210, 52), (210, 132)], "sill"),
        *(
            Marker((x, y), "square", "support")
            for x in (rear, front)
            for y in (left, right)
        ),
        Line([(210, hook), (238, hook)], "sill"),
        Arrow((238, hook), (332, hook), "force pull"),
        Marker((238, hook), "square", "clamp"),
        Label((254, hook), words["pull"], role_of(words["pull"]), (0, -17), "start"),
        *dimension((272, middle), (272, hook - 4)),
        Label((272, 108), words["offset"], "text", (8, 0), "start"),
        *dimension((44, right), (44, left)),
        Label((8, right), words["width"], "text", (0, 19), "start"),
        Label((front, left), clamp, role_of(clamp), (-6, 17)),
        Label((104, 108), moment, role_of(moment), (0, 0), "start"),
    ]
    return [View(words["caption"], [m for m in marks if getattr(m, "text", "x")])]


def pull_ahead_of_clamps(words: Words, *, rise: float) -> list[View]:
    """Draw a body on two pairs of clamps from the side, and a rising pull ahead.

    Words: ``tension``, ``rise``, ``ahead``, ``spacing``, ``lift``.
    """
    floor, high, rear, front, hook = 40.0, 84.0, 40.0, 224.0, (326.0, 84.0)
    body = [(22.0, 76.0), (262.0, 76.0), (262.0, 92.0), (22.0, 92.0)]
    lift = words["lift"]
    marks: list[Mark] = [
        Line([(8, floor), (412, floor)], "floor"),
        Polygon(body, "body"),
        Line([(262, high), hook], "sill"),
        *(Line([(x, floor), (x, high)], "stand") for x in (rear, front)),
        *(Marker((x, high), "square", "support") for x in (rear, front)),
        Line([hook, (hook[0] + 80, hook[1])], "reference"),
        Arrow(hook, towards(hook, rise, 84.0), "force pull"),
        Line(arc(hook, 58, 0.0, rise), "angle"),
        Label(
            towards(hook, rise / 2, 58.0), words["rise"], "angle text", (8, 0), "start"
        ),
        Marker(hook, "square", "clamp"),
        Label(
            towards(hook, rise, 84.0),
            words["tension"],
            role_of(words["tension"]),
            (-14, -14),
            "end",
        ),
        Label((front, 92), lift, role_of(lift), (0, -16)),
        *dimension((rear, 24), (front, 24)),
        Label(((rear + front) / 2, 24), words["spacing"], "text", (0, 14)),
        *dimension((front, 24), (hook[0], 24)),
        Label(((front + hook[0]) / 2, 24), words["ahead"], "text", (0, 14)),
    ]
    return [View(words["caption"], [m for m in marks if getattr(m, "text", "x")])]


def four_layouts(words: Words, **sizes: float) -> list[View]:
    """Draw four ways to hold a body from above, and the pull beside their middle.

    Sizes are ``NAME_width`` across and ``NAME_offset`` to the left. Words: the same
    below each layout, ``pull`` at the first, and ``wanted`` for what is asked.
    """
    px, middle = 47.0, 96.0  # of a metre; of the height
    views = []
    for pair in (("many", "wide"), ("near", "between")):
        marks: list[Mark] = []
        for k, name in enumerate(pair):
            at = 210.0 * k
            half = px * sizes[f"{name}_width"] / 2
            hook = (at + 138, middle + px * sizes[f"{name}_offset"])
            rows = (52.0, 88.0, 124.0) if name == "many" else (56.0, 120.0)
            body = [(at + x, middle + y) for x, y in ((40, -44), (138, -44))]
            body += [(x, 2 * middle - y) for x, y in body[::-1]]
            marks += [
                Polygon(body, "body"),
                Line([(at + 24, middle), (at + 200, middle)], "reference"),
                *(
                    Marker((at + x, middle + way * half), "square", "support")
                    for x in rows
                    for way in (1, -1)
                ),
                Arrow(hook, (hook[0] + 52, hook[1]), "force pull"),
                Marker(hook, "square", "clamp"),
                Label((at + 105, 38), words[f"{name}_width"], "small text", (0, 0)),
                Label((at + 105, 24), words[f"{name}_offset"], "small text", (0, 0)),
            ]
        first = pair[0] == "many"
        marks.append(
            Label((148, 80), words["pull"], "text", (0, 0), "start")
            if first
            else Label((210, 10), words["wanted"], "strong text", (0, 0))
        )
        views.append(View(words["caption"] if first else "", marks, 164.0))
    return views
