"""L08, fork offset, side angle and bridles."""

from __future__ import annotations

from functools import lru_cache
from math import atan2, cos, pi, radians, sin, tan

from workbook.exercises.engine import (
    TWO_PERCENT,
    Carry,
    Exercise,
    Given,
    Mistake,
    Tolerance,
    picked,
    slip,
    stepped,
)
from workbook.mechanics.pull.linkage import lay_out, solve_pull
from workbook.mechanics.pull.rigging import bridle
from workbook.mechanics.vectors import direction, side_angle_of


@lru_cache(maxsize=256)  # drawing asks for the same rig many times
def _sideways_for_head_of_one(
    offset: float, fork: float, clamp_height: float, clamp: float, lean: float
) -> float:
    """Sideways place of the head over its height, for a rig that stands."""
    rig = lay_out(
        clamp=(0.0, 0.0, clamp_height),
        chain_angle=0.0,
        clamp_distance=clamp,
        fork_distance=fork,
        fork_offset=offset,
        closed_length=1.0,
        full_stroke=0.0,
        swivel=pi / 2,
        lean=lean,
    )
    head = solve_pull(rig, ram_force=1.0).head - rig.base
    return float(head[1] / head[2])


def _shift(g: Given) -> float:
    # Base, anchor, clamp and head lie in one plane through the base, so the head
    # keeps its proportions whatever the length of the ram.
    lean = atan2(g.head_out, g.head_up)
    rig = (g.offset, g.fork, g.clamp_height, g.clamp_distance, lean)
    return float(g.head_up * _sideways_for_head_of_one(*rig))


def _ram_stays_upright_enough(g: Given) -> bool:
    # Sockets swivel so far and no further; thirty degrees is invented for teaching.
    return bool(_shift(g) <= g.head_up * tan(radians(30)))


def _side_angle(g: Given) -> float:
    level = (g.clamp_distance + g.head_out, g.shift, 0.0)
    return float(side_angle_of(level))


def _side_force(g: Given) -> float:
    return float(g.level_part * direction(side_angle=g.side_angle, rise=0.0)[1])


def _even_leg(g: Given) -> float:
    half = g.between / 2
    return float(bridle(g.pull, angle_left=half, angle_right=half).left)


def _first_leg(g: Given) -> float:
    legs = bridle(g.pull, angle_left=g.first_angle, angle_right=g.second_angle)
    return float(legs.left)


def _second_leg(g: Given) -> float:
    legs = bridle(g.pull, angle_left=g.first_angle, angle_right=g.second_angle)
    return float(legs.right)


CAUTIONS = ("S0", "S1", "S8")
BRIDLE_CAUTIONS = ("S0", "S1", "S6")
RIG = {
    "offset": stepped("mm", 20, 80, 5),
    "fork": stepped("mm", 500, 900, 50),
    "clamp_height": stepped("mm", 400, 700, 10),
    "clamp_distance": stepped("mm", 1200, 2000, 50),
    "head_out": stepped("mm", -100, 200, 10),
    "head_up": stepped("mm", 700, 1100, 10),
}
PULL = stepped("kN", 10, 40)

EXERCISES = (
    Exercise(
        id="8.1",
        lesson="L08",
        given=RIG,
        allowed=_ram_stays_upright_enough,
        kind="length",
        unit="mm",
        solve=_shift,
        tolerance=TWO_PERCENT,
        smallest=24.0,
        largest=636.0,
        mistakes=(
            Mistake("M18_slot_shift_only", lambda g: g.offset),
            Mistake(
                "plan_distance_only",
                lambda g: g.offset * (g.clamp_distance + g.head_out) / g.fork,
            ),
            Mistake(
                "head_out_forgotten",
                lambda g: (
                    g.offset * g.clamp_distance * g.head_up / g.fork / g.clamp_height
                ),
                secondary=True,
            ),
        ),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="8.2",
        lesson="L08",
        given=RIG,
        allowed=_ram_stays_upright_enough,
        derived={"shift": ("mm", 0, _shift)},
        carry=Carry(source="8.1", name="shift"),
        kind="angle",
        unit="deg",
        solve=_side_angle,
        tolerance=Tolerance(absolute=0.5),
        smallest=1.2,
        largest=32.0,
        mistakes=(
            Mistake("M18_slot_shift_only", lambda g: atan2(g.offset, g.clamp_distance)),
            Mistake("M02_sin_cos", lambda g: pi / 2 - _side_angle(g)),
            slip("radians", lambda g: radians(_side_angle(g))),
        ),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="8.3",
        lesson="L08",
        given={"level_part": PULL, "side_angle": stepped("deg", 5, 20)},
        kind="force",
        unit="kN",
        solve=_side_force,
        tolerance=TWO_PERCENT,
        smallest=0.87,
        largest=13.7,
        mistakes=(
            Mistake("M18_slot_shift_only", lambda _: 0.0),
            Mistake("M02_sin_cos", lambda g: g.level_part * cos(g.side_angle)),
            Mistake(
                "M07_small_angle_harmless",
                lambda g: g.level_part * (1 - cos(g.side_angle)),
            ),
        ),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="8.4",
        lesson="L08",
        given={
            "pull": PULL,
            "between": picked(
                "deg", *range(40, 81, 5), *range(100, 116, 5), *range(125, 141, 5)
            ),
        },
        kind="force",
        unit="kN",
        solve=_even_leg,
        tolerance=TWO_PERCENT,
        smallest=5.3,
        largest=58.6,
        mistakes=(
            Mistake("M14_bridle_half", lambda g: g.pull / 2),
            Mistake("M15_whole_angle", lambda g: abs(g.pull / 2 / cos(g.between))),
            Mistake("sine_key", lambda g: g.pull / 2 / sin(g.between / 2)),
            slip("mult_div", lambda g: g.pull * cos(g.between / 2) / 2),
        ),
        cautions=BRIDLE_CAUTIONS,
    ),
    Exercise(
        id="8.5",
        lesson="L08",
        given={
            "pull": PULL,
            "first_angle": stepped("deg", 10, 60, 5),
            "second_angle": stepped("deg", 10, 60, 5),
        },
        allowed=lambda g: abs(g.first_angle - g.second_angle) >= radians(14.5),
        kind="force",
        unit="kN",
        solve=_first_leg,
        tolerance=TWO_PERCENT,
        smallest=1.8,
        largest=37.0,
        mistakes=(
            Mistake("M14_bridle_half", lambda g: g.pull / 2),
            Mistake(
                "share_by_angle",
                lambda g: g.pull * g.second_angle / (g.first_angle + g.second_angle),
                secondary=True,
            ),
            slip("swapped", _second_leg),
        ),
        cautions=BRIDLE_CAUTIONS,
    ),
    Exercise(
        id="8.6",
        lesson="L08",
        given={
            "spacing": stepped("mm", 300, 900, 10),
            "between": picked("deg", *range(40, 56, 5), *range(65, 81, 5)),
        },
        kind="length",
        unit="mm",
        solve=lambda g: g.spacing / 2 / sin(g.between / 2),
        tolerance=Tolerance(absolute=5.0),
        smallest=233.0,
        largest=1316.0,
        mistakes=(
            Mistake("tangent_used", lambda g: g.spacing / 2 / tan(g.between / 2)),
            Mistake("half_forgotten", lambda g: g.spacing / sin(g.between / 2)),
            Mistake("M15_whole_angle", lambda g: g.spacing / 2 / sin(g.between)),
        ),
        cautions=BRIDLE_CAUTIONS,
    ),
)
