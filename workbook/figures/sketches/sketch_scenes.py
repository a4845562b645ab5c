"""The scenes of the exercises' sketches, each drawn once for all that share it.

Coordinates are pixels of the sheet, y up. A scene takes the words of its labels
and the angles it is drawn with; what stands where is told by the exercise.
"""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin, tan
from typing import TYPE_CHECKING

from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    Label,
    Line,
    Mark,
    Marker,
    Panel,
    Point,
    Polygon,
    Sheet,
    arc,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDTH, HEIGHT = 420.0, 190.0
TRUE_ANGLES = "angles as given, lengths not to scale"
NOT_TO_SCALE = "not to scale"
FROM_ABOVE = "from above, not to scale"


def sheet(*views: tuple[str, Sequence[Mark], float], text: str) -> Sheet:
    """Return a sheet of views below one another: caption, marks and height of each."""
    panels, top = [], 0.0
    for caption, marks, height in views:
        window = (0.0, WIDTH, 0.0, height)
        drawing = Drawing(caption=caption, window=window, moving=marks)
        panels.append(
            Panel(drawing=drawing, left=0, top=top, width=WIDTH, height=height)
        )
        top += height
    return Sheet(panels=panels, width=WIDTH, height=top, text=text)


def dimension(
    start: Point,
    end: Point,
    text: str = "",
    *,
    shift: Point = (0.0, 13.0),
    align: str = "middle",
) -> list[Mark]:
    """Return a measure between two points: a line with end strokes, and its name."""
    (x, y), (u, v) = start, end
    long = hypot(u - x, v - y)
    if long == 0:  # nothing to measure, but it is named all the same
        return [Label(start, text, "small text", shift, align)]
    across = (-4 * (v - y) / long, 4 * (u - x) / long)
    strokes = [
        Line([(p - across[0], q - across[1]), (p + across[0], q + across[1])], "angle")
        for p, q in (start, end)
    ]
    middle = ((x + u) / 2, (y + v) / 2)
    name = [Label(middle, text, "small text", shift, align)] if text else []
    return [Line([start, end], "angle"), *strokes, *name]


def _role(text: str) -> str:
    """Return the role of a name: what is wanted stands out."""
    return "strong text" if "?" in text else "text"


def _towards(start: Point, angle: float, length: float) -> Point:
    return start[0] + length * cos(angle), start[1] + length * sin(angle)


def one_pull(
    angle: float,
    *,
    line: str,
    angle_text: str,
    chain: str,
    along: str = "",
    across: str = "",
    from_vertical: bool = False,
) -> list[Mark]:
    """Draw one pull and a part of it, at an angle from a level or a vertical line.

    Parameters
    ----------
    angle : float
        Angle of the pull from the reference line. [rad]
    line, angle_text, chain : str
        Names of the reference line, the angle and the pull.
    along, across : str
        Names of the level part and of the part across it; empty leaves it out.
    from_vertical : bool
        Whether the reference line stands up.
    """
    rise = pi / 2 - angle if from_vertical else angle
    tail = (135.0, 40.0) if from_vertical else (40.0, 48.0)
    long = min(112.0 if from_vertical else 160.0, 100 / sin(rise))
    tip = _towards(tail, rise, long)
    foot = (tip[0], tail[1])
    marks: list[Mark] = [Line([tip, foot], "reference")]
    if along:
        under = Label(tail, along, _role(along), (0, 18), "start")
        beyond = Label(foot, along, _role(along), (8, -12), "start")
        marks += [Arrow(tail, foot, "part"), under if from_vertical else beyond]
    if across:
        middle = (tip[0], (tip[1] + tail[1]) / 2)
        marks += [
            Arrow(foot, tip, "part"),
            Label(middle, across, _role(across), (8, 0), "start"),
        ]
    return [
        *_reference(tail, line, from_vertical=from_vertical),
        *marks,
        *_off_reference(tail, rise, angle_text, from_vertical=from_vertical),
        Arrow(tail, tip, "force pull"),
        Label(tip, chain, _role(chain), (8, -10), "start"),
    ]


def _reference(tail: Point, name: str, *, from_vertical: bool) -> list[Mark]:
    """Draw the line an angle is measured from, with its name at its end."""
    if from_vertical:
        top = (tail[0], 150.0)
        return [
            Line([(60, tail[1]), (400, tail[1])], "floor"),
            Label((400, tail[1]), "floor", "small text", (0, 12), "end"),
            Line([tail, top], "reference"),
            Label(top, name, "small text", (-6, 4), "end"),
        ]
    end = (400.0, tail[1])
    role = "floor" if name == "floor" else "wanted"
    return [
        Line([tail, end], role),
        Label(end, name, "small text", (0, 14), "end"),
    ]


