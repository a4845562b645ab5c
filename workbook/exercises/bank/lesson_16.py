"""L16, final check: a point list, one loaded reading, neighbours, the repair record."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.exercises.answers.picked import SHUFFLE, Choose, Match, Mispicked, Tick
from workbook.exercises.answers.quantity import Mistake, Quantity, Tolerance
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
from workbook.mechanics.survey.neighbours import (
    neighbour_steps,
    off_neighbours,
    read_under_load,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from workbook.mechanics.vectors import Array

CAUTIONS = ("S0", "S15")
MM = 1e-3
HAIR = 1e-9  # of a metre: a difference that is its limit is inside

RECORD = (
    "vehicle", "procedure", "who", "story", "before", "anchor layout", "pulls",
    "after release", "stress relief", "parts", "heat", "after", "checks", "signatures",
)  # fmt: skip
"""The 14 fields of the repair record; the practice bay has the same."""

POINTS = tuple(f"p{k}" for k in range(1, 13))


def _offs(g: Numbers) -> Array:
    return np.array([getattr(g, point) for point in POINTS])


def _fails(g: Numbers, *, past: float, sign: float = 0.0) -> set[str]:
    """Return the points that are off by more than a limit, both ways or one."""
    offs = _offs(g)
    size = np.abs(offs) if sign == 0 else sign * offs
    return {point for point, off in zip(POINTS, size, strict=True) if off > past + HAIR}


def _some_fail(g: Numbers) -> bool:
    """Tell whether two to five fail, both ways, and more are past half the limit."""
    high, low = (_fails(g, past=g.limit, sign=sign) for sign in (1.0, -1.0))
    half = _fails(g, past=g.limit / 2)
    fails = high | low
    return bool(high and low and len(fails) <= 5 and len(half) >= len(fails) + 2)


LIST = {
    **dict.fromkeys(POINTS, stepped("mm", -4, 4, 0.1)),
    "limit": picked("mm", 2.0, 2.5, 3.0),
}

# One reading under load --------------------------------------------------------

ROW = tuple(f"r{k}" for k in range(1, 13))


def _readings(g: Numbers) -> Array:
    """Return twelve widths along one side, one of them read under load. [m]"""
    k = np.arange(len(ROW))
    rest = g.first + g.lean * k
    jumped = read_under_load(rest, load=g.load, stiffness=g.stiffness)
    return np.asarray(np.where(k == round(g.at) - 1, jumped, rest))


def _reading(number: int) -> Callable[[Numbers], float]:
    return lambda g: float(_readings(g)[number])


def _jump(g: Numbers) -> float:
    return float(g.load / g.stiffness)


def _stands_off_by_the_jump(g: Numbers) -> str:
    """Return the inner reading that is off its neighbours by load over stiffness."""
    off = off_neighbours(_readings(g)) - _jump(g)
    return ROW[1 + int(np.argmin(np.abs(off)))]


def _largest_reading(g: Numbers) -> str:
    return ROW[int(np.argmax(np.abs(_readings(g))))]


def _reads_the_jump(g: Numbers) -> str:
    """Return the reading that is itself nearest to load over stiffness."""
    return ROW[int(np.argmin(np.abs(_readings(g) - _jump(g))))]


def _below_its_neighbours(g: Numbers) -> str:
    """Return the point before the jump: it stands off as well, the other way."""
    return str(ROW[round(g.at) - 2])


def _choices(g: Numbers) -> tuple[str, ...]:
    """Return the points to choose from: the right one, and what mistakes take."""
    return (
        _stands_off_by_the_jump(g),
        _largest_reading(g),
        _reads_the_jump(g),
        _below_its_neighbours(g),
    )


def _is_not_the_largest(g: Numbers) -> bool:
    """Tell whether the loaded reading stands out, but others are clearly larger."""
    sizes = np.abs(_readings(g))
    loaded = sizes[round(g.at) - 1]
    return bool(
        2 * MM <= _jump(g) <= 5 * MM
        and abs(_jump(g) / MM * 10 - round(_jump(g) / MM * 10)) < HAIR / MM
        and sizes.max() >= loaded + 0.4 * MM
        and len({*_choices(g)}) == len(_choices(g))
    )


# Neighbours --------------------------------------------------------------------

SIX = tuple(f"n{k}" for k in range(1, 7))


def _six(g: Numbers) -> Array:
    return np.array([getattr(g, name) for name in SIX])


def _largest_step(g: Numbers) -> float:
    return float(np.abs(neighbour_steps(_six(g))).max())


def _signs_left_out(g: Numbers) -> float:
    return float(np.abs(np.diff(np.abs(_six(g)))).max())


def _largest_error(g: Numbers) -> float:
    return float(np.abs(_six(g)).max())


def _told_apart(g: Numbers) -> bool:
    """Tell whether the step is well over the largest error and that without signs."""
    one, other = _largest_error(g), _signs_left_out(g)
    apart = abs(one - other) >= MM
    return apart and _largest_step(g) >= max(one, other) + 1.6 * MM


# The record --------------------------------------------------------------------

BAD = " bad"
BADS = 3


def _record(g: Numbers) -> Sequence[str]:
    """Return the 14 fields, three of them empty or against another."""
    chance = Stream(f"record {g.shuffle:.0f}".encode())
    bad = {*chance.shuffled(RECORD)[:BADS]}
    return tuple(f"{name}{BAD * (name in bad)}" for name in RECORD)


def _bad(g: Numbers) -> set[str]:
    return {name for name in _record(g) if name.endswith(BAD)}


EMPTY = {"who", "stress relief", "heat", "signatures"}
"""Fields whose bad form is an empty one; that of the others is against another."""


def _only_empty(g: Numbers) -> set[str] | None:
    """Return the empty fields, where others are in conflict."""
    empty = {name for name in _bad(g) if name.removesuffix(BAD) in EMPTY}
    return empty if empty and empty != _bad(g) else None


# Closing checks ----------------------------------------------------------------

CHECKS = {
    "weld": "joins",
    "restraint": "restraint",
    "alignment": "wheels",
    "glass": "fits",
    "doors": "fits",
    "road": "road",
}
DECIDES = ("joins", "restraint", "wheels", "fits", "road", "nobody")


EXERCISES = (
    Exercise(
        id="16.1",
        lesson="L16",
        given={**SHUFFLE, **LIST},
        allowed=_some_fail,
        answer=Tick(items=lambda _: POINTS, right=lambda g: _fails(g, past=g.limit)),
        mistakes=(
            Mispicked("limit_as_whole_band", lambda g: _fails(g, past=g.limit / 2)),
            Mispicked("only_above", lambda g: _fails(g, past=g.limit, sign=1.0)),
        ),
        # Past 2.5 either way: −2.6, 3.4 and −4; 2.5 itself is inside.
        by_hand=ByHand(
            {
                "shuffle": 1,
                "limit": 2.5,
                **dict.fromkeys(POINTS, 0.5),
                "p2": -2.6,
                "p5": 2.5,
                "p7": 3.4,
                "p9": -4,
                "p11": 1.6,
            },
            "e, g, j",
        ),
        sketch=Sketch("twelve_points"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="16.2",
        lesson="L16",
        given={
            **SHUFFLE,
            "first": stepped("mm", -1, 1, 0.1),
            "lean": stepped("mm", 0.3, 0.6, 0.1),
            "at": stepped("1", 3, 8),
            "load": stepped("kN", 6, 15, 0.5),
            "stiffness": stepped("kN/mm", 2, 5, 0.5),
        },
        allowed=_is_not_the_largest,
        derived={
            name: Derived(unit="mm", digits=1, solve=_reading(number))
            for number, name in enumerate(ROW)
        },
        answer=Choose(items=_choices, right=_stands_off_by_the_jump),
        mistakes=(
            Mispicked("outlier_by_size", _largest_reading),
            Mispicked("reading_is_the_jump", _reads_the_jump),
            Mispicked("neighbour_of_the_jump", _below_its_neighbours),
        ),
        # 8 ÷ 4 = 2 mm: the fourth of 0, 0.5, 1, 3.5, 2, ... 5.5 is 2 mm over the middle
        # of 1 and 2.
        by_hand=ByHand(
            {
                "shuffle": 1,
                "first": 0,
                "lean": 0.5,
                "at": 4,
                "load": 8,
                "stiffness": 4,
            },
            "c",
        ),
        sketch=Sketch("twelve_points"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="16.3",
        lesson="L16",
        given=dict.fromkeys(SIX, stepped("mm", -2.9, 2.9, 0.1)),
        allowed=_told_apart,
        answer=Quantity(
            kind="length",
            unit="mm",
            solve=_largest_step,
            tolerance=Tolerance(absolute=0.2),  # with 0.5 few lists differ clearly
            smallest=1.1,
            largest=5.9,
        ),
        mistakes=(
            Mistake("largest_single_error", _largest_error),
            Mistake("signs_left_out", _signs_left_out),
        ),
        # From −2.7 to 2.9.
        by_hand=ByHand(
            {"n1": 1.2, "n2": 2.8, "n3": -2.7, "n4": 2.9, "n5": 1.6, "n6": 0.7}, 5.6
        ),
        sketch=Sketch("six_neighbours"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="16.4",
        lesson="L16",
        given=SHUFFLE,
        answer=Tick(items=_record, right=_bad),
        mistakes=(Mispicked("only_what_is_empty", _only_empty),),
        # Two numbers of one car, five names for four people, none replaced and one new.
        by_hand=ByHand({"shuffle": 1}, "c, d, j"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="16.5",
        lesson="L16",
        given=SHUFFLE,
        answer=Match(items=lambda _: [*CHECKS], right=lambda _: CHECKS, among=DECIDES),
        mistakes=(
            Mispicked("straight_so_done", lambda _: dict.fromkeys(CHECKS, "nobody")),
        ),
        # Doors, road, welds, glass, wheels, restraint.
        by_hand=ByHand({"shuffle": 1}, "a 4, b 5, c 1, d 4, e 3, f 2"),
        cautions=CAUTIONS,
    ),
)
