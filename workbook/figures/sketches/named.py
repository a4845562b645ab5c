"""The parts of one pull by name, from the side and from above."""

from __future__ import annotations

from math import atan2, pi
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Label, Line, Marker, Polygon
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, dimension

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark
    from workbook.figures.sketches.parts import Words

# Names of the glossary that the picture has, in the order in which a pull is built up.
PICTURED = (
    "clamp_point", "pull_leg", "head", "ram", "extension", "base", "anchor_leg",
    "anchor_point", "fork", "fork_slot", "fork_offset", "set_out_line", "side_angle",
    "rise", "lean",
)  # fmt: skip
FLOOR, LINE = 40.0, 84.0  # of the side view, and the set-out line in plan
CLAMP, BASE, HEAD, ANCHOR = (98.0, 96.0), (222.0, FLOOR), (244.0, 190.0), (392.0, FLOOR)
ROD = (226.6, 71.0)  # where the rod comes out of the ram, and the extension begins
SLOTS = (-54.0, -36.0, -18.0, 0.0, 18.0, 36.0, 54.0)  # from the set-out line
ASIDE, OFFSET = 60.0, 36.0  # head and anchor, from the set-out line


def named_parts(words: Words) -> list[View]:
    """Draw one pull with the names of its parts, from the side and from above.

    Words are those of the glossary, by the names that it has for them.
    """
    side = View(words["side"], [*_rig(), *_names(words)], 226.0)
    above = View(words["above"], [*_plan(), *_plan_names(words)], 172.0)
    return [side, above]


def _rig() -> list[Mark]:
    car = [(0.0, 76.0), (86.0, 76.0), (92.0, 84.0), (92.0, 116.0), (66.0, 130.0)]
    level, upright = (CLAMP[0] + 84, CLAMP[1]), (BASE[0], FLOOR + 112)
    rise = atan2(HEAD[1] - CLAMP[1], HEAD[0] - CLAMP[0])
    lean = atan2(HEAD[1] - BASE[1], HEAD[0] - BASE[0])
    x = BASE[0]
    return [
        Line([(4, FLOOR), (416, FLOOR)], "floor"),
        Polygon([*car, (0.0, 130.0)], "body"),
        Line([CLAMP, level], "reference"),
        Line(arc(CLAMP, 60, 0.0, rise), "angle"),
        Line([BASE, upright], "reference"),
        Line(arc(BASE, 92, lean, pi / 2), "angle"),
        Line([CLAMP, HEAD], "pull leg"),
        Line([HEAD, ANCHOR], "anchor leg"),
        Line([BASE, ROD], "ram"),
        Line([ROD, HEAD], "extension"),
        Polygon([(x - 14, FLOOR), (x + 14, FLOOR), (x + 8, 47), (x - 8, 47)], "base"),
        Marker(CLAMP, "square", "clamp"),
        Marker(HEAD, "disc", "head"),
        Marker(ANCHOR, "diamond", "anchor"),
    ]


def _names(words: Words) -> list[Mark]:
    pull_leg = ((CLAMP[0] + HEAD[0]) / 2, (CLAMP[1] + HEAD[1]) / 2)
    anchor_leg = ((HEAD[0] + ANCHOR[0]) / 2, (HEAD[1] + ANCHOR[1]) / 2)
    return [
        Label((88, 60), words["clamp_point"], "strong text"),
        Label((HEAD[0], 207), words["head"], "strong text"),
        Label((BASE[0], 20), words["base"], "strong text"),
        Label((416, 20), words["anchor_point"], "strong text", (0, 0), "end"),
        Label(pull_leg, words["pull_leg"], "text", (-12, -12), "end"),
        Label(anchor_leg, words["anchor_leg"], "text", (12, -10), "start"),
        Label((206, 58), words["ram"], "text", (0, 0), "end"),
        Label((238, 82), words["extension"], "small text", (0, 0), "start"),
        Label((164, 108), words["rise"], "text", (0, 0), "start"),
        Label((214, 133), words["lean"], "text", (0, 0), "end"),
    ]


def _plan() -> list[Mark]:
    clamp, base, head = (98.0, LINE), (222.0, LINE), (244.0, LINE + ASIDE)
    anchor, bar = (392.0, LINE + OFFSET), 392.0
    low, high = LINE - 44, LINE + 44
    car = [(0.0, low), (84.0, low), (92.0, low + 16), (92.0, high), (0.0, high)]
    turn = atan2(head[1] - clamp[1], head[0] - clamp[0])
    return [
        Line([(4, LINE), (416, LINE)], "reference"),
        Polygon(car, "body"),
        Line(arc(clamp, 46, 0.0, turn), "angle"),
        Line([(bar, LINE + SLOTS[0] - 10), (bar, LINE + SLOTS[-1] + 10)], "fork"),
        *(Marker((bar, LINE + slot), "disc", "slot") for slot in SLOTS),
        Line([clamp, head], "pull leg"),
        Line([head, anchor], "anchor leg"),
        Line([base, head], "ram"),
        *dimension((372, LINE), (372, anchor[1])),
        Marker(base, "disc", "base"),
        Marker(clamp, "square", "clamp"),
        Marker(head, "disc", "head"),
        Marker(anchor, "diamond", "anchor"),
    ]


def _plan_names(words: Words) -> list[Mark]:
    return [
        Label((104, LINE), "C", "strong text", (0, 19)),
        Label((222, LINE), "B", "strong text", (0, 19)),
        Label((244, LINE + ASIDE), "H", "strong text", (-18, -2)),
        Label((392, LINE + OFFSET), "A", "strong text", (18, 0)),
        Label((148, LINE + 11), words["side_angle"], "small text", (0, 0), "start"),
        Label((364, LINE + 18), words["fork_offset"], "text", (0, 0), "end"),
        Label((378, LINE - 36), words["fork_slot"], "text", (0, 0), "end"),
        Label((382, LINE + 62), words["fork"], "text", (0, 0), "end"),
        Label((128, LINE), words["set_out_line"], "text", (0, 17), "start"),
    ]
