"""L11, before the first load: steps, the line of fire, cables, go or no-go."""

from __future__ import annotations

from math import asin, nan, pi, radians
from typing import TYPE_CHECKING

from workbook.exercises import bays
from workbook.exercises.answers.picked import (
    SHUFFLE,
    Choose,
    Match,
    Mispicked,
    Order,
    Tick,
)
from workbook.exercises.answers.quantity import (
    Mistake,
    Quantity,
    Tolerance,
    in_radians,
)
from workbook.exercises.declaration import (
    ByHand,
    Exercise,
    Numbers,
    Sketch,
    picked,
    stepped,
)
from workbook.exercises.seeds import Stream
from workbook.mechanics.safety.line_of_fire import angle_off_line

if TYPE_CHECKING:
    from workbook.mechanics.vectors import Array

CAUTIONS = ("S0", "S1", "S3", "S4", "S5")

# ---------------------------------------------------------------- 11.1, ten steps

STEPS = (
    "plan", "clamp", "chain", "inspect", "cable", "zone", "voice", "slack", "look",
    "pull",
)  # fmt: skip
SAFETY = ("inspect", "cable", "zone", "voice", "look")
RANKS = dict(
    zip(STEPS, (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 5.0, 6.0, 7.0, 8.0), strict=True)
)


def _moved(**ranks: float) -> dict[str, float]:
    """Return the ranks with some steps elsewhere."""
    return RANKS | ranks


# ------------------------------------------------------------- 11.2, off the line


def off_line(g: Numbers) -> float:
    """Return how far off the chain's line a person stands, seen from the hook."""
    off = angle_off_line((g.along, g.aside), apex=(0.0, 0.0), towards=(1.0, 0.0))
    return float(off)


def _by_sine_key(g: Numbers) -> float:
    return asin(g.aside / g.along) if g.aside < g.along else nan


# ---------------------------------------------------------------- 11.3, who must move

PEOPLE = Tick(items=lambda _: bays.PEOPLE, right=bays.must_move, stoppers=True)
# By hand: one chain from (2000, 0) to (4000, 0), one from (0, 900) to (0, 2900).
BAY = {
    "signaller": (5000, 1000), "valve": (5000, 2500), "measurer": (-1000, -1500),
    "helper": (500, 4000), "trainee": (2000, 3000), "customer": (3200, -2000),
    "painter": (4500, 1100), "visitor": (-3000, 3500),
    "clamp_one": (2000, 0), "anchor_one": (4000, 0),
    "clamp_two": (0, 900), "anchor_two": (0, 2900),
}  # fmt: skip


def _by_letter(g: Numbers) -> Array:
    return bays.in_order(g, PEOPLE.lettered(g).values())


# --------------------------------------------------------------- 11.4, cable routes

CASES = ("rail", "pillar", "turned", "two")
ROUTES = ("apart", "same", "edge", "loose")


def _route(name: str, g: Numbers) -> str:
    return f"{CASES[round(g.case) - 1]}_{name}"


# ----------------------------------------------------------------- 11.5, go or no-go

NO_GO = (
    "no_cable", "cable_knot", "person_behind", "nobody_calls", "alone", "no_tag",
    "twisted", "hand_on_chain", "hook_tip", "base_unpinned", "phone", "stepping_over",
)  # fmt: skip
GO = (
    "looked_along", "zone_clear", "cable_to_bench", "tags_read", "caller_agreed",
    "slack_slow", "goggles", "chain_straight", "floor_swept", "radio_off",
)  # fmt: skip
CONDITIONS = 10


def _conditions(g: Numbers) -> tuple[str, ...]:
    """Return ten conditions, four to six of them a no-go."""
    chance = Stream(f"go {g.shuffle:.0f}".encode())
    stops = 4 + chance.below(3)
    return (
        *chance.shuffled(NO_GO)[:stops],
        *chance.shuffled(GO)[: CONDITIONS - stops],
    )


# ------------------------------------------------------- 11.6, what each cable does

DOES = ("holds", "goes_along", "cut", "flies_far")
CABLES = {
    "holds": ("to_bench", "to_other_rail", "through_both", "over_sleeve"),
    "goes_along": ("to_own_hook", "to_torn_sheet", "clamp_to_clamp"),
    "cut": ("over_flange", "round_corner", "under_sharp_sill"),
    "flies_far": ("coiled", "to_far_wall", "longest_in_box"),
}
OF_EACH = {"holds": 2, "goes_along": 1, "cut": 1, "flies_far": 1}


def _cables(g: Numbers) -> dict[str, str]:
    """Return six cables, and what each does: two that hold, and one of each other."""
    chance = Stream(f"cables {g.shuffle:.0f}".encode())
    found = {
        cable: does
        for does, count in OF_EACH.items()
        for cable in chance.shuffled(CABLES[does])[:count]
    }
    rest = [(c, does) for does, all in CABLES.items() for c in all if c not in found]
    return found | dict([chance.choice([one for one in rest if one[1] != "holds"])])


def _thought_to_hold(g: Numbers, does: str) -> dict[str, str]:
    """Return what is taken for right by somebody who thinks that a fault holds."""
    return {c: "holds" if d == does else d for c, d in _cables(g).items()}


