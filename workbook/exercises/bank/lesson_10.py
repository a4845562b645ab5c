"""L10, from gauge to chain, and the whole load path."""

from __future__ import annotations

from math import cos, degrees, pi, sin

from workbook.exercises.answers.quantity import (
    TWO_PERCENT,
    Mistake,
    Quantity,
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
    stepped,
)
from workbook.mechanics.hydraulics.pressure import (
    force_from_pressure,
    piston_area,
    pressure_from_force,
)
from workbook.mechanics.vectors import direction


def _area(g: Numbers) -> float:
    return float(piston_area(g.bore))


def _ram_force(g: Numbers) -> float:
    return float(force_from_pressure(g.pressure, piston_area=_area(g)))


def _ring_for_area(g: Numbers) -> float:
    """Return what comes out where the way round the piston stands for its area.

    In the numbers of the question: bar, and millimetres where squares belong.
    """
    return float(pi * g.bore / 1e-3 * 1e-6)  # m^2, had the millimetres been square ones


def _chain_force(g: Numbers) -> float:
    return float(_ram_force(g) * g.ratio)


# ------------------------------------------------- three parts, each with its rating

PARTS = (
    ("chain_rating", "pull_ratio"),
    ("clamp_rating", "pull_ratio"),
    ("slot_rating", "anchor_ratio"),
)


def _limits(g: Numbers) -> list[float]:
    """Return the ram force that brings each part to its rating."""
    return [getattr(g, rating) / getattr(g, ratio) for rating, ratio in PARTS]


def _highest_ram_force(g: Numbers) -> float:
    return min(_limits(g))


def _lowest_stamp(g: Numbers) -> float:
    return float(min(getattr(g, rating) for rating, _ in PARTS))


def _limit_of_lowest_stamp(g: Numbers) -> float:
    return min(zip((getattr(g, r) for r, _ in PARTS), _limits(g), strict=True))[1]


def _tells_parts_apart(g: Numbers) -> bool:
    """Whether a rig has these ratios, one part governs, and not by its stamp."""
    first, second, _ = sorted(_limits(g))
    closes = abs(g.pull_ratio - g.anchor_ratio) <= 0.95  # with the ram: a triangle
    stamps = sorted(getattr(g, rating) for rating, _ in PARTS)
    return bool(
        closes
        and g.pull_ratio + g.anchor_ratio >= 1.05
        and second >= 1.1 * first
        and stamps[1] > stamps[0]
        and _limit_of_lowest_stamp(g) > first
        and abs(stamps[0] - first) >= 0.07 * first
        and 12e3 <= first <= 60e3
    )


def _uplift(g: Numbers) -> float:
    return float(g.tension * direction(side_angle=0.0, rise=g.angle)[2])


def _allowed_pressure(g: Numbers) -> float:
    force = g.margin * g.limit
    return float(pressure_from_force(force, piston_area=_area(g)))


CAUTIONS = ("S0", "S6", "S7")
PRESSURE = stepped("bar", 80, 600, 10)
BORE = stepped("mm", 30, 45)
PATH = {
    "chain_rating": stepped("kN", 20, 80),
    "clamp_rating": stepped("kN", 20, 80),
    "slot_rating": stepped("kN", 20, 80),
    "pull_ratio": stepped("1", 0.6, 1.6, 0.05),
    "anchor_ratio": stepped("1", 0.3, 1.6, 0.05),
    "bore": BORE,
    "margin": stepped("1", 0.5, 0.8, 0.05),
}

WORKED_PATH = {  # of the cases by hand
    "chain_rating": 40,
    "clamp_rating": 50,
    "slot_rating": 30,
    "pull_ratio": 1.25,
    "anchor_ratio": 0.6,
    "bore": 40,
    "margin": 0.5,
}


def _sensible_path(g: Numbers) -> bool:
    return _tells_parts_apart(g) and _highest_ram_force(g) <= 700e5 * _area(g)


