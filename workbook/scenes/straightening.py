"""One rail that a hit has bent to one side, and the pulls that straighten it.

The rail is the left one of the invented Kestrin 5, alone and without its crossmember.
A hit has left its hook point short of its place by what is needed; the pull goes
straight to the left. What happens is what the practice rail does, step by step.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailClamp,
    RailPull,
    RailStage,
    Relief,
)
from workbook.scenes.fields import Given, read_fields
from workbook.scenes.kestrin_rail import kestrin_rail, read_rail_data

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from workbook.mechanics.metal.rail_history import RailHistory
    from workbook.mechanics.vectors import Array

WORD = "SPRING1"
FIELDS = read_fields("springback")
LET_GO = "let go"
STAGES = ("under load", "hammered", LET_GO)

HOOK = int(read_rail_data()["clamp"]["left tip"]["node"][1])
LINKS = int(read_rail_data()["rail"]["links"])
LENGTH = float(read_rail_data()["rail"]["length"])  # [m]
MOST_LOAD = 36e3  # as the field has it [N]
PULL, HIT = "pull", "hit"
# A load is reached in rungs that many set-ups share. [N]
RUNG = 6e3
# Loads that somebody sets are looked for to this. [N]
TENTH = 100.0
# A load small enough that nothing yields tells the stiffness. [N]
SMALL = 100.0
# How far the model follows the hook point; a rail bent so far is scrap. [m]
FARTHEST = 0.15
# A hit leaves what is needed to within this. [m]
NEAR = 1e-5
TRIES = 8
# Of a hit's travel about so much more is left [-], once this much is gone back [m].
LEFT_OF_MORE, GOES_BACK = 0.94, 5e-3
# A hinge has bent for good when it turned by more than this in a pull. [rad]
FOR_GOOD = 1e-5
# Points of each phase of a curve: more than any is found by.
COUNT = 97


@lru_cache(maxsize=64)
def front_end(wall: float, rating: float = np.inf) -> FrontEnd:
    """Return the rail of some wall [m], with a clamp at its hook that may tear [N]."""
    return FrontEnd(
        rails=[kestrin_rail("left", wall=wall)],
        clamps={
            "hook": RailClamp(node=(0, HOOK), rating=rating),
            "struck": RailClamp(node=(0, HOOK)),
        },
        pulls={
            PULL: RailPull(clamp="hook", direction=(0, 1, 0)),
            HIT: RailPull(clamp="struck", direction=(0, -1, 0)),
        },
    )


def nodes_of(history: RailHistory) -> Array:
    """Return where the nodes end up, forward and to the left of the root. [m]"""
    nodes = history.nodes[-1, 0]
    return np.asarray((nodes - nodes[0])[:, :2])


@lru_cache(maxsize=256)
def hit(wall: float, needed: float) -> RailHistory:
    """Return the hit that leaves the hook short of its place by what is needed. [m]"""
    travel = (needed + GOES_BACK) / LEFT_OF_MORE
    for _ in range(TRIES):
        stages = [
            RailStage(name=HIT, travels={HIT: travel}),
            RailStage(name=LET_GO, forces={HIT: 0.0}),
        ]
        history = follow(front_end(wall), stages)
        short = needed + float(nodes_of(history)[HOOK, 1])
        if abs(short) <= NEAR:
            break
        travel += short / LEFT_OF_MORE
    return history


@lru_cache(maxsize=256)
def before(wall: float, needed: float, earlier: float) -> tuple[RailHistory, ...]:
    """Return what happened before the pull: the hit, and an earlier pull let go."""
    bent = hit(wall, needed)
    if earlier <= 0:
        return (bent,)
    up, refusal = climb(wall, needed, 0.0, earlier)
    if refusal is not None:
        raise refusal
    down = RailStage(name=LET_GO, forces={PULL: 0.0})
    return (bent, *up, follow(front_end(wall), [down], start=up[-1]))


@lru_cache(maxsize=4096)
def _rung(wall: float, needed: float, earlier: float, count: int) -> RailHistory:
    """Return the last rung of a pull that goes up so many of them."""
    if count == 0:
        return before(wall, needed, earlier)[-1]
    last = _rung(wall, needed, earlier, count - 1)
    return _loaded(front_end(wall), count * RUNG, needed, last)


def _loaded(
    ends: FrontEnd, load: float, needed: float, start: RailHistory
) -> RailHistory:
    history = follow(ends, [RailStage(name=PULL, forces={PULL: load})], start=start)
    if float(nodes_of(history)[HOOK, 1]) + needed > FARTHEST:
        raise OutOfRangeError("scene.pulled_too_far", load=load, most=FARTHEST)
    return history


def climb(
    wall: float, needed: float, earlier: float, load: float, *, rating: float = np.inf
) -> tuple[list[RailHistory], WorkbookError | None]:
    """Pull up to a load, or as far as the rail goes.

    Parameters
    ----------
    wall, needed : float
        The rail's wall, and what is missing at its hook. [m]
    earlier, load : float
        Of an earlier pull that was let go, 0 for none, and of this one. [N]
    rating : float
        Pull at which the clamp tears. [N]

    Returns
    -------
    list of RailHistory
        The parts of the pull, each going on from the one before.
    WorkbookError or None
        Why it does not go all the way.
    """
    parts: list[RailHistory] = []
    under = min(load, rating)
    whole = int(np.ceil(under / RUNG)) - 1
    try:
        parts += (_rung(wall, needed, earlier, k + 1) for k in range(whole))
        start = _rung(wall, needed, earlier, whole)
        parts.append(_loaded(front_end(wall, rating), load, needed, start))
    except WorkbookError as refusal:
        return parts, refusal
    return parts, None


def curve_of(parts: Sequence[RailHistory], needed: float) -> Array:
    """Return movement of the hook since the hit over the load, shape (n, 2)."""
    pieces = [
        np.stack(
            [
                needed + part.nodes[:, 0, HOOK, 1] - part.nodes[:, 0, 0, 1],
                part.force[:, part.pulls.index(PULL)],
            ],
            axis=-1,
        )
        for part in parts
    ]
    return np.concatenate(pieces) if pieces else np.full((1, 2), np.nan)


def spread(curve: Array) -> Array:
    """Return a curve by as many of its own points as any other, some of them twice."""
    return np.asarray(curve[np.rint(np.linspace(0, len(curve) - 1, COUNT)).astype(int)])


@dataclass(frozen=True, kw_only=True)
class PulledRail:
    """Rails through all their stages, of set-ups (...) or of one.

    Attributes
    ----------
    earlier, loading, hammered, release : ndarray, shape (..., COUNT, 2)
        The phases of the curve: movement of the hook since the hit [m] and load [N];
        nan where there is none.
    bent, loaded, relieved, left : ndarray, shape (..., LINKS + 1, 2)
        Where the nodes are after the hit and after each stage, forward and to the
        left of the root. [m]
    for_good : ndarray, shape (..., LINKS)
        How far each hinge has bent for good since the hit, plus to the left. [rad]
    unrelieved : ndarray, shape (...)
        Springback of the same pull let go without hammering. [m]
    stiffness : ndarray, shape (...)
        Load over movement of the hook where nothing yields. [N/m]
    """

    earlier: Array
    loading: Array
    hammered: Array
    release: Array
    bent: Array
    loaded: Array
    relieved: Array
    left: Array
    for_good: Array
    unrelieved: Array
    stiffness: Array


@lru_cache(maxsize=1024)
def stiffness_of(wall: float, needed: float) -> float:
    """Return load over movement of the hook where nothing yields. [N/m]"""
    [small], _ = climb(wall, needed, 0.0, SMALL)
    curve = curve_of([small], needed)
    return float(np.diff(curve[[0, -1], 1])[0] / np.diff(curve[[0, -1], 0])[0])


@lru_cache(maxsize=1024)
def _released(
    wall: float, needed: float, earlier: float, load: float, relief: float
) -> tuple[RailHistory, RailHistory]:
    """Return a pull hammered with its chain locked, and then let go."""
    parts, refusal = climb(wall, needed, earlier, load)
    if refusal is not None:
        raise refusal
    ends = front_end(wall)
    blows = [Relief(rail=0, hinges=range(LINKS), fraction=relief)] if relief else []
    locked = RailStage(name="hammered", travels={PULL: 0.0}, relief=blows)
    hammered = follow(ends, [locked], start=parts[-1])
    down = RailStage(name=LET_GO, forces={PULL: 0.0})
    return hammered, follow(ends, [down], start=hammered)


@lru_cache(maxsize=1024)
def pulled_rail(
    wall: float, needed: float, earlier: float, load: float, relief: float
) -> tuple[PulledRail, WorkbookError | None]:
    """Take one rail through all its stages, or as far as it goes, and say why."""
    none, nowhere = np.full((COUNT, 2), np.nan), np.full((LINKS + 1, 2), np.nan)
    bent = hit(wall, needed)
    found: dict[str, Array] = {
        "earlier": none,
        "loading": none,
        "hammered": none,
        "release": none,
        "bent": nodes_of(bent),
        "loaded": nowhere,
        "relieved": nowhere,
        "left": nowhere,
        "for_good": np.full(LINKS, np.nan),
        "unrelieved": np.array(np.nan),
        "stiffness": np.array(stiffness_of(wall, needed)),
    }
    refusal: WorkbookError | None = None
    try:
        first = before(wall, needed, earlier)[1:]
        if first:
            found["earlier"] = spread(curve_of(first, needed))
        up, refusal = climb(wall, needed, earlier, load)
        if up:
            found["loading"] = spread(curve_of(up, needed))
        if refusal is None:
            locked, down = _released(wall, needed, earlier, load, relief)
            plain = _released(wall, needed, earlier, load, 0.0)[1]
            fallen = curve_of([plain], needed)[:, 0]
            found |= {
                "hammered": spread(curve_of([locked], needed)),
                "release": spread(curve_of([down], needed)),
                "loaded": nodes_of(up[-1]),
                "relieved": nodes_of(locked),
                "left": nodes_of(down),
                "for_good": down.plastic[-1, 0, :, 1] - bent.plastic[-1, 0, :, 1],
                "unrelieved": np.array(fallen[0] - fallen[-1]),
            }
    except WorkbookError as reason:
        refusal = reason
    return PulledRail(**found), refusal


@lru_cache(maxsize=256)
def load_that_leaves(wall: float, needed: float) -> float:
    """Return the load, let go without hammering, after which what is needed stays.

    To a tenth of a kilonewton: what stays grows with the load, so it is halved.
    """
    low, high = 0, round(MOST_LOAD / TENTH)
    while high - low > 1:
        middle = (low + high) // 2
        rail, refusal = pulled_rail(wall, needed, 0.0, middle * TENTH, 0.0)
        past = refusal is not None or rail.left[HOOK, 1] > 0
        low, high = (low, middle) if past else (middle, high)
    ends = [pulled_rail(wall, needed, 0.0, k * TENTH, 0.0)[0] for k in (low, high) if k]
    off = [abs(float(rail.left[HOOK, 1])) for rail in ends]
    return TENTH * (low if len(off) > 1 and off[0] < off[1] else high)


@dataclass(frozen=True, kw_only=True)
class SpringGiven(Given):
    """What is given of a rail to be straightened; ``values`` holds a value a field."""

    FIELDS = FIELDS

    def solved(self) -> Straightened:
        """Pull the rail, or every one of many.

        Returns
        -------
        Straightened
            Of many, with nan where a rail does not go so far.

        Raises
        ------
        WorkbookError
            If a single rail is pulled further than the model follows it.
        """
        names = ("wall_mm", "needed_mm", "earlier_kn", "load_kn", "relief_percent")
        given = np.broadcast_arrays(*(self.array(name) for name in names))
        each = [
            pulled_rail(*(round(float(value), 9) for value in one))
            for one in zip(*(array.ravel() for array in given), strict=True)
        ]
        shape = given[0].shape
        if shape == () and each[0][1] is not None:
            raise each[0][1]
        whole = {}
        for field in fields(PulledRail):
            rows = np.stack([getattr(one, field.name) for one, _ in each])
            whole[field.name] = rows.reshape(shape + rows.shape[1:])
        return Straightened(given=self, rail=PulledRail(**whole))


@dataclass(frozen=True, kw_only=True)
class Straightened:
    """A rail that is pulled, hammered and let go; every number is an array (...).

    Movements are those of the hook to the left, from where the hit left it. A number
    that has not come about yet, by the stage, is nan.
    """

    given: SpringGiven
    rail: PulledRail

    @cached_property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups whose rail goes so far, shape (...)."""
        return np.asarray(np.isfinite(self.rail.left[..., HOOK, 1]))

    @property
    def stage(self) -> str:
        """How far the pull has come: one of `STAGES`."""
        return self.given.chosen("stage")

    @property
    def needed(self) -> Array:
        """What is missing at the hook, to the left. [m]"""
        return self.given.array("needed_mm")

    @property
    def load(self) -> Array:
        """What the pull goes up to. [N]"""
        return self.given.array("load_kn")

    def _come(self, *stages: str) -> Array:
        """Return nought where the pull has come to one of these stages, else nan."""
        return np.asarray(0.0 if self.stage in stages else np.nan)

    @property
    def loaded_movement(self) -> Array:
        """Movement under the load: the loaded reading. [m]"""
        return self.needed + self.rail.loaded[..., HOOK, 1]

    @property
    def overpull(self) -> Array:
        """How far the loaded reading is past the place the hook should have. [m]"""
        return self.loaded_movement - self.needed

    @property
    def left_load(self) -> Array:
        """What is in the chain before it is let go, after hammering if any. [N]"""
        return self.rail.release[..., 0, 1]

    @property
    def gauge(self) -> Array:
        """What is in the chain now. [N]"""
        now = {"under load": self.load, "hammered": self.left_load}
        return now.get(self.stage, np.zeros_like(self.load)) + 0 * self.left_load

    @property
    def stays(self) -> Array:
        """Movement after letting go: the released reading. [m]"""
        return self.needed + self.rail.left[..., HOOK, 1] + self._come(LET_GO)

    @property
    def springback(self) -> Array:
        """How far the hook goes back when it is let go. [m]"""
        return self.loaded_movement - self.stays

    @property
    def off(self) -> Array:
        """Released reading less what is needed: below nought it is still short. [m]"""
        return self.stays - self.needed

    @property
    def stiffness(self) -> Array:
        """Load over movement where nothing yields. [N/m]"""
        return self.rail.stiffness

    @property
    def straight(self) -> Array:
        """Springback by the straight line: load let go over stiffness. [m]"""
        return np.asarray(self.left_load / self.stiffness)

    @property
    def relieved(self) -> Array:
        """Share of the springback that hammering has taken away. [-]"""
        share = 1 - self.springback / self.rail.unrelieved
        return np.where(self.given.array("relief_percent") > 0, share, np.nan)

    @property
    def now(self) -> Array:
        """Where the rail's nodes are at this stage (..., LINKS + 1, 2). [m]"""
        w = self.rail
        places = {"under load": w.loaded, "hammered": w.relieved, LET_GO: w.left}
        return places[self.stage]

    @property
    def bent_for_good(self) -> NDArray[np.bool_]:
        """Which hinges have bent for good since the hit, shape (..., LINKS)."""
        return np.abs(np.nan_to_num(self.rail.for_good)) > FOR_GOOD
