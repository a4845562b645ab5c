"""Pictures of one hung chain: its sag, its end slopes and the energy it can store."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    Label,
    Line,
    Mark,
    Marker,
    Panel,
    Point,
    Sheet,
    arc,
    window_for,
)
from workbook.figures.drawing.scales import force_bars, round_up, scale_bar
from workbook.figures.subject import Subject
from workbook.mechanics.pull.catenary import curve_points
from workbook.quantities.units import factor
from workbook.scenes.hanging import FIELDS, WORD, Hanging, HungChain, fine_units

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.quantities.units import UnitSystem

Ghost = tuple[str, HungChain]

WIDTH, HEIGHT = 820.0, 520.0


def chain_sag_sheet(
    solved: HungChain, *, system: UnitSystem, ghosts: Sequence[Ghost] = ()
) -> Sheet:
    """Return the picture of a hung chain and of the energy it stores.

    Parameters
    ----------
    solved : HungChain
        The chain.
    system : UnitSystem
        Units of the labels.
    ghosts : sequence of (str, HungChain)
        Frozen chains to show behind it, each with its letter.
    """
    side = side_view(solved, system, ghosts)
    curve = energy_curve(solved, system)
    return Sheet(
        width=WIDTH,
        height=HEIGHT,
        text=describe(solved, system=system),
        panels=(
            Panel(drawing=side, left=0, top=0, width=WIDTH, height=290),
            Panel(drawing=curve, left=0, top=310, width=WIDTH, height=210),
        ),
    )


def projector_sheet(
    solved: HungChain, *, system: UnitSystem, ghosts: Sequence[Ghost] = ()
) -> Sheet:
    """Return the chain, and two bars of energy, for large letters."""
    side = side_view(solved, system, ghosts, brief=True)
    bars = energy_bars(solved, system)
    return Sheet(
        width=1240,
        height=430,
        text=describe(solved, system=system),
        panels=(
            Panel(drawing=side, left=0, top=30, width=780, height=400),
            Panel(drawing=bars, left=800, top=60, width=440, height=250),
        ),
    )


def describe(solved: HungChain, *, system: UnitSystem) -> str:
    """Say in words what the picture shows, from the same numbers."""
    hung, show = solved.hung, system.show
    held = solved.given.chosen("set_by")
    tightest = float(max(hung.near_tension, hung.far_tension))
    amount = {
        "slack": show(float(hung.slack), "small length"),
        "chain tension": f"{show(tightest, 'force')} at the upper end",
        "chain sag": show(float(hung.sag), "small length"),
    }[held]
    working = solved.given.si("working_kn")
    span = f"{show(float(hung.span), 'length')}{_rise_words(solved, system)}"
    return (
        f"Held fixed: {solved.given.shown('set_by')}, {amount}. "
        f"Over a span of {span} "
        f"with {show(float(hung.slack), 'small length')} of slack, the chain sag is "
        f"{show(float(hung.sag), 'small length')} below the straight line between the "
        f"ends. It pulls with {show(float(hung.horizontal_tension), 'force')} level, "
        f"{show(float(hung.near_tension), 'force')} at C and "
        f"{show(float(hung.far_tension), 'force')} at H. "
        f"Pulled to {show(working, 'force')} it would store "
        f"{show(solved.energy(working), 'energy')}, and at twice that, "
        f"{show(2 * working, 'force')}, four times as much: "
        f"{show(solved.energy(2 * working), 'energy')} (stiffness: "
        f"{solved.stiffness_words})."
    )


def _rise_words(solved: HungChain, system: UnitSystem) -> str:
    rise = float(solved.hung.rise)
    if rise == 0:
        return ""
    way = "higher" if rise > 0 else "lower"
    return f", H {system.show(abs(rise), 'length')} {way} than C,"


def _curve(solved: HungChain) -> list[Point]:
    x, y = curve_points(solved.hung, count=61)
    return [(float(a), float(b)) for a, b in zip(x, y, strict=True)]


def side_view(
    solved: HungChain,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the chain from the side, at true scale, C on the left and H on the right."""
    hung, curve = solved.hung, _curve(solved)
    near, far = curve[0], curve[-1]
    others = [(letter, _curve(other)) for letter, other in ghosts]
    points = [p for c in (curve, *(c for _, c in others)) for p in c]
    window = _window(points)
    moving: list[Mark] = []
    for letter, other in others:
        moving += [
            Line(other, "ghost"),
            Label(other[5 * len(other) // 6], f"ghost {letter}", "ghost text", (0, 16)),
        ]
    moving += [
        Line([near, far], "reference"),
        *_slopes(solved, near, far, system, brief=brief),
        Line(curve, "pull leg"),
        *_sag_mark(solved, system, brief=brief),
        Marker(near, "square", "clamp"),
        _letter(near, "C", below=float(hung.near_angle_from_horizontal) > 0, far=brief),
        Marker(far, "disc", "head"),
        _letter(far, "H", below=float(hung.far_angle_from_horizontal) < 0, far=brief),
    ]
    return Drawing(
        caption="" if brief else "side view of the chain, true scale; dashed: straight",
        window=window,
        still=scale_bar(window, system),
        moving=moving,
    )


def _letter(end: Point, letter: str, *, below: bool, far: bool) -> Label:
    """Name an end above it, or below where the chain climbs from it."""
    lift = 26 if far else 18
    return Label(end, letter, "strong text", (0, lift if below else -lift))


def _window(points: Sequence[Point]) -> tuple[float, float, float, float]:
    """Return a window with room for the words beyond the ends and below."""
    wide = max(x for x, _ in points)
    high = max(y for _, y in points) - min(y for _, y in points)
    size = max(wide, 2 * high)
    step = size / 8
    left, right, low, top = window_for(points, step=step)
    return (left - 0.36 * size, right + 0.36 * size, low - step, top + step)


def _slopes(
    solved: HungChain, near: Point, far: Point, system: UnitSystem, *, brief: bool
) -> list[Mark]:
    """Mark the slope at each end as an arc from the level."""
    hung = solved.hung
    radius = 0.15 * solved.chord
    marks: list[Mark] = []
    for end, way, angle in (
        (near, 1, float(hung.near_angle_from_horizontal)),
        (far, -1, float(hung.far_angle_from_horizontal)),
    ):
        level = 0.0 if way > 0 else pi
        down = "down" if angle * way < 0 else "up"
        shown = system.show(abs(angle), "angle")
        marks += [
            Line([end, (end[0] + 1.3 * way * radius, end[1])], "reference"),
            Line(arc(end, radius, level, level + angle), "angle"),
            Label(
                end,
                shown if brief else f"{shown} {down} from level",
                "angle text",
                (-16 * way, 0),
                "end" if way > 0 else "start",
            ),
        ]
    return marks


def _sag_mark(solved: HungChain, system: UnitSystem, *, brief: bool) -> list[Mark]:
    """Mark the chain sag where it is largest, from the straight line down."""
    hung = solved.hung
    x = float(hung.sag_position)
    top = x / float(hung.span) * float(hung.rise)
    low = top - float(hung.sag)
    half = 0.015 * float(hung.span)
    steep = float(hung.rise) / float(hung.span)
    align = "middle" if abs(steep) < 0.15 else "start" if steep > 0 else "end"
    shown = system.show(float(hung.sag), "small length")
    return [
        Line([(x, top), (x, low)], "angle"),
        *(Line([(x - half, y), (x + half, y)], "angle") for y in (top, low)),
        Label(
            (x, low),
            shown if brief else f"chain sag {shown}",
            "strong text",
            ({"middle": 0, "start": 8, "end": -8}[align], 26 if brief else 18),
            align,
        ),
    ]


def energy_curve(solved: HungChain, system: UnitSystem) -> Drawing:
    """Draw stored energy against tension, with the working tension and twice it."""
    working = solved.given.si("working_kn")
    twice, most = 2 * working, solved.energy(2 * working)
    far = round_up(twice, unit=factor(system.unit["force"]))
    top = round_up(most, unit=factor(system.unit["energy"]))

    def at(tension: float) -> Point:
        return tension / far, solved.energy(tension) / top

    # The curve ends where it leaves the frame: energy grows by the square.
    last = min(far, twice * float(np.sqrt(top / most)))
    curve = [(0.0, 0.0), *(at(last * k / 40) for k in range(1, 41))]
    show = system.show
    once_text, twice_text = (
        f"{show(t, 'force')}: {show(solved.energy(t), 'energy')}"
        for t in (working, twice)
    )
    return Drawing(
        caption=f"stored energy against tension; stiffness: {solved.stiffness_words}",
        window=(-0.12, 1.16, -0.16, 1.25),
        still=[
            Line([(0, 1.06), (0, 0), (1.03, 0)], "angle"),
            Label((0, 1), show(top, "energy"), "small text", (-6, 0), "end"),
            Label((1, 0), show(far, "force"), "small text", (0, 14)),
            Label((0, 0), "0", "small text", (-6, 8), "end"),
            Label((1.03, 0), "tension", "small text", (6, 0), "start"),
        ],
        moving=[
            *_guides(at(working)),
            *_guides(at(twice)),
            Line(curve, "pull leg"),
            Marker(at(working), "disc", "head"),
            Label(at(working), once_text, "strong text", (12, 5), "start"),
            Marker(at(twice), "square", "head"),
            Label(at(twice), f"twice, {twice_text}", "text", (-14, -8), "end"),
        ],
        true_scale=False,
    )


def _guides(point: Point) -> list[Mark]:
    x, y = point
    return [Line([(x, 0), (x, y), (0, y)], "reference")]


def energy_bars(solved: HungChain, system: UnitSystem) -> Drawing:
    """Draw the energy at the working tension and at twice it as two bars."""
    working = solved.given.si("working_kn")
    rows = [
        (system.show(tension, "force"), solved.energy(tension), role)
        for tension, role in ((working, "bar pull"), (2 * working, "bar part"))
    ]
    return force_bars(
        [(row[0], *row) for row in rows],
        caption="stored energy",
        system=system,
        kind="energy",
        names=0.7,
    )


def amounts(solved: HungChain) -> dict[str, tuple[float, str]]:
    """Return the numbers of a hung chain, most telling first."""
    hung, working = solved.hung, solved.given.si("working_kn")
    return {
        "chain sag": (float(hung.sag), "small length"),
        "level tension": (float(hung.horizontal_tension), "force"),
        "stored energy at working tension": (solved.energy(working), "energy"),
        "stored energy at twice that": (solved.energy(2 * working), "energy"),
        "tension at C": (float(hung.near_tension), "force"),
        "tension at H": (float(hung.far_tension), "force"),
        "slope at C": (float(hung.near_angle_from_horizontal), "angle"),
        "slope at H": (float(hung.far_angle_from_horizontal), "angle"),
        "slack": (float(hung.slack), "small length"),
        "chain length": (float(hung.length), "small length"),
        "chain sag from slack, by the tight-chain rule": (
            solved.sag_by_parabola,
            "small length",
        ),
        "slack from chain sag, by the rule": (solved.slack_by_parabola, "small length"),
        "level tension from chain sag, by the rule": (
            solved.tension_by_parabola,
            "force",
        ),
    }


# Only what the chain is held fixed by is in sight of slack, tension and sag.
CHAIN_SAG = Subject(
    name="chain sag",
    word=WORD,
    fields=FIELDS,
    front=("slack_mm", "take_up_kn", "sag_mm", "span_mm"),
    only_with={
        "slack_mm": ("set_by", ("slack",)),
        "take_up_kn": ("set_by", ("chain tension",)),
        "sag_mm": ("set_by", ("chain sag",)),
    },
    held="set_by",
    solve=lambda values: Hanging(values=values).solved(),
    amounts=amounts,
    picture=chain_sag_sheet,
    projected=projector_sheet,
    cautions=("S0", "S1", "S5"),
    units=fine_units,
)
