"""Scenes of a rig whose anchor sits off the set-out line."""

from __future__ import annotations

from math import atan2
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Label, Line, Marker
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import View, clamp_and_head, dimension, ram
from workbook.language import say

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark
    from workbook.figures.sketches.parts import Words

OUT = 200.0  # pixels for a metre that the head stands outward


def slot_from_above(words: Words, *, head_out: float) -> list[View]:
    """Draw a rig in plan whose anchor is moved to the left of the set-out line.

    Words: ``clamp_distance``, ``out`` for the head, ``offset`` for the anchor,
    ``shift`` for the head sideways, ``fork`` and ``side_angle`` if they are drawn.
    """
    line, out = 72.0, 225.0 + OUT * head_out
    clamp, base, head, anchor = (64.0, line), (225.0, line), (out, 132.0), (392.0, 96.0)
    marks: list[Mark] = [
        Line([(8, line), (412, line)], "reference"),
        Label((8, line), say("sketch", "set_out_line"), "small text", (0, 15), "start"),
    ]
    if words["fork"]:
        marks += dimension((225, 38), (392, 38), words["fork"], shift=(0, 15))
    if words["side_angle"]:
        turn = atan2(head[1] - line, head[0] - clamp[0])
        marks += [
            Line(arc(clamp, 50, 0.0, turn), "angle"),
            Label(clamp, words["side_angle"], "strong text", (55, -10), "start"),
        ]
    marks += [
        *dimension((64, 38), (225, 38), words["clamp_distance"], shift=(0, 15)),
        Line([head, (out, line)], "reference"),
        Label((max(out, 225.0), 84), words["shift"], "small text", (9, 0), "start"),
        Line([base, (225, 152)], "reference"),
        *dimension((225, 152), (out, 152), words["out"], shift=(0, -12)),
        *dimension((392, line), anchor, words["offset"], shift=(24, 29), align="end"),
        Line([clamp, head], "pull leg"),
        Line([head, anchor], "anchor leg"),
        Line([base, head], "ram"),
        Marker(base, "disc", "base"),
        Label(base, "B", "strong text", (-4, 18)),
        *clamp_and_head(clamp, head, below=False),
        Marker(anchor, "diamond", "anchor"),
        Label(anchor, "A", "strong text", (14, -8)),
    ]
    return [View(words["caption"], marks)]


def slot(words: Words, *, head_out: float) -> list[View]:
    """Draw it from the side and from above; ``clamp_height`` and ``head_up`` too."""
    floor, out = 14.0, 225.0 + OUT * head_out
    clamp, base, head, anchor = (
        (64.0, 54.0),
        (225.0, floor),
        (out, 116.0),
        (392.0, floor),
    )
    up = words["clamp_height"]
    side: list[Mark] = [
        Line([(8, floor), (412, floor)], "floor"),
        *dimension((64, floor), clamp, up, shift=(9, 0), align="start"),
        Line([head, (288, head[1])], "reference"),
        *dimension((284, floor), (284, head[1])),
        Label((284, 108), words["head_up"], "small text", (5, 0), "start"),
        Line([clamp, head], "pull leg"),
        Line([head, anchor], "anchor leg"),
        *ram(base, head),
        *clamp_and_head(clamp, head, below=False),
        Marker(anchor, "diamond", "anchor"),
        Label(anchor, "A", "strong text", (11, -13)),
    ]
    above = slot_from_above(words, head_out=head_out)
    return [View(words["caption_side"], side, 145.0), *above]


def slot_to_set_out(words: Words) -> list[View]:
    """Draw a rig in plan with its fork, the anchor leg in the middle slot.

    Words: ``clamp_distance``, ``fork``, ``clamp_height``, ``ram``, ``above`` for its
    force, ``wanted``; below ``limits``.
    """
    line = 108.0
    clamp, base, head, anchor = (
        (64.0, line),
        (225.0, line),
        (250.0, line),
        (376.0, line),
    )
    slots = [(anchor[0], line + 16.0 * k) for k in range(-2, 3)]
    marks: list[Mark] = [
        Line([(8, line), (412, line)], "reference"),
        Label((8, line), say("sketch", "set_out_line"), "small text", (0, 18), "start"),
        *dimension((64, 62), (225, 62), words["clamp_distance"], shift=(0, 13)),
        *dimension((225, 62), (376, 62), words["fork"], shift=(0, 13)),
        Line([slots[0], slots[-1]], "fork"),
        *(Marker(slot, "ring", "slot") for slot in slots),
        Line([clamp, head], "pull leg"),
        Line([head, anchor], "anchor leg"),
        Line([base, head], "ram"),
        Marker(base, "disc", "base"),
        Label(base, "B", "strong text", (-4, 18)),
        Marker(clamp, "square", "clamp"),
        Label(clamp, "C", "strong text", (-18, -6)),
        Marker(head, "disc", "head"),
        Label(head, "H", "strong text", (0, -18)),
        Marker(anchor, "diamond", "anchor"),
        Label(anchor, "A", "strong text", (18, -8)),
        Label((8, 186), words["wanted"], "strong text", (0, 0), "start"),
        Label((8, 166), words["ram"], "small text", (0, 0), "start"),
        Label((8, 147), words["clamp_height"], "small text", (0, 0), "start"),
        Label((412, 186), words["above"], "small text", (0, 0), "end"),
        Label((8, 16), words["limits"], "small text", (0, 0), "start"),
    ]
    return [View(words["caption"], marks, 214.0)]