def _off_reference(
    tail: Point, rise: float, text: str, *, from_vertical: bool
) -> list[Mark]:
    if from_vertical:
        bow = arc(tail, 56, rise, pi / 2)
        return [Line(bow, "angle"), Label(bow[-1], text, "small text", (-8, 12), "end")]
    bow = arc(tail, 46 if rise < 1 else 26, 0.0, rise)
    return [Line(bow, "angle"), Label(tail, text, "angle text", (0, 18), "start")]


def two_pulls(
    between: float,
    joint: float,
    *,
    names: tuple[str, str],
    sizes: tuple[float, float],
    between_text: str,
    joint_text: str,
    joint_angle_text: str = "",
) -> list[Mark]:
    """Draw two pulls on one point and the line of what they make together.

    The first goes to the right; ``between`` and ``joint`` turn left from it. [rad]
    """
    tail, longest = (120.0, 38.0), 110.0
    first, second = (longest * size / max(sizes) for size in sizes)
    tip, other = (tail[0] + first, tail[1]), _towards(tail, between, second)
    end = _towards(tail, joint, 86.0)
    bow = arc(tail, 30, 0.0, between)
    back = -40.0 if other[0] < tail[0] else -22.0  # clear of the joint pull's name
    marks: list[Mark] = [
        Line(bow, "angle"),
        Label(tail, between_text, "angle text", (-28, 18), "start"),
        Line([tail, end], "line of action"),
        Label(end, joint_text, _role(joint_text), (8, 0), "start"),
        Arrow(tail, tip, "force pull"),
        Label(tip, names[0], "text", (10, 0), "start"),
        Arrow(tail, other, "force second"),
        Label(other, names[1], "text", (back, -16), "start"),
    ]
    if joint_angle_text:
        wide = arc(tail, 62, 0.0, joint)
        marks += [
            Line(wide, "angle"),
            Label(wide[12], joint_angle_text, "strong text", (8, -2), "start"),
        ]
    return marks


def rig(
    angles: tuple[float, float, float],
    *,
    angle_texts: tuple[str, str, str] = ("", "", ""),
    pull_leg: str,
    anchor_leg: str,
    above: str = "",
    beside_ram: str = "",
    slack: bool = False,
) -> list[Mark]:
    """Draw the upright rig: base B, head H, clamp C, anchor A, and three angles.

    ``angles`` are those of ram, anchor leg and pull leg from the floor [rad].
    ``above`` names something at the head, ``beside_ram`` something along the ram;
    a pull leg with ``slack`` hangs.
    """
    ram_angle, anchor_angle, pull_angle = angles
    ram_angle_text, anchor_angle_text, pull_angle_text = angle_texts
    floor, high = 44.0, 96.0
    head = (231.0, floor + high)
    base = (head[0] - high / tan(ram_angle), floor)
    anchor = (head[0] + high / tan(anchor_angle), floor)
    clamp = (head[0] - 115.0, head[1] - 115 * tan(pull_angle))
    leg = hung(clamp, head, 16.0) if slack else [clamp, head]
    middle = ((clamp[0] + head[0]) / 2, (clamp[1] + head[1]) / 2)
    half = ((head[0] + anchor[0]) / 2, (head[1] + anchor[1]) / 2)
    names: list[Mark] = [
        Label(middle, pull_leg, _role(pull_leg), (-6, -15), "end"),
        Label(half, anchor_leg, _role(anchor_leg), (9, -6), "start"),
        Label((head[0] - 26, head[1]), above, "text", (0, -20), "start"),
        Label(
            (base[0] + 0.3 * (head[0] - base[0]), floor + 0.3 * high),
            beside_ram,
            "strong text",
            (-10, 0),
            "end",
        ),
    ]
    return [
        Line([(8, floor), (412, floor)], "floor"),
        *_floor_angles(
            base, ram_angle, ram_angle_text, anchor, anchor_angle, anchor_angle_text
        ),
        *_level_angle(clamp, pull_angle, pull_angle_text),
        Line(leg, "pull leg"),
        Line([head, anchor], "anchor leg"),
        *ram(base, head),
        *clamp_and_head(clamp, head, below=True),
        Marker(anchor, "diamond", "anchor"),
        Label(anchor, "A", "strong text", (9, -13), "start"),
        *(label for label in names if isinstance(label, Label) and label.text),
    ]


