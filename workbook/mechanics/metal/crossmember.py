"""A welded crossmember taken off and put on again: what it remembers meanwhile.

Off, its two halves carry nothing; the rails are followed without them. On again, it is
fitted to where the rails are, so that its halves meet, and carries nothing as it lies:
what is done later loads it. Its hinges keep what work hardening has locked in.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import NoConvergenceError
from workbook.mechanics.metal.rail_arrangement import arrange
from workbook.mechanics.metal.rail_links import point_jacobian

if TYPE_CHECKING:
    from workbook.mechanics.metal.front_parts import FrontState
    from workbook.mechanics.metal.rail_arrangement import Arrangement
    from workbook.mechanics.metal.rail_parts import FrontEnd
    from workbook.mechanics.vectors import Array

HALVES = 2
JOINT = 4
"""Rows of ties that join the halves: their middles, and the three axes of each."""
MIDDLE_AND_WAY = 2
"""Of them, those that say where the halves end and which way they run there."""


@dataclass(frozen=True, kw_only=True, eq=False)
class LooseBeam:
    """A crossmember that is off: bend and locked-in load of its hinges, (2, n, 3).

    ``stored`` is the energy locked in with it. [J]
    """

    plastic: Array
    back_load: Array
    stored: float


def taken_off(front_end: FrontEnd, state: FrontState) -> tuple[FrontState, LooseBeam]:
    """Return the metal without its crossmember, which was cut loose, and the beam.

    Parameters
    ----------
    front_end : FrontEnd
        With the crossmember.
    state : FrontState
        After `workbook.mechanics.metal.front.release` of "crossmember".

    Returns
    -------
    FrontState
        To go on from with a front end that has no crossmember.
    LooseBeam
        For `put_on`.
    """
    metal = state.metal
    controls, energies = metal.controls, metal.energies
    back, hardening = metal.back_load[-HALVES:], arrange(front_end).hardening[-HALVES:]
    stored = 0.5 * np.sum(
        np.divide(back**2, hardening, out=np.zeros_like(back), where=hardening > 0)
    )
    rails, ties = slice(-HALVES), slice(JOINT, None)
    bare = replace(
        metal,
        **{name: getattr(metal, name)[rails] for name in OF_HINGES},
        nodes=metal.nodes[rails],
        rest=metal.rest[ties],
        gap=metal.gap[ties],
        controls=replace(
            controls,
            presence=controls.presence[ties],
            strength=controls.strength[rails],
        ),
        energies=replace(
            energies,
            removed=energies.removed + float(stored),
            hardening=energies.hardening - float(stored),
        ),
    )
    beam = LooseBeam(
        plastic=metal.plastic[-HALVES:], back_load=back, stored=float(stored)
    )
    return replace(state, metal=bare, crossmember_on=False), beam


def put_on(front_end: FrontEnd, state: FrontState, beam: LooseBeam) -> FrontState:
    """Return the metal with its crossmember on again, as it lies.

    Parameters
    ----------
    front_end : FrontEnd
        With the crossmember.
    state : FrontState
        Without it; chains and holds may be on.
    beam : LooseBeam
        From `taken_off`.
    """
    here = replace(
        front_end, pulls=state.pulls, springs={**front_end.springs, **state.holds}
    )
    a, metal = arrange(here), state.metal
    controls, energies = metal.controls, metal.energies
    fits, rest = _fitted(a, metal.deformation, beam.plastic)
    fresh = {
        "deformation": fits,
        "plastic": fits,
        "load": np.zeros_like(beam.plastic),
        "back_load": beam.back_load,
    }
    hinges = {
        name: np.concatenate([getattr(metal, name), fresh[name]]) for name in OF_HINGES
    }
    whole = replace(
        metal,
        **hinges,
        nodes=a.placed(hinges["deformation"]).nodes,
        rest=np.concatenate([rest, metal.rest]),
        gap=np.concatenate([np.zeros_like(rest), metal.gap]),
        controls=replace(
            controls,
            presence=np.concatenate([np.ones(JOINT), controls.presence]),
            strength=np.concatenate([controls.strength, np.ones_like(beam.plastic)]),
        ),
        energies=replace(
            energies,
            removed=energies.removed - beam.stored,
            hardening=energies.hardening + beam.stored,
        ),
    )
    return replace(state, metal=whole, crossmember_on=True)


def _fitted(a: Arrangement, rails: Array, halves: Array) -> tuple[Array, Array]:
    """Return the halves, changed as little as it takes for them to meet.

    In angle and in share of a link's length alike: a beam too short is stretched, and
    not bent. Of what is between them, shape (4, 3) [m], a twist is left, which links
    have no hinge for: the joint is at rest with it.
    """
    give, k = np.ones_like(halves), len(a.head)
    give[..., 2] = a.link_length[-HALVES:]
    give = give.ravel()
    for _ in range(MEETING_ROUNDS):
        placed = a.placed(np.concatenate([rails, halves]))
        points = a.points(placed)
        gap = a.gap_of[:JOINT] @ points[k:]
        open_by = gap[:MIDDLE_AND_WAY]
        if np.abs(open_by).max() < MEETS:
            return halves, gap
        moves = point_jacobian(placed, points=points[k:], carried=a.carried[k:])
        ties = a.gap_of[:MIDDLE_AND_WAY]
        slope = np.tensordot(ties, moves, axes=1).reshape(open_by.size, -1)
        of_halves = slope[:, -len(give) :] * give
        more = give * np.linalg.lstsq(of_halves, -open_by.ravel(), rcond=None)[0]
        halves = halves + more.reshape(halves.shape)
    raise NoConvergenceError("rail.no_balance_in_reach")


MEETING_ROUNDS = 40
MEETS = 1e-10
"""Halves so near each other meet. [m]"""
OF_HINGES = ("deformation", "plastic", "load", "back_load")
