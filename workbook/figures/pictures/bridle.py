"""Pictures of a bridle and of a chain over a fixed roller, in plan."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

import numpy as np

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
    window_for,
)
from workbook.figures.drawing.scales import force_bars, scale_bar
from workbook.figures.subject import Subject
from workbook.mechanics.vectors import angle_between, unit
from workbook.scenes.bridles import (
    FIELDS,
    ROLLER_FIELDS,
    ROLLER_WORD,
    WORD,
    BridleGiven,
    RollerGiven,
    SolvedBridle,
    SolvedRoller,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

Ghost = tuple[str, SolvedBridle]
RollerGhost = tuple[str, SolvedRoller]

WIDTH, HEIGHT = 820.0, 440.0
HATCHES = 14
CLOSE = 0.2  # of the clamp spacing off the middle: there one leg is short
ROLLER = 0.14  # radius of the drawn roller, in lengths of a drawn run


def bridle_sheet(
    solved: SolvedBridle, *, system: UnitSystem, ghosts: Sequence[Ghost] = ()
) -> Sheet:
    """Return the picture of a bridle, its force triangle and bars of its forces.

    Parameters
    ----------
    solved : SolvedBridle
        The bridle.
    system : UnitSystem
        Units of the labels.
    ghosts : sequence of (str, SolvedBridle)
        Frozen bridles to show behind it, each with its letter.
    """
    plan = plan_view(solved, system, ghosts)
    triangle = force_triangle(solved, system)
    bars = leg_bars(solved, system)
    return Sheet(
        width=WIDTH,
        height=HEIGHT,
        text=describe(solved, system=system),
        panels=(
            Panel(drawing=plan, left=0, top=0, width=520, height=HEIGHT),
            Panel(drawing=triangle, left=530, top=0, width=290, height=270),
            Panel(drawing=bars, left=530, top=300, width=290, height=120),
        ),
    )


def bridle_projector_sheet(
    solved: SolvedBridle, *, system: UnitSystem, ghosts: Sequence[Ghost] = ()
) -> Sheet:
    """Return the bridle and the bars for large letters."""
    plan = plan_view(solved, system, ghosts, brief=True)
    bars = leg_bars(solved, system)
    return Sheet(
        width=1240,
        height=430,
        text=describe(solved, system=system),
        panels=(
            Panel(drawing=plan, left=0, top=10, width=700, height=420),
            Panel(drawing=bars, left=720, top=60, width=520, height=260),
        ),
    )


def describe(solved: SolvedBridle, *, system: UnitSystem) -> str:
    """Say in words what the picture shows, from the same numbers."""
    show = system.show
    left, right = float(solved.tensions.left), float(solved.tensions.right)
    angles = [show(float(a), "angle") for a in solved.angles]
    legs = [show(float(leg), "length") for leg in solved.legs]
    share = show(max(left, right) / solved.given.si("pull_kn"), "ratio")
    return (
        f"Held fixed: pull needed, {show(solved.given.si('pull_kn'), 'force')}. "
        f"With {show(solved.between, 'angle')} between the legs, the left leg carries "
        f"{show(left, 'force')} at {angles[0]} from the line of pull and the right leg "
        f"{show(right, 'force')} at {angles[1]}; the fuller leg carries {share} times "
        f"the pull. The legs are {legs[0]} and {legs[1]} long. "
        f"{_limit_words(solved, system)}"
    ).strip()


def _limit_words(solved: SolvedBridle, system: UnitSystem) -> str:
    if solved.limit is None or solved.legs_at_limit is None:
        return ""
    limit = system.show(solved.limit, "angle")
    if not solved.past_limit:
        return f"The angle is within the school's limit, {limit}."
    legs = [system.show(float(leg), "length") for leg in solved.legs_at_limit]
    return (
        f"This is flatter than the school's limit, {limit}: there the legs would be "
        f"{legs[0]} and {legs[1]} long."
    )


def _flat(points: Array) -> list[tuple[float, float]]:
    return [(float(p[0]), float(p[1])) for p in points]


def plan_view(
    solved: SolvedBridle,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the bridle from above, the pull to the right, its left side up."""
    left, right = _flat(solved.clamps)
    (ring,) = _flat(solved.ring[None])
    spacing = left[1] - right[1]
    pull_end = (ring[0] + 0.55 * spacing, ring[1])
    zone = solved.limit_arc()
    others = [
        p for _, other in ghosts for p in _flat(np.array([*other.clamps, other.ring]))
    ]
    keep = [left, right, pull_end, *zone, *others]
    window = window_for(keep, step=spacing / 2, margin=0.2 * spacing)
    deep = max(window[1] - window[0], window[3] - window[2])
    window = (-0.2 * deep, window[1], window[2] - 0.08 * deep, window[3])
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += _ghost(letter, other)
    moving += [
        *_zone(solved),
        Line([left, ring], "pull leg"),
        Line([right, ring], "force second"),
        *([] if brief else _leg_labels(solved, system)),
        Arrow(ring, pull_end, "force pull"),
        *_ring(solved, ring),
        *_ring_labels(solved, ring, pull_end, system, brief=brief),
        *(Marker(clamp, "square", "clamp") for clamp in (left, right)),
        Label(left, "L", "strong text", (0, -26 if brief else -18)),
        Label(right, "R", "strong text", (0, 28 if brief else 20)),
    ]
    return Drawing(
        caption=_caption(solved, system, brief=brief),
        window=window,
        still=[*_body(window, left, right), *scale_bar(window, system)],
        moving=moving,
    )


