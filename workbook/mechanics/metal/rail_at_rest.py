"""The rails as they were: in place, unloaded, and not free to move."""

from __future__ import annotations

import numpy as np

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.metal.rail_arrangement import Arrangement
from workbook.mechanics.metal.rail_balance import (
    Controls,
    Energies,
    State,
    look,
    pull_lines,
    slopes,
)
from workbook.mechanics.metal.rail_parts import FrontEnd
from workbook.mechanics.vectors import Array, norm

# Turns of this size (and movements in shares of a link) are no measure of an error.
NOTHING = 1e-6
# A head as near as this to its clamp pulls it no way. [m]
NO_WAY = 1e-6


def at_rest(front_end: FrontEnd, a: Arrangement) -> State:
    """Return the undamaged, unloaded state."""
    nothing, k = np.zeros_like(a.stiffness), len(a.head)
    placed = a.placed(nothing)
    points = a.points(placed)
    _refuse_at_head(front_end, a, points)
    travel = pull_lines(a, points[:k])[1]
    joint = len(a.spring_stiffness) - len(front_end.springs)
    in_place = [spring.in_place for spring in front_end.springs.values()]
    none = np.zeros(k, dtype=bool)
    return State(
        controls=Controls(
            tension=np.zeros(k),
            goal=travel,
            presence=np.array([True] * joint + in_place, dtype=float),
            strength=np.ones_like(nothing),
        ),
        deformation=nothing,
        plastic=nothing,
        load=nothing,
        back_load=nothing,
        nodes=placed.nodes,
        tension=np.zeros(k),
        travel=travel,
        locked=none,
        slack=none,
        rest=a.gap_of @ points[k:],
        gap=np.zeros_like(a.spring_stiffness),
        energies=Energies(),
    )


def _refuse_at_head(front_end: FrontEnd, a: Arrangement, points: Array) -> None:
    for i, name in enumerate(front_end.pulls):
        if a.to_head[i] and norm(a.head[i] - points[i]) < NO_WAY:
            raise OutOfRangeError("rail.head_at_clamp", pull=name)


def refuse_free(a: Arrangement, home: State) -> None:
    """Refuse rails that can move without resistance."""
    now = look(a, home, home.controls, home.deformation)
    trial = slopes(a, home.controls, now, home.tension)
    own = np.sqrt(np.diag(trial.tangent))
    weakest = 0.0
    if np.all(own > 0):
        weakest = np.linalg.eigvalsh(trial.tangent / np.outer(own, own))[0]
    if weakest < len(own) * np.finfo(float).eps:
        raise MechanismError("rail.free")


def farthest_moved(state: State, home: State) -> float:
    """Return how far the node that moved most is from home. [m]"""
    return float(np.max(norm(state.nodes - home.nodes)))


def elastic_capacity(a: Arrangement) -> float:
    """Return the energy that bending stores before anything yields. [J]."""
    stiffness, limit = a.stiffness[..., :2], a.yield_load[..., :2]
    small = NOTHING * stiffness
    moment = np.where(np.isfinite(limit) & (stiffness > 0), limit, small)
    return float(np.sum(moment**2 / np.maximum(stiffness, np.finfo(float).tiny)) / 2)
