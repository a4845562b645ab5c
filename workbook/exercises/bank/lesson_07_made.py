"""L07, what is made and not worked out: a set-up of the ram, a drawing of the head."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.exercises.answers.draw_it import ActingForce, ArrowMistake, DrawIt
from workbook.exercises.answers.set_it_out import SetItOut, SetUpMistake
from workbook.exercises.bank.lesson_07 import (
    CAUTIONS,
    DRAWN,
    RIG,
    anchor_leg,
    equal_legs,
    legs_unlike_and_moderate,
    pull_leg,
)
from workbook.exercises.declaration import (
    ByHand,
    Derived,
    Exercise,
    Numbers,
    Sketch,
    picked,
    stepped,
)

if TYPE_CHECKING:
    from workbook.scenes.setups import SolvedPull

DEGREE = np.pi / 180

PULL_LINE = SetItOut(
    rig={
        "chain_angle_deg": 0.0,
        "clamp_height_mm": "clamp_height",
        "clamp_distance_mm": "clamp_distance",
        "fork_distance_mm": 900.0,
        "lean_deg": "lean",
        "extension_mm": "extension",
        "ram_force_kn": "ram_force",
    },
    free=("clamp_distance_mm", "lean_deg", "extension_mm", "stroke_mm"),
    amount="rise",
    wanted="rise",
    margin="margin",
    stroke_left="stroke_left",
    search={
        "clamp_distance_mm": np.arange(600.0, 2001, 100),
        "lean_deg": np.arange(0.0, 31, 5),
        "extension_mm": np.arange(0.0, 901, 25),
    },
)


def _now(g: Numbers) -> float:
    return float(PULL_LINE.solved(g, {}).pull.rise)


def _raised(g: Numbers, does: SolvedPull) -> Any:
    steeper = does.pull.rise > g.now + DEGREE / 2
    return (g.now > g.rise) & steeper & (_height_gained(g, does) > 0)


def _lowered(g: Numbers, does: SolvedPull) -> Any:
    flatter = does.pull.rise < g.now - DEGREE / 2
    return (g.now < g.rise) & flatter & (_height_gained(g, does) < 0)


def _height_gained(g: Numbers, does: SolvedPull) -> Any:
    return does.pull.head[..., 2] - PULL_LINE.solved(g, {}).pull.head[2]


def _from_the_bench(g: Numbers, does: SolvedPull) -> Any:
    along = does.pull.head[..., 0] - does.rig.clamp[..., 0]
    return _seems_right(g, up=does.pull.head[..., 2], along=along)


def _as_if_upright(g: Numbers, does: SolvedPull) -> Any:
    rig = does.rig
    long = rig.closed_length + rig.extension + rig.stroke
    along = rig.base[..., 0] - rig.clamp[..., 0]
    leans = np.abs(does.setup.array("lean_deg")) > 4.5 * DEGREE
    return leans & _seems_right(g, up=long - rig.clamp[..., 2], along=along)


def _seems_right(g: Numbers, *, up: Any, along: Any) -> Any:
    """Tell where heights and lengths taken like this would give the wanted rise."""
    return np.abs(np.arctan2(up, along) - g.rise) <= DEGREE


def _at_the_head(g: Numbers) -> tuple[ActingForce, ...]:
    """Return what acts on the head, angles from the level line outward."""
    legs = {"pull_leg": np.pi + g.pull_angle, "anchor_leg": -g.anchor_angle}
    sizes = {"pull_leg": pull_leg(g), "anchor_leg": anchor_leg(g)}
    return (
        ActingForce(name="ram", at="H", angle=g.ram_angle, size=g.ram_force),
        *(
            ActingForce(name=name, at="H", angle=angle, size=sizes[name], chain=True)
            for name, angle in legs.items()
        ),
    )


def _legs_to_be_drawn(g: Numbers) -> bool:
    legs = pull_leg(g), anchor_leg(g)
    within = 0.35 * g.ram_force <= min(legs) <= max(legs) <= 1.3 * g.ram_force
    return legs_unlike_and_moderate(g) and within


EXERCISES = (
    Exercise(
        id="7.7",
        lesson="L07",
        given={
            "clamp_height": stepped("mm", 300, 600, 50),
            "clamp_distance": stepped("mm", 900, 1500, 50),
            "lean": stepped("deg", 0, 20, 5),
            "extension": stepped("mm", 150, 600, 75),
            "ram_force": stepped("kN", 18, 28),
            "rise": stepped("deg", 6, 24),
            "margin": picked("%", 70, 75, 80, 85, 90),
            "stroke_left": stepped("mm", 120, 180, 20),
        },
        derived={"now": Derived(unit="deg", digits=1, solve=_now)},
        answer=PULL_LINE,
        mistakes=(
            SetUpMistake("raised_not_lowered", _raised),
            SetUpMistake("lowered_not_raised", _lowered),
            SetUpMistake("clamp_height_forgotten", _from_the_bench),
            SetUpMistake("lean_forgotten", _as_if_upright),
        ),
        # The head stands 450 + 300 = 750 up and 1000 out, 300 above the clamp: the
        # arctangent of 0.3 is 16.7°. With 125 less it is 175 above: 9.93°.
        by_hand=ByHand(
            {
                "clamp_height": 450,
                "clamp_distance": 1000,
                "lean": 0,
                "extension": 300,
                "ram_force": 18,
                "rise": 10,
                "margin": 90,
                "stroke_left": 120,
            },
            "extension 175 mm",
        ),
        sketch=Sketch("to_set_out"),
        easier="7.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="7.8",
        lesson="L07",
        given=RIG,
        allowed=_legs_to_be_drawn,
        answer=DrawIt(
            forces=_at_the_head,
            hooks=("H", "C", "A", "B"),
            longest=lambda g: g.ram_force,
        ),
        mistakes=(
            ArrowMistake(
                "M03_wrong_reference_line",
                of="ram",
                angle=lambda g: np.pi / 2 - g.ram_angle,
            ),
            ArrowMistake(
                "M03_wrong_reference_line",
                of="pull_leg",
                angle=lambda g: 3 * np.pi / 2 - g.pull_angle,
            ),
            ArrowMistake(
                "M03_wrong_reference_line",
                of="anchor_leg",
                angle=lambda g: g.anchor_angle - np.pi / 2,
            ),
            ArrowMistake("straight_up", of="ram", angle=lambda _: np.pi / 2),
            *(
                ArrowMistake(name, of=of, size=size, other=other)
                for name, size in (
                    ("M10_equal_legs", equal_legs),
                    ("M11_ram_half", lambda g: g.ram_force / 2),
                )
                for of, other in (
                    ("pull_leg", "anchor_leg"),
                    ("anchor_leg", "pull_leg"),
                )
            ),
            ArrowMistake(
                "M12_gauge_is_chain",
                of="pull_leg",
                size=lambda g: g.ram_force,
            ),
            ArrowMistake(
                "M13_legs_add_up",
                of="anchor_leg",
                size=lambda g: g.ram_force - pull_leg(g),
            ),
        ),
        # The ram pushes away from its base, each leg pulls toward its other end:
        # 180 + 20 and 360 − 45. Their sizes are those of 7.2 and 7.3.
        by_hand=ByHand(
            {"ram_force": 40, "ram_angle": 55, "anchor_angle": 45, "pull_angle": 20},
            "H 55° 40 kN; H 200° 43.46 kN; H 315° 25.32 kN",
        ),
        sketch=Sketch("head_to_draw", DRAWN),
        easier="7.3",
        cautions=CAUTIONS,
    ),
)