def _body(window: tuple[float, ...], left: Point, right: Point) -> list[Mark]:
    """Draw the plain edge of a body that both clamps hold."""
    edge, over = 0.35 * window[0], 0.15 * (left[1] - right[1])
    low, high = right[1] - over, left[1] + over
    box = [(window[0], low), (edge, low), (edge, high), (window[0], high)]
    return [
        Polygon(box, "body"),
        *(Line([(edge, y), (0.0, y)], "sill") for _, y in (left, right)),
        Label(((window[0] + edge) / 2, 0.0), "vehicle", "small text"),
    ]


def _zone(solved: SolvedBridle) -> list[Mark]:
    """Hatch where a ring would lie flatter than the school allows."""
    outline = solved.limit_arc()
    if not outline:
        return []
    strokes = hatching(outline, count=HATCHES)
    return [Polygon(outline, "zone"), *(Line(stroke, "hatch") for stroke in strokes)]


def _caption(solved: SolvedBridle, system: UnitSystem, *, brief: bool) -> str:
    """Say what the view and its hatching are."""
    view = "" if brief else "from above: the pull goes right, left is up"
    if solved.limit is None:
        return view
    limit = system.show(solved.limit, "angle")
    return (
        f"hatched: past {limit}"
        if brief
        else f"{view}; hatched: past the school's {limit}"
    )


def hatching(
    outline: Sequence[Point], *, count: int
) -> list[list[tuple[float, float]]]:
    """Return slanting lines across a convex outline, evenly spaced.

    Examples
    --------
    >>> square = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    >>> hatching(square, count=1)
    [[(1.0, 1.0), (0.0, 0.0)]]
    """
    points = np.asarray(outline, dtype=float)
    across = points[:, 0] - points[:, 1]  # the same all along a line at 45 degrees
    levels = np.linspace(across.min(), across.max(), count + 2)[1:-1]
    ahead, following = np.roll(points, -1, axis=0), np.roll(across, -1)
    strokes = []
    for level in levels:
        crossed = (across - level) * (following - level) <= 0
        crossed &= across != following
        share = (level - across[crossed]) / (following - across)[crossed]
        cuts = points[crossed] + share[:, None] * (ahead - points)[crossed]
        ends = cuts[[cuts[:, 0].argmax(), cuts[:, 0].argmin()]]
        strokes.append(_flat(ends))
    return strokes


def _leg_labels(solved: SolvedBridle, system: UnitSystem) -> list[Mark]:
    """Name each leg's tension outside its middle, at the ring if it is short."""
    marks: list[Mark] = []
    tensions = (solved.tensions.left, solved.tensions.right)
    for name, clamp, side, tension in zip(
        ("left", "right"), solved.clamps, (1, -1), tensions, strict=True
    ):
        x, y, _ = unit(solved.ring - clamp)
        out = (-side * float(y), side * float(x))  # square to the leg, away from both
        words = f"{name} {system.show(float(tension), 'force')}"
        if side * _off(solved) > CLOSE:
            (ring,) = _flat(solved.ring[None])
            marks.append(Label(ring, words, "text", (12, -18 * side), "start"))
            continue
        (middle,) = _flat((solved.ring + clamp)[None] / 2)
        align = "start" if out[0] > 0.3 else "middle"
        marks.append(Label(middle, words, "text", (12 * out[0], -16 * out[1]), align))
    return marks


