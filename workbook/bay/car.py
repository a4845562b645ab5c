"""A car for each student: how it was hit, what the survey and the questions draw on.

Numbers are drawn as those of the exercises are (`workbook.exercises.seeds`), within
the bands of ``bay.toml``; the damage is what those hits do to the metal.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache, cached_property
from typing import TYPE_CHECKING

import numpy as np

from workbook.bay.floor import bay_floor, read_bay_data
from workbook.bay.metal import CROSSMEMBER, bare, crossmember
from workbook.equipment import shop
from workbook.errors import OutOfRangeError
from workbook.exercises.seeds import Stream, plain, seed_for
from workbook.mechanics.metal.crossmember import put_on, taken_off
from workbook.mechanics.metal.front import undamaged
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailClamp,
    RailPull,
    RailStage,
)
from workbook.quantities.table import unit_in
from workbook.quantities.units import factor
from workbook.scenes.kestrin_rail import SIDES, kestrin_front_end

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from workbook.mechanics.metal.front_parts import FrontState
    from workbook.mechanics.vectors import Array

VERSION = 2
"""Of the acts and of what they do: a log says which it is of."""
DRAWN = 1
"""Version of what is drawn for a car."""

HITS = ("ahead", "side")
STOPPERS = (
    "live_system", "fuel_smell", "airbag_live", "airbag_hanging", "rocking",
    "no_procedure", "lift_locked_out", "battery_hot",
)  # fmt: skip
HARMLESS = ("dirty", "lamp_broken", "trim_loose", "mirror_gone", "rain", "doors_stiff")
CONDITIONS = 6
RAILS = len(SIDES)
CORNER = "struck corner"
DRAWS = 40
"""So many cars are drawn at most until one lies in the bands."""


@dataclass(frozen=True, kw_only=True, eq=False)
class BayCar:
    """One student's Kestrin 5 as it comes in.

    Attributes
    ----------
    student, class_key : str
        Whose it is.
    front_end : FrontEnd
        Its rails, and the places that take a clamp.
    hits : tuple of str
        Of `HITS`, the first first: how the marks on it lie over each other.
    pushed : {"right", "left"}
        Which way the struck tip was pushed.
    conditions, stoppers : tuple of str
        What is noticed on it, and what of that stops the job.
    pump_ratio : float
        Oil pressure over air pressure. [1]
    line : (str, str)
        Two rams of the shop on one line, of which a question asks.
    ask : mapping of str to float
        Numbers of the questions beside the work. [SI]
    crashed : FrontState
        The metal after the crash, its crossmember on it as it lies: nodes of the two
        rails, then of its halves.
    specified : ndarray, shape (2, n + 1, 3)
        Where its nodes should be. [m]
    """

    student: str
    class_key: str
    front_end: FrontEnd
    hits: tuple[str, ...]
    pushed: str
    conditions: tuple[str, ...]
    stoppers: tuple[str, ...]
    pump_ratio: float
    line: tuple[str, str]
    ask: Mapping[str, float]
    crashed: FrontState
    specified: NDArray[np.float64]

    @cached_property
    def tip_difference(self) -> Array:
        """How far the struck tip is from where it should be, shape (3,). [m]"""
        return np.asarray((self.crashed.metal.nodes[:RAILS] - self.specified)[0, -1])

    def readings(self, number: int) -> Readings:
        """Return what draws the scatter of the survey with this number."""
        return Readings(_seed(self.class_key, self.student, attempt=1000 + number))


class Readings:
    """Scatter from a seed, the same on every machine: a bell by its quantiles."""

    def __init__(self, seed: bytes) -> None:
        self._stream = Stream(seed)

    def normal(self, *, scale: float, size: tuple[int, ...]) -> NDArray[np.float64]:
        """Return errors with this standard deviation. [unit of scale]"""
        # Twelve even numbers less six: a bell of width one, by sums alone.
        count, parts = int(np.prod(size)), 2**32
        drawn = [
            sum(self._stream.below(parts) for _ in range(12)) / parts - 6
            for _ in range(count)
        ]
        return scale * np.array(drawn).reshape(size)


def car_for(*, class_key: str, student: str) -> BayCar:
    """Return a student's car.

    Parameters
    ----------
    class_key, student : str
        As those of the exercises; case and blanks round them do not count.

    Returns
    -------
    BayCar

    Examples
    --------
    >>> car = car_for(class_key="oak", student="K7")
    >>> bool(-0.0355 < car.tip_difference[0] < -0.0145)
    True
    """
    return _car(plain(class_key), plain(student))


@cache
def _car(class_key: str, student: str) -> BayCar:
    for attempt in range(1, DRAWS + 1):
        car = _drawn(class_key, student, attempt)
        if in_bands(car):
            return car
    raise OutOfRangeError("bay.no_car", tries=DRAWS)


def in_bands(car: BayCar) -> bool:
    """Tell whether the damage lies within the bands the car was drawn for."""
    bands, mm = read_bay_data()["car"], factor("mm")
    ways = ("back_mm", "aside_mm", "down_mm")
    return all(
        bands[way][0] * mm <= abs(float(size)) + 5e-4
        and abs(float(size)) <= bands[way][1] * mm + 5e-4
        for way, size in zip(ways, car.tip_difference, strict=True)
    )


def _seed(class_key: str, student: str, *, attempt: int) -> bytes:
    return seed_for(
        class_key=class_key,
        student=student,
        exercise="practice bay",
        version=DRAWN,
        attempt=attempt,
    )


def _drawn(class_key: str, student: str, attempt: int) -> BayCar:
    """Draw one car and crash it."""
    chance, data = Stream(_seed(class_key, student, attempt=attempt)), read_bay_data()
    hits = tuple(chance.shuffled(HITS))
    # Most are pushed to the right, as from ahead and to the left.
    pushed = chance.choice(("right", "right", "right", "left"))
    stops = chance.shuffled(STOPPERS)[: 1 + chance.below(3)]
    rest = chance.shuffled(HARMLESS)[: CONDITIONS - len(stops)]
    conditions = tuple(chance.shuffled([*stops, *rest]))
    one, other, *_ = chance.shuffled([ram.name for ram in shop().rams])
    line = one, other
    size, ask = (
        {_bare(name): _steps(chance, name, row) for name, row in data[table].items()}
        for table in ("car", "ask")
    )
    front_end = _front_end(size["wall"])
    crashed = _crash(front_end, size, hits=hits, pushed=pushed)
    return BayCar(
        student=student,
        class_key=class_key,
        front_end=front_end,
        hits=hits,
        pushed=pushed,
        conditions=conditions,
        stoppers=tuple(stops),
        pump_ratio=size["pump_ratio"],
        line=line,
        ask=ask,
        crashed=crashed,
        specified=undamaged(front_end).metal.nodes[:RAILS],
    )


def _bare(name: str) -> str:
    """Return a name without its unit.

    Examples
    --------
    >>> _bare("clamp_pull_kn"), _bare("pump_ratio")
    ('clamp_pull', 'pump_ratio')
    """
    unit = unit_in(name)
    return name if unit == "1" else name[: -len(unit) - 1]


def _steps(chance: Stream, name: str, row: list[float]) -> float:
    """Draw a whole number of steps between two ends. [SI]"""
    low, high, step = row
    drawn = low + step * chance.below(round((high - low) / step) + 1)
    return float(drawn * factor(unit_in(name)))


def _front_end(wall: float) -> FrontEnd:
    """Return the metal of one car with the places that take a clamp."""
    floor = bay_floor()
    return FrontEnd(
        rails=kestrin_front_end(wall=wall).rails,
        crossmember=crossmember(),
        clamps={
            name: RailClamp(node=node, rating=floor.tear)
            for name, node in floor.places.items()
        },
    )


def _crash(
    front_end: FrontEnd,
    size: Mapping[str, float],
    *,
    hits: tuple[str, ...],
    pushed: str,
) -> FrontState:
    """Drive the struck corner in, hit by hit, and let it go."""
    crash, mm = read_bay_data()["crash"], factor("mm")
    back, aside, down = (mm * more for more in crash["springback_mm"])
    aside_way = -1.0 if pushed == "right" else 1.0
    ways = {
        "rearward": ((-1.0, 0.0, 0.0), size["back"] + back),
        "aside": ((0.0, aside_way, 0.0), size["aside"] + aside),
        "down": ((0.0, 0.0, -1.0), size["down"] + down),
    }
    rails = replace(
        front_end,
        clamps={CORNER: RailClamp(node=bay_floor().places["left tip"])},
        pulls={
            name: RailPull(clamp=CORNER, direction=way)
            for name, (way, _) in ways.items()
        },
    )
    holds = crash["crossmember_holds"]
    travel = {name: travel for name, (_, travel) in ways.items()}

    def part(share: float) -> dict[str, float]:
        return {name: share * travel[name] for name in ("aside", "down")}

    stages = {
        "ahead": [RailStage(name="ahead", travels={"rearward": travel["rearward"]})],
        "side": [
            RailStage(name="side", travels=part(holds)),
            RailStage(
                name="crossmember gives way",
                travels=part(1 - holds),
                take_out=[CROSSMEMBER],
            ),
        ],
    }
    over = RailStage(name="crash over", forces=dict.fromkeys(ways, 0.0))
    driven = [stage for hit in hits for stage in stages[hit]]
    end = follow(rails, [*driven, over]).end
    # What gave way lies bent between the rails, and holds them as they are.
    alone, beam = taken_off(front_end, bare(end))
    return put_on(front_end, alone, beam)
