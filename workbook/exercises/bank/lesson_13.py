"""L13, after each pull: share done, new line, what got worse, next force, decisions."""

from __future__ import annotations

from math import atan2, pi, radians
from typing import TYPE_CHECKING

import numpy as np

from workbook.exercises.answers.picked import SHUFFLE, Match, Mispicked, Tick
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
from workbook.exercises.seeds import Stream
from workbook.mechanics.survey.what_is_left import grew, next_force, share_done
from workbook.mechanics.vectors import angle_between, direction, side_angle_of

if TYPE_CHECKING:
    from workbook.mechanics.vectors import Array

CAUTIONS = ("S0", "S2", "S9")
MM, KN = 1e-3, 1e3


def _ahead(length: float) -> tuple[float, float, float]:
    return (length, 0.0, 0.0)


def _bearing(g: Numbers) -> float:
    return float(side_angle_of((g.length, g.width, 0.0)))


# Readings that got worse -------------------------------------------------------

POINTS = 8
WERE = tuple(f"b{k}" for k in range(1, POINTS + 1))
ARE = tuple(f"n{k}" for k in range(1, POINTS + 1))
NAMES = tuple(f"p{k}" for k in range(1, POINTS + 1))
APART = 0.2 * MM  # of the limit, so that no reading decides by a hair


def _readings(g: Numbers) -> tuple[Array, Array]:
    was, now = (np.array([getattr(g, n) for n in names]) for names in (WERE, ARE))
    return was, now


def _past(sizes: Array, g: Numbers) -> set[str]:
    return {name for name, size in zip(NAMES, sizes, strict=True) if size > g.limit}


def _worse(g: Numbers) -> set[str]:
    return _past(grew(*_readings(g)), g)


def _changed(g: Numbers) -> set[str]:
    """Return what is ticked by who looks at how far each reading moved."""
    was, now = _readings(g)
    return _past(np.abs(now - was), g)


def _went_up(g: Numbers) -> set[str]:
    """Return what is ticked by who takes one from the other with their signs."""
    was, now = _readings(g)
    return _past(now - was, g)


def _some_worse(g: Numbers) -> bool:
    """Tell whether two to four got worse, one of them past its place or below it."""
    was, now = _readings(g)
    told = np.concatenate([grew(was, now), np.abs(now - was)])
    clear = np.abs(told - g.limit).min() >= APART
    worse, changed, up = _worse(g), _changed(g), _went_up(g)
    return bool(
        clear
        and 2 <= len(worse) <= 4
        and len(changed) >= len(worse) + 2
        and worse - up
        and up - worse
    )


# The next force ----------------------------------------------------------------


def _next(g: Numbers) -> float:
    return float(next_force(g.last, lacks=g.left, rate=g.each / KN))


def _from_zero(g: Numbers) -> float:
    return float(g.last * (g.came + g.left) / g.came)


# Two lines -----------------------------------------------------------------------


def _off(g: Numbers) -> float:
    pull, wanted = (direction(side_angle=a, rise=0.0) for a in (g.pull, g.wanted))
    return float(angle_between(pull, wanted))


# What next? ------------------------------------------------------------------------

SITUATIONS = {
    "carry on": ("half_way", "same_way", "all_better"),
    "move": ("other_point", "bend_behind", "near_clamp_done"),
    "new line": ("width_done", "height_left", "points_away"),
    "stop": ("gauge_climbs", "click", "whitens", "gauge_drops"),
}
NEXT = tuple(SITUATIONS)
OF_EACH = 2


def _situations(g: Numbers) -> dict[str, str]:
    """Return eight situations, two for each decision, and what each asks for."""
    chance = Stream(f"decide {g.shuffle:.0f}".encode())
    return {
        name: decision
        for decision, names in SITUATIONS.items()
        for name in chance.shuffled(names)[:OF_EACH]
    }


def _line_for_clamp(g: Numbers) -> dict[str, str]:
    """Return what is right, but for the clamp: there the line is turned."""
    taken = {"move": "new line"}
    return {name: taken.get(asks, asks) for name, asks in _situations(g).items()}


