"""Rams set out in the bay, and chains that hold: where they stand, how hooked on."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from workbook.bay.acts import one_of
from workbook.bay.floor import bay_floor
from workbook.bay.state import Bay, HoldOut, RamOut
from workbook.equipment import pick, shop
from workbook.errors import OutOfRangeError
from workbook.mechanics.pull.linkage import Rig, solve_pull
from workbook.mechanics.vectors import norm

if TYPE_CHECKING:
    from collections.abc import Iterable

    from workbook.equipment import Chain
    from workbook.equipment.shop import Named
    from workbook.mechanics.vectors import Array

MOST_CHAINS = 6
NO_EXTENSION = ""


def set_out(
    bay: Bay,
    *,
    ram: str,
    part: str,
    socket: str,
    fork: str,
    slot: int,
    chain: str,
    links: int,
    head: str,
    clamp: str,
    place: str,
    extension: str = NO_EXTENSION,
) -> Bay:
    """Stand a ram in its socket, lock the chain in its head and hook it on.

    The chain to the clamp is hooked by whole links: what it is longer than its way
    is slack, and is taken up before anything pulls.
    """
    parts, floor = shop(), bay_floor()
    for given, known, what in (
        (part, parts.rams, "ram_part"),
        (chain, parts.chains, "chain"),
        (head, parts.heads, "head"),
        (clamp, parts.clamps, "clamp_part"),
    ):
        one_of(_names(known), given, what=what)
    one_of(floor.sockets, socket, what="socket")
    one_of(floor.forks, fork, what="fork")
    if extension != NO_EXTENSION:
        one_of(_names(parts.extensions), extension, what="extension")
    _free_to_hook(bay, name=ram, place=place)
    slots = floor.forks[fork].slots
    most = len(slots) // 2
    if not -most <= slot <= most:
        raise OutOfRangeError("bay.slot", slot=slot, most=most)
    if links < 1:
        raise OutOfRangeError("bay.links", links=links)
    leg = pick(parts.chains, chain)
    rig = rig_of(
        bay,
        part=part,
        socket=socket,
        anchor=slots[slot + most],
        extension=extension,
        anchor_leg=links * leg.pitch,
        place=place,
    )
    stands = solve_pull(rig, ram_force=1.0)
    made = RamOut(
        name=ram,
        part=part,
        socket=socket,
        fork=fork,
        slot=slot,
        extension=extension,
        chain=chain,
        links=links,
        head=head,
        clamp=clamp,
        place=place,
        rig=rig,
        pull_leg=whole_links(float(stands.pull_leg), chain=leg),
    )
    return _hooked(bay, rams={**bay.rams, ram: made})


def rig_of(
    bay: Bay,
    *,
    part: str,
    socket: str,
    anchor: Array,
    extension: str,
    anchor_leg: Array | float,
    place: str,
) -> Rig:
    """Return a ram of the shop in its socket, no stroke, hooked to the metal.

    ``anchor`` is a slot of a fork [m]; ``anchor_leg`` may be many lengths [m].
    """
    thrust = pick(shop().rams, part)
    tube = (
        0.0 if extension == NO_EXTENSION else pick(shop().extensions, extension).length
    )
    return Rig(
        clamp=bay.places[place],
        base=bay_floor().sockets[socket],
        anchor=anchor,
        closed_length=np.asarray(thrust.closed_length),
        extension=np.asarray(tube),
        stroke=np.asarray(0.0),
        full_stroke=np.asarray(thrust.full_stroke),
        anchor_leg=np.asarray(anchor_leg),
        swivel=np.asarray(thrust.swivel_limit_from_vertical),
    )


def hold(bay: Bay, *, name: str, post: str, chain: str, clamp: str, place: str) -> Bay:
    """Add a chain that holds, hooked from the metal to a ring of the bench."""
    floor, parts = bay_floor(), shop()
    one_of(floor.posts, post, what="post")
    one_of(_names(parts.chains), chain, what="chain")
    one_of(_names(parts.clamps), clamp, what="clamp_part")
    _free_to_hook(bay, name=name, place=place)
    way = float(norm(floor.posts[post] - bay.places[place]))
    made = HoldOut(
        name=name,
        post=post,
        chain=chain,
        clamp=clamp,
        place=place,
        length=whole_links(way, chain=pick(parts.chains, chain)),
    )
    return _hooked(bay, holds={**bay.holds, name: made})


def strip(bay: Bay, *, name: str) -> Bay:
    """Take a ram or a holding chain down, and its cable off."""
    one_of([*bay.rams, *bay.holds], name, what="chain_out")
    _not_pulling(bay, name)
    return replace(
        bay,
        rams={key: ram for key, ram in bay.rams.items() if key != name},
        holds={key: held for key, held in bay.holds.items() if key != name},
        cables={
            key: replace(cable, of=kept)
            for key, cable in bay.cables.items()
            if (kept := tuple(one for one in cable.of if one != name))
        },
    )


def whole_links(way: float, *, chain: Chain) -> float:
    """Return the length of the shortest chain of whole links over a way. [m]

    Examples
    --------
    >>> from workbook.equipment import shop
    >>> round(whole_links(1.0, chain=shop().chains[1]), 3)
    1.02
    """
    return float(np.ceil(way / chain.pitch - 1e-9) * chain.pitch)


def where_head_is(ram: RamOut, clamp: Array) -> tuple[float, Array, float]:
    """Return stroke, head and pull per newton of thrust of a ram whose chain is taut.

    Parameters
    ----------
    ram : RamOut
    clamp : ndarray, shape (3,)
        Where its place on the metal is. [m]

    Returns
    -------
    stroke : float
        Past the ram's own where the chain is too long for it. [m]
    head : ndarray, shape (3,)
        [m]
    share : float
        Tension in the pull leg over the ram's force. [1]

    Raises
    ------
    WorkbookError
        If it does not stand so.
    """
    most = float(ram.rig.full_stroke)
    beyond = np.asarray(most + PAST_THE_END)
    free = replace(ram.rig, full_stroke=beyond, clamp=clamp)
    stroke = ram.stroke
    for _ in range(STROKE_STEPS):
        pull = solve_pull(replace(free, stroke=np.asarray(stroke)), ram_force=1.0)
        short = ram.pull_leg - float(pull.pull_leg)
        if abs(short) < SAME_LENGTH:
            break
        further = stroke + short / float(pull.travel_ratio)
        stroke = min(max(0.0, further), float(beyond))
    return stroke, pull.head, 1.0 / float(pull.travel_ratio)


STROKE_STEPS = 30
PAST_THE_END = 1e-3
"""How far past its own stroke a ram is looked for. [m]"""
SAME_LENGTH = 1e-12
"""How near the chain's way is brought to its length. [m]"""


def _hooked(bay: Bay, **made: object) -> Bay:
    """Return the bay with a chain hooked on: the ten steps begin again."""
    return replace(bay, **made, called=(), looked=False)  # type: ignore[arg-type]


def _free_to_hook(bay: Bay, *, name: str, place: str) -> None:
    one_of(bay_floor().places, place, what="place")
    if place in bay.metal.torn:
        raise OutOfRangeError("bay.torn", place=place)
    others = {*bay.rams, *bay.holds} - {name}
    if len(others) >= MOST_CHAINS:
        raise OutOfRangeError("bay.too_many_chains", most=MOST_CHAINS)
    if name in bay.rams or name in bay.holds:
        _not_pulling(bay, name)


def _not_pulling(bay: Bay, name: str) -> None:
    pulling = bay.rams[name].force if name in bay.rams else bay.holds[name].tension
    if pulling > 0:
        raise OutOfRangeError("bay.still_loaded", name=name, force=pulling)


def _names(parts: Iterable[Named]) -> list[str]:
    return [part.name for part in parts]
