"""Scenes of worked examples: the triangle of forces, the plane of a rig cut twice."""

from __future__ import annotations

from math import cos, pi, sin, tan
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import Arrow, Label, Line, Marker
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.parts import (
    View,
    clamp_and_head,
    dimension,
    ram,
    role_of,
    towards,
)

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Mark, Point
    from workbook.figures.sketches.parts import Words

TALL = 230.0
LEVEL = 34.0  # of the bench, or of the set-out line, over the edge


def force_triangle(
    words: Words, *, ram_angle: float, anchor_angle: float, pull_angle: float
) -> list[View]:
    """Draw the three forces on the head end to end, by their angles from the floor.

    Words: ``ram``, ``pull_leg`` and ``anchor_leg`` along the forces; ``legs``,
    ``ram_and_pull`` and ``ram_and_anchor`` in the corners between them.
    """
    push, pull = sin(anchor_angle + pull_angle), sin(ram_angle + anchor_angle)
    top = (push * cos(ram_angle), push * sin(ram_angle))
    corner = (top[0] - pull * cos(pull_angle), top[1] - pull * sin(pull_angle))
    corners: list[Point] = [(0.0, 0.0), top, corner]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    low, high = min(y for _, y in corners), max(y for _, y in corners)
    scale = min(230 / (right - left), 165 / (high - low))
    middle = (225 - scale * (left + right) / 2, 105 - scale * (low + high) / 2)
    foot, top, corner = (
        (middle[0] + scale * x, middle[1] + scale * y) for x, y in corners
    )
    marks: list[Mark] = [
        *_corner(corner, 30, -anchor_angle, pull_angle, words["legs"]),
        *_corner(top, 58, pi + pull_angle, pi + ram_angle, words["ram_and_pull"]),
        *_corner(foot, 34, ram_angle, pi - anchor_angle, words["ram_and_anchor"]),
        Arrow(foot, top, "force ram"),
        Arrow(top, corner, "force pull"),
        Arrow(corner, foot, "force anchor"),
        _along(foot, top, words["ram"], (12.0, -4.0), "start"),
        _along(top, corner, words["pull_leg"], (-4.0, -16.0), "end"),
        _along(corner, foot, words["anchor_leg"], (-12.0, 6.0), "end"),
    ]
    return [View(words["caption"], marks, TALL)]


def _corner(
    at: Point, radius: float, start: float, end: float, text: str
) -> list[Mark]:
    """Mark a corner of the triangle between two directions, its size inside."""
    if not text:
        return []
    inside = towards(at, (start + end) / 2, radius + 24)
    label = Label(inside, text, "strong text" if "=" in text else "angle text")
    return [Line(arc(at, radius, start, end), "angle"), label]


def _along(tail: Point, tip: Point, text: str, shift: Point, align: str) -> Label:
    middle = ((tail[0] + tip[0]) / 2, (tail[1] + tip[1]) / 2)
    return Label(middle, text, role_of(text), shift, align)


def slope_to_bench(
    words: Words, *, clamp_distance: float, clamp_height: float, head_up: float
) -> list[View]:
    """Draw a rig from the side, and a line from its head to the bench.

    The line is as steep as that from the clamp to the base, so both triangles have one
    shape. Words: ``clamp_height``, ``clamp_distance``, ``head_up``, ``reach``.
    """
    reach = head_up * clamp_distance / clamp_height
    scale = min(300 / (clamp_distance + reach), 110 / head_up)
    base = (92 + scale * clamp_distance, LEVEL + 20)
    clamp = (92.0, base[1] + scale * clamp_height)
    head, end = (base[0], base[1] + scale * head_up), (base[0] + scale * reach, base[1])
    foot = (clamp[0], base[1])
    marks: list[Mark] = [
        Line([(8, base[1]), (412, base[1])], "floor"),
        Line([clamp, base], "line of action"),
        Line([head, end], "line of action"),
        *dimension(foot, clamp, words["clamp_height"], shift=(-8, 0), align="end"),
        *dimension((clamp[0], LEVEL), (base[0], LEVEL), words["clamp_distance"],
                   shift=(0, 14)),
        *dimension((base[0], LEVEL), (end[0], LEVEL), words["reach"], shift=(0, 14)),
        Label((base[0] + 8, (base[1] + head[1]) / 2), words["head_up"], "small text",
              (0, 0), "start"),
        Line([clamp, head], "pull leg"),
        *ram(base, head, letter=(26.0, -9.0)),
        *clamp_and_head(clamp, head, below=False),
    ]  # fmt: skip
    return [View(words["caption"], marks)]


def line_over_bench(
    words: Words, *, fork_distance: float, fork_offset: float, reach: float
) -> list[View]:
    """Draw the line from the base through the anchor from above, as far as it reaches.

    Sideways it is drawn larger. Words: ``fork``, ``offset``, ``reach``, ``shift``.
    """
    line, base = LEVEL + 30, (44.0, LEVEL + 30)
    scale = 310 / max(reach, fork_distance)
    across = 84 / (fork_offset * max(reach / fork_distance, 1.0))
    anchor = (base[0] + scale * fork_distance, line + across * fork_offset)
    end = (base[0] + scale * reach, line + across * fork_offset * reach / fork_distance)
    marks: list[Mark] = [
        Line([(8, line), (412, line)], "reference"),
        *dimension((base[0], line - 16), (anchor[0], line - 16), words["fork"],
                   shift=(0, 14)),
        *dimension((base[0], line - 44), (end[0], line - 44), words["reach"],
                   shift=(0, 14)),
        Line([base, end], "line of action"),
        *dimension((anchor[0], line), anchor, words["offset"], shift=(8, 0),
                   align="start"),
        *dimension((end[0], line), end, words["shift"], shift=(-8, 14), align="end"),
        Marker(base, "disc", "base"),
        Label(base, "B", "strong text", (-14, -10)),
        Marker(anchor, "diamond", "anchor"),
        Label(anchor, "A", "strong text", (0, -15)),
    ]  # fmt: skip
    return [View(words["caption"], marks)]


def two_parts(words: Words, *, angle: float) -> list[View]:
    """Draw a pull and both its parts, along a level line and square to it.

    Words: ``line``, ``angle``, ``chain``, ``along`` and ``across``.
    """
    long = min(250.0, 124 / sin(angle))  # a steep one stays below the caption
    tail, tip = (60.0, 60.0), towards((60.0, 60.0), angle, long)
    foot = (tip[0], tail[1])
    bow = arc(tail, max(84.0, 22 / tan(angle)), 0.0, angle)  # room for its name
    marks: list[Mark] = [
        Line([tail, (400, tail[1])], "reference"),
        Label((400, tail[1]), words["line"], "small text", (0, 14), "end"),
        Arrow(tail, foot, "part"),
        _along(tail, foot, words["along"], (0, 16), "middle"),
        Arrow(foot, tip, "part"),
        _along(foot, tip, words["across"], (10, 0), "start"),
        Line(bow, "angle"),
        Label(bow[12], words["angle"], "angle text", (9, 0), "start"),
        Arrow(tail, tip, "force pull"),
        _along(tail, tip, words["chain"], (-8, -14), "end"),
    ]
    return [View(words["caption"], marks)]
