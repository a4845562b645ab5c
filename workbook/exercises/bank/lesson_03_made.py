"""L03, what is picked or made: which layout holds best, and what acts on the body."""

from __future__ import annotations

from math import pi
from typing import NamedTuple

from workbook.exercises.answers.draw_it import ActingForce, ArrowMistake, DrawIt
from workbook.exercises.answers.picked import SHUFFLE, Choose, Mispicked
from workbook.exercises.answers.quantity import TWO_PERCENT, Mistake, Quantity
from workbook.exercises.bank.lesson_03 import CAUTIONS, level_pull
from workbook.exercises.declaration import (
    ByHand,
    Carry,
    Derived,
    Exercise,
    Numbers,
    Sketch,
    stepped,
)

LAYOUTS = ("many", "wide", "near", "between")
PAIRS = {"many": 3}  # of clamps; else two
OFFERED = {
    **SHUFFLE,
    "pull": stepped("kN", 12, 40),
    "many_width": stepped("mm", 700, 900, 20),
    "many_offset": stepped("mm", 500, 620, 20),
    "wide_width": stepped("mm", 1600, 1700, 20),
    "wide_offset": stepped("mm", 500, 620, 20),
    "near_width": stepped("mm", 600, 760, 20),
    "near_offset": stepped("mm", 120, 200, 10),
    "between_width": stepped("mm", 1380, 1540, 20),
    "between_offset": stepped("mm", 220, 300, 10),
}
CASE = {
    "shuffle": 1,
    "pull": 24,
    "many_width": 800,
    "many_offset": 600,
    "wide_width": 1600,
    "wide_offset": 600,
    "near_width": 600,
    "near_offset": 180,
    "between_width": 1500,
    "between_offset": 240,
}


class _Layout(NamedTuple):
    width: float
    offset: float
    clamps: int


def _layout(g: Numbers, name: str) -> _Layout:
    return _Layout(
        width=getattr(g, f"{name}_width"),
        offset=getattr(g, f"{name}_offset"),
        clamps=2 * PAIRS.get(name, 2),
    )


def _peak(g: Numbers, name: str) -> float:
    """Return what the most loaded clamp of a layout carries."""
    width, offset, clamps = _layout(g, name)
    return float(level_pull(g.pull, offset, width=width, pairs=clamps // 2).max())


def _lowest(g: Numbers) -> str:
    return min(LAYOUTS, key=lambda name: _peak(g, name))


def _chosen(g: Numbers) -> str:
    return LAYOUTS[round(g.layout) - 1]


def _even(g: Numbers) -> float:
    return float(g.pull / _layout(g, _chosen(g)).clamps)


def _light(g: Numbers) -> float:
    """Return what the least loaded clamp of the chosen layout carries."""
    width, offset, clamps = _layout(g, _chosen(g))
    return float(level_pull(g.pull, offset, width=width, pairs=clamps // 2).min())


def _by_rule(g: Numbers) -> dict[str, float]:
    """Return each layout's peak over the pull by the rule for clamps in pairs."""
    found = {name: _layout(g, name) for name in LAYOUTS}
    return {
        name: (1 + 2 * one.offset / one.width) / one.clamps
        for name, one in found.items()
    }


def _a_choice(g: Numbers) -> bool:
    """Tell whether neither the widest, the nearest nor the largest layout is best."""
    peaks = _by_rule(g)
    best = peaks.pop("between")
    return best <= 0.93 * min(peaks.values())


def _on_the_body(g: Numbers) -> tuple[ActingForce, ...]:
    """Return what acts on the body from above, the clamps of each side together."""
    left, right, *_ = 2 * level_pull(g.pull, g.offset, width=g.width)
    return (
        ActingForce(name="pull", at="H", angle=0.0, size=g.pull, chain=True),
        ActingForce(name="left_clamps", at="L", angle=pi, size=float(left)),
        ActingForce(name="right_clamps", at="R", angle=pi, size=float(right)),
    )


EXERCISES = (
    Exercise(
        id="3.5a",
        lesson="L03",
        given=OFFERED,
        allowed=_a_choice,
        answer=Choose(items=lambda _: LAYOUTS, right=_lowest),
        mistakes=(
            Mispicked("most_clamps", lambda _: "many"),
            Mispicked("widest_layout", lambda _: "wide"),
            Mispicked("nearest_line", lambda _: "near"),
        ),
        # Of 24 kN each: 24/6 × (1 + 1200/800) = 10; 24/4 × (1 + 1200/1600) = 10.5;
        # 24/4 × (1 + 360/600) = 9.6; 24/4 × (1 + 480/1500) = 7.92: the last.
        by_hand=ByHand(CASE, "d"),
        sketch=Sketch(
            "four_layouts",
            {
                size: size
                for name in LAYOUTS
                for size in (f"{name}_width", f"{name}_offset")
            },
        ),
        easier="3.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="3.5b",
        lesson="L03",
        given=OFFERED,
        allowed=_a_choice,
        derived={
            "layout": Derived(
                unit="1", digits=0, solve=lambda g: 1.0 + LAYOUTS.index(_lowest(g))
            )
        },
        carry=Carry(source="3.5a", name="layout", choices=len(LAYOUTS)),
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=lambda g: _peak(g, _chosen(g)),
            tolerance=TWO_PERCENT,
            smallest=3.8,
            largest=18.0,
        ),
        mistakes=(
            Mistake("M25_even_share", _even),
            Mistake("light_side_given", _light),
            Mistake(
                "side_total",
                lambda g: _peak(g, _chosen(g)) * _layout(g, _chosen(g)).clamps / 2,
            ),
            Mistake("extra_over_four", lambda g: (_even(g) + _peak(g, _chosen(g))) / 2),
        ),
        # 24/4 × (1 + 480/1500) = 6 × 1.32.
        by_hand=ByHand(CASE, 7.92),
        easier="3.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="3.6",
        lesson="L03",
        given={
            "pull": stepped("kN", 10, 40),
            "offset": stepped("mm", 200, 560, 20),
            "width": stepped("mm", 1300, 1600, 20),
        },
        answer=DrawIt(
            forces=_on_the_body,
            hooks=("H", "L", "R"),
            longest=lambda g: g.pull,
        ),
        mistakes=(
            ArrowMistake(
                "M25_even_share",
                of="left_clamps",
                size=lambda g: g.pull / 2,
                other="right_clamps",
            ),
            ArrowMistake(
                "light_side_given",
                of="left_clamps",
                size=lambda g: g.pull / 2 - g.pull * g.offset / g.width,
            ),
            ArrowMistake(
                "one_clamp_given",
                of="left_clamps",
                size=lambda g: g.pull / 4 + g.pull * g.offset / (2 * g.width),
            ),
        ),
        # The left side holds 24/2 + 24 × 300/1500 = 16.8, the right 24 − 16.8 = 7.2.
        by_hand=ByHand(
            {"pull": 24, "offset": 300, "width": 1500},
            "H 0° 24 kN; L 180° 16.8 kN; R 180° 7.2 kN",
        ),
        sketch=Sketch("body_to_draw", {"offset": "offset", "width": "width"}),
        easier="3.1",
        cautions=CAUTIONS,
    ),
)
