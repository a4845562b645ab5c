"""L06, what is picked or made: a line past a part that must not be disturbed."""

from __future__ import annotations

from math import atan2, cos, hypot, pi, radians, sin

from workbook.exercises.answers.draw_it import ActingForce, ArrowMistake, DrawIt
from workbook.exercises.answers.line_it_up import LineItUp, LineMistake
from workbook.exercises.answers.picked import SHUFFLE, Choose, Mispicked
from workbook.exercises.answers.quantity import TWO_PERCENT, Mistake, Quantity
from workbook.exercises.bank.lesson_06 import CAUTIONS
from workbook.exercises.declaration import (
    ByHand,
    Carry,
    Derived,
    Exercise,
    Numbers,
    Sketch,
    picked,
    stepped,
)
from workbook.mechanics.vectors import direction

LINES = ("light", "between", "straight")
OFFERED = {
    **SHUFFLE,
    "light_tension": stepped("kN", 8, 14),
    "light_off": stepped("deg", 16, 30),
    "between_tension": stepped("kN", 12, 22),
    "between_off": stepped("deg", 7, 14),
    "straight_tension": stepped("kN", 22, 38),
    "straight_off": stepped("deg", 4, 9),
}


def _line(g: Numbers, name: str) -> tuple[float, float]:
    return getattr(g, f"{name}_tension"), getattr(g, f"{name}_off")


def _across(g: Numbers, name: str) -> float:
    tension, off = _line(g, name)
    return float(tension * direction(side_angle=off, rise=0.0)[1])


def _chosen(g: Numbers) -> tuple[float, float]:
    return _line(g, LINES[round(g.line) - 1])


def _gentlest(g: Numbers) -> str:
    return min(LINES, key=lambda name: _across(g, name))


def _a_choice(g: Numbers) -> bool:
    """Tell whether the gentlest is neither the lightest line nor the straightest."""
    (light, wide), (middle, less), (heavy, least) = (_line(g, name) for name in LINES)
    others = min(_across(g, "light"), _across(g, "straight"))
    return (
        light + 2e3 <= middle <= heavy - 2e3
        and wide - radians(2.5) >= less >= least + radians(1.5)
        and _across(g, "between") <= 0.9 * others
    )


def _second(g: Numbers) -> float:
    return float(g.first * sin(g.wanted) / sin(g.between - g.wanted))


def _both(g: Numbers) -> float:
    """Return what both pulls make along the wanted line. [N]"""
    return float(g.first * cos(g.wanted) + _second(g) * cos(g.between - g.wanted))


def _along_one_line(g: Numbers) -> tuple[ActingForce, ...]:
    """Return what acts on the clamp, angles from the first pull."""
    pulls = {"first": (0.0, g.first), "second": (g.between, _second(g))}
    return (
        *(
            ActingForce(name=name, at="C", angle=angle, size=size, chain=True)
            for name, (angle, size) in pulls.items()
        ),
        ActingForce(name="hold", at="C", angle=pi + g.wanted, size=_both(g)),
    )


def _side(g: Numbers) -> float:
    return atan2(g.width, g.length)


def _rise(g: Numbers) -> float:
    return atan2(g.height, hypot(g.length, g.width))


