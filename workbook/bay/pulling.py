"""Oil and metal: valves, the pump, what moves, what tears, what is let down.

All open rams have the line's pressure; a ram whose valve is shut keeps its oil, and
so its length; a holding chain keeps its own. `balance` finds where all of them rest.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from workbook.bay.acts import one_of
from workbook.bay.balance import balanced, way_of
from workbook.bay.floor import bay_floor, read_bay_data
from workbook.bay.holding import bay_loads
from workbook.bay.letting_go import (
    AT_RATING,
    at_its_rating,
    let_go,
    torn_off,
    worst_share,
)
from workbook.bay.metal import CROSSMEMBER
from workbook.bay.safety import before_a_pull, in_line
from workbook.bay.setting_out import where_head_is
from workbook.bay.state import Bay, OilShare, PullDone, RamOut
from workbook.errors import OutOfRangeError
from workbook.mechanics.hydraulics.pressure import oil_pressure
from workbook.mechanics.hydraulics.supply import Rams, extend_rams
from workbook.mechanics.metal import front
from workbook.mechanics.metal.crossmember import put_on, taken_off
from workbook.mechanics.metal.rail_parts import Relief, Spring
from workbook.mechanics.vectors import Array, norm
from workbook.quantities.units import factor
from workbook.scenes.kestrin_rail import SIDES

if TYPE_CHECKING:
    from collections.abc import Iterator


LITRE_A_MINUTE = 1e-3 / 60
"""[m^3/s]"""

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
        name: hold if hold.tension > 0 else replace(hold, length=way_of(bay, hold))
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
    done = front.release(bay.front_end, bay.metal, chains) if chains else None
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
        bay = in_line(bay)
    where = Relief(rail=SIDES.index(side), hinges=hinges, fraction=share)
    done = front.relieve(bay.front_end, bay.metal, [where])
    return replace(bay, metal=done.state, steps=done)


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
    whole = bay.car.front_end
    if bay.beam is not None:
        fitted = put_on(whole, bay.metal, bay.beam)
        return replace(bay, metal=fitted, beam=None)
    loose = _taken(bay, CROSSMEMBER)
    alone, beam = taken_off(whole, loose.metal)
    return replace(loose, metal=alone, beam=beam)


def _fitted(bay: Bay, name: str, spring: Spring) -> Bay:
    done = front.load(bay.front_end, bay.metal, {}, holds={name: spring})
    return replace(bay, metal=done.state)


def _taken(bay: Bay, name: str) -> Bay:
    done = front.release(bay.front_end, bay.metal, [name])
    return replace(bay, metal=done.state, steps=done)


# ----------------------------------------------------------------------- all in balance


UNDER_LOAD = {"relieve", "crossmember", "take_stand", "unclamp", "untie"}
"""Acts that leave less to hold what pulls: rams, metal and body share it anew."""


def shared_anew(bay: Bay) -> Bay:
    """Return a bay under load in balance after an act that is no pull."""
    if not bay.loaded:
        return bay
    return replace(pulled(bay, pressure=bay.pressure), steps=bay.steps)


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
        done = at_its_rating(bay, pressure)
        return _noted(bay, let_go(done, worst_share(done)))
    torn = done.metal.torn - bay.metal.torn
    for place in sorted(torn):
        done = torn_off(done, place)
    return _noted(bay, done)


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
