"""L05, diagonals, symmetry and the kind of damage."""

from __future__ import annotations

from functools import cache
from math import atan2, degrees, radians
from typing import TYPE_CHECKING

import numpy as np

from workbook.exercises.answers.picked import SHUFFLE, Choose, Mispicked, Tick
from workbook.exercises.answers.quantity import (
    TWO_PERCENT,
    Mistake,
    Quantity,
    Tolerance,
    slip,
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
from workbook.mechanics.survey.damage import (
    KINDS,
    DamageSizes,
    damage_field,
    read_damage,
    twist_angle,
)
from workbook.mechanics.survey.tapes import (
    Diagonals,
    diagonals_of_skew,
    skew_of_diagonals,
)
from workbook.scenes.damaged_box import LF, LR, RF, RR, SPECIFIED, WIDTH, frame_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbook.mechanics.vectors import Array

CAUTIONS = ("S0",)
HALF_A_MM = Tolerance(absolute=0.5)


def _pair(g: Numbers) -> Diagonals:
    return diagonals_of_skew(g.skew, length=g.length, width=g.width)


def _apart(g: Numbers) -> float:
    return float(_pair(g).difference)


def _skew(g: Numbers) -> float:
    pair = Diagonals(
        from_left_front=np.asarray(g.short), from_right_front=np.asarray(g.long)
    )
    return float(skew_of_diagonals(pair, length=g.length))


def _twist(g: Numbers) -> float:
    return float(twist_angle(g.front, rear_difference=g.rear, width=g.width))


# ----------------------------------------------------------------- corner readings

BOX = frame_of("both", "at the front")
CORNERS = {"lf": LF, "rf": RF, "lr": LR, "rr": RR}
WAYS = ("ahead", "left", "up")
PLACES = SPECIFIED[[*CORNERS.values()]]
NOBODY = len(KINDS) + 1  # the second kind, where there is only one
CLEAR, UNCLEAR = 5e-3, 2.5e-3  # a kind that is there is read larger, others smaller [m]
SIZES = (-18.0, -16.0, -14.0, -12.0, -10.0, 10.0, 12.0, 14.0, 16.0, 18.0)


def kinds_of(g: Numbers) -> tuple[str, ...]:
    """Return the kinds that are there, in the order of `KINDS`."""
    there = {round(g.first), round(g.second)}
    return tuple(kind for number, kind in enumerate(KINDS, start=1) if number in there)


def sizes_of(g: Numbers) -> DamageSizes:
    """Return the sizes; that of twist is the height of left over right, over width."""
    drawn = {round(g.first): g.first_size}
    drawn |= {round(g.second): g.second_size} if round(g.second) != NOBODY else {}
    named = {KINDS[number - 1]: size for number, size in drawn.items()}
    if "twist" in named:
        named["twist"] /= WIDTH
    return DamageSizes(**named)


def _corners(g: Numbers) -> Array:
    """Return what is read at the corners, (4, 3). [m]"""
    bent = damage_field(PLACES, sizes=sizes_of(g), frame=BOX)
    off = [[getattr(g, f"off_{c}_{way}") for way in WAYS] for c in CORNERS]
    return np.asarray(bent + np.array(off))


def _reading(corner: str, way: str) -> Callable[[Numbers], float]:
    place = [*CORNERS].index(corner), WAYS.index(way)
    return lambda g: float(_corners(g)[place])


@cache
def _read(readings: tuple[float, ...]) -> tuple[float, ...]:
    """Return how large each kind is read from rounded readings, as a movement. [m]"""
    moved = np.array(readings).reshape(4, 3)
    sizes = read_damage(PLACES, differences=moved, frame=BOX).sizes
    read = {kind: float(getattr(sizes, kind)) for kind in KINDS}
    read["twist"] *= WIDTH
    return tuple(read.values())


def _told_apart(g: Numbers) -> bool:
    """Tell whether the readings show the kinds that are there, and no other."""
    if round(g.first) == round(g.second):
        return False
    rounded = tuple((np.round(_corners(g) * 1e3) / 1e3).ravel().tolist())
    read = dict(zip(KINDS, _read(rounded), strict=True))
    there = kinds_of(g)
    return all(
        abs(size) >= CLEAR if kind in there else abs(size) <= UNCLEAR
        for kind, size in read.items()
    )


def _taken_for(kind: str, other: str) -> Callable[[Numbers], tuple[str, ...] | None]:
    """Return what somebody ticks who takes one kind for another."""

    def taken(g: Numbers) -> tuple[str, ...] | None:
        there = kinds_of(g)
        if kind not in there or other in there:
            return None
        return tuple(other if one == kind else one for one in there)

    return taken


MIX = {
    "first": stepped("1", 1, len(KINDS)),
    "first_size": picked("mm", *SIZES),
    "second": stepped("1", 1, NOBODY),
    "second_size": picked("mm", *SIZES),
    **{f"off_{c}_{way}": stepped("mm", -1, 1) for c in CORNERS for way in WAYS},
}

EXERCISES = (
    Exercise(
        id="5.1",
        lesson="L05",
        given={
            "length": stepped("mm", 1100, 2000, 50),
            "width": stepped("mm", 900, 1400, 50),
            "skew": stepped("mm", 8, 25),
        },
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=_apart,
            tolerance=HALF_A_MM,
            smallest=9.0,
            largest=46.0,
        ),
        mistakes=(
            Mistake("M28_skew_itself", lambda g: g.skew),
            Mistake("M28_twice_the_skew", lambda g: 2 * g.skew),
        ),
        # √(1,412² + 1,100²) − √(1,388² + 1,100²) = 1,789.89 − 1,771.03.
        by_hand=ByHand({"length": 1400, "width": 1100, "skew": 12}, 18.87),
        sketch=Sketch("skewed_box"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="5.2",
        lesson="L05",
        given={
            "length": stepped("mm", 900, 1500, 50),
            "width": stepped("mm", 900, 1400, 50),
            "skew": stepped("mm", 8, 25),
        },
        derived={
            "long": Derived(
                unit="mm",
                digits=0,
                solve=lambda g: float(_pair(g).from_right_front),
            ),
            "short": Derived(
                unit="mm",
                digits=0,
                solve=lambda g: float(_pair(g).from_left_front),
            ),
        },
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=_skew,
            tolerance=HALF_A_MM,
            smallest=7.0,
            largest=26.5,
        ),
        mistakes=(
            Mistake("M28_difference_itself", lambda g: g.long - g.short),
            Mistake(
                "half_the_difference",
                lambda g: (g.long - g.short) / 2,
                secondary=True,
            ),
        ),
        # Diagonals 1,790 and 1,771: (3,204,100 − 3,136,441) ÷ 5,600 = 67,659 ÷ 5,600.
        by_hand=ByHand(
            {"length": 1400, "width": 1100, "skew": 12, "long": 1790, "short": 1771},
            12.08,
        ),
        sketch=Sketch("skewed_box"),
        easier="5.1",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="5.3",
        lesson="L05",
        given={**SHUFFLE, **MIX},
        allowed=_told_apart,
        derived={
            f"{c}_{way}": Derived(unit="mm", digits=0, solve=_reading(c, way))
            for c in CORNERS
            for way in WAYS
        },
        answer=Tick(items=lambda _: KINDS, right=kinds_of),
        mistakes=(
            Mispicked("twist_as_sag", _taken_for("twist", "sag")),
            Mispicked("diamond_as_mash", _taken_for("diamond", "mash")),
        ),
        # Diamond of 12: the left side 6 back, the right side 6 ahead, front and rear.
        by_hand=ByHand(
            {
                "shuffle": 1,
                "first": 4,
                "first_size": 12,
                "second": NOBODY,
                "second_size": 10,
                **{f"off_{c}_{way}": 0 for c in CORNERS for way in WAYS},
                **{f"{c}_{way}": 0 for c in CORNERS for way in WAYS},
                "lf_ahead": -6,
                "rf_ahead": 6,
                "lr_ahead": -6,
                "rr_ahead": 6,
            },
            "d",
        ),
        sketch=Sketch("corner_readings"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="5.4",
        lesson="L05",
        given={
            "front": stepped("mm", 8, 30),
            "rear": picked("mm", *(x for x in range(-6, 7) if abs(x) > 1)),
            "width": stepped("mm", 900, 1400, 50),
        },
        allowed=lambda g: degrees(_twist(g)) >= 0.15,
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_twist,
            tolerance=TWO_PERCENT,
            smallest=0.1,
            largest=2.4,
        ),
        mistakes=(
            Mistake("front_only", lambda g: atan2(g.front, g.width)),
            Mistake("rear_added", lambda g: atan2(g.front + g.rear, g.width)),
            slip("radians", lambda g: radians(_twist(g))),
        ),
        # 18 − (−4) = 22 over 1,200: the arctangent of 0.018333.
        by_hand=ByHand({"front": 18, "rear": -4, "width": 1200}, 1.050),
        sketch=Sketch("twisted_box", {"rear_lift": "rear"}),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="5.5",
        lesson="L05",
        given={
            **SHUFFLE,
            "left": stepped("mm", 900, 1500, 10),
            "short": stepped("mm", 8, 20, 2),
        },
        derived={
            "right": Derived(unit="mm", digits=0, solve=lambda g: g.left - g.short),
        },
        answer=Choose(
            items=lambda _: ("specified", "mirror", "mean", "diagonals"),
            right=lambda _: "specified",
        ),
        mistakes=(
            Mispicked("mirror_used", lambda _: "mirror"),
            Mispicked("mean_of_sides", lambda _: "mean"),
            Mispicked("diagonals_alone", lambda _: "diagonals"),
        ),
        by_hand=ByHand({"shuffle": 1, "left": 1200, "short": 12, "right": 1188}, "c"),
        sketch=Sketch("unlike_rails"),
        cautions=CAUTIONS,
    ),
)
