"""What the rails went through: every step, and what happened on the way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from workbook.mechanics.metal.rail_balance import Energies, State
from workbook.mechanics.metal.rail_parts import Node
from workbook.mechanics.vectors import Array


@dataclass(frozen=True, kw_only=True)
class Event:
    """A clamp that "tore", or a locked chain that went "slack" or "taut"."""

    step: int
    stage: str
    what: str
    name: str


@dataclass(frozen=True, kw_only=True)
class RailStart:
    """A state to go on from, and the names of the clamps that tore before it."""

    end: State
    torn: frozenset[str]


@dataclass(frozen=True, kw_only=True)
class RailHistory:
    """What the rails went through; k steps, m rails of n links, p pulls, s springs.

    Attributes
    ----------
    stage : ndarray of int, shape (k,)
        Which of the stages; -1 for the start.
    progress : ndarray, shape (k,)
        How far into it, 0 to 1. [1]
    nodes : ndarray, shape (k, m, n + 1, 3)
        Where the rails are. [m]
    deformation, plastic : ndarray, shape (k, m, n, 3)
        Of each hinge about the lateral and the vertical axis and along the link,
        and the part of it that stays. [rad, rad, m]
    load, back_load : ndarray, shape (k, m, n, 3)
        Moments and force in each hinge, and the locked-in part. [N m, N m, N]
    force, travel : ndarray, shape (k, p)
        Of each pull; travel counts along the pull. [N], [m]
    tie : ndarray, shape (k, s, 3)
        Force of each spring on its first node. [N]
    energies : tuple of Energies
        One a step. [J]
    pulls : tuple of str
        Names, in the order of ``force``.
    events : tuple of Event
        What happened, and at which step.
    end : State
        From where another history can go on.
    torn : frozenset of str
        Clamps that tore.
    """

    stage: NDArray[np.intp]
    progress: Array
    nodes: Array
    deformation: Array
    plastic: Array
    load: Array
    back_load: Array
    force: Array
    travel: Array
    tie: Array
    energies: tuple[Energies, ...]
    pulls: tuple[str, ...]
    events: tuple[Event, ...]
    end: State
    torn: frozenset[str]

    def movement(self, node: Node, *, after_stage: int | None = None) -> Array:
        """Return how far a node is from where this history began, shape (3,) [m].

        ``after_stage`` counts the stages from 0; without it, at the end.
        """
        last = len(self.stage) - 1
        if after_stage is not None:
            last = int(np.flatnonzero(self.stage <= after_stage)[-1])
        rail, number = node
        return np.asarray(self.nodes[last, rail, number] - self.nodes[0, rail, number])
