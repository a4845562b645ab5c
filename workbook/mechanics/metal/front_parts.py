"""What acts on the metal in the practice bay, what it remembers, what it went through.

A `FrontState` is a value: an act makes another one and leaves it as it was, so that
a list of acts, done again, ends in the same place to the last digit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import cached_property
from types import MappingProxyType

import numpy as np

from workbook.errors import OutOfRangeError
from workbook.mechanics.metal.rail_arrangement import Arrangement, arrange
from workbook.mechanics.metal.rail_balance import Energies, State, pull_lines
from workbook.mechanics.metal.rail_history import Event, RailHistory
from workbook.mechanics.metal.rail_parts import FrontEnd, RailPull, Spring
from workbook.mechanics.vectors import Array, unit


@dataclass(frozen=True, kw_only=True)
class PullOn(RailPull):
    """A pull on a clamp, and how far it is taken: by force or by stroke.

    Parameters
    ----------
    clamp : str
        Name of a clamp of the front end.
    head : array_like, shape (3,), optional
        Fixed place that the chain runs to; the pull turns as the clamp moves. [m]
    direction : array_like, shape (3,), optional
        Instead of a head: one direction for good, as for a blow. [-]
    tension : float, optional
        In the chain at the end of the act. [N]
    stroke : float, optional
        Instead of a tension: how much further the clamp is drawn along the chain;
        0 holds it. A chain so drawn or held can only pull, and stays so until an
        act gives it a tension. [m]
    """

    tension: float | None = None
    stroke: float | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class FrontState:
    """The metal as it is now, and what is on it.

    Attributes
    ----------
    metal : State
        Every hinge, tie and pull as the rail's steps need them.
    pulls : mapping of str to PullOn
        Chains on it, in the order of ``metal.tension``.
    holds : mapping of str to Spring
        Stands and holds on it.
    torn : frozenset of str
        Clamps whose metal tore. It stays torn.
    crossmember_on : bool
        Whether it is on.
    """

    metal: State
    pulls: Mapping[str, PullOn] = field(default_factory=dict)
    holds: Mapping[str, Spring] = field(default_factory=dict)
    torn: frozenset[str] = frozenset()
    crossmember_on: bool = False

    def __post_init__(self) -> None:
        for name in ("pulls", "holds"):
            kept = MappingProxyType(dict(getattr(self, name)))
            object.__setattr__(self, name, kept)
        for array in vars(self.metal).values():
            if isinstance(array, np.ndarray):
                array.setflags(write=False)

    @property
    def tension(self) -> dict[str, float]:
        """Tension of each chain that is on. [N]"""
        return dict(zip(self.pulls, self.metal.tension.tolist(), strict=True))

    @property
    def hold_force(self) -> dict[str, Array]:
        """Force of each hold on its node, shape (3,). [N]"""
        metal, first = self.metal, len(self.metal.gap) - len(self.holds)
        return {
            name: -metal.controls.presence[row] * spring.stiffness * metal.gap[row]
            for row, (name, spring) in enumerate(self.holds.items(), first)
        }


def joined(halves: Array) -> Array:
    """Return a beam's nodes from end to end, of halves (..., 2, n + 1, 3) that meet.

    Examples
    --------
    >>> x = np.array([[0.0, 1.0, 2.0], [4.0, 3.0, 2.0]])
    >>> joined(np.stack([x, 0 * x, 0 * x], axis=-1))[:, 0]
    array([0., 1., 2., 3., 4.])
    """
    return np.concatenate([halves[..., 0, :, :], halves[..., 1, -2::-1, :]], axis=-2)


@dataclass(frozen=True, kw_only=True, eq=False)
class FrontSteps:
    """One act, step by step; k steps, m rails of n links, p pulls, h holds.

    Attributes
    ----------
    front_end : FrontEnd
        With the pulls and the holds of this act.
    history : RailHistory
        The steps themselves, the first as it was before the act. Of it most asked
        for: ``progress`` (k,); ``nodes`` (k, m, n + 1, 3) [m]; ``deformation`` and
        ``load``, of each hinge about the lateral and the vertical axis and along
        the link, (k, m, n, 3) [rad, rad, m] and [N m, N m, N]; ``events``.
    state : FrontState
        After the act.
    """

    front_end: FrontEnd
    history: RailHistory
    state: FrontState

    @property
    def events(self) -> tuple[Event, ...]:
        """What happened on the way: a clamp "tore", a chain went "slack", "taut"."""
        return self.history.events

    @cached_property
    def tension(self) -> dict[str, Array]:
        """Tension of each pull at each step, shape (k,). [N]"""
        return dict(zip(self.front_end.pulls, self.history.force.T, strict=True))

    @cached_property
    def pull_force(self) -> dict[str, Array]:
        """Force of each pull on its clamp at each step, shape (k, 3). [N]"""
        return {
            name: self.tension[name][:, None] * self._direction(pull)
            for name, pull in self.front_end.pulls.items()
        }

    @cached_property
    def hold_force(self) -> dict[str, Array]:
        """Force of each hold and spring on its node at each step, shape (k, 3). [N]"""
        springs = self.front_end.springs
        ties = np.moveaxis(self.history.tie, 1, 0)
        return dict(zip(springs, ties[len(ties) - len(springs) :], strict=True))

    @cached_property
    def stress(self) -> Array:
        """Load of each hinge over what it first yields at, shape (k, m, n, 3). [1]

        Times the yield stress it is the mean stress over the section. What is left
        of it with all pulls off is residual stress.
        """
        return self.history.load / self._arrangement.yield_load

    @cached_property
    def locked_in(self) -> Array:
        """Middle of each hinge's elastic range, as `stress`; what hammering lowers."""
        return self.history.back_load / self._arrangement.yield_load

    @cached_property
    def energies(self) -> dict[str, Array]:
        """Each of `Energies` at each step, shape (k,). [J]"""
        return {
            part.name: np.array([getattr(e, part.name) for e in self.history.energies])
            for part in fields(Energies)
        }

    @property
    def rails(self) -> Array:
        """Nodes of the rails at each step, shape (k, r, n + 1, 3). [m]"""
        return self.history.nodes[:, : len(self.front_end.rails)]

    @property
    def crossmember(self) -> Array:
        """Nodes of the crossmember from end to end, shape (k, 2 n + 1, 3). [m]

        Those of its halves where it was taken out; none where there never was one.
        """
        nodes = self.history.nodes[:, len(self.front_end.rails) :]
        if not nodes.shape[1]:
            return np.empty((len(nodes), 0, 3))
        return joined(nodes)

    @cached_property
    def root_load(self) -> tuple[Array, Array]:
        """Force on the cowl at each rail's root, and moment about that root.

        Each of shape (k, r, 3). [N], [N m]
        """
        a, history = self._arrangement, self.history
        rooted = a.carried[:, : len(self.front_end.rails), 0]
        force, moment = [], []
        for bent, tension, tie in zip(
            history.deformation, history.force, history.tie, strict=True
        ):
            points = a.points(a.placed(bent))
            pulled = tension[:, None] * pull_lines(a, points[: len(tension)])[0]
            each = np.concatenate([pulled, a.gap_of.T @ tie])
            arms = points[:, None] - a.root[: rooted.shape[1]]
            force.append(rooted.T @ each)
            moment.append(
                np.einsum("pr,pra->ra", rooted, np.cross(arms, each[:, None]))
            )
        return np.stack(force), np.stack(moment)

    def path(self, clamp: str) -> Array:
        """Return where a clamp is at each step, shape (k, 3). [m]"""
        return np.asarray(self.history.nodes[:, *node_of(self.front_end, clamp)])

    def _direction(self, pull: RailPull) -> Array:
        if pull.head is None:
            return unit(np.broadcast_to(np.asarray(pull.direction), (1, 3)))
        return unit(np.asarray(pull.head) - self.path(pull.clamp))

    @cached_property
    def _arrangement(self) -> Arrangement:
        return arrange(self.front_end)


def node_of(front_end: FrontEnd, clamp: str) -> tuple[int, int]:
    """Return rail and node of a clamp.

    Raises
    ------
    OutOfRangeError
        If there is no such clamp.
    """
    if clamp not in front_end.clamps:
        raise OutOfRangeError(
            "rail.no_such_clamp", name=clamp, known=[*front_end.clamps]
        )
    return front_end.clamps[clamp].node
