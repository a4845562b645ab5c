"""L14, holding pulls: moment balance, floor redirect, net lift, hold-downs, places."""

from __future__ import annotations

from math import cos, degrees, sin

from workbook.exercises.answers.picked import SHUFFLE, Choose, Mispicked
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
from workbook.mechanics.holding.levers import hold_lever
from workbook.mechanics.pull.rigging import redirect
from workbook.mechanics.vectors import direction

CAUTIONS = ("S0", "S1", "S3")
DOWN = (0.0, -1.0)
MOST = 40e3  # what a hold is asked to carry, at most [N]


def _held(pull: float, *, arm: float, hold_arm: float) -> float:
    """Return the hold behind the turning point for a pull ahead of it. [N]"""
    held = hold_lever(
        (0.0, -pull), at=(arm, 0.0), hook=(-hold_arm, 0.0), direction=DOWN
    )
    return float(held.hold)


def _redirected(g: Numbers) -> float:
    runs = direction(side_angle=[g.between / 2, -g.between / 2], rise=0.0)
    return float(redirect(g.tension, run_a=runs[0], run_b=runs[1]).anchor_load)


def _lift(g: Numbers) -> float:
    """Return what is left of the lifting part once the weight is off the stands. [N]"""
    return float(g.tension * direction(side_angle=0.0, rise=g.rise)[2] - g.weight)


def _near(g: Numbers) -> float:
    held = hold_lever(
        (0.0, g.push),
        at=(0.0, 0.0),
        hook=(g.near_by, 0.0),
        direction=DOWN,
        turning_point=(-g.far_off, 0.0),
    )
    return float(held.hold)


PLACES = ("close", "square", "leaning", "soft")
OFFERED = {
    **SHUFFLE,
    "pull": stepped("kN", 10, 30),
    "arm": stepped("mm", 500, 1000, 50),
    "close": stepped("mm", 450, 800, 50),
    "square": stepped("mm", 1200, 1600, 50),
    "leaning": stepped("mm", 1700, 2100, 50),
    "lean": stepped("deg", 20, 35),
    "soft": stepped("mm", 2200, 2600, 50),
}


def _hold_at(g: Numbers, place: str) -> float:
    """Return what the chain at a place has to carry. [N]"""
    way = (-cos(g.lean), -sin(g.lean)) if place == "leaning" else DOWN
    held = hold_lever(
        (0.0, -g.pull), at=(g.arm, 0.0), hook=(-getattr(g, place), 0.0), direction=way
    )
    return float(held.hold)


def _lowest(g: Numbers) -> str:
    """Return the place of the lowest load, of those on sound metal."""
    return min(PLACES[:3], key=lambda place: _hold_at(g, place))


def _chosen(g: Numbers) -> str:
    return PLACES[round(g.place) - 1]


def _a_choice(g: Numbers) -> bool:
    """Tell whether the lowest is neither the nearest place nor the furthest."""
    others = min(_hold_at(g, "close"), _hold_at(g, "leaning"))
    return (
        _hold_at(g, "square") <= 0.9 * others
        and abs(g.arm / g.square - 1) >= 0.1
        and _hold_at(g, "close") <= 1.5 * MOST
    )


BY_HAND = {
    "shuffle": 1,
    "pull": 20,
    "arm": 750,
    "close": 600,
    "square": 1500,
    "leaning": 2000,
    "lean": 30,
    "soft": 2400,
}

