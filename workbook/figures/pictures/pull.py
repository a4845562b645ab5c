"""Pictures of one pull: side view, top view, force triangle, split, load path."""

from __future__ import annotations

from collections.abc import Callable
from math import atan2, pi
from typing import TYPE_CHECKING

import numpy as np

from workbook.equipment import Ram, pick, shop
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
    angle_mark,
    arc,
    window_for,
)
from workbook.figures.drawing.scales import bar, round_up, scale_bar
from workbook.figures.subject import Paired, Subject, Values
from workbook.mechanics.pull.catenary import curve_points
from workbook.mechanics.vectors import Array, dot, unit
from workbook.scenes.fields import Number
from workbook.scenes.setups import FIELDS, WORD, Setup, SolvedPull

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.mechanics.pull.catenary import HangingChain
    from workbook.quantities.units import UnitSystem

Ghost = tuple[str, SolvedPull]
Show = Callable[[float, str], str]

WIDTH, HEIGHT = 820.0, 560.0


def pull_sheet(
    solved: SolvedPull, *, system: UnitSystem, ghosts: Sequence[Ghost] = ()
) -> Sheet:
    """Return the picture of one pull: two views, the triangle and the split.

    Parameters
    ----------
    solved : SolvedPull
        The set-up and what it does.
    system : UnitSystem
        Units of the labels.
    ghosts : sequence of (str, SolvedPull)
        Frozen set-ups to show behind it, each with its letter.
    """
    return Sheet(
        width=WIDTH,
        height=HEIGHT,
        text=describe(solved, system=system),
        panels=(
            _panel(side_view(solved, system, ghosts), 0, 0, 520, 290),
            _panel(top_view(solved, system, ghosts), 0, 300, 520, 260),
            _panel(force_triangle(solved, system), 530, 0, 290, 270),
            _panel(split_bars(solved, system), 530, 290, 290, 270),
        ),
    )


def projector_sheet(
    solved: SolvedPull, *, system: UnitSystem, ghosts: Sequence[Ghost] = ()
) -> Sheet:
    """Return the two views alone, side by side, for large letters."""
    return Sheet(
        width=1240,
        height=430,
        text=describe(solved, system=system),
        panels=(
            _panel(side_view(solved, system, ghosts, brief=True), 0, 30, 620, 400),
            _panel(top_view(solved, system, ghosts, brief=True), 640, 30, 600, 400),
        ),
    )


def _panel(
    drawing: Drawing, left: float, top: float, width: float, height: float
) -> Panel:
    return Panel(drawing=drawing, left=left, top=top, width=width, height=height)


def describe(solved: SolvedPull, *, system: UnitSystem) -> str:
    """Say in words what the picture shows, from the same numbers."""
    pull, show = solved.pull, system.show
    held = solved.setup.chosen("held")
    amount = {
        "ram force": show(float(pull.ram_force), "force"),
        "useful pull": show(solved.along, "force"),
        "chain tension": show(float(pull.pull_tension), "force"),
        "ram stroke": show(solved.setup.si("stroke_mm"), "length"),
    }[held]
    at_take_up = solved.at_take_up
    sag = (
        f"At take-up the chain sag is {show(float(at_take_up.sag), 'small length')}."
        if at_take_up
        else "At take-up the tension is too small to hold the chain off the floor."
    )
    pusher = "roller carries" if solved.roller else "ram pushes"
    return (
        f"Held fixed: {solved.setup.shown('held')}, {amount}. "
        f"The chain pulls {side_words(float(pull.side_angle), show)} and "
        f"{rise_words(float(pull.rise), show)}. "
        f"The {pusher} {show(float(pull.ram_force), 'force')}, the pull leg carries "
        f"{show(float(pull.pull_tension), 'force')} and the anchor leg "
        f"{show(float(pull.anchor_tension), 'force')}. {sag}"
    )


def side_words(angle: float, show: Show) -> str:
    """Say a side angle: which side of straight ahead."""
    if abs(angle) < 5e-4:
        return "straight ahead"
    side = "left" if angle > 0 else "right"
    return f"{show(abs(angle), 'angle')} to the {side} of straight ahead"


def rise_words(angle: float, show: Show) -> str:
    """Say a rise: up or down from the level."""
    if abs(angle) < 5e-4:
        return "level"
    way = "up" if angle > 0 else "down"
    return f"{show(abs(angle), 'angle')} {way} from the level"


def _flat(points: Array) -> list[Point]:
    return [(float(p[0]), float(p[1])) for p in points]


