"""The part nearest its rating, and what follows when it lets go."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from workbook.bay.balance import ROUNDS, balanced
from workbook.bay.floor import bay_floor
from workbook.bay.holding import bay_loads
from workbook.bay.safety import catches
from workbook.equipment import pick, shop
from workbook.mechanics.metal import front

if TYPE_CHECKING:
    from collections.abc import Iterator

    from workbook.bay.state import Bay, HoldOut, RamOut

AT_RATING = 1e-5
"""A part lets go at its rating to within this share of it. [1]"""


@dataclass(frozen=True, kw_only=True)
class WorstPart:
    """The part nearest its limit: its ``share`` [1], which and of what."""

    share: float
    kind: str
    part: str
    of: str


def shares_of(bay: Bay) -> Iterator[WorstPart]:
    """Yield every rated part under load: of rams, of holding chains, of the body."""
    parts = shop()
    for ram in bay.rams.values():
        if ram.force > 0 and not ram.lost:
            for part in ram.load_path(bay.places[ram.place]).parts:
                share = float(part.share)
                yield WorstPart(share=share, kind="chain", part=part.place, of=ram.name)
    for hold in bay.holds.values():
        if hold.tension > 0:
            rated = {
                "pull leg": pick(parts.chains, hold.chain).rating,
                "clamp": pick(parts.clamps, hold.clamp).rating,
                "post": bay_floor().post_rating,
            }
            for place, rating in rated.items():
                share = hold.tension / rating
                yield WorstPart(share=share, kind="chain", part=place, of=hold.name)
    loads = bay_loads(bay)
    for name, share in zip(loads.support_names, loads.held.shares, strict=True):
        yield WorstPart(share=float(share), kind="support", part="support", of=name)
    for name, share in zip(bay.stations, loads.held.slip_shares, strict=True):
        yield WorstPart(share=float(share), kind="support", part="jaws", of=name)


@lru_cache(maxsize=8)
def worst_share(bay: Bay) -> WorstPart:
    """Return the part nearest its limit."""
    return max(shares_of(bay), key=lambda part: part.share)


def at_its_rating(bay: Bay, pressure: float) -> Bay:
    """Return the bay at the pressure at which the first part has its rating.

    Shares grow nearly as pressure does: a chord between a pressure that holds and one
    that does not finds it, one end's weight halved where the other is met twice.
    """
    ends = [bay.pressure, pressure]
    over = [
        worst_share(bay).share - 1,
        worst_share(balanced(bay, pressure=pressure)).share - 1,
    ]
    for _ in range(ROUNDS):
        between = ends[0] - over[0] * (ends[1] - ends[0]) / (over[1] - over[0])
        found = balanced(bay, pressure=between)
        share = worst_share(found).share - 1
        if abs(share) <= AT_RATING:
            return found
        side = int(share > 0)
        ends[side], over[side] = between, share
        over[1 - side] /= 2
    return found


def let_go(bay: Bay, worst: WorstPart) -> Bay:
    """Return the bay after a part let go: its chain is lost, and the job is over."""
    caught = "yes"
    if worst.kind == "chain":
        caught = catches(bay, worst.of) or "yes"
        bay = _without_chain(bay, worst.of)
    faulty = bay.fault("part_let_go", part=worst.part, of=worst.of, caught=caught)
    return replace(faulty, stopped=faulty.faults[-1])


def torn_off(bay: Bay, place: str) -> Bay:
    """Return the bay after the sheet tore under a clamp; uncaught, the job is over."""
    chains: list[RamOut | HoldOut] = [*bay.rams.values(), *bay.holds.values()]
    for one in chains:
        if one.place == place and not one.lost:
            caught = catches(bay, one.name) or "yes"
            bay = _marked_lost(bay, one.name)
            bay = bay.fault("clamp_tore_off", place=place, of=one.name, caught=caught)
            if caught != "yes":
                bay = replace(bay, stopped=bay.faults[-1])
    return bay


def _without_chain(bay: Bay, name: str) -> Bay:
    if name in bay.metal.pulls:
        done = front.release(bay.front_end, bay.metal, [name])
        bay = replace(bay, metal=done.state, steps=done)
    return _marked_lost(bay, name)


def _marked_lost(bay: Bay, name: str) -> Bay:
    if name in bay.rams:
        gone = replace(bay.rams[name], lost=True, force=0.0)
        return replace(bay, rams={**bay.rams, name: gone})
    lost = replace(bay.holds[name], lost=True, tension=0.0)
    return replace(bay, holds={**bay.holds, name: lost})