def _off(solved: SolvedBridle) -> float:
    """Return how far the ring is off the middle, in clamp spacings, plus left."""
    return float(solved.ring[1]) / solved.given.si("spacing_mm")


def _ring(solved: SolvedBridle, ring: Point) -> list[Mark]:
    """Draw the ring and the angle between the legs, seen back from it."""
    left, right = map(float, solved.angles)
    radius = 0.3 * float(solved.legs.min())
    return [
        Line(arc(ring, radius, pi - left, pi + right), "angle"),
        Marker(ring, "disc", "head"),
    ]


def _ring_labels(
    solved: SolvedBridle,
    ring: Point,
    pull_end: Point,
    system: UnitSystem,
    *,
    brief: bool,
) -> list[Mark]:
    """Name angle and pull at the ring, on the side away from a leg that is close."""
    angle_lift, pull_lift = (38, 20) if _off(solved) > 0 else (-34, -16)
    if abs(_off(solved)) <= CLOSE:
        angle_lift, pull_lift = (-18, 20)
    pull = system.show(solved.given.si("pull_kn"), "force")
    words = system.show(solved.between, "angle")
    words += "" if brief else " between legs"
    words += ", past the limit" if solved.past_limit else ""
    named = Label(ring, words, "strong text", (12, angle_lift), "start")
    if brief:
        return [named]
    return [named, Label(pull_end, f"pull {pull}", "text", (0, pull_lift), "end")]


def _ghost(letter: str, other: SolvedBridle) -> list[Mark]:
    left, right, ring = _flat(np.array([*other.clamps, other.ring]))
    return [
        Line([left, ring, right], "ghost"),
        Label(ring, f"ghost {letter}", "ghost text", (12, 12), "start"),
    ]


def force_triangle(solved: SolvedBridle, system: UnitSystem) -> Drawing:
    """Draw the three forces on the ring end to end: they close."""
    pull = np.array([solved.given.si("pull_kn"), 0.0, 0.0])
    back = unit(solved.clamps - solved.ring)
    left = float(solved.tensions.left) * back[0]
    right = float(solved.tensions.right) * back[1]
    start, tip, corner, end = _flat(
        np.array([0 * pull, pull, pull + left, pull + left + right])
    )
    size = float(max(map(np.linalg.norm, (pull, left, right))))
    window = window_for([start, tip, corner], step=size / 2, margin=0.25 * size)
    show = system.show
    return Drawing(
        caption="forces on the ring, end to end",
        window=window,
        moving=[
            Arrow(start, tip, "force resultant"),
            Arrow(tip, corner, "force pull"),
            Arrow(corner, end, "force second"),
            _beside(start, tip, f"pull {show(float(pull[0]), 'force')}"),
            _beside(tip, corner, "left"),
            _beside(corner, end, "right"),
        ],
    )


def _beside(tail: Point, head: Point, text: str) -> Label:
    """Put words outside the middle of an arrow of a triangle run anticlockwise."""
    way = np.array([head[0] - tail[0], head[1] - tail[1]])
    x, y = way / np.linalg.norm(way)
    align = "start" if y > 0.35 else "end" if y < -0.35 else "middle"
    middle = ((tail[0] + head[0]) / 2, (tail[1] + head[1]) / 2)
    return Label(middle, text, "text", (10 * float(y), 14 * float(x)), align)


def leg_bars(solved: SolvedBridle, system: UnitSystem) -> Drawing:
    """Draw the pull and what each leg carries as bars."""
    rows = [
        ("pull", solved.given.si("pull_kn"), "bar part"),
        ("left leg", float(solved.tensions.left), "bar pull"),
        ("right leg", float(solved.tensions.right), "bar second"),
    ]
    return force_bars(
        [(row[0], *row) for row in rows], caption="pull and legs", system=system
    )


