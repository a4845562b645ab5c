"""A rail bent in its middle and pulled back at its tip, its root held or not.

The rail is the left one of the invented Kestrin 5, alone. A blow has bent it to the
right, past a block. Each pull is the one that leaves the tip at its place once it is
let go. What then lies wrong is the rail between: where nothing holds it, the pull
bends it at its root before the old bend has come out.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from workbook.mechanics.metal.front import load, release, undamaged
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_parts import FrontEnd, RailClamp, Spring
from workbook.scenes.kestrin_rail import kestrin_rail, read_rail_data

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.mechanics.metal.front_parts import FrontState

TIP = "tip"
LEFT, RIGHT = (0.0, 1.0, 0.0), (0.0, -1.0, 0.0)
ROUNDS = 40
CLOSE = 1e-6
"""The tip is at its place to within this. [m]"""


@dataclass(frozen=True, kw_only=True)
class PulledStraight:
    """A rail pulled until its tip stays at its place.

    Attributes
    ----------
    held_at : float
        How far from the root a hold beside the rail is [m]; 0 without one.
    pull, hold : float
        At the tip, and what the hold carries then. [N]
    out : ndarray, shape (n + 1,)
        How far each node lies to the left of its place once let go, the root first.
        [m]
    turned : float
        Bend that has come into the rail's first two hinges, to the left. [rad]
    """

    held_at: float
    pull: float
    hold: float
    out: NDArray[np.float64]
    turned: float

    @property
    def worst(self) -> float:
        """How far the rail lies out of its place where it does most. [m]"""
        return float(self.out[np.abs(self.out).argmax()])


@cache
def front_end() -> FrontEnd:
    """Return the rail with a clamp at its tip."""
    tip = RailClamp(node=(0, int(read_rail_data()["rail"]["links"])))
    return FrontEnd(rails=[kestrin_rail("left")], clamps={TIP: tip})


def hold(node: int) -> Spring:
    """Return a hold beside the rail at a node."""
    stiffness = read_rail_data()["spring"]["left stand"]["stiffness"]
    return Spring(node=(0, node), stiffness=stiffness, in_place=False)


@cache
def bent() -> FrontState:
    """Return the rail as the blow has left it."""
    row = read_rail_data()["middle_blow"]
    blow = PullOn(clamp=TIP, direction=RIGHT, stroke=row["length"])
    block = {"block": hold(row["node"])}
    struck = load(front_end(), undamaged(front_end()), {"blow": blow}, holds=block)
    return release(front_end(), struck.state).state


def lies(state: FrontState) -> NDArray[np.float64]:
    """Return how far each node lies to the left of its place. [m]"""
    home = undamaged(front_end()).metal.nodes
    return np.asarray((state.metal.nodes - home)[0, :, 1])


@cache
def straightened(node: int = 0) -> PulledStraight:
    """Return the rail pulled to the left at its tip until that stays at its place.

    Parameters
    ----------
    node : int
        Where the rail is held, from the root on; 0 where it is not.

    Examples
    --------
    >>> free, held = straightened(), straightened(3)
    >>> [f"{1e3 * one.worst:.1f} mm" for one in (free, held)]
    ['3.5 mm', '-0.8 mm']
    """
    holds = {"hold": hold(node)} if node else {}

    def done(tension: float) -> tuple[FrontState, float]:
        pull = PullOn(clamp=TIP, direction=LEFT, tension=tension)
        steps = load(front_end(), bent(), {"pull": pull}, holds=holds)
        carried = steps.hold_force.get("hold", np.zeros((1, 3)))[-1, 1]
        return release(front_end(), steps.state).state, float(carried)

    low, high = read_rail_data()["middle_blow"]["pulls"]
    for _ in range(ROUNDS):
        pull = (low + high) / 2
        state, carried = done(pull)
        short = float(lies(state)[-1])
        if abs(short) < CLOSE:
            break
        low, high = (pull, high) if short < 0 else (low, pull)
    new = (state.metal.plastic - bent().metal.plastic)[0, :2, 1]
    along = np.asarray(front_end().rails[0].link_length)
    return PulledStraight(
        held_at=float(along[:node].sum()),
        pull=pull,
        hold=abs(carried),
        out=lies(state),
        turned=float(new.sum()),
    )
