"""L12, several rams on one line: pressure shared in full, oil flow shared out."""

from __future__ import annotations

from math import atan2, cos, degrees, pi, radians, sin
from typing import TYPE_CHECKING

import numpy as np

from workbook.exercises.answers.picked import SHUFFLE, Mispicked, Order
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
    Carry,
    Derived,
    Exercise,
    Numbers,
    Sketch,
    picked,
    stepped,
)
from workbook.mechanics.hydraulics.pressure import (
    force_from_pressure,
    oil_pressure,
    piston_area,
)
from workbook.mechanics.hydraulics.supply import Rams, extend_rams, moving_pressures

if TYPE_CHECKING:
    from collections.abc import Callable

CAUTIONS = ("S0", "S1", "S4", "S5", "S11")
BORE = stepped("mm", 30, 45)
NAMES = ("first", "second", "third")


def _force(g: Numbers) -> float:
    return float(force_from_pressure(g.pressure, piston_area=piston_area(g.bore)))


def _all_forces(g: Numbers) -> float:
    other = force_from_pressure(g.pressure, piston_area=piston_area(g.other))
    return float(_force(g) + (g.rams - 1) * other)


# ------------------------------------------------------- two pulls on the same side


def _along(g: Numbers) -> float:
    return float(g.first * cos(g.first_angle) + g.second * cos(g.second_angle))


def _aside(g: Numbers) -> float:
    return float(g.first * sin(g.first_angle) + g.second * sin(g.second_angle))


def _turn(g: Numbers) -> float:
    return atan2(_aside(g), _along(g))


def _half_way(g: Numbers) -> float:
    return float((g.first_angle + g.second_angle) / 2)


# No pull and no angle is what is asked of both, so that neither part tells the other.
PULL = picked("kN", *range(10, 16), *range(28, 34))
ANGLE = picked("deg", *range(21, 25), *range(37, 41))
TWO = {"first": PULL, "first_angle": ANGLE, "second": PULL, "second_angle": ANGLE}
WORKED_TWO = {"first": 10, "first_angle": 21, "second": 33, "second_angle": 40}


def _not_half_way(g: Numbers) -> bool:
    """Tell whether the stronger pull draws both together clear of half-way."""
    clear = abs(_turn(g) - _half_way(g)) >= radians(3.1)
    return clear and _along(g) >= 33.8e3


# -------------------------------------------------------------------- time and order


def _time(g: Numbers) -> float:
    """Return how long equal rams take, all against the same light load."""
    count = round(g.rams)
    rams = Rams(
        areas=np.full(count, float(piston_area(g.bore))),
        resistances=np.array(1.0),
        strokes=np.array(g.stroke),
    )
    return float(extend_rams(rams, flow=g.flow, supply_pressure=1e8).times[-1])


def _by(rank: Callable[[Numbers, str], float]) -> Callable[[Numbers], dict[str, float]]:
    return lambda g: {name: rank(g, name) for name in NAMES}


def _bore(g: Numbers, name: str) -> float:
    return float(getattr(g, f"{name}_bore"))


def _load(g: Numbers, name: str) -> float:
    return float(getattr(g, f"{name}_load"))


def _needed(g: Numbers) -> dict[str, float]:
    rams = Rams(
        areas=piston_area([_bore(g, name) for name in NAMES]),
        resistances=np.array([_load(g, name) for name in NAMES]),
    )
    return dict(zip(NAMES, moving_pressures(rams).tolist(), strict=True))


def _told_apart(g: Numbers) -> bool:
    """Tell whether bores, loads and pressures differ enough to be put in order."""
    bores, loads = ([of(g, name) for name in NAMES] for of in (_bore, _load))
    low, middle, high = sorted(_needed(g).values())
    return (
        len({*bores}) == len({*loads}) == len(NAMES)
        and middle >= 1.06 * low
        and high >= 1.06 * middle
        and high <= 450e5
    )