# ------------------------------------------------------------------- fixed roller


def roller_sheet(
    solved: SolvedRoller, *, system: UnitSystem, ghosts: Sequence[RollerGhost] = ()
) -> Sheet:
    """Return the picture of a chain over a fixed roller and bars of its forces."""
    plan = roller_view(solved, system, ghosts)
    bars = roller_bars(solved, system)
    return Sheet(
        width=WIDTH,
        height=360,
        text=describe_roller(solved, system=system),
        panels=(
            Panel(drawing=plan, left=0, top=0, width=520, height=360),
            Panel(drawing=bars, left=530, top=40, width=290, height=90),
        ),
    )


def roller_projector_sheet(
    solved: SolvedRoller, *, system: UnitSystem, ghosts: Sequence[RollerGhost] = ()
) -> Sheet:
    """Return the same for large letters."""
    plan = roller_view(solved, system, ghosts, brief=True)
    bars = roller_bars(solved, system)
    return Sheet(
        width=1240,
        height=430,
        text=describe_roller(solved, system=system),
        panels=(
            Panel(drawing=plan, left=0, top=0, width=700, height=430),
            Panel(drawing=bars, left=720, top=60, width=520, height=190),
        ),
    )


def describe_roller(solved: SolvedRoller, *, system: UnitSystem) -> str:
    """Say in words what the picture shows, from the same numbers."""
    show = system.show
    between = float(solved.turned.between_runs)
    first = (
        f"Held fixed: chain tension, {show(solved.tension, 'force')} in both runs. "
        f"With {show(between, 'angle')} between the runs, the roller's anchor carries "
        f"{show(solved.anchor_load, 'force')}, "
        f"{show(solved.anchor_per_chain, 'ratio')} times the chain tension."
    )
    if solved.anchor_per_chain < 1e-6:
        return f"{first} The chain runs straight past and leaves the roller alone."
    return (
        f"{first} It is pulled along the line halfway between the runs, "
        f"{show(between / 2, 'angle')} from each."
    )


