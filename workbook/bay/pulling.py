"""Oil and metal: valves, the pump, what moves, what tears, what is let down.

All open rams have the line's pressure; a ram whose valve is shut keeps its oil, and
so its length; a holding chain keeps its own. What balances all of them at once is
found by going round: the metal under the chains with their heads where they are,
then each ram with its clamp where the metal has moved to, until nothing moves.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from workbook.bay import metal
from workbook.bay.acts import one_of
from workbook.bay.floor import above_datum, bay_floor, read_bay_data
from workbook.bay.holding import bay_loads
from workbook.bay.safety import before_a_pull, catches, in_line_of_fire
from workbook.bay.setting_out import where_head_is
from workbook.bay.state import Bay, HoldOut, OilShare, PullDone, RamOut
from workbook.equipment import pick, shop
from workbook.errors import NoConvergenceError, OutOfRangeError
from workbook.mechanics.hydraulics.pressure import oil_pressure
from workbook.mechanics.hydraulics.supply import Rams, extend_rams
from workbook.mechanics.metal import front
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_parts import Relief, Spring
from workbook.mechanics.vectors import Array, norm
from workbook.quantities.units import factor
from workbook.scenes.kestrin_rail import SIDES

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from workbook.bay.car import BayCar
    from workbook.mechanics.metal.front_parts import FrontSteps

LITRE_A_MINUTE = 1e-3 / 60
"""[m^3/s]"""

ROUNDS = 40
STILL = 1e-7
"""Heads that move by less from round to round stand still. [m]"""
AT_RATING = 1e-5
"""A part lets go at its rating to within this share of it. [1]"""


# ------------------------------------------------------------------- valves and oil


def valve(bay: Bay, *, ram: str, open: bool) -> Bay:
    """Open or shut a ram's valve; an open one goes to the line's pressure."""
    one_of(bay.rams, ram, what="ram")
    turned = replace(bay.rams[ram], is_open=open)
    bay = replace(bay, rams={**bay.rams, ram: turned})
    if not open or turned.force == turned.ram.force_at(bay.pressure):
        return bay
    return pulled(before_a_pull(bay), pressure=bay.pressure)


def take_up(bay: Bay) -> Bay:
    """Take up the slack of every open ram and of every holding chain that hangs."""
    _some_open(bay)
    rams = {name: _taut(bay, ram) for name, ram in bay.rams.items()}
    holds = {
        name: hold if hold.tension > 0 else replace(hold, length=_way(bay, hold))
        for name, hold in bay.holds.items()
    }
    return replace(bay, rams=rams, holds=holds, looked=False)


def look(bay: Bay) -> Bay:
    """Look along every chain, clamp and base from the side."""
    return replace(bay, looked=True)


def pump(bay: Bay, *, air_bar: float) -> Bay:
    """Turn the regulator up by a step, and wait until the pump stalls."""
    _some_open(bay)
    air = bay.air + air_bar * factor("bar")
    most = read_bay_data()["supply"]["most_air_bar"] * factor("bar")
    if air > most * (1 + 1e-9):
        raise OutOfRangeError("bay.too_much_air", air=air, most=most)
    bay_loads(bay)  # a body that can slide is not pulled on
    started = before_a_pull(bay)
    if not started.looked:
        started = _once(started, "not_looked")
    if any(ram.is_open and not ram.taken_up for ram in started.rams.values()):
        started = replace(take_up(started), looked=started.looked)
    pressure = float(oil_pressure(air, pump_ratio=bay.car.pump_ratio))
    return pulled(replace(started, air=air), pressure=pressure)


def stop(bay: Bay, *, who: str) -> Bay:
    """Call stop: every valve is shut, and all stays as it is."""
    one_of(bay_floor().people, who, what="person")
    rams = {name: replace(ram, is_open=False) for name, ram in bay.rams.items()}
    return replace(bay, rams=rams)


def release(bay: Bay) -> Bay:
    """Let all oil back and holding chains off: what springs back, does."""
    chains = [*bay.metal.pulls]
    done = front.release(bay.car.front_end, bay.metal, chains) if chains else None
    after = replace(bay, metal=done.state if done else bay.metal, steps=done)
    rams = {
        name: replace(ram, force=0.0, is_open=False, taken_up=False, stroke=0.0)
        for name, ram in bay.rams.items()
    }
    holds = {name: replace(hold, tension=0.0) for name, hold in bay.holds.items()}
    ended = [replace(one, over=True) for one in bay.pulls[-1:]]
    return replace(
        after,
        rams=rams,
        holds=holds,
        air=0.0,
        pressure=0.0,
        oil={},
        seconds=0.0,
        looked=False,
        pulls=(*bay.pulls[:-1], *ended),
    )


def relieve(bay: Bay, *, side: str, hinges: tuple[int, ...], share: float) -> Bay:
    """Hammer a rail at some of its hinges, from the root on 0, with the load on."""
    one_of(SIDES, side, what="side")
    if bay.loaded:
        for who, name in in_line_of_fire(bay).items():
            bay = _once(bay, "in_line_of_fire", who=who, name=name)
    where = Relief(rail=SIDES.index(side), hinges=hinges, fraction=share)
    done = front.relieve(bay.car.front_end, bay.metal, [where])
    hammered = replace(bay, metal=done.state, steps=done)
    if not bay.loaded:
        return hammered
    after = pulled(hammered, pressure=bay.pressure)
    return replace(after, steps=done)


# --------------------------------------------------------------- metal without a pull


def stand(bay: Bay, *, side: str) -> Bay:
    """Set a stand under and beside the root of a rail."""
    one_of(SIDES, side, what="side")
    if side in bay.stands:
        raise OutOfRangeError("bay.stands", side=side)
    row = read_bay_data()["stand"]
    spring = Spring(
        node=(SIDES.index(side), row["node"]),
        stiffness=np.array(row["stiffness_kn_per_mm"]) * factor("kN/mm"),
        in_place=False,
    )
    fitted = _fitted(bay, f"{side} stand", spring)
    return replace(fitted, stands=(*bay.stands, side))


def take_stand(bay: Bay, *, side: str) -> Bay:
    """Take the stand from under a root."""
    one_of(bay.stands, side, what="side")
    kept = tuple(one for one in bay.stands if one != side)
    return replace(_taken(bay, f"{side} stand"), stands=kept)


def crossmember(bay: Bay, *, on: bool) -> Bay:
    """Bolt the crossmember on, as it lies, or take it off."""
    if on and bay.bolted:
        raise OutOfRangeError("bay.bolted")
    if not on and not bay.bolted:
        raise OutOfRangeError("bay.unbolted")
    bolted = metal.crossmember()
    changed = (
        _fitted(bay, metal.CROSSMEMBER, bolted)
        if on
        else _taken(bay, metal.CROSSMEMBER)
    )
    return replace(changed, bolted=on)


def _fitted(bay: Bay, name: str, spring: Spring) -> Bay:
    done = front.load(bay.car.front_end, bay.metal, {}, holds={name: spring})
    return replace(bay, metal=done.state)


def _taken(bay: Bay, name: str) -> Bay:
    done = front.release(bay.car.front_end, bay.metal, [name])
    return replace(bay, metal=done.state, steps=done)


# ----------------------------------------------------------------------- all in balance


def pulled(bay: Bay, *, pressure: float) -> Bay:
    """Return the bay with its line at a pressure; what cannot stand it lets go.

    Parameters
    ----------
    bay : Bay
        Its slack taken up.
    pressure : float
        Of the line. [Pa]
    """
    done = balanced(bay, pressure=pressure)
    over = worst_share(done)
    if over.share > 1 + AT_RATING:
        done = _at_its_rating(bay, pressure)
        return _noted(bay, _let_go(done, worst_share(done)))
    torn = done.metal.torn - bay.metal.torn
    for place in sorted(torn):
        done = _torn(done, place)
    return _noted(bay, done)


def balanced(bay: Bay, *, pressure: float) -> Bay:
    """Return the bay with its line at a pressure, whatever its parts are rated.

    Raises
    ------
    NoConvergenceError
        If heads and metal do not come to rest.
    WorkbookError
        If a ram would fall, or the metal carries no such pull.
    """
    chains = {
        name: Running(ram, force=_thrust(ram, pressure))
        for name, ram in bay.rams.items()
        if not ram.lost and ram.taken_up
    }
    aims, ways = [_followed(chains, bay)], []
    for _ in range(ROUNDS):
        steps = _metal_under(bay, chains, dict(zip(chains, aims[-1], strict=True)))
        heads = _followed(chains, replace(bay, metal=steps.state))
        ways.append(heads - aims[-1])
        if np.abs(ways[-1]).max(initial=0.0) < STILL:
            return _settled(bay, steps, chains, pressure)
        aims.append(_next_aim(aims, ways))
    raise NoConvergenceError("bay.not_at_rest", rounds=ROUNDS)


def _next_aim(aims: Sequence[Array], ways: Sequence[Array]) -> Array:
    """Return where to look for the heads next: where the last two looks point.

    References
    ----------
    .. [1] D. G. Anderson, "Iterative procedures for nonlinear integral equations",
       *Journal of the ACM* 12 (1965), 547-560, with one look kept; from memory.
    """
    there = aims[-1] + ways[-1]
    if len(ways) < 2:
        return there
    turned = ways[-1] - ways[-2]
    size = float((turned * turned).sum())
    share = float((ways[-1] * turned).sum()) / size if size else 0.0
    return np.asarray(there - share * (aims[-1] - aims[-2] + turned))


def _followed(chains: Mapping[str, Running], bay: Bay) -> Array:
    """Let every ram go where its clamp is; return their heads, shape (n, 3). [m]"""
    for chain in chains.values():
        chain.follow(bay.places[chain.ram.place])
    return np.array([chain.head for chain in chains.values()]).reshape(-1, 3)


class Running:
    """A ram on the way to its balance: pushed by oil, or locked by its valve."""

    def __init__(self, ram: RamOut, *, force: float | None) -> None:
        self.ram, self.force = ram, force
        self.stroke, self.head, self.share = ram.stroke, ram.rig.base, 1.0

    @property
    def locked(self) -> bool:
        """Whether its length is given, and not its force."""
        return self.force is None

    def follow(self, clamp: Array) -> None:
        """Go where the clamp is."""
        if not self.locked:
            stroke, head, share = where_head_is(self.ram, clamp)
            if stroke <= float(self.ram.rig.full_stroke):
                self.stroke, self.head, self.share = stroke, head, share
                return
            # Fully out: it pushes against its own end, and holds.
            self.force, self.stroke = None, float(self.ram.rig.full_stroke)
        pull = replace(self.ram, stroke=self.stroke).pull(clamp)
        self.head, self.share = pull.head, 1.0 / float(pull.travel_ratio)

    def on(self, clamp: Array, head: Array) -> PullOn:
        """Return it as a pull on the metal from a head, the clamp where it was."""
        way = float(norm(head - clamp))
        drawn = {"stroke": way - self.ram.pull_leg} if self.locked else {}
        given = {} if self.force is None else {"tension": self.force * self.share}
        return PullOn(clamp=self.ram.place, head=above_datum(head), **drawn, **given)


def _thrust(ram: RamOut, pressure: float) -> float | None:
    """Return what oil makes a ram push with, or nothing where a valve locks it."""
    return float(ram.ram.force_at(pressure)) if ram.is_open else None


def _metal_under(
    bay: Bay, chains: Mapping[str, Running], heads: Mapping[str, Array]
) -> FrontSteps:
    """Return the metal under all chains, their heads where they are looked for."""
    above = {name: above_datum(head) for name, head in heads.items()}
    state = metal.swung(bay.car.front_end, bay.metal, above)
    pulls = {
        name: chain.on(bay.places[chain.ram.place], heads[name])
        for name, chain in chains.items()
    }
    for hold in bay.holds.values():
        if not hold.lost:
            way = _way(bay, hold)
            post = above_datum(bay_floor().posts[hold.post])
            drawn = way - hold.length
            pulls[hold.name] = PullOn(clamp=hold.place, head=post, stroke=drawn)
    return front.load(bay.car.front_end, state, pulls)


def _settled(
    bay: Bay, steps: FrontSteps, chains: Mapping[str, Running], pressure: float
) -> Bay:
    """Return the bay with forces and strokes as they came to rest."""
    tension = steps.state.tension
    rams = dict(bay.rams)
    for name, chain in chains.items():
        drawn = max(0.0, tension.get(name, 0.0))
        rams[name] = replace(chain.ram, stroke=chain.stroke, force=drawn / chain.share)
    holds = {
        name: replace(hold, tension=max(0.0, tension.get(name, 0.0)))
        for name, hold in bay.holds.items()
    }
    return replace(
        bay,
        metal=steps.state,
        steps=steps,
        rams=rams,
        holds=holds,
        pressure=pressure,
    )


# ----------------------------------------------------------------------- what lets go


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


def worst_share(bay: Bay) -> WorstPart:
    """Return the part nearest its limit."""
    return max(shares_of(bay), key=lambda part: part.share)


def _at_its_rating(bay: Bay, pressure: float) -> Bay:
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


def _let_go(bay: Bay, worst: WorstPart) -> Bay:
    """Return the bay after a part let go: its chain is lost, and the job is over."""
    caught = "yes"
    if worst.kind == "chain":
        caught = catches(bay, worst.of) or "yes"
        bay = _without_chain(bay, worst.of)
    faulty = bay.fault("part_let_go", part=worst.part, of=worst.of, caught=caught)
    return replace(faulty, stopped=faulty.faults[-1])


def _torn(bay: Bay, place: str) -> Bay:
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
        done = front.release(bay.car.front_end, bay.metal, [name])
        bay = replace(bay, metal=done.state, steps=done)
    return _marked_lost(bay, name)


def _marked_lost(bay: Bay, name: str) -> Bay:
    if name in bay.rams:
        gone = replace(bay.rams[name], lost=True, force=0.0)
        return replace(bay, rams={**bay.rams, name: gone})
    lost = replace(bay.holds[name], lost=True, tension=0.0)
    return replace(bay, holds={**bay.holds, name: lost})


# ------------------------------------------------------------------- what can be noted


SIGN_FROM = 0.75
"""Share of what the sheet stands from which it shows. [1]"""


def _noted(before: Bay, after: Bay) -> Bay:
    """Add to a pulled bay what can be seen of it: oil, signs, margin, the pull."""
    rules = before.rules
    assert rules is not None
    if after.stopped is None:
        worst = worst_share(after)
        if worst.share > rules.margin + AT_RATING:
            after = _once(after, "past_margin", part=worst.part, of=worst.of)
    oil, seconds = _oil(before, after)
    return replace(
        after,
        oil=oil,
        seconds=seconds,
        signs=(*_signs(after),),
        pulls=_pulls(before, after),
    )


def _oil(before: Bay, after: Bay) -> tuple[dict[str, OilShare], float]:
    """Return what each ram took of the oil on the way, and how long that took."""
    moved = {
        name: ram
        for name, ram in after.rams.items()
        if ram.is_open
        and not ram.lost
        and ram.force > before.rams[name].force
        and ram.stroke > before.rams[name].stroke
    }
    if not moved:
        return {}, 0.0
    was = [before.rams[name] for name in moved]
    now = [*moved.values()]
    strokes = np.array([n.stroke - w.stroke for n, w in zip(now, was, strict=True)])
    grown = np.array([n.force - w.force for n, w in zip(now, was, strict=True)])
    areas = np.array([float(ram.ram.area) for ram in now])
    begin = np.array([w.force for w in was])
    run = extend_rams(
        Rams(areas=areas, resistances=begin, stiffness=grown / strokes),
        flow=read_bay_data()["supply"]["flow_l_per_min"] * LITRE_A_MINUTE,
        supply_pressure=after.pressure,
    )
    volume = strokes * areas
    return {
        name: OilShare(
            stroke=float(stroke), share=float(part), begins=float(force / area)
        )
        for name, stroke, part, force, area in zip(
            moved, strokes, volume / volume.sum(), begin, areas, strict=True
        )
    }, float(run.times[-1])


def _signs(bay: Bay) -> Iterator[tuple[str, str, float]]:
    """Yield what can be seen where a clamp grips: the sheet shows before it tears."""
    floor = bay_floor()
    by_place: dict[str, list[Array]] = {}
    loads = bay_loads(bay)
    for name, force in zip(loads.names, loads.forces, strict=True):
        one = bay.rams.get(name) or bay.holds.get(name)
        if one is not None:
            by_place.setdefault(one.place, []).append(force)
    for place, forces in by_place.items():
        share = float(norm(np.sum(forces, axis=0))) / floor.tear
        if share >= SIGN_FROM:
            yield "paint", place, share


def _pulls(before: Bay, bay: Bay) -> tuple[PullDone, ...]:
    """Return the pulls so far, the present one with what it has come to."""
    going = bay.pulls[-1:] if bay.pulls and not bay.pulls[-1].over else ()
    new = PullDone(first_act=bay.count + 1, set_out={}, rams={}, holds={}, pressure=0.0)
    (one,) = going or (new,)
    taut = {
        name: (ram, before.places[ram.place])
        for name, ram in before.rams.items()
        if ram.taken_up and name not in one.set_out
    }
    rams = dict(one.rams)
    for name, ram in bay.rams.items():
        if ram.force > 0:
            pull = float(ram.pull(bay.places[ram.place]).pull_tension)
            _, most_force, most_pull = rams.get(name, ("", 0.0, 0.0))
            rams[name] = ram.place, max(most_force, ram.force), max(most_pull, pull)
    holds = {**one.holds, **{n: h.place for n, h in bay.holds.items() if h.tension > 0}}
    done = replace(
        one,
        set_out={**one.set_out, **taut},
        rams=rams,
        holds=holds,
        pressure=max(one.pressure, bay.pressure),
        support_share=max(one.support_share, float(bay_loads(bay).held.shares.max())),
    )
    return (*bay.pulls[: len(bay.pulls) - len(going)], done)


def _once(bay: Bay, name: str, /, **values: str) -> Bay:
    """Return the bay with a fault, unless it stands there already."""
    if any(f.name == name and dict(f.values) == values for f in bay.faults):
        return bay
    return bay.fault(name, **values)


def _some_open(bay: Bay) -> None:
    if not any(ram.is_open and not ram.lost for ram in bay.rams.values()):
        raise OutOfRangeError("bay.no_valve_open")


def _taut(bay: Bay, ram: RamOut) -> RamOut:
    if not ram.is_open or ram.lost or ram.taken_up:
        return ram
    stroke, _, _ = where_head_is(ram, bay.places[ram.place])
    if stroke > float(ram.rig.full_stroke):
        raise OutOfRangeError("bay.too_slack", name=ram.name, stroke=stroke)
    return replace(ram, stroke=stroke, taken_up=True)


def _way(bay: Bay, hold: HoldOut) -> float:
    return float(norm(bay_floor().posts[hold.post] - bay.places[hold.place]))


@cache
def metal_stiffness(car: BayCar) -> float:
    """Return how stiff the struck tip is against a pull to the side.

    The elastic stiffness of the metal as it came in. [N/m]
    """
    small, to_side = 1e3, (0.0, 1.0, 0.0)
    pull = PullOn(clamp="left tip", direction=to_side, tension=small)
    moved = front.load(car.front_end, car.crashed, {"trial": pull}).path("left tip")
    return small / float((moved[-1] - moved[0])[1])
