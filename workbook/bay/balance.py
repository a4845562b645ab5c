"""What balances rams, holding chains and metal at once, whatever their ratings.

It is found by going round: the metal under the chains with their heads where they
are, then each ram with its clamp where the metal has moved to, until nothing moves.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from workbook.bay import metal
from workbook.bay.floor import above_datum, bay_floor
from workbook.bay.setting_out import where_head_is
from workbook.errors import NoConvergenceError
from workbook.mechanics.metal import front
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.vectors import Array, norm

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from workbook.bay.state import Bay, HoldOut, RamOut
    from workbook.mechanics.metal.front_parts import FrontSteps

ROUNDS = 40
STILL = 1e-7
"""Heads that move by less from round to round stand still. [m]"""


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
    state = metal.swung(bay.front_end, bay.metal, above)
    pulls = {
        name: chain.on(bay.places[chain.ram.place], heads[name])
        for name, chain in chains.items()
    }
    for hold in bay.holds.values():
        if not hold.lost:
            way = way_of(bay, hold)
            post = above_datum(bay_floor().posts[hold.post])
            drawn = way - hold.length
            pulls[hold.name] = PullOn(clamp=hold.place, head=post, stroke=drawn)
    return front.load(bay.front_end, state, pulls)


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


def way_of(bay: Bay, hold: HoldOut) -> float:
    """Return how far a holding chain's clamp is from its post. [m]"""
    return float(norm(bay_floor().posts[hold.post] - bay.places[hold.place]))