EXERCISES = (
    Exercise(
        id="12.1",
        lesson="L12",
        given={
            "pressure": stepped("bar", 80, 450, 10),
            "bore": BORE,
            "other": BORE,
            "rams": picked("1", 2, 3),
        },
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_force,
            tolerance=TWO_PERCENT,
            smallest=5.6,
            largest=71.6,
        ),
        mistakes=(
            Mistake("M22_pressure_shared", lambda g: _force(g) / g.rams),
            Mistake("M23_diameter_as_radius", lambda g: 4 * _force(g)),
            Mistake("all_rams_added", _all_forces),
            slip("bar_for_mpa", lambda g: 10 * _force(g)),
        ),
        # π × 42 × 42 ÷ 4 = 1385.4 mm², and 200 × 1385.4 ÷ 10000 = 27.71.
        by_hand=ByHand({"pressure": 200, "bore": 42, "other": 30, "rams": 3}, 27.71),
        sketch=Sketch("rams_on_line", {"rams": "rams"}),
        easier="10.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="12.2",
        lesson="L12",
        given=TWO,
        allowed=_not_half_way,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_along,
            tolerance=TWO_PERCENT,
            smallest=33.7,
            largest=44.5,
        ),
        mistakes=(
            Mistake("M05_plain_sum", lambda g: g.first + g.second),
            Mistake("M02_sin_cos", _aside),
            Mistake(
                "larger_pull_only",
                lambda g: max(
                    g.first * cos(g.first_angle), g.second * cos(g.second_angle)
                ),
            ),
            in_radians(
                lambda g: (
                    g.first * cos(degrees(g.first_angle))
                    + g.second * cos(degrees(g.second_angle))
                )
            ),
        ),
        # 10 × cos 21° = 9.336, 33 × cos 40° = 25.279.
        by_hand=ByHand(WORKED_TWO, 34.62),
        sketch=Sketch(
            "two_on_one_side", {"first": "first_angle", "second": "second_angle"}
        ),
        easier="2.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="12.3",
        lesson="L12",
        given={
            "bore": BORE,
            "stroke": stepped("mm", 50, 200, 10),
            "flow": stepped("L/min", 0.4, 2.0, 0.1),
            "rams": picked("1", 2, 3, 4),
        },
        answer=Quantity(
            kind="time",
            unit="s",
            solve=_time,
            tolerance=TWO_PERCENT,
            smallest=2.1,
            largest=191.0,
        ),
        mistakes=(
            Mistake("flow_not_shared", lambda g: _time(g) / g.rams),
            Mistake("M23_diameter_as_radius", lambda g: 4 * _time(g)),
            slip("minutes_for_seconds", lambda g: _time(g) / 60),
        ),
        # 12.566 cm² × 10 cm × 3 = 377 cm³; 1 L/min is 16.67 cm³ a second: 22.62.
        by_hand=ByHand({"bore": 40, "stroke": 100, "flow": 1.0, "rams": 3}, 22.62),
        sketch=Sketch("rams_on_line", {"rams": "rams"}),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="12.4",
        lesson="L12",
        given={
            **SHUFFLE,
            **{f"{name}_bore": BORE for name in NAMES},
            **{f"{name}_load": stepped("kN", 8, 40) for name in NAMES},
        },
        allowed=_told_apart,
        answer=Order(items=lambda _: NAMES, right=_needed),
        mistakes=(
            Mispicked("M24_largest_bore_first", _by(lambda g, name: -_bore(g, name))),
            Mispicked("M24_largest_load_first", _by(lambda g, name: -_load(g, name))),
            Mispicked("smallest_load_first", _by(_load)),
        ),
        # 24 kN on 12.57 cm², 18 on 15.90, 14 on 8.04: 191, 113 and 174 bar.
        by_hand=ByHand(
            {
                "shuffle": 2,
                **{"first_bore": 40, "second_bore": 45, "third_bore": 32},
                **{"first_load": 24, "second_load": 18, "third_load": 14},
            },
            "c, b, a",
        ),
        sketch=Sketch("rams_on_line", {"rams": 3.0}),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="12.5",
        lesson="L12",
        given={
            "air": stepped("bar", 4, 9, 0.5),
            "ratio": stepped("1", 40, 90),
            "rams": picked("1", 2, 3, 4),
        },
        answer=Quantity(
            kind="pressure",
            unit="bar",
            solve=lambda g: float(oil_pressure(g.air, pump_ratio=g.ratio)),
            tolerance=TWO_PERCENT,
            smallest=160.0,
            largest=810.0,
        ),
        mistakes=(
            Mistake("M22_pressure_shared", lambda g: g.air * g.ratio / g.rams),
            Mistake("ratio_left_out", lambda g: g.air),
        ),
        # Seven times sixty.
        by_hand=ByHand({"air": 7, "ratio": 60, "rams": 3}, 420.0),
        sketch=Sketch("rams_on_line", {"rams": "rams"}),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="12.6",
        lesson="L12",
        given=TWO,
        allowed=_not_half_way,
        derived={"along": Derived(unit="kN", digits=1, solve=_along)},
        carry=Carry(source="12.2", name="along"),
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=lambda g: atan2(_aside(g), g.along),
            tolerance=Tolerance(absolute=1.0),
            smallest=20.0,
            largest=41.0,
        ),
        mistakes=(
            Mistake("M06_half_way", _half_way),
            Mistake("M02_sin_cos", lambda g: pi / 2 - atan2(_aside(g), g.along)),
        ),
        # 10 × sin 21° + 33 × sin 40° = 24.80 aside; 24.80 ÷ 34.6 = 0.7167.
        by_hand=ByHand(WORKED_TWO, 35.63),
        sketch=Sketch(
            "two_on_one_side",  # like any other: the angle asked for is not to be seen
            {"first": radians(24), "second": radians(37)},
        ),
        easier="2.5",
        cautions=CAUTIONS,
    ),
)
