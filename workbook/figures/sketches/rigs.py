"""Scenes of the upright rig: ram, head, clamp and anchor from the side."""

from __future__ import annotations

from math import atan2, pi, radians, tan
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import (
    View,
    clamp_and_head,
    dimension,
    hung,
    ram,
    role_of,
)

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words

TYPICAL = {"ram": radians(70), "anchor": radians(50), "pull": radians(18)}
FLOOR, HIGH, HEAD = 44.0, 96.0, (231.0, 140.0)


def rig(words: Words, *, ram: float, anchor: float, pull: float) -> list[View]:
    """Draw base B, head H, clamp C and anchor A, with three angles from the floor.

    Words: ``ram``, ``anchor`` and ``pull`` for the angles of ram, anchor leg and pull
    leg, ``pull_leg`` and ``anchor_leg`` along the legs, ``above`` at the head,
    ``beside_ram`` along the ram.
    """
    return [View(words["caption"], _rig(words, ram, anchor, pull))]


def typical_rig(words: Words) -> list[View]:
    """Draw the rig with angles that tell nothing of the question's."""
    return rig(words, **TYPICAL)


def slack_rig(words: Words) -> list[View]:
    """Draw the rig with angles that tell nothing, and its pull leg slack."""
    marks = _rig(words, *TYPICAL.values(), slack=True)
    return [View(words["caption"], marks)]


def _rig(
    words: Words,
    ram_angle: float,
    anchor_angle: float,
    pull_angle: float,
    *,
    slack: bool = False,
) -> list[Mark]:
    head = HEAD
    base = (head[0] - HIGH / tan(ram_angle), FLOOR)
    anchor = (head[0] + HIGH / tan(anchor_angle), FLOOR)
    clamp = (head[0] - 115.0, head[1] - 115 * tan(pull_angle))
    leg = hung(clamp, head, 16.0) if slack else [clamp, head]
    return [
        Line([(8, FLOOR), (412, FLOOR)], "floor"),
        *_floor_angles(words, base, ram_angle, anchor, anchor_angle),
        *_level_angle(clamp, pull_angle, words["pull"]),
        Line(leg, "pull leg"),
        Line([head, anchor], "anchor leg"),
        *ram(base, head),
        *clamp_and_head(clamp, head, below=True),
        Marker(anchor, "diamond", "anchor"),
        Label(anchor, "A", "strong text", (9, -13), "start"),
        *_names(words, clamp, base, anchor),
    ]


def _names(words: Words, clamp: Point, base: Point, anchor: Point) -> list[Mark]:
    """Name the two legs, and what there is at the head and along the ram."""
    middle = ((clamp[0] + HEAD[0]) / 2, (clamp[1] + HEAD[1]) / 2)
    half = ((HEAD[0] + anchor[0]) / 2, (HEAD[1] + anchor[1]) / 2)
    low = (base[0] + 0.3 * (HEAD[0] - base[0]), FLOOR + 0.3 * HIGH)
    pull_leg, anchor_leg = words["pull_leg"], words["anchor_leg"]
    labels = [
        Label(middle, pull_leg, role_of(pull_leg), (-6, -15), "end"),
        Label(half, anchor_leg, role_of(anchor_leg), (9, -6), "start"),
        Label((HEAD[0] - 26, HEAD[1]), words["above"], "text", (0, -20), "start"),
        Label(low, words["beside_ram"], "strong text", (-10, 0), "end"),
    ]
    return [label for label in labels if label.text]


def _floor_angles(
    words: Words, base: Point, ram_angle: float, anchor: Point, anchor_angle: float
) -> list[Mark]:
    """Mark ram and anchor leg from the floor, their names side by side below it."""
    right = min(anchor[0] - 10, 303.0)
    left = min(base[0] + 12, right - 12)
    if not (words["ram"] and words["anchor"]):
        return []
    return [
        Line(arc(base, 34, 0.0, ram_angle), "angle"),
        Label((left, base[1]), words["ram"], "angle text", (0, 18), "end"),
        Line(arc(anchor, 30, pi - anchor_angle, pi), "angle"),
        Label((right, base[1]), words["anchor"], "angle text", (0, 18), "start"),
    ]


def _level_angle(clamp: Point, angle: float, text: str) -> list[Mark]:
    """Mark the pull leg from the level at the clamp, named left of it."""
    if not text:
        return []
    return [
        Line([clamp, (clamp[0] + 74, clamp[1])], "reference"),
        Line(arc(clamp, 58, 0.0, angle), "angle"),
        Label(clamp, text, "small text", (-11, 0), "end"),
    ]


