"""A bay drawn for a question: eight people, two loaded chains, who must move.

A bay is made from one drawn number. It is made again until everybody stands clearly in
a wedge or clearly out of it, and each known mistake leads to other people.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import product
from math import atan2, cos, dist, hypot, pi, radians, sin
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from workbook.exercises.declaration import Derived, Numbers
from workbook.exercises.seeds import Stream
from workbook.mechanics.safety.line_of_fire import in_line_of_fire

if TYPE_CHECKING:
    from collections.abc import Iterable

    from workbook.mechanics.vectors import Array

PEOPLE = (
    "signaller", "valve", "measurer", "helper", "trainee", "customer", "painter",
    "visitor",
)  # fmt: skip
ENDS = ("clamp_one", "anchor_one", "clamp_two", "anchor_two")
WAYS = ("forward", "left")
PLACES = tuple(f"{name}_{way}" for name in (*PEOPLE, *ENDS) for way in WAYS)

# Of the bay, in decimetres from the middle of the car: forward and left.
BAY, CAR = ((-42, 54), (-36, 36)), ((-24, 22), (-11, 11))
APART, BESIDE = 9, 4  # between two people, and from a person to a chain
CLEAR = radians(5)  # by which everybody is in a wedge or out of it
TRIES = 400

Spot = tuple[int, int]


class Layout(NamedTuple):
    """Where the people of a bay stand, and both ends of its chains. [dm]"""

    people: tuple[Spot, ...]
    ends: tuple[Spot, ...]


def _off(person: Spot, apex: Spot, towards: Spot) -> float:
    """Return the angle of a person off a line, seen from where it begins. [rad]"""
    along = atan2(towards[1] - apex[1], towards[0] - apex[0])
    there = atan2(person[1] - apex[1], person[0] - apex[0])
    return abs((there - along + pi) % (2 * pi) - pi)


def _wedges(ends: tuple[Spot, ...]) -> tuple[tuple[Spot, Spot], ...]:
    first, second = ends[:2], ends[2:]
    return tuple((pair[k], pair[1 - k]) for pair in (first, second) for k in (0, 1))


def _chain(chance: Stream, clamps: tuple[Spot, ...], bearings: range) -> list[Spot]:
    clamp, turn = chance.choice(clamps), radians(chance.choice([*bearings]))
    long = 18 + chance.below(9)
    reach = round(clamp[0] + long * cos(turn)), round(clamp[1] + long * sin(turn))
    return [clamp, reach]


def _stands_free(person: Spot, others: list[Spot], ends: tuple[Spot, ...]) -> bool:
    """Tell whether somebody can stand there: off the car, the chains and the others."""
    on_car = all(low <= x <= high for x, (low, high) in zip(person, CAR, strict=True))
    crowded = any(dist(person, other) < APART for other in others)
    near = any(_beside(person, ends[k], ends[k + 1]) < BESIDE for k in (0, 2))
    return not (on_car or crowded or near)


def _beside(person: Spot, start: Spot, end: Spot) -> float:
    """Return the distance of a person from a chain. [dm]"""
    along = end[0] - start[0], end[1] - start[1]
    there = person[0] - start[0], person[1] - start[1]
    share = (there[0] * along[0] + there[1] * along[1]) / hypot(*along) ** 2
    share = min(1.0, max(0.0, share))
    return dist(there, (share * along[0], share * along[1]))


@lru_cache(maxsize=512)  # each number of a bay asks for it
def bay(layout: int, half_degrees: int) -> Layout | None:
    """Return the bay of a drawn number, nothing where none came of it."""
    chance, half = (
        Stream(f"bay {layout} {half_degrees}".encode()),
        radians(half_degrees),
    )
    side = chance.choice((1, -1))
    front = _chain(chance, ((20, 5), (20, -5)), range(-25, 30, 5))
    beside = _chain(chance, ((6, side * 10), (10, side * 10)), range(65, 120, 5))
    if side < 0:
        beside[1] = beside[1][0], 2 * beside[0][1] - beside[1][1]
    ends = (*front, *beside)
    people: list[Spot] = []
    to_move = 3 + chance.below(3)
    room = {True: to_move, False: len(PEOPLE) - to_move}
    for _ in range(TRIES):
        x, y = (low + chance.below(high - low + 1) for low, high in BAY)
        offs = [_off((x, y), *wedge) for wedge in _wedges(ends)]
        clear = all(
            abs(off - edge) >= CLEAR for off in offs for edge in (half, half / 2)
        )
        inside = min(offs) < half
        if clear and room[inside] and _stands_free((x, y), people, ends):
            people.append((x, y))
            room[inside] -= 1
        if len(people) == len(PEOPLE):
            return Layout(tuple(chance.shuffled(people)), ends)
    return None


def _bay(g: Numbers) -> Layout | None:
    return bay(round(g.layout), round(np.degrees(g.half_angle)))


def _place(index: int) -> Derived:
    """Return one number of a bay, as the question gives it."""

    def solve(g: Numbers) -> float:
        made = _bay(g)
        assert made is not None, "such a draw is not allowed"
        return (*made.people, *made.ends)[index // 2][index % 2] / 10

    return Derived(unit="mm", digits=0, solve=solve)


NUMBERS = {name: _place(index) for index, name in enumerate(PLACES)}
"""Where people stand and chains end, as a question gives it."""


def places(g: Numbers) -> Array:
    """Return where people stand and chains end, as the question has it, (12, 2) [m]."""
    flat = [getattr(g, name) for name in PLACES]
    return np.array(flat, dtype=float).reshape(-1, 2)


def _in(g: Numbers, *, half: float, chains: slice, ends: slice) -> set[str]:
    """Return who stands in the wedges of some chains, from some of their ends."""
    at = places(g)
    told = in_line_of_fire(
        at[: len(PEOPLE)], ends=at[len(PEOPLE) :].reshape(2, 2, 2), half_angle=half
    )
    hit = np.flatnonzero(told[:, chains, ends].any(axis=(-2, -1)))
    return {PEOPLE[index] for index in hit}


BOTH = slice(0, 2)


def must_move(g: Numbers) -> set[str]:
    """Return everybody in a wedge, from both ends of every chain."""
    return _in(g, half=g.half_angle, chains=BOTH, ends=BOTH)


def from_clamps(g: Numbers) -> set[str]:
    """Return who stands in the wedges from the clamps alone."""
    return _in(g, half=g.half_angle, chains=BOTH, ends=slice(0, 1))


def one_chain(g: Numbers) -> set[str]:
    """Return who stands in the wedges of the first chain alone."""
    return _in(g, half=g.half_angle, chains=slice(0, 1), ends=BOTH)


def halved(g: Numbers) -> set[str]:
    """Return who stands in wedges that open by half the angle."""
    return _in(g, half=g.half_angle / 2, chains=BOTH, ends=BOTH)


def sensible(g: Numbers) -> bool:
    """Tell whether a bay came of the draw in which the mistakes lead elsewhere."""
    made = _bay(g)
    if made is None:
        return False
    rows = (*made.people, *made.ends)
    flat = {name: rows[k // 2][k % 2] / 10 for k, name in enumerate(PLACES)}
    drawn = Numbers(**vars(g) | flat)
    right = must_move(drawn)
    others = [wrong(drawn) for wrong in (from_clamps, one_chain, halved)]
    apart = all(a != b for a, b in product(others, others) if a is not b)
    return (
        3 <= len(right) <= 5 and apart and all(0 < len(x) < len(right) for x in others)
    )


def in_order(g: Numbers, names: Iterable[str]) -> Array:
    """Return the places, those of people in the order of these names."""
    at = places(g)
    order = [PEOPLE.index(name) for name in names]
    return np.concatenate([at[order], at[len(PEOPLE) :]])