EXERCISES = (
    Exercise(
        id="11.1",
        lesson="L11",
        given=SHUFFLE,
        answer=Order(items=lambda _: STEPS, right=lambda _: RANKS, safety=SAFETY),
        mistakes=(
            Mispicked("cable_after_pull", lambda _: _moved(cable=9.0)),
            Mispicked("cable_on_tight_chain", lambda _: _moved(cable=6.5)),
            Mispicked("look_while_pulling", lambda _: _moved(look=9.0)),
            Mispicked("zone_cleared_late", lambda _: _moved(zone=7.5, voice=7.5)),
        ),
        # Plan, clamp, chain, inspect, cable, zone and voice, slack, look, pull.
        by_hand=ByHand({"shuffle": 1}, "c j a e d b h f i g"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="11.2",
        lesson="L11",
        given={
            "aside": stepped("mm", 200, 2000, 50),
            "along": stepped("mm", 600, 3000, 50),
        },
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=off_line,
            tolerance=Tolerance(absolute=1.5),
            smallest=3.8,
            largest=73.4,
        ),
        mistakes=(
            Mistake("M02_sin_cos", lambda g: pi / 2 - off_line(g)),
            Mistake("sine_key", _by_sine_key, secondary=True),
            in_radians(lambda g: radians(off_line(g))),
        ),
        # 900 over 2400 is 0.375; its arctangent is 20.556°.
        by_hand=ByHand({"aside": 900, "along": 2400}, 20.556),
        sketch=Sketch("beside_a_chain"),
        cautions=("S0", "S1"),
    ),
    Exercise(
        id="11.3",
        lesson="L11",
        given={
            **SHUFFLE,
            "layout": stepped("1", 1, 2000),
            "half_angle": picked("deg", 20, 25, 30, 35, 40, 45),
        },
        allowed=bays.sensible,
        derived=bays.NUMBERS,
        answer=PEOPLE,
        mistakes=(
            Mispicked("wedge_at_one_end", bays.from_clamps),
            Mispicked("one_chain_forgotten", bays.one_chain),
            Mispicked("wedge_halved", bays.halved),
        ),
        # From the first clamp, ahead: signaller 1000 over 3000, 18.4°, painter 1100
        # over 2500, 23.7°. From its anchor, back: measurer 1500 over 5000, 16.7°,
        # visitor 3500 over 7000, 26.6°. From the second clamp: helper 500 over 3100,
        # 9.2°. Valve hand 39.8°, trainee 43.6°, customer 33.1° at least: outside 30°.
        by_hand=ByHand(
            {
                "shuffle": 1,
                "layout": 1,
                "half_angle": 30,
                **{
                    f"{name}_{way}": value
                    for name, place in BAY.items()
                    for way, value in zip(bays.WAYS, place, strict=True)
                },
            },
            "a, c, d, g, h",
        ),
        sketch=Sketch("bay_from_above", {"places": _by_letter}, printed=True),
        cautions=("S0", "S1", "S2", "S14"),
    ),
    Exercise(
        id="11.4",
        lesson="L11",
        given={**SHUFFLE, "case": picked("1", 1, 2, 3, 4)},
        answer=Choose(
            items=lambda g: tuple(_route(name, g) for name in ROUTES),
            right=lambda g: _route("apart", g),
        ),
        mistakes=(
            Mispicked("cable_on_same_part", lambda g: _route("same", g)),
            Mispicked("cable_over_edge", lambda g: _route("edge", g)),
            Mispicked("cable_too_loose", lambda g: _route("loose", g)),
        ),
        # From the ring of the clamp to the bench, just long enough.
        by_hand=ByHand({"shuffle": 1, "case": 1}, "c"),
        cautions=("S0", "S3"),
    ),
    Exercise(
        id="11.5",
        lesson="L11",
        given=SHUFFLE,
        answer=Tick(
            items=_conditions,
            right=lambda g: {*NO_GO} & {*_conditions(g)},
            stoppers=True,
        ),
        mistakes=(),
        # A base without its pin, a hand on the chain, nobody else there, no tag.
        by_hand=ByHand({"shuffle": 1}, "a, c, e, j"),
        cautions=("S0", "S1", "S2", "S3", "S4", "S5", "S14"),
    ),
    Exercise(
        id="11.6",
        lesson="L11",
        given=SHUFFLE,
        answer=Match(items=lambda g: [*_cables(g)], right=_cables, among=DOES),
        mistakes=(
            Mispicked(
                "cable_on_same_part", lambda g: _thought_to_hold(g, "goes_along")
            ),
            Mispicked("cable_over_edge", lambda g: _thought_to_hold(g, "cut")),
            Mispicked("cable_too_loose", lambda g: _thought_to_hold(g, "flies_far")),
        ),
        # To the wall, lying loose; three times too long; close to the bench; over a
        # flange; to the sheet that tears; through both rings and back to the bench.
        by_hand=ByHand({"shuffle": 1}, "a 4, b 4, c 1, d 3, e 2, f 1"),
        cautions=("S0", "S3"),
    ),
)