EXERCISES = (
    Exercise(
        id="14.1",
        lesson="L14",
        given={
            "pull": stepped("kN", 10, 35),
            "arm": stepped("mm", 300, 1400, 50),
            "hold_arm": stepped("mm", 600, 2200, 50),
        },
        allowed=lambda g: _held(g.pull, arm=g.arm, hold_arm=g.hold_arm) <= MOST,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=lambda g: _held(g.pull, arm=g.arm, hold_arm=g.hold_arm),
            tolerance=TWO_PERCENT,
            smallest=1.3,
            largest=40.1,
        ),
        mistakes=(
            Mistake("M27_equal_hold", lambda g: g.pull),
            Mistake("M27_arms_swapped", lambda g: g.pull * g.hold_arm / g.arm),
        ),
        # 18 × 900 = 16 200, and 16 200 ÷ 1500.
        by_hand=ByHand({"pull": 18, "arm": 900, "hold_arm": 1500}, 10.8),
        sketch=Sketch("lever_hold"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="14.2",
        lesson="L14",
        given={
            "tension": stepped("kN", 8, 30),
            "between": picked(
                "deg",
                *range(65, 85),
                *range(100, 115),
                *range(130, 161, 2),
            ),
        },
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_redirected,
            tolerance=TWO_PERCENT,
            smallest=2.7,
            largest=50.7,
        ),
        mistakes=(
            Mistake("M16_one_chain", lambda g: g.tension),
            Mistake("M16_two_chains", lambda g: 2 * g.tension),
            Mistake("full_angle", lambda g: abs(2 * g.tension * cos(g.between))),
            Mistake(
                "sine_key", lambda g: 2 * g.tension * sin(g.between / 2), secondary=True
            ),
            in_radians(lambda g: 2 * g.tension * cos(degrees(g.between / 2))),
        ),
        # cos 50° = 0.6428, and 2 × 15 × 0.6428.
        by_hand=ByHand({"tension": 15, "between": 100}, 19.284),
        sketch=Sketch("redirect_between", {"between": "between"}),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="14.3",
        lesson="L14",
        given={
            "tension": stepped("kN", 8, 30),
            "rise": stepped("deg", 10, 60),
            "weight": stepped("kN", 3, 8, 0.5),
        },
        allowed=lambda g: _lift(g) >= 1e3,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_lift,
            tolerance=Tolerance(absolute=0.2),
            smallest=0.9,
            largest=23.1,
        ),
        mistakes=(
            Mistake("weight_forgotten", lambda g: g.tension * sin(g.rise)),
            Mistake("M02_sin_cos", lambda g: g.tension * cos(g.rise) - g.weight),
            Mistake(
                "M01_whole_tension", lambda g: g.tension - g.weight, secondary=True
            ),
            in_radians(lambda g: g.tension * sin(degrees(g.rise)) - g.weight),
        ),
        # 20 × sin 30° = 10, and 10 − 4.
        by_hand=ByHand({"tension": 20, "rise": 30, "weight": 4}, 6.0),
        sketch=Sketch("net_lift", {"rise": "rise"}),
        easier="2.2",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="14.4",
        lesson="L14",
        given={
            "push": stepped("kN", 10, 40),
            "near_by": stepped("mm", 400, 1300, 50),
            "far_off": stepped("mm", 600, 1600, 50),
        },
        allowed=lambda g: g.far_off - g.near_by >= 0.19,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_near,
            tolerance=TWO_PERCENT,
            smallest=5.0,
            largest=32.1,
        ),
        mistakes=(
            Mistake("half_each", lambda g: g.push / 2),
            slip("swapped", lambda g: g.push * g.near_by / (g.near_by + g.far_off)),
        ),
        # 20 × 1500 ÷ 2400.
        by_hand=ByHand({"push": 20, "near_by": 900, "far_off": 1500}, 12.5),
        sketch=Sketch("two_hold_downs"),
        easier="14.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="14.5a",
        lesson="L14",
        given=OFFERED,
        allowed=_a_choice,
        answer=Choose(items=lambda _: PLACES, right=_lowest),
        mistakes=(
            Mispicked("nearest_hold", lambda _: "close"),
            Mispicked("furthest_hold", lambda _: "leaning"),
            Mispicked("hold_on_bent_metal", lambda _: "soft"),
        ),
        # 20 × 750 = 15 000: over 600 25, over 1500 10, over 2000 × 0.5 15 kN; the last
        # carries least of all, but keeps no sound metal still.
        by_hand=ByHand(BY_HAND, "b"),
        sketch=Sketch("four_holds"),
        easier="14.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="14.5b",
        lesson="L14",
        given=OFFERED,
        allowed=_a_choice,
        derived={
            "place": Derived(
                unit="1", digits=0, solve=lambda g: 1.0 + PLACES.index(_lowest(g))
            )
        },
        carry=Carry(source="14.5a", name="place", choices=len(PLACES)),
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=lambda g: _hold_at(g, _chosen(g)),
            tolerance=TWO_PERCENT,
            smallest=3.1,
            largest=25.1,
        ),
        mistakes=(
            Mistake("M27_equal_hold", lambda g: g.pull),
            Mistake("M27_arms_swapped", lambda g: g.pull**2 / _hold_at(g, _chosen(g))),
        ),
        # 20 × 750 ÷ 1500.
        by_hand=ByHand(BY_HAND, 10.0),
        easier="14.1",
        cautions=CAUTIONS,
    ),
)