EXERCISES = (
    Exercise(
        id="13.1",
        lesson="L13",
        given={
            "start": stepped("mm", 12, 40),
            "share": picked("%", 25, 30, 35, 40, 60, 65, 70, 75, 80),
        },
        derived={
            "left": Derived(
                unit="mm", digits=1, solve=lambda g: g.start * (1 - g.share)
            )
        },
        answer=Quantity(
            kind="share",
            unit="%",
            solve=lambda g: float(share_done(_ahead(g.start), _ahead(g.left))),
            tolerance=Tolerance(absolute=2.0),
            smallest=24.0,
            largest=81.0,
        ),
        mistakes=(Mistake("what_is_left", lambda g: g.left / g.start),),
        # From 20 to 8 mm: 12 of 20.
        by_hand=ByHand({"start": 20, "share": 60}, 60.0),
        sketch=Sketch("two_bars"),
        easier="15.5",
        cautions=CAUTIONS,
    ),
    Exercise(
        id="13.2",
        lesson="L13",
        given={"length": stepped("mm", 4, 30), "width": stepped("mm", 4, 30)},
        allowed=lambda g: abs(_bearing(g) - pi / 4) >= radians(3),
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_bearing,
            tolerance=Tolerance(absolute=1.0),
            smallest=7.5,
            largest=82.5,
        ),
        mistakes=(
            Mistake("M02_sin_cos", lambda g: atan2(g.length, g.width)),
            slip("radians", lambda g: radians(_bearing(g))),
        ),
        # 6 ÷ 10 = 0.6, and its arctangent.
        by_hand=ByHand({"length": 10, "width": 6}, 30.96),
        sketch=Sketch("left_from_above"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="13.3",
        lesson="L13",
        given={
            **SHUFFLE,
            **dict.fromkeys((*WERE, *ARE), stepped("mm", -5, 5, 0.1)),
            "limit": picked("mm", 1.0, 1.5, 2.0),
        },
        allowed=_some_worse,
        answer=Tick(items=lambda _: NAMES, right=_worse),
        mistakes=(
            Mispicked("any_change_counted", _changed),
            Mispicked("worse_means_plus", _went_up),
        ),
        # By more than 1: from −1 to −3.5, from 0.5 to 2, from 2 past its place to −4.
        by_hand=ByHand(
            {
                "shuffle": 1,
                "limit": 1,
                **dict.fromkeys((*WERE, *ARE), 0.5),
                **{"b1": -1, "n1": -3.5, "b2": 4, "n2": 0.5},
                **{"n3": 2, "b4": 2, "n4": -4, "b5": -3, "n5": 1.5},
            },
            "a, c, d",
        ),
        sketch=Sketch("before_and_now"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="13.4",
        lesson="L13",
        given={
            "last": stepped("kN", 12, 30),
            "each": stepped("mm", 0.6, 2.5, 0.1),
            "left": stepped("mm", 3, 12),
            "came": stepped("mm", 6, 20),
        },
        allowed=lambda g: abs(_from_zero(g) - _next(g)) > 0.08 * _next(g),
        answer=Quantity(
            kind="force",
            unit="kN",
            solve=_next,
            tolerance=TWO_PERCENT,
            smallest=13.1,
            largest=50.1,
        ),
        mistakes=(
            Mistake("straight_from_zero", _from_zero),
            Mistake("only_the_extra", lambda g: g.left / (g.each / KN)),
        ),
        # 6 ÷ 1.5 = 4, and 18 + 4.
        by_hand=ByHand({"last": 18, "each": 1.5, "left": 6, "came": 12}, 22.0),
        sketch=Sketch("next_force_to_find"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="13.5",
        lesson="L13",
        given={"pull": stepped("deg", 5, 60), "wanted": stepped("deg", 5, 60)},
        allowed=lambda g: abs(g.pull - g.wanted) >= radians(4.9),
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_off,
            tolerance=Tolerance(absolute=1.0),
            smallest=4.9,
            largest=55.1,
        ),
        mistakes=(
            Mistake("angles_added", lambda g: g.pull + g.wanted),
            Mistake("one_angle_only", lambda g: g.pull),
        ),
        # 37 − 22.
        by_hand=ByHand({"pull": 37, "wanted": 22}, 15.0),
        sketch=Sketch(
            "two_lines_from_above", {"over": lambda g: np.sign(g.pull - g.wanted)}
        ),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="13.6",
        lesson="L13",
        given=SHUFFLE,
        answer=Match(
            items=lambda g: [*_situations(g)],
            right=_situations,
            among=NEXT,
            stop="stop",
        ),
        mistakes=(
            Mispicked(
                "more_pressure", lambda g: dict.fromkeys(_situations(g), "carry on")
            ),
            Mispicked("line_turned_for_clamp", _line_for_clamp),
        ),
        # Behind the bend; width home; all better; the middle; away from the pull; along
        # the line; the gauge drops; a click.
        by_hand=ByHand({"shuffle": 1}, "a 2, b 3, c 1, d 2, e 3, f 1, g 4, h 4"),
        cautions=CAUTIONS,
    ),
)
