"""L02, a pull is an arrow: parts of a pull, two pulls added."""

from __future__ import annotations

from math import atan, atan2, cos, degrees, hypot, pi, radians, sin, sqrt

import numpy as np

from workbook.exercises.answers.draw_it import ActingForce, ArrowMistake, DrawIt
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
    picked,
    stepped,
)
from workbook.mechanics.vectors import Array, direction, norm, side_angle_of


def _ahead(g: Numbers) -> float:
    """Part along the wanted line of a pull of one, ``angle`` off it in plan."""
    return float(direction(side_angle=g.angle, rise=0.0)[0])


def _lift(g: Numbers) -> float:
    return float(g.tension * direction(side_angle=0.0, rise=g.rise)[2])


def _forward(g: Numbers) -> float:
    rise = pi / 2 - g.angle_from_vertical
    return float(g.tension * direction(side_angle=0.0, rise=rise)[0])


def _sum(g: Numbers) -> Array:
    first, second = direction(side_angle=[0.0, g.between], rise=0.0)
    return np.asarray(g.first * first + g.second * second)


def _size_of_sum(g: Numbers) -> float:
    return float(norm(_sum(g)))


def _angle_of_sum(g: Numbers) -> float:
    return float(side_angle_of(_sum(g)))


def _unlike(g: Numbers) -> bool:
    return bool(max(g.first, g.second) >= 1.3 * min(g.first, g.second))


def _at_the_clamp(g: Numbers) -> tuple[ActingForce, ...]:
    """Return what acts on a clamp that two chains pull at, angles from the first."""
    pulls = {"first": (0.0, g.first), "second": (g.between, g.second)}
    hold = pi + _angle_of_sum(g)
    return (
        *(
            ActingForce(name=name, at="C", angle=angle, size=size, chain=True)
            for name, (angle, size) in pulls.items()
        ),
        ActingForce(name="hold", at="C", angle=hold, size=_size_of_sum(g)),
    )


TENSION = stepped("kN", 8, 40)
PULL = stepped("kN", 6, 30)

