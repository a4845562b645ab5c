"""L03, anchor the vehicle: the most loaded clamp, the yaw moment, lift, level hold."""

from __future__ import annotations

from math import cos, degrees, sin

import numpy as np

from workbook.exercises.answers.quantity import (
    TWO_PERCENT,
    Mistake,
    Quantity,
    in_radians,
)
from workbook.exercises.declaration import (
    ByHand,
    Exercise,
    Numbers,
    Sketch,
    stepped,
)
from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.wrenches import net_wrench
from workbook.mechanics.vectors import Array, direction
from workbook.scenes.anchored import pinch_weld_clamps

CAUTIONS = ("S0", "S6")
OFF_CENTRE = {
    "pull": stepped("kN", 10, 40),
    "offset": stepped("mm", 150, 600, 25),
    "width": stepped("mm", 1300, 1600, 20),
}
APART = 1.8  # m, between pairs of clamps where a question does not say: it is the same


def reactions(
    pull: Array, *, hook: Array, width: float, spacing: float = APART, pairs: int = 2
) -> Array:
    """Return the forces of clamps that hold along only, shape (2 * pairs, 3) [N]."""
    clamps = pinch_weld_clamps(
        spacing=spacing, width=width, hold="along only", pairs=pairs
    )
    held = share_load(net_wrench([pull], points=[hook]), clamps=clamps)
    return held.clamp_forces[: 2 * pairs]


def level_pull(pull: float, offset: float, *, width: float, pairs: int = 2) -> Array:
    """Return what each clamp holds back along the car, the left one first [N]."""
    held = reactions(
        np.array([pull, 0.0, 0.0]),
        hook=np.array([1.0, offset, 0.0]),
        width=width,
        pairs=pairs,
    )
    return -held[:, 0]


def _heavy(g: Numbers) -> float:
    return float(level_pull(g.pull, g.offset, width=g.width).max())


def _yaw(g: Numbers) -> float:
    about = net_wrench([[g.pull, 0.0, 0.0]], points=[[1.0, g.offset, 0.0]])
    return abs(float(about[5]))


def _front_lift(g: Numbers) -> float:
    pull = g.tension * direction(side_angle=0.0, rise=g.rise)
    hook = np.array([g.ahead, 0.0, 0.0])
    held = reactions(pull, hook=hook, width=1.5, spacing=g.spacing)
    return -float(held[:2, 2].sum())


def _level(g: Numbers) -> float:
    return float(g.tension * direction(side_angle=0.0, rise=g.rise)[0])


EXERCISES = (
    Exercise(
        id="3.1",
        lesson="L03",
        given=OFF_CENTRE,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_heavy,
            tolerance=TWO_PERCENT,
            smallest=2.9,
            largest=19.3,
        ),
        mistakes=(
            Mistake("M25_even_share", lambda g: g.pull / 4),
            Mistake(
                "light_side_given",
                lambda g: g.pull / 4 - g.pull * g.offset / (2 * g.width),
            ),
            Mistake("side_total", lambda g: g.pull / 2 + g.pull * g.offset / g.width),
            Mistake(
                "whole_width_missed",
                lambda g: g.pull / 4 + g.pull * g.offset / g.width,
            ),
            Mistake(
                "extra_over_four",
                lambda g: g.pull / 4 + g.pull * g.offset / (4 * g.width),
            ),
        ),
        # 24/4 = 6.0, and 24 × 400 ÷ (2 × 1500) = 3.2 more.
        by_hand=ByHand({"pull": 24, "offset": 400, "width": 1500}, 9.2),
        sketch=Sketch("pull_off_centre"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="3.2",
        lesson="L03",
        given=OFF_CENTRE,
        answer=Quantity(
            kind="moment",
            unit="kN m",
            solve=_yaw,
            tolerance=TWO_PERCENT,
            smallest=1.5,
            largest=24.1,
        ),
        mistakes=(
            Mistake("M26_no_arm", lambda g: g.pull * 1.0),
            Mistake("M26_width_as_arm", lambda g: g.pull * g.width),
            Mistake(
                "M26_half_width_as_arm",
                lambda g: g.pull * g.width / 2,
                secondary=True,
            ),
            Mistake(
                "arm_in_millimetres",
                lambda g: 1000 * g.pull * g.offset,
                secondary=True,
                score=0.6,
            ),
        ),
        # 24 × 0.400.
        by_hand=ByHand({"pull": 24, "offset": 400, "width": 1500}, 9.6),
        sketch=Sketch("pull_off_centre"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="3.3",
        lesson="L03",
        given={
            "tension": stepped("kN", 10, 35),
            "rise": stepped("deg", 8, 35),
            "ahead": stepped("mm", 500, 1100, 50),
            "spacing": stepped("mm", 1500, 2400, 50),
        },
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_front_lift,
            tolerance=TWO_PERCENT,
            smallest=1.6,
            largest=34.8,
        ),
        mistakes=(
            Mistake("no_lever", lambda g: g.tension * sin(g.rise)),
            Mistake(
                "rear_pair_given",
                lambda g: g.tension * sin(g.rise) * g.ahead / g.spacing,
            ),
            Mistake(
                "M01_whole_tension",
                lambda g: g.tension * (g.ahead + g.spacing) / g.spacing,
            ),
            Mistake(
                "M02_sin_cos",
                lambda g: g.tension * cos(g.rise) * (g.ahead + g.spacing) / g.spacing,
            ),
            in_radians(
                lambda g: (
                    g.tension * sin(degrees(g.rise)) * (g.ahead + g.spacing) / g.spacing
                )
            ),
        ),
        # sin 30° is a half: 10 kN lift, and (800 + 2000) ÷ 2000 = 1.4 of it.
        by_hand=ByHand(
            {"tension": 20, "rise": 30, "ahead": 800, "spacing": 2000}, 14.0
        ),
        sketch=Sketch("pull_ahead_of_clamps", {"rise": "rise"}),
        easier="2.2",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="3.4",
        lesson="L03",
        given={"tension": stepped("kN", 10, 40), "rise": stepped("deg", 21, 40)},
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_level,
            tolerance=TWO_PERCENT,
            smallest=7.6,
            largest=37.4,
        ),
        mistakes=(
            Mistake("M01_whole_tension", lambda g: g.tension),
            Mistake("M02_sin_cos", lambda g: g.tension * sin(g.rise)),
            Mistake("counted_twice", lambda g: 2 * g.tension * cos(g.rise)),
            in_radians(lambda g: g.tension * cos(degrees(g.rise))),
        ),
        # cos 30° = 0.8660, and 20 × 0.8660 = 17.32.
        by_hand=ByHand({"tension": 20, "rise": 30}, 17.32),
        sketch=Sketch("rising_pull", {"angle": "rise"}),
        easier="2.1",
        cautions=CAUTIONS,
    ),
)
