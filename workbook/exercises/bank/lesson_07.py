"""L07, ram base, lean, extension height and the split between the legs."""

from __future__ import annotations

from functools import lru_cache
from math import asin, atan2, cos, degrees, hypot, nan, pi, radians, sin, tan

from workbook.exercises.answers.quantity import (
    TWO_PERCENT,
    Mistake,
    Quantity,
    Tolerance,
    in_radians,
    late,
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
from workbook.mechanics.pull.linkage import Pull, solve_pull
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.vectors import direction


@lru_cache(maxsize=256)  # drawing asks for the same rig many times
def _for_ram_force_of_one(ram_angle: float, anchor: float, pull: float) -> Pull:
    """Solve a rig by its three angles from the floor; the split needs no lengths."""
    out, up = cos(ram_angle), sin(ram_angle)
    rig = lay_out(
        clamp=(0.0, 0.0, up - sin(pull)),
        chain_angle=0.0,
        clamp_distance=cos(pull) - out,
        fork_distance=out + up / tan(anchor),
        closed_length=1.0,
        full_stroke=0.0,
        swivel=pi / 2,
        lean=pi / 2 - ram_angle,
    )
    return solve_pull(rig, ram_force=1.0)


def _rig(g: Numbers) -> Pull:
    return _for_ram_force_of_one(g.ram_angle, g.anchor_angle, g.pull_angle)


def pull_leg(g: Numbers) -> float:
    """Return what the pull leg carries. [N]"""
    return float(g.ram_force * _rig(g).pull_tension)


def anchor_leg(g: Numbers) -> float:
    """Return what the anchor leg carries. [N]"""
    return float(g.ram_force * _rig(g).anchor_tension)


def equal_legs(g: Numbers) -> float:
    """Return what both legs would carry if the ram stood half-way between them."""
    return float(g.ram_force / (2 * sin((g.anchor_angle + g.pull_angle) / 2)))


# Which rigs make a sensible question is asked of many more than are solved, so it is
# answered by the rule of sines at the head.


def legs_unlike_and_moderate(g: Numbers) -> bool:
    """Tell whether a rig makes a sensible question on its legs."""
    both = sin(g.anchor_angle + g.pull_angle)
    pull = g.ram_force * sin(g.ram_angle + g.anchor_angle) / both
    anchor = g.ram_force * sin(g.ram_angle - g.pull_angle) / both
    return bool(
        g.anchor_angle + g.pull_angle >= radians(44.5)
        and abs(g.ram_angle - _ram_angle_for_equal_legs(g)) >= radians(7.5)
        and anchor > 0.1 * g.ram_force
        and max(pull, anchor) <= 60e3
    )


def _ram_angle_for_equal_legs(g: Numbers) -> float:
    # The ram halves the angle between the legs: T and Ta differ only by
    # sin(phi + alpha) and sin(phi - beta), alike when these add up to 180 degrees.
    return float(pi / 2 - (g.anchor_angle - g.pull_angle) / 2)


def _hook_travel(g: Numbers) -> float:
    return float(g.stroke * _rig(g).travel_ratio)


def _travel_unlike_stroke(g: Numbers) -> bool:
    across = sin(g.ram_angle + g.anchor_angle)
    return bool(
        abs(sin(g.anchor_angle + g.pull_angle) / across - 1) >= 0.1
        and across > 0.3
        and g.anchor_angle + g.pull_angle >= radians(39.5)
    )


def _rise(g: Numbers, *, extension: float = 0.0) -> float:
    """Angle of the pull leg from the level."""
    return atan2(g.head_height + extension - g.clamp_height, g.distance)


def _sine_key(g: Numbers, *, extension: float = 0.0) -> float:
    share = (g.head_height + extension - g.clamp_height) / g.distance
    return asin(share) if share <= 1 else nan


def _raised_rise(g: Numbers) -> float:
    return _rise(g, extension=g.extension)


def _forward(g: Numbers) -> float:
    return float(g.tension * direction(side_angle=0.0, rise=g.new_angle)[0])


def _longer_pulls_harder(g: Numbers) -> float:
    up = g.head_height - g.clamp_height
    longer = hypot(g.distance, up + g.extension) / hypot(g.distance, up)
    return _forward(g) * longer


def _higher_is_stronger(g: Numbers) -> float:
    higher = (g.head_height + g.extension) / g.head_height
    return float(g.tension * cos(_rise(g)) * higher)


def _raising_matters(g: Numbers) -> bool:
    """Whether the forward part drops clearly and cannot be taken for the lift."""
    low, high = _rise(g), _raised_rise(g)
    drops = low >= radians(6) and cos(high) <= 0.93 * cos(low)
    return drops and abs(high - pi / 4) >= radians(3)


CAUTIONS = ("S0", "S1", "S8")
HEIGHTS = {
    "head_height": stepped("mm", 700, 1500, 10),
    "clamp_height": stepped("mm", 300, 600, 10),
    "distance": stepped("mm", 900, 2500, 50),
}
RAISED = {
    **HEIGHTS,
    "extension": stepped("mm", 100, 300, 10),
    "tension": stepped("kN", 10, 40),
}
ANGLES = {
    "ram_angle": stepped("deg", 50, 88),
    "anchor_angle": stepped("deg", 35, 65),
    "pull_angle": stepped("deg", 5, 30),
}
RIG = {"ram_force": stepped("kN", 20, 60), **ANGLES}
DRAWN = {"ram": "ram_angle", "anchor": "anchor_angle", "pull": "pull_angle"}
STEEPNESS = Tolerance(absolute=0.75)

EXERCISES = (
    Exercise(
        id="7.1",
        lesson="L07",
        given=HEIGHTS,
        allowed=lambda g: _rise(g) >= radians(6),
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_rise,
            tolerance=STEEPNESS,
            smallest=6.0,
            largest=53.2,
        ),
        mistakes=(
            Mistake(
                "clamp_height_forgotten", lambda g: atan2(g.head_height, g.distance)
            ),
            Mistake("M02_sin_cos", lambda g: pi / 2 - _rise(g)),
            Mistake("sine_key", _sine_key, secondary=True),
            slip("radians", lambda g: radians(_rise(g))),
        ),
        # Up 600, along 800: the tangent is 0.75, as in the triangle of 3, 4 and 5.
        by_hand=ByHand(
            {"head_height": 1000, "clamp_height": 400, "distance": 800}, 36.87
        ),
        sketch=Sketch("heights"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="7.2",
        lesson="L07",
        given=RIG,
        allowed=legs_unlike_and_moderate,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=pull_leg,
            tolerance=TWO_PERCENT,
            smallest=9.0,
            largest=60.0,
        ),
        mistakes=(
            Mistake("M10_equal_legs", equal_legs),
            Mistake("M11_ram_half", lambda g: g.ram_force / 2),
            Mistake("M12_gauge_is_chain", lambda g: g.ram_force),
            Mistake("anchor_leg_given", anchor_leg, secondary=True),
            slip(
                "swapped",
                lambda g: (
                    g.ram_force
                    * sin(g.ram_angle + g.pull_angle)
                    / sin(g.anchor_angle + g.pull_angle)
                ),
            ),
            in_radians(
                lambda g: (
                    g.ram_force
                    * sin(degrees(g.ram_angle + g.anchor_angle))
                    / sin(degrees(g.anchor_angle + g.pull_angle))
                )
            ),
        ),
        # sin 100° = 0.9848, sin 65° = 0.9063, and 40 × 0.9848 ÷ 0.9063 = 43.46.
        by_hand=ByHand(
            {"ram_force": 40, "ram_angle": 55, "anchor_angle": 45, "pull_angle": 20},
            43.46,
        ),
        sketch=Sketch("rig", DRAWN),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="7.3",
        lesson="L07",
        given=RIG,
        allowed=legs_unlike_and_moderate,
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=anchor_leg,
            tolerance=TWO_PERCENT,
            smallest=6.0,
            largest=60.0,
        ),
        mistakes=(
            Mistake("M10_equal_legs", equal_legs),
            Mistake("pull_leg_given", pull_leg),
            Mistake("M11_ram_half", lambda g: g.ram_force / 2, secondary=True),
            Mistake("M13_legs_add_up", lambda g: g.ram_force - pull_leg(g)),
            late("M12_gauge_is_chain", lambda g: g.ram_force),
            in_radians(
                lambda g: (
                    g.ram_force
                    * sin(degrees(g.ram_angle - g.pull_angle))
                    / sin(degrees(g.anchor_angle + g.pull_angle))
                )
            ),
        ),
        # sin 35° = 0.5736, sin 65° = 0.9063, and 40 × 0.5736 ÷ 0.9063 = 25.32.
        by_hand=ByHand(
            {"ram_force": 40, "ram_angle": 55, "anchor_angle": 45, "pull_angle": 20},
            25.32,
        ),
        sketch=Sketch("rig", DRAWN),
        easier="7.2",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="7.4",
        lesson="L07",
        given={
            "anchor_angle": stepped("deg", 35, 70),
            "pull_angle": stepped("deg", 5, 30),
        },
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_ram_angle_for_equal_legs,
            tolerance=Tolerance(absolute=1.0),
            smallest=57.5,
            largest=87.5,
        ),
        mistakes=(
            Mistake("upright", lambda _: pi / 2),
            Mistake("half_the_sum", lambda g: (g.anchor_angle + g.pull_angle) / 2),
            slip("sign", lambda g: pi / 2 + (g.anchor_angle - g.pull_angle) / 2),
            late("half_forgotten", lambda g: pi / 2 - (g.anchor_angle - g.pull_angle)),
        ),
        # 90 − (45 − 20) ÷ 2 = 77.5.
        by_hand=ByHand({"anchor_angle": 45, "pull_angle": 20}, 77.5),
        sketch=Sketch("typical_rig"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="7.5",
        lesson="L07",
        given={
            "stroke": stepped("mm", 20, 120, 5),
            "ram_angle": stepped("deg", 50, 85),
            "anchor_angle": stepped("deg", 30, 65),
            "pull_angle": stepped("deg", 5, 30),
        },
        allowed=_travel_unlike_stroke,
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=_hook_travel,
            tolerance=Tolerance(absolute=1.5),
            smallest=12.5,
            largest=255.0,
        ),
        mistakes=(
            Mistake("M17_gain_is_free", lambda g: g.stroke),
            Mistake("ratio_upside_down", lambda g: g.stroke**2 / _hook_travel(g)),
            in_radians(
                lambda g: (
                    g.stroke
                    * sin(degrees(g.anchor_angle + g.pull_angle))
                    / sin(degrees(g.ram_angle + g.anchor_angle))
                )
            ),
        ),
        # The pull leg carries 0.9848 ÷ 0.9063 = 1.0866 times the ram force (7.2); force
        # times travel stays: 50 ÷ 1.0866 = 46.01.
        by_hand=ByHand(
            {"stroke": 50, "ram_angle": 55, "anchor_angle": 45, "pull_angle": 20}, 46.01
        ),
        sketch=Sketch("rig", DRAWN),
        easier="9.4",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="7.6a",
        lesson="L07",
        given=RAISED,
        allowed=_raising_matters,
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_raised_rise,
            tolerance=STEEPNESS,
            smallest=20.0,
            largest=60.0,
        ),
        mistakes=(
            Mistake("extension_forgotten", _rise),
            Mistake(
                "clamp_height_forgotten",
                lambda g: atan2(g.head_height + g.extension, g.distance),
            ),
            Mistake("M02_sin_cos", lambda g: pi / 2 - _raised_rise(g)),
            Mistake(
                "sine_key",
                lambda g: _sine_key(g, extension=g.extension),
                secondary=True,
            ),
            slip("radians", lambda g: radians(_raised_rise(g))),
        ),
        # 1000 + 300 − 400 = 900 up, 1200 along: the triangle of 3, 4 and 5 again.
        by_hand=ByHand(
            {
                "head_height": 1000,
                "clamp_height": 400,
                "distance": 1200,
                "extension": 300,
                "tension": 20,
            },
            36.87,
        ),
        sketch=Sketch("heights"),
        easier="7.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="7.6b",
        lesson="L07",
        given=RAISED,
        allowed=_raising_matters,
        derived={"new_angle": Derived(unit="deg", digits=1, solve=_raised_rise)},
        carry=Carry(source="7.6a", name="new_angle"),
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_forward,
            tolerance=TWO_PERCENT,
            smallest=5.0,
            largest=38.0,
        ),
        mistakes=(
            Mistake("M01_whole_tension", lambda g: g.tension),
            Mistake("M02_sin_cos", lambda g: g.tension * sin(g.new_angle)),
            Mistake("M09_longer_pulls_harder", _longer_pulls_harder),
            Mistake("higher_is_stronger", _higher_is_stronger),
            in_radians(lambda g: g.tension * cos(degrees(g.new_angle))),
        ),
        # In that triangle 4 of 5 run level; the angle is printed as 36.9°, whose cosine
        # is 0.7997, and 20 × 0.7997 = 15.99.
        by_hand=ByHand(
            {
                "head_height": 1000,
                "clamp_height": 400,
                "distance": 1200,
                "extension": 300,
                "tension": 20,
            },
            15.99,
        ),
        sketch=Sketch("heights"),
        easier="2.1",
        cautions=CAUTIONS,
    ),
)
