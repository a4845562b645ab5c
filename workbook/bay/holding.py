"""What holds the body in the bay: clamps at its stations, ties, stands; its shares."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from workbook.bay.acts import one_of
from workbook.bay.floor import above_bench, bay_floor, read_bay_data
from workbook.bay.state import Bay, BodyTie
from workbook.errors import OutOfRangeError
from workbook.mechanics.holding.anchoring import HeldBody, bench_balance, share_load
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import net_wrench
from workbook.mechanics.vectors import Array, unit
from workbook.quantities.units import factor
from workbook.scenes.kestrin import kestrin_hold
from workbook.scenes.kestrin_rail import SIDES

if TYPE_CHECKING:
    from collections.abc import Sequence


def clamp(bay: Bay, *, station: str) -> Bay:
    """Clamp the body at a station."""
    one_of(bay_floor().stations, station, what="station")
    if station in bay.stations:
        raise OutOfRangeError("bay.clamped", station=station)
    return replace(bay, stations=(*bay.stations, station))


def unclamp(bay: Bay, *, station: str) -> Bay:
    """Take the clamp off a station."""
    one_of(bay.stations, station, what="station")
    kept = tuple(one for one in bay.stations if one != station)
    return replace(bay, stations=kept)


def tie(bay: Bay, *, name: str, station: str, post: str) -> Bay:
    """Tie a station of the body to a ring of the bench."""
    floor = bay_floor()
    one_of(floor.stations, station, what="station")
    one_of(floor.posts, post, what="post")
    made = BodyTie(name=name, station=station, post=post)
    return replace(bay, ties={**bay.ties, name: made})


def untie(bay: Bay, *, name: str) -> Bay:
    """Take a tie off."""
    one_of(bay.ties, name, what="tie")
    return replace(bay, ties={k: v for k, v in bay.ties.items() if k != name})


@dataclass(frozen=True, kw_only=True, eq=False)
class BayLoads:
    """All that acts on body and bench, and what holds the body.

    Attributes
    ----------
    names : tuple of str
        Rams, holding chains and stands, in this order.
    forces, points : ndarray, shape (p, 3)
        Of each on the metal, and where. [N], [m]
    support_names : tuple of str
        Clamps of the body, its stands and its ties, in the order of the shares.
    held : HeldBody
        What they carry, weight included.
    bench_left_over : ndarray, shape (6,)
        All that loads the bench, less the weight: nought. [N, N m]
    """

    names: tuple[str, ...]
    forces: Array
    points: Array
    support_names: tuple[str, ...]
    held: HeldBody
    bench_left_over: Array


@lru_cache(maxsize=8)
def bay_loads(bay: Bay) -> BayLoads:
    """Share all that pulls now among what holds the body.

    Raises
    ------
    MechanismError
        If what holds the body lets it move.
    """
    on_metal, on_bench = _acting(bay)
    names = tuple(on_metal)
    forces = np.array([force for force, _ in on_metal.values()]).reshape(-1, 3)
    points = np.array([point for _, point in on_metal.values()]).reshape(-1, 3)
    whole = kestrin_hold()
    wrench = whole.weight_wrench
    if names:
        wrench = wrench + net_wrench(forces, points=points)
    clamps, stands = _clamps(bay), _stands(bay)
    held = share_load(wrench, clamps=clamps, stands=stands)
    supports = np.concatenate([held.clamp_forces, held.stand_forces])
    places = [] if clamps is None else [clamps.positions]
    left = bench_balance(
        [*on_bench, (-supports, np.concatenate([*places, stands.positions]))]
    )
    return BayLoads(
        names=names,
        forces=forces,
        points=points,
        support_names=(*bay.stations, *whole.stand_names, *bay.ties),
        held=held,
        bench_left_over=np.asarray(left - whole.weight_wrench),
    )


def _acting(
    bay: Bay,
) -> tuple[dict[str, tuple[Array, Array]], list[tuple[Array, Array]]]:
    """Return what acts on the metal by name, and on the bench, each with its place."""
    on_metal: dict[str, tuple[Array, Array]] = {}
    on_bench: list[tuple[Array, Array]] = []
    for ram in bay.rams.values():
        if ram.force > 0 and not ram.lost:
            pull = ram.pull(bay.places[ram.place])
            on_metal[ram.name] = (pull.force_on_clamp, bay.places[ram.place])
            on_bench += [
                (pull.base_on_bench, ram.rig.base),
                (pull.anchor_on_bench, ram.rig.anchor),
            ]
    for hold in bay.holds.values():
        if hold.tension > 0:
            here, post = bay.places[hold.place], bay_floor().posts[hold.post]
            force = hold.tension * unit(post - here)
            on_metal[hold.name] = (force, here)
            on_bench.append((-force, post))
    for name, (force, here) in stand_forces(bay).items():
        on_metal[name] = (force, here)
        on_bench.append((-force, here))
    return on_metal, on_bench


def stand_forces(bay: Bay) -> dict[str, tuple[Array, Array]]:
    """Return what each stand under a root does to the metal, and where."""
    nodes = above_bench(bay.rails)
    holds = bay.metal.holds
    return {
        name: (force, nodes[holds[name].node])
        for name, force in bay.metal.hold_force.items()
    }


def _clamps(bay: Bay) -> Clamps | None:
    if not bay.stations:
        return None
    row, kn = read_bay_data()["station"], factor("kN")
    return Clamps(
        positions=np.array([bay_floor().stations[name] for name in bay.stations]),
        stiffness=np.array(row["stiffness_kn_per_mm"]) * factor("kN/mm"),
        ratings=row["rating_kn"] * kn,
        slip_limits=row["slip_kn"] * kn,
    )


def _stands(bay: Bay) -> Stands:
    """Return the body's stands, and its ties as what can only pull toward a ring."""
    floor, own = bay_floor(), kestrin_hold().stands
    assert own is not None
    tie_stiffness = read_bay_data()["station"]["tie_stiffness_kn_per_mm"]
    at = [floor.stations[tie.station] for tie in bay.ties.values()]
    way = [
        floor.posts[t.post] - here
        for t, here in zip(bay.ties.values(), at, strict=True)
    ]
    count = len(at)
    return Stands(
        positions=np.concatenate([own.positions, np.reshape(at, (-1, 3))]),
        normals=np.concatenate([own.normals, unit(np.reshape(way, (-1, 3)))]),
        stiffness=np.append(own.stiffness, [tie_stiffness * factor("kN/mm")] * count),
        ratings=np.append(own.ratings, [floor.post_rating] * count),
    )


def sides_clamped(stations: Sequence[str]) -> set[str]:
    """Return the sides of the body on which there is a clamp."""
    return {side for side in SIDES for name in stations if name.startswith(side)}