EXERCISES = (
    Exercise(
        id="6.6a",
        lesson="L06",
        given=OFFERED,
        allowed=_a_choice,
        answer=Choose(items=lambda _: LINES, right=_gentlest),
        mistakes=(
            Mispicked(
                "lightest_line",
                lambda g: min(LINES, key=lambda name: _line(g, name)[0]),
            ),
            Mispicked(
                "straightest_line",
                lambda g: min(LINES, key=lambda name: _line(g, name)[1]),
            ),
        ),
        # 10 × sin 22° = 3.746, 16 × sin 10° = 2.778, 32 × sin 6° = 3.345: the second.
        by_hand=ByHand(
            {
                "shuffle": 1,
                "light_tension": 10,
                "light_off": 22,
                "between_tension": 16,
                "between_off": 10,
                "straight_tension": 32,
                "straight_off": 6,
            },
            "a",
        ),
        sketch=Sketch("three_lines", {name: f"{name}_off" for name in LINES}),
        easier="6.4",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="6.6b",
        lesson="L06",
        given=OFFERED,
        allowed=_a_choice,
        derived={
            "line": Derived(
                unit="1", digits=0, solve=lambda g: 1.0 + LINES.index(_gentlest(g))
            )
        },
        carry=Carry(source="6.6a", name="line", choices=len(LINES)),
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=lambda g: _across(g, LINES[round(g.line) - 1]),
            tolerance=TWO_PERCENT,
            smallest=1.4,
            largest=5.4,
        ),
        mistakes=(
            Mistake(
                "M07_small_angle_harmless",
                lambda g: _chosen(g)[0] * (1 - cos(_chosen(g)[1])),
            ),
            Mistake("M02_sin_cos", lambda g: _chosen(g)[0] * cos(_chosen(g)[1])),
            Mistake(
                "M04_in_step_with_angle",
                lambda g: _chosen(g)[0] * _chosen(g)[1] / (pi / 2),
            ),
        ),
        # 16 × sin 10° = 16 × 0.1736.
        by_hand=ByHand(
            {
                "shuffle": 1,
                "light_tension": 10,
                "light_off": 22,
                "between_tension": 16,
                "between_off": 10,
                "straight_tension": 32,
                "straight_off": 6,
            },
            2.778,
        ),
        easier="6.4",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="6.7",
        lesson="L06",
        given={
            "first": stepped("kN", 8, 20),
            "between": picked("deg", *range(55, 81, 5), *range(100, 111, 5)),
            "wanted": stepped("deg", 20, 60, 5),
        },
        allowed=lambda g: (
            g.between - g.wanted >= radians(20)
            and 0.5 <= _second(g) / g.first <= 1.5
            and abs(_second(g) / g.first - 1) >= 0.2
        ),
        answer=DrawIt(
            forces=_along_one_line,
            hooks=("C", "F", "S"),
            longest=lambda g: 1.5 * g.first,
        ),
        mistakes=(
            ArrowMistake("M06_half_way", of="second", size=lambda g: g.first),
            ArrowMistake(
                "turned_about",
                of="second",
                size=lambda g: g.first * sin(g.between - g.wanted) / sin(g.wanted),
            ),
            ArrowMistake(
                "M05_plain_sum", of="hold", size=lambda g: g.first + _second(g)
            ),
            ArrowMistake("M06_half_way", of="hold", angle=lambda g: pi + g.between / 2),
            ArrowMistake(
                "other_side", of="second", angle=lambda g: -g.between, primary=True
            ),
        ),
        # sin 30° = 0.5, sin 40° = 0.6428: the second pulls 12 × 0.5 ÷ 0.6428 = 9.334.
        # Along the line 12 × 0.8660 + 9.334 × 0.7660 = 17.54, held the other way round.
        by_hand=ByHand(
            {"first": 12, "between": 70, "wanted": 30},
            "C 0° 12 kN; C 70° 9.33 kN; C 210° 17.5 kN",
        ),
        sketch=Sketch("line_to_draw", {"between": "between", "wanted": "wanted"}),
        easier="6.5",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="6.8",
        lesson="L06",
        given={
            "length": stepped("mm", 10, 40),
            "width": stepped("mm", 6, 40),
            "height": stepped("mm", 5, 25),
        },
        allowed=lambda g: g.height <= 1.5 * g.length,  # no steeper than can be set
        derived={
            "forward": Derived(unit="mm", digits=0, solve=lambda g: -g.length),
            "up": Derived(unit="mm", digits=0, solve=lambda g: -g.height),
        },
        answer=LineItUp(
            rig={
                "forward_mm": "forward",
                "left_mm": "width",
                "up_mm": "up",
            }
        ),
        mistakes=(
            LineMistake("mirror_side", lambda g: (_side(g), _rise(g))),
            LineMistake("lowered_not_raised", lambda g: (-_side(g), -_rise(g))),
            LineMistake("M02_sin_cos", lambda g: (_side(g) - pi / 2, _rise(g))),
            LineMistake(
                "length_only", lambda g: (-_side(g), atan2(g.height, g.length))
            ),
        ),
        # As in 6.2: 18 over 24 is the tangent of 36.87°, 10 over 30 that of 18.43°.
        by_hand=ByHand(
            {"length": 24, "width": 18, "height": 10},
            "bearing -37 deg; rise 18 deg",
        ),
        sketch=Sketch("point_in_space"),
        easier="6.2",
        cautions=CAUTIONS,
    ),
)
