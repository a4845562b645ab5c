"""L01, look over the car: the order of repair, the way of a hit, gaps, what stops."""

from __future__ import annotations

from collections.abc import Mapping
from math import atan, pi

from workbook.exercises.answers.picked import SHUFFLE, Mispicked, Order, Tick
from workbook.exercises.answers.quantity import Mistake, Quantity, Tolerance, slip
from workbook.exercises.declaration import (
    ByHand,
    Exercise,
    Numbers,
    Sketch,
    picked,
    stepped,
)
from workbook.exercises.seeds import Stream

CAUTIONS = ("S0", "S12", "S13")
TURN = 2 * pi

# Marks of two hits, each in the order in which they arose; in sight is which hit lies
# over the other.
MARKS: Mapping[str, tuple[str, ...]] = {
    "post": ("bumper", "fender", "gap"),
    "van": ("door", "pillar", "sill"),
}


def _hits(g: Numbers) -> tuple[str, str]:
    """Return the first hit and the last one."""
    return ("post", "van") if round(g.last) == 2 else ("van", "post")


def _marks(g: Numbers) -> list[str]:
    first, last = _hits(g)
    under = [f"{first} {mark} under" for mark in MARKS[first][:1]]
    over = [f"{last} {mark} over" for mark in MARKS[last][:1]]
    rest = [f"{hit} {mark}" for hit in (first, last) for mark in MARKS[hit][1:]]
    return [*under, *over, *rest]


def _ranks(
    g: Numbers, *, last_hit_first: bool, last_mark_first: bool
) -> dict[str, float]:
    """Return when each mark is undone, by which hit and which of its marks go first."""
    hits = _hits(g)[::-1] if last_hit_first else _hits(g)
    ranks = {}
    for name in _marks(g):
        hit, mark, *_ = name.split()
        which = MARKS[hit].index(mark)
        ranks[name] = 10.0 * hits.index(hit) + (-which if last_mark_first else which)
    return ranks


def _undoing(g: Numbers) -> float:
    return float((g.bearing + pi) % TURN)


PLACES = (
    "left_fender", "left_front_door", "left_rear_door", "left_hood_front",
    "left_hood_rear", "left_lid", "right_fender", "right_front_door",
    "right_rear_door", "right_hood_front", "right_hood_rear", "right_lid",
)  # fmt: skip
# More of them near five than far from it, as on a car.
GAPS = picked("mm", 2, 3, 3.5, 4, 4.5, 4.5, 5, 5, 5, 5.5, 5.5, 6, 6.5, 7, 8)


def _off(
    g: Numbers, *, past: float, wide: bool = True, narrow: bool = True
) -> set[str]:
    """Return the places whose gap is off by more than a limit."""
    over = {place: getattr(g, place) - g.should for place in PLACES}
    return {
        place
        for place, by in over.items()
        if (wide and by > past) or (narrow and by < -past)
    }


def _some_of_both(g: Numbers) -> bool:
    wide = len(_off(g, past=g.limit, narrow=False))
    narrow = len(_off(g, past=g.limit, wide=False))
    return 2 <= wide <= 4 and 2 <= narrow <= 3


OFF = Tick(items=lambda _: PLACES, right=lambda g: _off(g, past=g.limit))


def _by_letter(g: Numbers) -> list[int]:
    return [PLACES.index(place) for place in OFF.lettered(g).values()]


def _turned(g: Numbers) -> float:
    return atan((g.front - g.rear) / g.distance)


STOPPERS = (
    "live_system", "fuel_smell", "airbag_live", "airbag_hanging", "rocking",
    "no_procedure", "lift_locked_out", "battery_hot",
)  # fmt: skip
GOING_ON = (
    "dirty", "flat_tyre", "lamp_broken", "estimate_open", "trim_loose", "paint_thick",
    "old_repair", "mirror_gone", "doors_stiff", "rain",
)  # fmt: skip
CONDITIONS = 10


def _conditions(g: Numbers) -> tuple[str, ...]:
    """Return ten conditions, three to five of them reasons to stop."""
    chance = Stream(f"conditions {g.shuffle:.0f}".encode())
    stops = 3 + chance.below(3)
    found = chance.shuffled(STOPPERS)[:stops]
    return (*found, *chance.shuffled(GOING_ON)[: CONDITIONS - stops])