EXERCISES = (
    Exercise(
        id="10.1",
        lesson="L10",
        given={"pressure": PRESSURE, "bore": BORE},
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_ram_force,
            tolerance=TWO_PERCENT,
            smallest=5.6,
            largest=95.5,
        ),
        mistakes=(
            Mistake("M23_diameter_as_radius", lambda g: 4 * _ram_force(g)),
            Mistake("way_round_for_area", lambda g: g.pressure * _ring_for_area(g)),
            slip("bar_for_mpa", lambda g: 10 * _ram_force(g)),
        ),
        # π × 40 × 40 ÷ 4 = 1256.6 mm², and 300 × 1256.6 ÷ 10000 = 37.70.
        by_hand=ByHand({"pressure": 300, "bore": 40}, 37.70),
        sketch=Sketch("cylinder"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="10.2",
        lesson="L10",
        given={"ram_force": stepped("kN", 8, 60), "bore": BORE},
        allowed=lambda g: g.ram_force <= 700e5 * _area(g),
        answer=Quantity(
            kind="pressure",
            unit="bar",
            solve=lambda g: float(
                pressure_from_force(g.ram_force, piston_area=_area(g))
            ),
            tolerance=TWO_PERCENT,
            smallest=50.0,
            largest=700.0,
        ),
        mistakes=(
            Mistake("M23_diameter_as_radius", lambda g: g.ram_force / (4 * _area(g))),
            Mistake("way_round_for_area", lambda g: g.ram_force / _ring_for_area(g)),
        ),
        # 1256.6 mm² again: 37.70 × 10000 ÷ 1256.6 = 300.0.
        by_hand=ByHand({"ram_force": 37.7, "bore": 40}, 300.0),
        sketch=Sketch("cylinder"),
        easier="10.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="10.3",
        lesson="L10",
        given={
            "pressure": stepped("bar", 80, 450, 10),
            "bore": BORE,
            "ratio": stepped("1", 0.6, 1.6, 0.05),
        },
        allowed=lambda g: abs(g.ratio - 1) >= 0.08,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_chain_force,
            tolerance=TWO_PERCENT,
            smallest=3.3,
            largest=115.0,
        ),
        mistakes=(
            Mistake("M12_gauge_is_chain", _ram_force),
            Mistake("M23_diameter_as_radius", lambda g: 4 * _chain_force(g)),
            Mistake("ratio_upside_down", lambda g: _ram_force(g) / g.ratio),
            slip("bar_for_mpa", lambda g: 10 * _chain_force(g)),
        ),
        # 37.70 kN of ram, and 1.2 times as much in the chain: 45.24.
        by_hand=ByHand({"pressure": 300, "bore": 40, "ratio": 1.2}, 45.24),
        sketch=Sketch("cylinder"),
        easier="10.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="10.4",
        lesson="L10",
        given=PATH,
        allowed=_sensible_path,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_highest_ram_force,
            tolerance=TWO_PERCENT,
            smallest=12.0,
            largest=60.0,
        ),
        mistakes=(
            Mistake("M20_lowest_stamp", _lowest_stamp),
            Mistake("M20_lowest_stamp", _limit_of_lowest_stamp),
            Mistake("last_part", lambda g: max(_limits(g)), secondary=True),
            slip(
                "mult_div",
                lambda g: min(getattr(g, part) * getattr(g, by) for part, by in PARTS),
            ),
        ),
        # 40 ÷ 1.25 = 32, 50 ÷ 1.25 = 40, 30 ÷ 0.6 = 50: the chain is first.
        by_hand=ByHand(WORKED_PATH, 32.0),
        sketch=Sketch("load_path"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="10.5",
        lesson="L10",
        given={
            "tension": stepped("kN", 10, 40),
            "angle": stepped("deg", 25, 68),
        },
        allowed=lambda g: not 40.5 < degrees(g.angle) < 49.5,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_uplift,
            tolerance=TWO_PERCENT,
            smallest=4.2,
            largest=37.1,
        ),
        mistakes=(
            Mistake("M01_whole_tension", lambda g: g.tension),
            Mistake("M02_sin_cos", lambda g: g.tension * cos(g.angle)),
            Mistake(
                "M04_in_step_with_angle",
                lambda g: g.tension * g.angle / (pi / 2),
                secondary=True,
            ),
            in_radians(lambda g: g.tension * sin(degrees(g.angle))),
        ),
        # sin 30° is a half: 24 × 0.5.
        by_hand=ByHand({"tension": 24, "angle": 30}, 12.0),
        sketch=Sketch("rising_anchor", {"angle": "angle"}),
        easier="2.2",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="10.6",
        lesson="L10",
        given=PATH,
        allowed=_sensible_path,
        derived={"limit": Derived(unit="kN", digits=1, solve=_highest_ram_force)},
        carry=Carry(source="10.4", name="limit"),
        answer=Quantity(
            kind="pressure",
            unit="bar",
            solve=_allowed_pressure,
            tolerance=TWO_PERCENT,
            smallest=37.0,
            largest=560.0,
        ),
        mistakes=(
            Mistake("margin_forgotten", lambda g: _allowed_pressure(g) / g.margin),
            Mistake("margin_turned_over", lambda g: _allowed_pressure(g) / g.margin**2),
            Mistake(
                "M23_diameter_as_radius",
                lambda g: _allowed_pressure(g) / 4,
                secondary=True,
            ),
        ),
        # Half of 32 kN is 16 kN, and 16 × 10000 ÷ 1256.6 = 127.3.
        by_hand=ByHand(WORKED_PATH, 127.3),
        sketch=Sketch("cylinder"),
        easier="10.2",
        cautions=CAUTIONS,
    ),
)