def _floor_angles(
    base: Point,
    ram_angle: float,
    ram_text: str,
    anchor: Point,
    anchor_angle: float,
    anchor_text: str,
) -> list[Mark]:
    """Mark ram and anchor leg from the floor, their names side by side below it."""
    right = min(anchor[0] - 10, 303.0)
    left = min(base[0] + 12, right - 12)
    if not (ram_text and anchor_text):
        return []
    return [
        Line(arc(base, 34, 0.0, ram_angle), "angle"),
        Label((left, base[1]), ram_text, "angle text", (0, 18), "end"),
        Line(arc(anchor, 30, pi - anchor_angle, pi), "angle"),
        Label((right, base[1]), anchor_text, "angle text", (0, 18), "start"),
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


def ram(
    base: Point,
    head: Point,
    *,
    joint: Point | None = None,
    letter: Point = (-24.0, -9.0),
) -> list[Mark]:
    """Draw a ram on its base B, an extension above ``joint`` if there is one."""
    x, y = base
    foot = [(x - 14, y), (x + 14, y), (x + 8, y + 7), (x - 8, y + 7)]
    top: list[Mark] = [Line([joint, head], "extension")] if joint else []
    return [
        Line([base, joint or head], "ram"),
        *top,
        Polygon(foot, "base"),
        Label(base, "B", "strong text", letter),
    ]


def clamp_and_head(clamp: Point, head: Point, *, below: bool) -> list[Mark]:
    """Draw clamp C and head H with their letters."""
    return [
        Marker(clamp, "square", "clamp"),
        Label(clamp, "C", "strong text", (0, 20) if below else (-18, -6)),
        Marker(head, "disc", "head"),
        Label(head, "H", "strong text", (18, -2) if below else (-17, -7)),
    ]


def heights(
    *,
    head_height: str,
    clamp_height: str,
    distance: str,
    angle_text: str,
    raised: str = "",
    tension: str = "",
    forward: str = "",
) -> list[Mark]:
    """Draw an upright ram beside a clamp with their heights and distance.

    ``raised`` names what an extension adds; ``tension`` and ``forward`` name the
    pull and its level part.
    """
    floor, far = 46.0, 265.0
    clamp, old, top = (165.0, 92.0), (far, 116.0), 160.0
    head = (far, top)
    base, angle = (far, floor), atan2(top - clamp[1], far - clamp[0])
    measured = old if raised else head
    before: list[Mark] = []
    if raised:
        before = [
            Line([clamp, old], "ghost"),
            Line([old, (287, old[1])], "reference"),
            *dimension((283, old[1]), (283, top), raised, shift=(6, 0), align="start"),
        ]
    return [
        Line([(8, floor), (412, floor)], "floor"),
        *before,
        Line([head, (287, top)], "reference"),
        *dimension(
            (283, floor), (283, measured[1]), head_height, shift=(6, 0), align="start"
        ),
        Line([clamp, (140, clamp[1])], "reference"),
        *dimension(
            (144, floor), (144, clamp[1]), clamp_height, shift=(-8, 0), align="end"
        ),
        *dimension((clamp[0], 25), (far, 25), distance, shift=(0, 13)),
        Line([clamp, (far - 8, clamp[1])], "reference"),
        Line(arc(clamp, 52, 0.0, angle), "angle"),
        Label(clamp, angle_text, "small text", *_beside_level(forward)),
        Line([clamp, head], "pull leg"),
        *_forward_part(clamp, head, tension, forward),
        *ram(base, head, joint=old if raised else None, letter=(-15, 11)),
        *clamp_and_head(clamp, head, below=False),
    ]


def _beside_level(forward: str) -> tuple[Point, str]:
    """Return where the angle is named: below the level, unless a part is drawn."""
    return ((-8, -20), "end") if forward else ((10, 14), "start")


def _forward_part(clamp: Point, head: Point, tension: str, forward: str) -> list[Mark]:
    if not forward:
        return []
    middle = ((clamp[0] + head[0]) / 2, (clamp[1] + head[1]) / 2)
    return [
        Label(middle, tension, _role(tension), (-8, -12), "end"),
        Arrow(clamp, (clamp[0] + 84, clamp[1]), "part"),
        Label(clamp, forward, "strong text", (10, 16), "start"),
    ]


def offset_from_above(
    *,
    head_out: float,
    out_text: str,
    offset: str,
    clamp_distance: str,
    shift: str,
    fork: str = "",
    side_angle: str = "",
) -> list[Mark]:
    """Draw a rig in plan whose anchor is moved to the left of the set-out line.

    ``head_out`` is in pixels; the other arguments name what they say.
    """
    line, out = 72.0, 225.0 + head_out
    clamp, base, head, anchor = (64.0, line), (225.0, line), (out, 132.0), (392.0, 96.0)
    marks: list[Mark] = []
    if fork:
        marks += dimension((225, 38), (392, 38), fork, shift=(0, 15))
    if side_angle:
        turn = atan2(head[1] - line, head[0] - clamp[0])
        marks += [
            Line(arc(clamp, 50, 0.0, turn), "angle"),
            Label(clamp, side_angle, "strong text", (55, -10), "start"),
        ]
    return [
        Line([(8, line), (412, line)], "reference"),
        Label((8, line), "set-out line", "small text", (0, 15), "start"),
        *marks,
        *dimension((64, 38), (225, 38), clamp_distance, shift=(0, 15)),
        Line([head, (out, line)], "reference"),
        Label((max(out, 225.0), 84), shift, "small text", (9, 0), "start"),
        Line([base, (225, 152)], "reference"),
        *dimension((225, 152), (out, 152), out_text, shift=(0, -12)),
        *dimension((392, line), anchor, offset, shift=(24, 29), align="end"),
        Line([clamp, head], "pull leg"),
        Line([head, anchor], "anchor leg"),
        Line([base, head], "ram"),
        Marker(base, "disc", "base"),
        Label(base, "B", "strong text", (-4, 18)),
        *clamp_and_head(clamp, head, below=False),
        Marker(anchor, "diamond", "anchor"),
        Label(anchor, "A", "strong text", (14, -8)),
    ]


def offset_from_the_side(
    *, head_out: float, clamp_height: str, head_up: str
) -> list[Mark]:
    """Draw the same rig from the side, with the heights of clamp and head."""
    floor, out = 14.0, 225.0 + head_out
    clamp, base, head, anchor = (
        (64.0, 54.0),
        (225.0, floor),
        (out, 116.0),
        (392.0, floor),
    )
    return [
        Line([(8, floor), (412, floor)], "floor"),
        *dimension((64, floor), clamp, clamp_height, shift=(9, 0), align="start"),
        Line([head, (288, head[1])], "reference"),
        *dimension((284, floor), (284, head[1])),
        Label((284, 108), head_up, "small text", (5, 0), "start"),
        Line([clamp, head], "pull leg"),
        Line([head, anchor], "anchor leg"),
        *ram(base, head),
        *clamp_and_head(clamp, head, below=False),
        Marker(anchor, "diamond", "anchor"),
        Label(anchor, "A", "strong text", (11, -13)),
    ]


def two_legs(
    first: float,
    second: float,
    *,
    pull: str = "",
    first_leg: str,
    second_leg: str = "",
    between: str = "",
    angles: tuple[str, str] = ("", ""),
    spacing: str = "",
) -> list[Mark]:
    """Draw a bridle from above: two clamps, a ring, and the pull to the right.

    ``first`` and ``second`` are the angles of the legs from the line of pull. [rad]
    """
    ring = (274.0, 88.0)
    deep = min(115.0, 118 / (tan(first) + tan(second)))
    up, down = deep * tan(first), deep * tan(second)
    ring = (ring[0], 88.0 + (down - up) / 2)
    high, low = (ring[0] - deep, ring[1] + up), (ring[0] - deep, ring[1] - down)
    bow = min(0.6 * hypot(deep, min(up, down)), 60.0)
    left = ring[0] - max(deep + 13, bow + 6)
    line: list[Mark] = [Line([(left + 3, ring[1]), ring], "reference")]
    marks: list[Mark] = [
        Line(arc(ring, bow, pi - first, pi), "angle"),
        Line(arc(ring, 0.8 * bow if angles[0] else bow, pi, pi + second), "angle"),
    ]
    if between:
        marks.append(Label((left, ring[1]), between, "angle text", (0, 0), "end"))
    for text, way, size in zip(angles, (1, -1), (up, down), strict=True):
        if text:
            at = (left, ring[1] + way * max(size / 2, 10.0))
            marks.append(Label(at, text, "small text", (0, 0), "end"))
    if pull:
        marks += [
            Arrow(ring, (400, ring[1]), "force pull"),
            Label((412, ring[1]), pull, "text", (0, 16), "end"),
        ]
    if spacing:
        far = left - 100
        marks += [
            *(Line([end, (far, end[1])], "reference") for end in (high, low)),
            *dimension((far + 4, low[1]), (far + 4, high[1])),
            Label((6, low[1]), spacing, "small text", (0, 14), "start"),
        ]
    return [
        *line,
        *marks,
        Line([high, ring], "pull leg"),
        Line([low, ring], "pull leg"),
        *_leg_name(high, ring, first_leg),
        *_leg_name(low, ring, second_leg),
        *(Marker(end, "square", "clamp") for end in (high, low)),
        Marker(ring, "disc", "head"),
    ]


def _leg_name(end: Point, ring: Point, text: str) -> list[Mark]:
    """Name a leg outside it, as far back as its slope leaves room."""
    if not text:
        return []
    middle = ((end[0] + ring[0]) / 2, (end[1] + ring[1]) / 2)
    slope = abs(end[1] - ring[1]) / (ring[0] - end[0])
    way = -1 if end[1] > ring[1] else 1
    shift = (max(-42.0, -8 / slope) + 5, 20.0 * way)
    return [Label(middle, text, _role(text), shift, "start")]


def hung(near: Point, far: Point, sag: float) -> list[Point]:
    """Return a chain hung between two points, as the parabola of a tight chain."""
    shares = [k / 24 for k in range(25)]
    return [
        (
            near[0] + s * (far[0] - near[0]),
            near[1] + s * (far[1] - near[1]) - 4 * sag * s * (1 - s),
        )
        for s in shares
    ]


def hung_chain(*, span: str, sag: str, below: str = "", at_end: str = "") -> list[Mark]:
    """Draw a chain hung level: its span, its sag, and something said of it."""
    near, far, deep = (60.0, 134.0), (360.0, 134.0), 44.0
    low = near[1] - deep
    words: list[Mark] = []
    if below:
        words.append(Label((210, 54), below, "text"))
    if at_end:
        words += [
            Arrow(far, (404, 146), "force pull"),
            Label((412, 166), at_end, _role(at_end), (0, 0), "end"),
        ]
    return [
        Line([near, far], "reference"),
        *dimension((60, 18), (360, 18), span, shift=(0, -12)),
        *dimension((210, near[1]), (210, low)),
        Label((210, low), sag, _role(sag), (0, 17)),
        Line(hung(near, far, deep), "pull leg"),
        *words,
        Marker(near, "square", "clamp"),
        Label(near, "C", "strong text", (-18, 0)),
        Marker(far, "disc", "head"),
        Label(far, "H", "strong text", (0, 18)),
    ]


def taut_chain(*, tension: str, length: str, metre: str, energy: str) -> list[Mark]:
    """Draw a chain pulled straight: its length, one metre of it, what it stores."""
    near, far = (90.0, 104.0), (330.0, 104.0)
    return [
        Arrow(near, (30, 104), "force pull"),
        Arrow(far, (390, 104), "force pull"),
        Line([near, far], "pull leg"),
        *dimension((90, 130), (330, 130), length, shift=(0, -12)),
        *dimension((90, 82), (190, 82)),
        Label((90, 66), metre, "text", (0, 0), "start"),
        Label((412, 86), tension, "text", (0, 0), "end"),
        Label((90, 34), energy, "strong text", (0, 0), "start"),
    ]


def two_springs(*, once: str, more: str) -> list[Mark]:
    """Draw one chain as a spring twice: pulled, and pulled harder."""
    marks: list[Mark] = []
    for y, long, text in ((128.0, 70.0, once), (66.0, 100.0, more)):
        end = (20 + long, y)
        marks += [
            Line([(20, y - 20), (20, y + 20)], "sill"),
            Line(_coils((20, y), long), "loading"),
            Arrow(end, (end[0] + long / 2.2, y), "force pull"),
            Label((186, y), text, "text", (0, 0), "start"),
        ]
    return marks


def _coils(start: Point, long: float) -> list[Point]:
    x, y = start
    turns = [(x + long * (k + 1) / 11, y + 9 * (-1) ** k) for k in range(10)]
    return [start, *turns, (x + long, y)]