def heights(words: Words) -> list[View]:
    """Draw an upright ram beside a clamp with their heights and distance.

    Words: ``head_height``, ``clamp_height``, ``distance``, ``angle`` of the pull leg,
    ``raised`` for what an extension adds, ``tension`` and ``forward`` for the pull
    and its level part.
    """
    raised, forward = words["raised"], words["forward"]
    floor, far = 46.0, 265.0
    clamp, old, top = (165.0, 92.0), (far, 116.0), 160.0
    head = (far, top)
    base, angle = (far, floor), atan2(top - clamp[1], far - clamp[0])
    measured = (old if raised else head)[1]
    up, low = words["head_height"], words["clamp_height"]
    marks: list[Mark] = [
        Line([(8, floor), (412, floor)], "floor"),
        *(_before(clamp, old, top, raised) if raised else []),
        Line([head, (287, top)], "reference"),
        *dimension((283, floor), (283, measured), up, shift=(6, 0), align="start"),
        Line([clamp, (140, clamp[1])], "reference"),
        *dimension((144, floor), (144, clamp[1]), low, shift=(-8, 0), align="end"),
        *dimension((clamp[0], 25), (far, 25), words["distance"], shift=(0, 13)),
        Line([clamp, (far - 8, clamp[1])], "reference"),
        Line(arc(clamp, 52, 0.0, angle), "angle"),
        Label(clamp, words["angle"], "small text", *_beside_level(forward)),
        Line([clamp, head], "pull leg"),
        *_forward_part(clamp, head, words["tension"], forward),
        *ram(base, head, joint=old if raised else None, letter=(-15, 11)),
        *clamp_and_head(clamp, head, below=False),
    ]
    return [View(words["caption"], marks)]


def _before(clamp: Point, old: Point, top: float, raised: str) -> list[Mark]:
    """Draw where the pull leg ran before an extension raised the head."""
    return [
        Line([clamp, old], "ghost"),
        Line([old, (287, old[1])], "reference"),
        *dimension((283, old[1]), (283, top), raised, shift=(6, 0), align="start"),
    ]


def _beside_level(forward: str) -> tuple[Point, str]:
    """Return where the angle is named: below the level, unless a part is drawn."""
    return ((-8, -20), "end") if forward else ((10, 14), "start")


def _forward_part(clamp: Point, head: Point, tension: str, forward: str) -> list[Mark]:
    if not forward:
        return []
    middle = ((clamp[0] + head[0]) / 2, (clamp[1] + head[1]) / 2)
    return [
        Label(middle, tension, role_of(tension), (-8, -12), "end"),
        Arrow(clamp, (clamp[0] + 84, clamp[1]), "part"),
        Label(clamp, forward, "strong text", (10, 16), "start"),
    ]


def to_set_out(words: Words) -> list[View]:
    """Draw a leaning ram that is to be set out otherwise.

    Words: ``clamp_height``, ``clamp_distance``, ``above`` for the ram's force, ``now``
    for the rise there is, ``wanted``; below ``ram`` and ``limits``.
    """
    floor, clamp, base = 86.0, (176.0, 124.0), (300.0, 86.0)
    head, anchor = (320.0, 172.0), (396.0, 86.0)
    joint = ((base[0] + head[0]) / 2, (floor + head[1]) / 2)
    rise = atan2(head[1] - clamp[1], head[0] - clamp[0])
    up, level = (34.0, clamp[1]), (clamp[0], 64.0)
    marks: list[Mark] = [
        Line([(8, floor), (412, floor)], "floor"),
        Line([clamp, up], "reference"),
        *dimension((34, floor), up, words["clamp_height"], shift=(7, 0), align="start"),
        *dimension(level, (base[0], 64), words["clamp_distance"], shift=(0, 13)),
        Label((412, 200), words["above"], "small text", (0, 0), "end"),
        Line([clamp, (clamp[0] + 90, clamp[1])], "reference"),
        Line(arc(clamp, 70, 0.0, rise), "angle"),
        Label((150, 156), words["now"], "small text", (0, 0), "end"),
        Label((8, 200), words["wanted"], "strong text", (0, 0), "start"),
        Line([clamp, head], "pull leg"),
        Line([head, anchor], "anchor leg"),
        *ram(base, head, joint=joint, letter=(20, 9)),
        *clamp_and_head(clamp, head, below=False),
        Marker(anchor, "diamond", "anchor"),
        Label(anchor, "A", "strong text", (0, -15)),
        Label((8, 32), words["ram"], "small text", (0, 0), "start"),
        Label((8, 14), words["limits"], "small text", (0, 0), "start"),
    ]
    return [View(words["caption"], marks, 230.0)]