EXERCISES = (
    Exercise(
        id="1.1",
        lesson="L01",
        given={**SHUFFLE, "last": picked("1", 1, 2)},
        answer=Order(
            items=_marks,
            right=lambda g: _ranks(g, last_hit_first=True, last_mark_first=True),
        ),
        mistakes=(
            Mispicked(
                "order_of_hits_kept",
                lambda g: _ranks(g, last_hit_first=False, last_mark_first=False),
            ),
            Mispicked(
                "direct_damage_first",
                lambda g: _ranks(g, last_hit_first=True, last_mark_first=False),
            ),
            Mispicked(
                "first_hit_first",
                lambda g: _ranks(g, last_hit_first=False, last_mark_first=True),
            ),
        ),
        # The van lies on top. Its sill, its pillar, its door; then gap, fender, bumper.
        by_hand=ByHand({"shuffle": 1, "last": 2}, "b, a, f, d, e, c"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="1.2",
        lesson="L01",
        given={
            "bearing": picked("deg", *(b for b in range(5, 360, 5) if b % 90)),
        },
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_undoing,
            tolerance=Tolerance(absolute=2.0),
            smallest=4.9,
            largest=355.1,
        ),
        mistakes=(
            Mistake("M08_way_the_metal_went", lambda g: g.bearing),
            Mistake("mirror_side", lambda g: TURN - _undoing(g), secondary=True),
            Mistake("quarter_turn", lambda g: (g.bearing + pi / 2) % TURN),
        ),
        # 35 + 180.
        by_hand=ByHand({"bearing": 35}, 215.0),
        sketch=Sketch("hit_from_above", {"bearing": "bearing"}),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="1.3",
        lesson="L01",
        given={
            **SHUFFLE,
            **dict.fromkeys(PLACES, GAPS),
            "should": picked("mm", 5),
            "limit": picked("mm", 1.2, 1.3, 1.4),
        },
        allowed=_some_of_both,
        answer=OFF,
        mistakes=(
            Mispicked(
                "only_the_wide_ones", lambda g: _off(g, past=g.limit, narrow=False)
            ),
            Mispicked(
                "only_the_narrow_ones", lambda g: _off(g, past=g.limit, wide=False)
            ),
            Mispicked("limit_as_whole_band", lambda g: _off(g, past=g.limit / 2)),
        ),
        # From 3.7 to 6.3 is right: 3.5, 7, 8 and 2 are not, and 6 is.
        by_hand=ByHand(
            {
                "shuffle": 1,
                **dict.fromkeys(PLACES, 5),
                "left_fender": 2,
                "left_front_door": 8,
                "right_hood_front": 7,
                "right_lid": 3.5,
                "left_lid": 6,
                "should": 5,
                "limit": 1.3,
            },
            "b, d, e, k",
        ),
        sketch=Sketch("gaps_from_above", {"order": _by_letter}),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="1.4",
        lesson="L01",
        given={
            "front": stepped("mm", 6, 16),
            "rear": stepped("mm", 2, 5),
            "distance": stepped("mm", 800, 1300, 50),
        },
        answer=Quantity(
            kind="angle",
            unit="deg",
            solve=_turned,
            tolerance=Tolerance(relative=0.02),
            smallest=0.04,
            largest=1.01,
        ),
        mistakes=(
            Mistake("gaps_added", lambda g: atan((g.front + g.rear) / g.distance)),
            Mistake("one_end_only", lambda g: atan(g.front / g.distance)),
            slip("swapped", lambda g: atan(g.distance / (g.front - g.rear))),
        ),
        # 9 − 4 = 5 over 1000: the angle is 0.005 of a radian, 0.2865°.
        by_hand=ByHand({"front": 9, "rear": 4, "distance": 1000}, 0.2865),
        sketch=Sketch("uneven_gap"),
        cautions=CAUTIONS,
    ),
    Exercise(
        id="1.5",
        lesson="L01",
        given=SHUFFLE,
        answer=Tick(
            items=_conditions,
            right=lambda g: {*STOPPERS} & {*_conditions(g)},
            stoppers=True,
        ),
        mistakes=(),
        # Fuel, the airbag's module, no procedure, rocking, the high-voltage system.
        by_hand=ByHand({"shuffle": 1}, "a, c, d, e, j"),
        cautions=CAUTIONS,
    ),
)