class _Side:
    """The rig's own plane: outward along base to anchor, up across it."""

    def __init__(self, solved: SolvedPull) -> None:
        rig = solved.rig
        self.base = rig.base
        self.out = unit(rig.anchor - rig.base)
        across = rig.clamp - rig.base
        self.up = unit(across - dot(across, self.out) * self.out)

    def __call__(self, point: Array) -> Point:
        return self.parts(point - self.base)

    def parts(self, vector: Array) -> Point:
        """Return the outward and upward parts of a vector."""
        return float(dot(vector, self.out)), float(dot(vector, self.up))


def side_view(
    solved: SolvedPull,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the rig in its own plane, in true shape, with its angles.

    A ``brief`` view leaves out what numbers beside it say, for large letters.
    """
    rig, pull, flat = solved.rig, solved.pull, _Side(solved)
    clamp, head, anchor = flat(rig.clamp), flat(pull.head), flat(rig.anchor)
    reach = float(rig.take_up_length + rig.full_stroke)
    window = window_for([clamp, head, anchor, (0, reach)], step=0.25, margin=0.14)
    window = (window[0] - 0.25, window[1], -0.27, window[3])
    still = [
        Line([(window[0], 0), (window[1], 0)], "floor"),
        Label((window[0], 0), "bench", "small text", (6, 12), "start"),
        *_body_side(clamp, window[0]),
        *scale_bar(window, system),
    ]
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += _ghost(letter, [*map(_Side(other), _skeleton(other))])
    moving += [
        *_swing(solved, flat),
        *_chains(solved, flat),
        *_ram(solved, head),
        *_base((0.0, 0.0)),
        *_fork_side(anchor),
        Marker(head, "disc", "head"),
        Label(head, "H", "strong text", (0, -17)),
        Marker(clamp, "square", "clamp"),
        Label(clamp, "C", "strong text", (0, 20)),
        *_angles(clamp, head, anchor, system, brief=brief),
    ]
    tilted = "" if abs(solved.side_lean) < 1e-3 else ", tilted to the side"
    return Drawing(
        caption="side view" if brief else f"side view: plane of ram and chain{tilted}",
        window=window,
        still=still,
        moving=moving,
    )


def _skeleton(solved: SolvedPull) -> list[Array]:
    rig = solved.rig
    return [rig.clamp, solved.pull.head, rig.anchor, solved.pull.head, rig.base]


def _ghost(letter: str, points: list[Point]) -> list[Mark]:
    return [
        Line(points, "ghost"),
        Label(points[1], f"ghost {letter}", "ghost text", (16, -14), "start"),
    ]


def _body_side(clamp: Point, left: float) -> list[Mark]:
    """Draw a plain body shell behind the clamp: rail and sill."""
    x, z = clamp
    rail = [(left, z + 0.16), (x - 0.12, z + 0.16), (x, z + 0.05), (x, z - 0.05)]
    rail += [(x - 0.12, z - 0.09), (left, z - 0.09)]
    return [
        Polygon(rail, "body"),
        Label(((left + x) / 2, z + 0.04), "vehicle", "small text"),
    ]


def _swing(solved: SolvedPull, flat: _Side) -> list[Mark]:
    """Show where the ram goes over its stroke, the clamp following."""
    if solved.roller:
        return []
    path = solved.path
    # Past a place where it falls, a rig that stands again is of no use.
    reached = int(np.cumprod(path.pull.stands).sum())
    heads = [flat(p) for p in path.pull.head[:reached]]
    if len(heads) < 2:
        return []
    return [Line(heads, "reference"), Line([(0, 0), heads[-1]], "swing")]


def _chains(solved: SolvedPull, flat: _Side) -> list[Mark]:
    rig, head = solved.rig, solved.pull.head
    marks: list[Mark] = []
    at_take_up = solved.at_take_up
    if at_take_up is not None:
        marks.append(Line(_hung(at_take_up, flat(rig.clamp), flat(head)), "take-up"))
    return [
        *marks,
        Line([flat(rig.clamp), flat(head)], "pull leg"),
        Line([flat(head), flat(rig.anchor)], "anchor leg"),
    ]


def _hung(chain: HangingChain, clamp: Point, head: Point) -> list[Point]:
    """Lay a hanging chain under the straight line between its drawn ends."""
    x, height = curve_points(chain, count=21)
    share = x / chain.span
    drop = height - share * chain.rise
    ends = np.outer(1 - share, clamp) + np.outer(share, head)
    return [(float(p[0]), float(p[1] + d)) for p, d in zip(ends, drop, strict=True)]


def _ram(solved: SolvedPull, head: Point) -> list[Mark]:
    """Draw ram body from the base, then the extension up to the head."""
    rig = solved.rig
    if solved.roller:
        return [
            Line([(0, 0), head], "post"),
            Label((0, 0.1), "fixed post", shift=(14, 0), align="start"),
        ]
    body = float((rig.closed_length + rig.stroke) / rig.ram_length)
    joint = (body * head[0], body * head[1])
    return [Line([(0, 0), joint], "ram"), Line([joint, head], "extension")]


def _base(at: Point) -> list[Mark]:
    x, y = at
    foot = [(x - 0.11, y), (x + 0.11, y), (x + 0.06, y + 0.05), (x - 0.06, y + 0.05)]
    return [
        Polygon(foot, "base"),
        Marker(at, "disc", "base"),
        Label(at, "B", "strong text", (-17, 13)),
    ]


def _fork_side(at: Point) -> list[Mark]:
    return [
        Line([(at[0], at[1]), (at[0], at[1] - 0.07)], "fork"),
        Marker(at, "diamond", "anchor"),
        Label(at, "A", "strong text", (16, 16)),
    ]


def _angles(
    clamp: Point, head: Point, anchor: Point, system: UnitSystem, *, brief: bool
) -> list[Mark]:
    """Name the three angles of the split, each with its reference line."""

    def named(value: float, before: str, after: str) -> str:
        shown = system.show(value, "angle")
        return shown if brief else f"{before}{shown} {after}"

    ram = atan2(head[1], head[0])
    pull = atan2(head[1] - clamp[1], head[0] - clamp[0])
    leg = atan2(head[1] - anchor[1], head[0] - anchor[0])
    upright, r = pi / 2, 0.3
    lean = named(upright - ram, "lean ", "from upright")
    alpha = named(pi - leg, "", "from floor")
    beta = named(pull, "", "from level")
    low, high = sorted((ram, upright))
    at_anchor: list[Mark] = [
        Line(arc(anchor, r, leg, pi), "angle"),
        Label((anchor[0] - 0.12, 0), alpha, "text", (0, 13), "end"),
    ]
    if brief:  # large letters have no room under the bench
        middle = (anchor[0] - 0.3 * r, 0.12 * r)
        at_anchor = [at_anchor[0], Label(middle, alpha, align="end", shift=(0, -6))]
    return [
        Line([(0, 0), (0, r + 0.1)], "reference"),
        Line(arc((0, 0), r, low, high), "angle"),
        Label((0, r), lean, "text", (-8, 0), "end"),
        *at_anchor,
        Line([clamp, (clamp[0] + 0.5, clamp[1])], "reference"),
        *angle_mark(clamp, 0.42, min(0.0, pull), max(0.0, pull), beta),
    ]


def top_view(
    solved: SolvedPull,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the rig in plan: set-out line, fork slots, head and pull direction."""
    rig, pull = solved.rig, solved.pull
    clamp, base, anchor = rig.clamp, rig.base, rig.anchor
    x, y = float(clamp[0]), float(clamp[1])
    keep = _flat(np.array([clamp, base, anchor, pull.head]))
    window = window_for([*keep, (x - 0.5, y)], step=0.25, margin=0.25)
    out = unit((base - clamp) * (1.0, 1.0, 0.0))
    left = np.array([-out[1], out[0], 0.0])
    still = [
        *_body_top(x, y, window),
        *_set_out(solved, out, window[1], system, brief=brief),
        *_fork_top(solved, out, left),
        *scale_bar(window, system),
    ]
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += _ghost(letter, _flat(np.array(_skeleton(other))))
    moving += [
        *_wanted(solved, brief=brief),
        Line(_flat(np.array([clamp, pull.head])), "pull leg"),
        Line(_flat(np.array([pull.head, anchor])), "anchor leg"),
        Line(_flat(np.array([base, pull.head])), "post" if solved.roller else "ram"),
        Marker(_flat(base[None])[0], "disc", "base"),
        Label(_flat(base[None])[0], "B", "strong text", (0, 20)),
        Marker(_flat(pull.head[None])[0], "disc", "head"),
        Label(_flat(pull.head[None])[0], "H", "strong text", (-2, -17)),
        Marker(_flat(anchor[None])[0], "diamond", "anchor"),
        Label(_flat(anchor[None])[0], "A", "strong text", (16, -14)),
        Marker((x, y), "square", "clamp"),
        Label((x, y), "C", "strong text", (-6, 21)),
    ]
    return Drawing(
        caption="top view" if brief else "top view: forward is right, left is up",
        window=window,
        still=still,
        moving=moving,
    )


def _body_top(x: float, y: float, window: tuple[float, ...]) -> list[Mark]:
    """Draw the plain front of a body, its clamped corner at the clamp."""
    left = window[0]
    far = window[2] if y >= 0 else window[3]
    near = y + 0.1 * (1 if y >= 0 else -1)
    body = [(left, near), (x, near), (x + 0.02, y), (x - 0.06, far), (left, far)]
    return [
        Polygon(body, "body"),
        Label(((left + x) / 2, (near + far) / 2), "vehicle", "small text"),
    ]


def _set_out(
    solved: SolvedPull, out: Array, right: float, system: UnitSystem, *, brief: bool
) -> list[Mark]:
    rig = solved.rig
    x, y = float(rig.clamp[0]), float(rig.clamp[1])
    angle = solved.setup.si("chain_angle_deg")
    end = rig.base + (float(np.linalg.norm((rig.anchor - rig.base)[:2])) + 0.2) * out
    clear = -0.22 if angle >= 0 else 0.22
    words = f"chain angle {side_words(angle, system.show)}"
    if brief:
        words = f"chain angle {system.show(angle, 'angle')}"
    return [
        Line([(x, y), (right, y)], "reference"),
        Line([(x, y), (float(end[0]), float(end[1]))], "reference"),
        Line(arc((x, y), 0.55, min(0.0, angle), max(0.0, angle)), "angle"),
        Label(
            (x, y + clear),
            words,
            align="start",
            shift=(14, 0),
        ),
    ]


def _fork_top(solved: SolvedPull, out: Array, left: Array) -> list[Mark]:
    fork = pick(shop().forks, solved.setup.chosen("fork"))
    centre = solved.rig.base + solved.setup.si("fork_distance_mm") * out
    slots = centre + fork.slot_offsets[:, None] * left
    ends = [slots[0] - 0.04 * left, slots[-1] + 0.04 * left]
    marks: list[Mark] = [Line(_flat(np.array(ends)), "fork")]
    for slot in slots:
        notch = np.array([slot - 0.035 * out, slot + 0.035 * out])
        marks.append(Line(_flat(notch), "slot"))
    return marks


def _wanted(solved: SolvedPull, *, brief: bool) -> list[Mark]:
    line = solved.setup.wanted[:2]
    clamp = solved.rig.clamp[:2]
    tail, tip = _flat(np.array([clamp, clamp + 0.75 * line]))
    arrow = Arrow(tail, tip, "wanted")
    turned = float(solved.pull.side_angle) - solved.setup.si("wanted_side_angle_deg")
    away = 12 if turned >= 0 else -11  # on the side where the pull leg is not
    name = Label(tip, "wanted", "small text", (-8, away), "end")
    return [arrow] if brief else [arrow, name]


def force_triangle(solved: SolvedPull, system: UnitSystem) -> Drawing:
    """Draw the three forces on the head end to end: they close."""
    pull, side = solved.pull, _Side(solved)
    push = side.parts(-pull.base_on_bench)
    leg = side.parts(-pull.force_on_clamp)
    foot, top, corner = (0.0, 0.0), push, (push[0] + leg[0], push[1] + leg[1])
    size = max(map(float, (pull.ram_force, pull.pull_tension, pull.anchor_tension)))
    box = window_for([top, corner, foot], step=size / 3, margin=0.15 * size)
    window = (box[0] - 0.6 * size, box[1] + 0.6 * size, box[2], box[3])
    ram_text, leg_text, anchor_text = (
        f"{name} {system.show(float(force), 'force')}"
        for name, force in (
            ("roller" if solved.roller else "ram", pull.ram_force),
            ("pull leg", pull.pull_tension),
            ("anchor leg", pull.anchor_tension),
        )
    )
    marks: list[Mark] = [
        Arrow(foot, top, "force ram"),
        Arrow(top, corner, "force pull"),
        Arrow(corner, foot, "force anchor"),
        _beside(foot, top, ram_text),
        _beside(top, corner, leg_text),
        _beside(corner, foot, anchor_text),
    ]
    return Drawing(
        caption="forces on the head H, end to end", window=window, moving=marks
    )


def _beside(tail: Point, head: Point, text: str) -> Label:
    """Put a label outside the middle of an arrow."""
    x, y = (tail[0] + head[0]) / 2, (tail[1] + head[1]) / 2
    dx, dy = head[0] - tail[0], head[1] - tail[1]
    length = float(np.hypot(dx, dy)) or 1.0
    normal = (dy / length, -dx / length)
    align = "start" if normal[0] > 0.35 else "end" if normal[0] < -0.35 else "middle"
    return Label((x, y), text, "text", (10 * normal[0], -14 * normal[1]), align)


def split_bars(solved: SolvedPull, system: UnitSystem) -> Drawing:
    """Draw how the ram force splits, and what of the pull does the work."""
    pull = solved.pull
    forward, sideways, upward = map(float, pull.force_on_clamp)
    rows = [
        ("roller" if solved.roller else "ram", float(pull.ram_force), "bar ram"),
        ("pull leg", float(pull.pull_tension), "bar pull"),
        ("anchor leg", float(pull.anchor_tension), "bar anchor"),
        ("forward" if forward >= 0 else "backward", abs(forward), "bar part"),
        ("to the left" if sideways >= 0 else "to the right", abs(sideways), "bar part"),
        ("upward" if upward >= 0 else "downward", abs(upward), "bar part"),
        ("along wanted", abs(solved.along), "bar part"),
        ("across wanted", solved.across, "bar part"),
    ]
    full = round_up(max(value for _, value, _ in rows))
    marks: list[Mark] = []
    for k, (name, value, role) in enumerate(rows):
        y = -k - (0.35 if k > 2 else 0) - (0.35 if k > 5 else 0)
        marks += bar(y, value / full, name, system.show(value, "force"), role)
    return Drawing(
        caption="force split",
        window=(-0.62, 1.42, -8.3, 1.3),
        moving=marks,
        true_scale=False,
    )


def load_path_sheet(solved: SolvedPull, *, system: UnitSystem) -> Sheet:
    """Return the picture of each part's share of its own rating."""
    path = solved.load_path
    marks: list[Mark] = []
    for k, part in enumerate(path.parts):
        share = float(part.share)
        role = "bar over" if share > 1 else "bar part"
        words = f"{system.show(share, 'share')} of {system.show(part.rating, 'force')}"
        marks += bar(-k, min(share, 1.6), part.place, f"{words}, {part.kind}", role)
    limit = [(1.0, -5.6), (1.0, 0.7)]
    governing = str(path.governing)
    share = float(path.largest_share)
    words = (
        f"The {governing} governs, at {system.show(share, 'share')} of its rating. "
        f"It reaches it at a ram force of "
        f"{system.show(float(path.highest_ram_force), 'force')}, "
        f"{system.show(float(path.highest_pressure), 'pressure')} on the gauge."
    )
    drawing = Drawing(
        caption="load path: share of its own rating each part uses",
        window=(-0.35, 2.3, -5.8, 1.6),
        still=[
            Line(limit, "limit"),
            Label((1.0, 0.7), "rating", "small text", (0, -9)),
        ],
        moving=marks,
        true_scale=False,
    )
    panel = Panel(drawing=drawing, left=0, top=0, width=WIDTH, height=210)
    return Sheet(width=WIDTH, height=210, text=words, panels=(panel,))


def _chosen_ram(values: Values) -> Ram:
    return pick(shop().rams, str(values["ram"]))


# Two ways to set one thing: the pressure on the gauge is the force over the bore.
GAUGE = Paired(
    field=Number(
        name="gauge_bar",
        subject="pull",
        low=0,
        high=1500,
        step=5,
        start=0,
    ),
    of="ram_force_kn",
    to=lambda force, values: float(_chosen_ram(values).pressure_for(force)),
    back=lambda pressure, values: float(_chosen_ram(values).force_at(pressure)),
)
PULL = Subject(
    name="pull",
    word=WORD,
    fields=FIELDS,
    front=("chain_angle_deg", "fork_offset_mm", "extension_mm"),
    only_with={
        "ram_force_kn": ("held", ("ram force", "ram stroke")),
        "useful_pull_kn": ("held", ("useful pull",)),
        "chain_tension_kn": ("held", ("chain tension",)),
    },
    paired=(GAUGE,),
    held="held",
    solve=lambda values: Setup(values=values).solved(),
    amounts=lambda solved: solved.amounts,
    picture=pull_sheet,
    projected=projector_sheet,
    extras={"load path": load_path_sheet},
    cautions=("S0", "S1", "S8"),
)
