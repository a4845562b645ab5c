"""L02, a pull is an arrow: parts of a pull, two pulls added."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, pi, sin, sqrt

import numpy as np

from workbook.exercises.engine import (
    TWO_PERCENT,
    Exercise,
    Given,
    Mistake,
    Tolerance,
    picked,
    slip,
    stepped,
)
from workbook.mechanics.vectors import Array, direction, norm, side_angle_of


def _ahead(g: Given) -> float:
    """Part along the wanted line of a pull of one, ``angle`` off it in plan."""
    return float(direction(side_angle=g.angle, rise=0.0)[0])


def _lift(g: Given) -> float:
    return float(g.tension * direction(side_angle=0.0, rise=g.rise)[2])


def _forward(g: Given) -> float:
    rise = pi / 2 - g.angle_from_vertical
    return float(g.tension * direction(side_angle=0.0, rise=rise)[0])


def _sum(g: Given) -> Array:
    first, second = direction(side_angle=[0.0, g.between], rise=0.0)
    return np.asarray(g.first * first + g.second * second)


def _size_of_sum(g: Given) -> float:
    return float(norm(_sum(g)))


def _angle_of_sum(g: Given) -> float:
    return float(side_angle_of(_sum(g)))


def _unlike(g: Given) -> bool:
    return bool(max(g.first, g.second) >= 1.3 * min(g.first, g.second))


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
        kind="force",
        unit="kN",
        solve=lambda g: g.tension * _ahead(g),
        tolerance=TWO_PERCENT,
        smallest=2.7,
        largest=37.4,
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
        cautions=("S0",),
    ),
    Exercise(
        id="2.2",
        lesson="L02",
        given={
            "tension": TENSION,
            "rise": picked("deg", *range(12, 40), *range(51, 69)),
        },
        kind="force",
        unit="kN",
        solve=_lift,
        tolerance=TWO_PERCENT,
        smallest=1.6,
        largest=37.1,
        mistakes=(
            Mistake("M01_whole_tension", lambda g: g.tension),
            Mistake("M02_sin_cos", lambda g: g.tension * cos(g.rise)),
            Mistake("M04_in_step_with_angle", lambda g: g.tension * g.rise / (pi / 2)),
            slip("radians", lambda g: g.tension * sin(degrees(g.rise))),
        ),
        cautions=("S0",),
    ),
    Exercise(
        id="2.3",
        lesson="L02",
        given={
            "tension": TENSION,
            "angle_from_vertical": picked("deg", *range(12, 40), *range(51, 69)),
        },
        kind="force",
        unit="kN",
        solve=_forward,
        tolerance=TWO_PERCENT,
        smallest=1.6,
        largest=37.1,
        mistakes=(
            Mistake("M01_whole_tension", lambda g: g.tension),
            Mistake(
                "M03_wrong_reference_line",
                lambda g: g.tension * cos(g.angle_from_vertical),
            ),
        ),
        cautions=("S0",),
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
        kind="force",
        unit="kN",
        solve=_size_of_sum,
        tolerance=TWO_PERCENT,
        smallest=5.0,
        largest=55.5,
        mistakes=(
            Mistake("M05_plain_sum", lambda g: g.first + g.second),
            Mistake("right_angle_rule", lambda g: hypot(g.first, g.second)),
            Mistake(
                "cosine_rule_sign",
                lambda g: sqrt(
                    g.first**2 + g.second**2 - 2 * g.first * g.second * cos(g.between)
                ),
            ),
        ),
        cautions=("S0",),
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
        kind="angle",
        unit="deg",
        solve=_angle_of_sum,
        tolerance=Tolerance(absolute=1.0),
        smallest=7.0,
        largest=110.0,
        mistakes=(
            Mistake("M06_half_way", lambda g: g.between / 2),
            Mistake("from_other_pull", lambda g: g.between - _angle_of_sum(g)),
            Mistake(
                "right_angle_rule",
                lambda g: atan2(g.second, g.first),
                secondary=True,
            ),
        ),
        cautions=("S0",),
    ),
    Exercise(
        id="2.6",
        lesson="L02",
        given={
            "useful_pull": PULL,
            "angle": picked("deg", *range(21, 41), *range(50, 64)),
        },
        kind="force",
        unit="kN",
        solve=lambda g: g.useful_pull / _ahead(g),
        tolerance=TWO_PERCENT,
        smallest=6.4,
        largest=66.1,
        mistakes=(
            Mistake("M01_whole_tension", lambda g: g.useful_pull),
            Mistake("M02_sin_cos", lambda g: g.useful_pull / sin(g.angle)),
            Mistake(
                "M04_in_step_with_angle",
                lambda g: g.useful_pull / (1 - g.angle / (pi / 2)),
            ),
            slip("mult_div", lambda g: g.useful_pull * cos(g.angle)),
        ),
        cautions=("S0",),
    ),
)
