"""L06, choose the pull line: bearing, rise, what goes across, two pulls on one line."""

from __future__ import annotations

from math import asin, atan, atan2, cos, degrees, hypot, pi, radians, sin

from workbook.exercises.answers.quantity import (
    TWO_PERCENT,
    Mistake,
    Quantity,
    Tolerance,
    in_radians,
    slip,
)
from workbook.exercises.declaration import (
    ByHand,
    Exercise,
    Numbers,
    Sketch,
    stepped,
)
from workbook.mechanics.holding.wrenches import net_wrench
from workbook.mechanics.vectors import direction, rise_of, side_angle_of


def _bearing(g: Numbers) -> float:
    return abs(float(side_angle_of((g.length, g.width, 0.0))))


def _rise(g: Numbers) -> float:
    return float(rise_of((g.length, g.width, g.height)))


def _tipping(g: Numbers) -> float:
    """Return the moment of a level pull about where the vehicle is held."""
    held, hook = (0.0, 0.0, g.hold_height), (0.0, 0.0, g.pull_height)
    return float(net_wrench([[g.pull, 0.0, 0.0]], points=[hook], about=held)[4])


def _sideways(g: Numbers) -> float:
    return float(g.tension * direction(side_angle=g.off, rise=0.0)[1])


def _second(g: Numbers) -> float:
    # Across the wanted line the two must cancel.
    first = direction(side_angle=g.wanted, rise=0.0)[1]
    second = direction(side_angle=g.between - g.wanted, rise=0.0)[1]
    return float(g.first * first / second)


CAUTIONS = ("S0", "S1")
ERRORS = {"length": stepped("mm", 8, 40), "width": stepped("mm", 4, 40)}

EXERCISES = (
    Exercise(
        id="6.1",
        lesson="L06",
        given=ERRORS,
        allowed=lambda g: abs(_bearing(g) - pi / 4) >= radians(3),
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_bearing,
            tolerance=Tolerance(absolute=1.0),
            smallest=5.7,
            largest=78.7,
        ),
        mistakes=(
            Mistake("M02_sin_cos", lambda g: pi / 2 - _bearing(g)),
            Mistake(
                "share_of_both",
                lambda g: pi / 2 * g.width / (g.length + g.width),
                secondary=True,
            ),
            slip("radians", lambda g: radians(_bearing(g))),
        ),
        # 3 across and 4 along: the triangle of 3, 4 and 5.
        by_hand=ByHand({"length": 24, "width": 18}, 36.87),
        sketch=Sketch("point_from_above"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="6.2",
        lesson="L06",
        given={**ERRORS, "height": stepped("mm", 5, 30)},
        allowed=lambda g: abs(_rise(g) - pi / 4) >= radians(2.5),
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_rise,
            tolerance=Tolerance(absolute=0.75),
            smallest=5.0,
            largest=73.5,
        ),
        mistakes=(
            Mistake("M02_sin_cos", lambda g: pi / 2 - _rise(g)),
            Mistake("length_only", lambda g: atan2(g.height, g.length), secondary=True),
            Mistake(
                "M05_plain_sum",
                lambda g: atan(g.height / (g.length + g.width)),
                secondary=True,
            ),
            Mistake(
                "sine_key",
                lambda g: asin(min(1.0, g.height / hypot(g.length, g.width))),
                secondary=True,
            ),
            slip("radians", lambda g: radians(_rise(g))),
        ),
        # The level distance is 30: 10 ÷ 30 = 0.3333, and its arctangent is 18.43°.
        by_hand=ByHand({"length": 24, "width": 18, "height": 10}, 18.43),
        sketch=Sketch("point_in_space"),
        easier="6.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="6.3",
        lesson="L06",
        given={
            "pull": stepped("kN", 10, 40),
            "pull_height": stepped("mm", 450, 900, 10),
            "hold_height": stepped("mm", 180, 320, 10),
        },
        answer=Quantity(
            kind="moment",
            unit="kN m",
            solve=_tipping,
            tolerance=TWO_PERCENT,
            smallest=1.3,
            largest=28.8,
        ),
        mistakes=(
            Mistake("M26_arm_from_floor", lambda g: g.pull * g.pull_height),
            Mistake("M26_wrong_arm", lambda g: g.pull * g.hold_height, secondary=True),
        ),
        # 20 × (0.650 − 0.250).
        by_hand=ByHand({"pull": 20, "pull_height": 650, "hold_height": 250}, 8.0),
        sketch=Sketch("pull_above_hold"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="6.4",
        lesson="L06",
        given={"tension": stepped("kN", 10, 35), "off": stepped("deg", 4, 25)},
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_sideways,
            tolerance=TWO_PERCENT,
            smallest=0.69,
            largest=14.8,
        ),
        mistakes=(
            Mistake("M07_small_angle_harmless", lambda g: g.tension * (1 - cos(g.off))),
            Mistake("M02_sin_cos", lambda g: g.tension * cos(g.off)),
            Mistake("M04_in_step_with_angle", lambda g: g.tension * g.off / (pi / 2)),
            in_radians(lambda g: g.tension * sin(degrees(g.off))),
        ),
        # 20 × sin 10° = 20 × 0.1736.
        by_hand=ByHand({"tension": 20, "off": 10}, 3.473),
        sketch=Sketch("one_pull", {"angle": "off"}),
        easier="2.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="6.5",
        lesson="L06",
        given={
            "first": stepped("kN", 8, 30),
            "between": stepped("deg", 50, 110),
            "wanted": stepped("deg", 15, 60),
        },
        allowed=lambda g: (
            g.between - g.wanted >= radians(20)
            and 4e3 <= _second(g) <= 45e3
            and abs(_second(g) / g.first - 1) >= 0.05
        ),
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_second,
            tolerance=TWO_PERCENT,
            smallest=4.0,
            largest=45.0,
        ),
        mistakes=(
            Mistake(
                "share_by_angle",
                lambda g: g.first * g.wanted / (g.between - g.wanted),
                secondary=True,
            ),
            Mistake(
                "turned_about",
                lambda g: g.first * sin(g.between - g.wanted) / sin(g.wanted),
            ),
            Mistake("M06_half_way", lambda g: g.first, secondary=True),
            in_radians(
                lambda g: (
                    g.first
                    * sin(degrees(g.wanted))
                    / sin(degrees(g.between - g.wanted))
                )
            ),
        ),
        # sin 30° = 0.5, sin 40° = 0.6428, and 12 × 0.5 ÷ 0.6428 = 9.334.
        by_hand=ByHand({"first": 12, "between": 70, "wanted": 30}, 9.334),
        sketch=Sketch(
            "two_pulls",
            {
                "first": "first",
                "second": "first",
                "between": "between",
                "joint": "wanted",
            },
        ),
        easier="6.4",
        cautions=CAUTIONS,
    ),
)