def roller_view(
    solved: SolvedRoller,
    system: UnitSystem,
    ghosts: Sequence[RollerGhost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the roller, its anchor and both runs, the first run to the right."""
    moving: list[Mark] = []
    for letter, other in ghosts:
        tip = _runs(other)[1][-1]
        moving += [
            Line(_runs(other)[1], "ghost"),
            Label(tip, f"ghost {letter}", "ghost text", (10, -8), "start"),
        ]
    first, second = _runs(solved)
    between = float(solved.turned.between_runs)
    shown = system.show(solved.tension, "force")
    words = system.show(between, "angle")
    moving += [
        *_roller_anchor(between),
        Line(arc((0, 0), ROLLER, between + pi / 2, 3 * pi / 2), "pull leg"),
        Line(first, "pull leg"),
        Line(second, "pull leg"),
        Line(arc((0, 0), 0.42, 0.0, between), "angle"),
        Marker((0, 0), "disc", "head"),
        *([] if brief else _run_labels(first, second, shown)),
        Label(
            (ROLLER, -ROLLER),
            words if brief else f"{words} between runs",
            "angle text",
            (10, 28 if brief else 18),
            "start",
        ),
        *_load(solved, system, brief=brief),
    ]
    return Drawing(
        caption=""
        if brief
        else "from above: first run to the right, equal tension in both",
        window=(-1.35, 1.45, -0.85, 1.3),
        moving=moving,
    )


def _runs(solved: SolvedRoller) -> tuple[list[Point], list[Point]]:
    """Return both runs, leaving the roller at its rim."""
    between = float(angle_between(*solved.runs))
    (out,) = _flat(np.array([[np.cos(between), np.sin(between)]]))
    rim = (-ROLLER * out[1], ROLLER * out[0])
    first: list[Point] = [(0.0, -ROLLER), (1.0, -ROLLER)]
    return first, [rim, (rim[0] + out[0], rim[1] + out[1])]


def _run_labels(first: list[Point], second: list[Point], text: str) -> list[Mark]:
    """Name the tension at the end of each run."""
    x, y = second[1][0] - second[0][0], second[1][1] - second[0][1]
    align = "end" if y > 0.35 else "middle" if x > -0.35 else "start"
    return [
        Label(first[1], text, "text", (8, 0), "start"),
        Label(second[1], text, "text", (-12 * y, -16 * abs(x)), align),
    ]


def _roller_anchor(between: float) -> list[Mark]:
    """Draw the roller with its strap to an anchor, in line with the load."""
    way = (float(np.cos(between / 2)), float(np.sin(between / 2)))
    anchor = (-0.6 * way[0], -0.6 * way[1])
    rim = [(ROLLER * x, ROLLER * y) for x, y in arc((0, 0), 1.0, 0.0, 2 * pi)]
    return [
        Line([anchor, (0, 0)], "sill"),
        Marker(anchor, "diamond", "anchor"),
        Label(anchor, "A", "strong text", (-20 * way[0] - 10, 22 * way[1])),
        Polygon(rim, "head"),
    ]


def _load(solved: SolvedRoller, system: UnitSystem, *, brief: bool) -> list[Mark]:
    """Draw the load on the anchor, twice the chain tension being 0.7 of a run."""
    if solved.anchor_per_chain < 1e-6:
        return []
    half = float(solved.turned.between_runs) / 2
    long = 0.35 * solved.anchor_per_chain
    tip = (long * float(np.cos(half)), long * float(np.sin(half)))
    shown = system.show(solved.anchor_load, "force")
    words = shown if brief else f"anchor load {shown}"
    return [
        Arrow((0, 0), tip, "force resultant"),
        Label(tip, words, "strong text", (10, -4), "start"),
    ]


def roller_bars(solved: SolvedRoller, system: UnitSystem) -> Drawing:
    """Draw chain tension and anchor load as bars."""
    rows = [
        ("chain", solved.tension, "bar pull"),
        ("anchor", solved.anchor_load, "bar part"),
    ]
    return force_bars(
        [(row[0], *row) for row in rows], caption="chain and anchor", system=system
    )


def bridle_amounts(solved: SolvedBridle) -> dict[str, tuple[float, str]]:
    """Return the numbers of a bridle, most telling first."""
    left, right = float(solved.tensions.left), float(solved.tensions.right)
    pull = solved.given.si("pull_kn")
    angles, legs = map(float, solved.angles), map(float, solved.legs)
    limits = [] if solved.legs_at_limit is None else map(float, solved.legs_at_limit)
    return {
        "left leg": (left, "force"),
        "right leg": (right, "force"),
        "pull needed": (pull, "force"),
        "left leg per pull": (left / pull, "ratio"),
        "right leg per pull": (right / pull, "ratio"),
        "left leg from the line of pull": (next(angles), "angle"),
        "right leg from the line of pull": (next(angles), "angle"),
        "left leg, length": (next(legs), "length"),
        "right leg, length": (next(legs), "length"),
        **{
            f"{side} leg, length at the school's limit": (leg, "length")
            for side, leg in zip(("left", "right"), limits, strict=False)
        },
    }


BRIDLE = Subject(
    name="bridle",
    word=WORD,
    fields=FIELDS,
    front=("between_deg", "shift_mm", "pull_kn"),
    held="pull needed",
    solve=lambda values: BridleGiven(values=values).solved(),
    amounts=bridle_amounts,
    picture=bridle_sheet,
    projected=bridle_projector_sheet,
    cautions=("S0", "S1", "S8"),
)


def roller_amounts(solved: SolvedRoller) -> dict[str, tuple[float, str]]:
    """Return the numbers of a redirect, most telling first."""
    return {
        "anchor load": (solved.anchor_load, "force"),
        "chain tension": (solved.tension, "force"),
        "anchor load per tension": (solved.anchor_per_chain, "ratio"),
        "angle between the runs": (float(solved.turned.between_runs), "angle"),
    }


REDIRECT = Subject(
    name="roller",
    word=ROLLER_WORD,
    fields=ROLLER_FIELDS,
    front=("between_deg", "tension_kn"),
    held="chain tension",
    solve=lambda values: RollerGiven(values=values).solved(),
    amounts=roller_amounts,
    picture=roller_sheet,
    projected=roller_projector_sheet,
    cautions=("S0", "S1", "S8"),
)