EXERCISES = (
    Exercise(
        id="2.1",
        lesson="L02",
        given={
            "tension": TENSION,
            "angle": picked("deg", *range(21, 40), *range(51, 71)),
        },
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=lambda g: g.tension * _ahead(g),
            tolerance=TWO_PERCENT,
            smallest=2.7,
            largest=37.4,
        ),
        mistakes=(
            Mistake("M01_whole_tension", lambda g: g.tension),
            Mistake("M02_sin_cos", lambda g: g.tension * sin(g.angle)),
            Mistake(
                "M04_in_step_with_angle",
                lambda g: g.tension * (1 - g.angle / (pi / 2)),
            ),
            slip("radians", lambda g: g.tension * cos(degrees(g.angle))),
            slip("mult_div", lambda g: g.tension / cos(g.angle)),
        ),
        # cos 30° = 0.8660, and 20 × 0.8660 = 17.32.
        by_hand=ByHand({"tension": 20, "angle": 30}, 17.32),
        sketch=Sketch("one_pull", {"angle": "angle"}),
    ),
    Exercise(
        id="2.2",
        lesson="L02",
        given={
            "tension": TENSION,
            "rise": picked("deg", *range(12, 40), *range(51, 69)),
        },
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_lift,
            tolerance=TWO_PERCENT,
            smallest=1.6,
            largest=37.1,
        ),
        mistakes=(
            Mistake("M01_whole_tension", lambda g: g.tension),
            Mistake("M02_sin_cos", lambda g: g.tension * cos(g.rise)),
            Mistake("M04_in_step_with_angle", lambda g: g.tension * g.rise / (pi / 2)),
            slip("radians", lambda g: g.tension * sin(degrees(g.rise))),
        ),
        # The lift lies across from 30°: half the tension.
        by_hand=ByHand({"tension": 20, "rise": 30}, 10.0),
        sketch=Sketch("rising_pull", {"angle": "rise"}),
        easier="2.1",
    ),
    Exercise(
        id="2.3",
        lesson="L02",
        given={
            "tension": TENSION,
            "angle_from_vertical": picked("deg", *range(12, 40), *range(51, 69)),
        },
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_forward,
            tolerance=TWO_PERCENT,
            smallest=1.6,
            largest=37.1,
        ),
        mistakes=(
            Mistake("M01_whole_tension", lambda g: g.tension),
            Mistake(
                "M03_wrong_reference_line",
                lambda g: g.tension * cos(g.angle_from_vertical),
            ),
            in_radians(lambda g: g.tension * sin(degrees(g.angle_from_vertical))),
        ),
        # The forward part lies across from 30°: half the tension.
        by_hand=ByHand({"tension": 20, "angle_from_vertical": 30}, 10.0),
        sketch=Sketch("leaning_pull", {"angle": "angle_from_vertical"}),
        easier="2.2",
    ),
    Exercise(
        id="2.4",
        lesson="L02",
        given={
            "first": PULL,
            "second": PULL,
            "between": picked("deg", *range(45, 71, 5), *range(110, 131, 5)),
        },
        allowed=lambda g: 0.45 <= g.first / g.second <= 2.2,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_size_of_sum,
            tolerance=TWO_PERCENT,
            smallest=5.0,
            largest=55.5,
        ),
        mistakes=(
            Mistake("M05_plain_sum", lambda g: g.first + g.second),
            Mistake("right_angle_rule", lambda g: hypot(g.first, g.second)),
            Mistake(
                "cosine_rule_sign",
                lambda g: sqrt(
                    g.first**2 + g.second**2 - 2 * g.first * g.second * cos(g.between)
                ),
            ),
            in_radians(
                lambda g: sqrt(
                    g.first**2
                    + g.second**2
                    + 2 * g.first * g.second * cos(degrees(g.between))
                )
            ),
        ),
        # At a right angle 3 and 4 make 5.
        by_hand=ByHand({"first": 3, "second": 4, "between": 90}, 5.0),
        sketch=Sketch(
            "two_pulls",
            {
                "first": "first",
                "second": "second",
                "between": "between",
                "joint": _angle_of_sum,
            },
        ),
    ),
    Exercise(
        id="2.5",
        lesson="L02",
        given={
            "first": PULL,
            "second": PULL,
            "between": picked("deg", *range(50, 76, 5), *range(105, 121, 5)),
        },
        allowed=_unlike,
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_angle_of_sum,
            tolerance=Tolerance(absolute=1.0),
            smallest=7.0,
            largest=110.0,
        ),
        mistakes=(
            Mistake("M06_half_way", lambda g: g.between / 2),
            Mistake("from_other_pull", lambda g: g.between - _angle_of_sum(g)),
            Mistake(
                "right_angle_rule",
                lambda g: atan2(g.second, g.first),
                secondary=True,
            ),
            in_radians(
                lambda g: radians(
                    atan(
                        g.second
                        * sin(degrees(g.between))
                        / (g.first + g.second * cos(degrees(g.between)))
                    )
                )
            ),
        ),
        # 4 ahead and 3 across: the tangent is 0.75, as in the triangle of 3, 4 and 5.
        by_hand=ByHand({"first": 4, "second": 3, "between": 90}, 36.87),
        sketch=Sketch(
            "two_pulls",  # one like any other: the angle asked for is not to be seen
            {"first": 1.0, "second": 0.8, "between": radians(66), "joint": radians(30)},
        ),
        easier="2.4",
    ),
    Exercise(
        id="2.6",
        lesson="L02",
        given={
            "useful_pull": PULL,
            "angle": picked("deg", *range(21, 41), *range(50, 64)),
        },
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=lambda g: g.useful_pull / _ahead(g),
            tolerance=TWO_PERCENT,
            smallest=6.4,
            largest=66.1,
        ),
        mistakes=(
            Mistake("M01_whole_tension", lambda g: g.useful_pull),
            Mistake("M02_sin_cos", lambda g: g.useful_pull / sin(g.angle)),
            Mistake(
                "M04_in_step_with_angle",
                lambda g: g.useful_pull / (1 - g.angle / (pi / 2)),
            ),
            slip("mult_div", lambda g: g.useful_pull * cos(g.angle)),
            in_radians(lambda g: g.useful_pull / cos(degrees(g.angle))),
        ),
        # cos 60° is a half, so it takes twice the useful pull.
        by_hand=ByHand({"useful_pull": 10, "angle": 60}, 20.0),
        sketch=Sketch("one_pull", {"angle": "angle"}),
        easier="2.1",
    ),
    Exercise(
        id="2.7",
        lesson="L02",
        given={
            "first": stepped("kN", 8, 30),
            "second": stepped("kN", 8, 30),
            "between": picked("deg", *range(65, 81, 5), *range(100, 126, 5)),
        },
        allowed=lambda g: 0.55 <= g.first / g.second <= 1.8,
        answer=DrawIt(
            forces=_at_the_clamp,
            hooks=("C", "F", "S"),
            longest=lambda g: max(g.first, g.second),
        ),
        mistakes=(
            ArrowMistake("M05_plain_sum", of="hold", size=lambda g: g.first + g.second),
            ArrowMistake(
                "right_angle_rule",
                of="hold",
                size=lambda g: hypot(g.first, g.second),
            ),
            ArrowMistake(
                "M06_half_way",
                of="hold",
                angle=lambda g: pi + g.between / 2,
            ),
            ArrowMistake(
                "other_side", of="second", angle=lambda g: -g.between, primary=True
            ),
        ),
        # The sum: 15 + 15 × cos 120° = 7.5 along, 15 × 0.8660 = 12.99 across, so 15 at
        # 60°. The body holds against it: 180° further.
        by_hand=ByHand(
            {"first": 15, "second": 15, "between": 120},
            "C 0° 15 kN; C 120° 15 kN; C 240° 15 kN",
        ),
        sketch=Sketch("clamp_to_draw", {"between": "between"}),
        easier="2.4",
    ),
)
