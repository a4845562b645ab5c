"""The metal under the bay's chains: heads that go with their rams.

`workbook.mechanics.metal.front` pulls toward heads that stand still. A ram's head
goes round its anchor as the ram comes out, and swings as its clamp moves; so each
act is solved with the heads where they are when it ends.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from workbook.bay.floor import read_bay_data
from workbook.mechanics.metal.front import load, places
from workbook.mechanics.metal.front_parts import FrontState, PullOn
from workbook.mechanics.metal.rail_balance import Controls, State
from workbook.mechanics.vectors import Array, norm
from workbook.scenes.kestrin_rail import kestrin_crossmember

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.bay.car import BayCar
    from workbook.mechanics.metal.rail_parts import Crossmember, FrontEnd


CROSSMEMBER = "crossmember"


def crossmember() -> Crossmember:
    """Return the beam that is welded between the rails."""
    return kestrin_crossmember(**read_bay_data()["crossmember"])


def bare(end: State) -> FrontState:
    """Return metal at the end of a history of its own, its pulls taken off.

    Parameters
    ----------
    end : State
        All of whose pulls are let down.
    """
    nothing, none = np.zeros(0), np.zeros(0, dtype=bool)
    controls = Controls(
        tension=nothing,
        goal=nothing,
        presence=end.controls.presence,
        strength=np.ones_like(end.load),
    )
    metal = replace(
        end,
        controls=controls,
        tension=nothing,
        travel=nothing,
        locked=none,
        slack=none,
    )
    return FrontState(metal=metal)


def swung(
    front_end: FrontEnd, state: FrontState, heads: Mapping[str, Array]
) -> FrontState:
    """Return metal whose chains run to other heads: rams that came out and swung.

    Nothing on the metal moves by it; a chain's travel is counted anew.

    Parameters
    ----------
    front_end : FrontEnd
    state : FrontState
    heads : mapping of str to ndarray, shape (3,)
        Of chains that are on, in the metal's frame; others stay. [m]
    """
    at = places(front_end, state)
    pulls, travel = {}, state.metal.travel.copy()
    for row, (name, pull) in enumerate(state.pulls.items()):
        if name in heads:
            travel[row] = -float(norm(heads[name] - at[pull.clamp]))
            pull = replace(pull, head=heads[name])
        pulls[name] = pull
    return replace(state, pulls=pulls, metal=replace(state.metal, travel=travel))


@cache
def metal_stiffness(car: BayCar) -> float:
    """Return how stiff the struck tip is against a pull to the side.

    The elastic stiffness of the metal as it came in. [N/m]
    """
    small, to_side = 1e3, (0.0, 1.0, 0.0)
    pull = PullOn(clamp="left tip", direction=to_side, tension=small)
    moved = load(car.front_end, car.crashed, {"trial": pull}).path("left tip")
    return small / float((moved[-1] - moved[0])[1])
