"""What a job has come to: all that the next act goes on from, and nothing else.

Every part is a value that is never changed; an act makes a new `Bay`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.bay.floor import above_bench, bay_floor
from workbook.equipment import LoadPath, load_path, pick, shop
from workbook.mechanics.metal.front_parts import joined
from workbook.mechanics.pull.linkage import Pull, Rig, solve_pulls
from workbook.mechanics.vectors import Array, norm

if TYPE_CHECKING:
    from workbook.bay.car import BayCar
    from workbook.equipment import Chain, Ram
    from workbook.mechanics.metal.crossmember import LooseBeam
    from workbook.mechanics.metal.front_parts import FrontState, FrontSteps
    from workbook.mechanics.metal.rail_parts import FrontEnd
    from workbook.scenes.surveys import Survey


@dataclass(frozen=True, kw_only=True)
class Rules:
    """What the school sets: the greatest share of any rating [1], and the zone [rad].

    ``half_angle`` is that of the line of fire, from a chain's line to either side.
    """

    margin: float
    half_angle: float


@dataclass(frozen=True, kw_only=True)
class Fault:
    """What must not be: its name, the number of the act, and what it was about."""

    name: str
    act: int
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, eq=False)
class RamOut:
    """A ram set out in the bay, its chain hooked on.

    Attributes
    ----------
    name, part, socket, fork : str
        What it is called, and the shop's and the floor's names.
    slot : int
        Of the fork, from its middle, plus to the left.
    extension, chain, head, clamp, place : str
        Names of the shop, and of the place on the metal; no extension is "".
    links : int
        Of the anchor leg.
    rig : Rig
        As set out, no stroke, in the bench's frame.
    pull_leg : float
        Length of chain hooked between head and clamp: whole links. [m]
    stroke : float
        How far the ram is out. [m]
    force : float
        What it pushes with. [N]
    is_open : bool
        Its valve.
    taken_up : bool
        Whether its chain is taut.
    lost : bool
        Whether its chain let go: it pulls no more.
    """

    name: str
    part: str
    socket: str
    fork: str
    slot: int
    extension: str
    chain: str
    links: int
    head: str
    clamp: str
    place: str
    rig: Rig
    pull_leg: float
    stroke: float = 0.0
    force: float = 0.0
    is_open: bool = False
    taken_up: bool = False
    lost: bool = False

    @property
    def ram(self) -> Ram:
        """The shop's ram."""
        return pick(shop().rams, self.part)

    @property
    def leg(self) -> Chain:
        """The chain of both legs."""
        return pick(shop().chains, self.chain)

    def at(self, clamp: Array, stroke: float | None = None) -> Rig:
        """Return the rig with its clamp where the metal is, and a stroke. [m]"""
        out = self.stroke if stroke is None else stroke
        return replace(self.rig, clamp=clamp, stroke=np.asarray(out))

    def pull(self, clamp: Array) -> Pull:
        """Return what it does with its clamp there; a force of one where it has none.

        Tensions of a ram that does not push are nought.
        """
        return solve_pulls(self.at(clamp), ram_force=max(self.force, 1.0))

    def load_path(self, clamp: Array) -> LoadPath:
        """Return each part's share of its rating, with the clamp there."""
        pull, parts = self.pull(clamp), shop()
        return load_path(
            ram_force=pull.ram_force,
            pull_tension=pull.pull_tension,
            anchor_tension=pull.anchor_tension,
            ram=self.ram,
            head=pick(parts.heads, self.head),
            pull_chain=self.leg,
            clamp=pick(parts.clamps, self.clamp),
            anchor_chain=self.leg,
            fork=pick(parts.forks, bay_floor().forks[self.fork].name),
        )


@dataclass(frozen=True, kw_only=True, eq=False)
class HoldOut:
    """A chain from the metal to a ring of the bench, that holds and never pulls.

    ``length`` is that of the chain as hooked on [m], ``tension`` what is in it [N].
    """

    name: str
    post: str
    chain: str
    clamp: str
    place: str
    length: float
    tension: float = 0.0
    lost: bool = False


@dataclass(frozen=True, kw_only=True)
class Cable:
    """A safety cable: what it catches, what it is tied to, whether it hangs loose."""

    name: str
    of: tuple[str, ...]
    to: str
    loose: bool


@dataclass(frozen=True, kw_only=True)
class BodyTie:
    """A chain from a station of the body to a ring of the bench."""

    name: str
    station: str
    post: str


@dataclass(frozen=True, kw_only=True, eq=False)
class BayReading:
    """One survey: the number of its act, its fit, and whether anything was loaded."""

    act: int
    survey: Survey
    under_load: bool

    @property
    def differences(self) -> Mapping[str, Array]:
        """Measured minus specified by point, shape (3,). [m]"""
        points = self.survey.points.ids
        return dict(zip(points, self.survey.differences, strict=True))


@dataclass(frozen=True, kw_only=True, eq=False)
class PullDone:
    """One pull, from its first oil to its release, for marks and record.

    ``set_out`` has the rams as they stood taut before it, by name, each with the place
    of its clamp [m]; ``rams`` by name place, most force [N] of the ram and most
    tension [N]; ``holds`` by name their place; ``pressure`` is the most there was [Pa],
    ``support_share`` the most of what holds the body [1].
    """

    first_act: int
    set_out: Mapping[str, tuple[RamOut, Array]]
    rams: Mapping[str, tuple[str, float, float]]
    holds: Mapping[str, str]
    pressure: float
    support_share: float = 0.0
    over: bool = False


@dataclass(frozen=True, kw_only=True)
class OilShare:
    """What one step of the pump did to a ram.

    ``stroke`` it made [m], ``share`` of the oil it took [1], ``begins`` at which
    pressure it moves [Pa].
    """

    stroke: float
    share: float
    begins: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Bay:
    """All that a job has come to after ``count`` acts.

    Attributes
    ----------
    car : BayCar
    rules : Rules or None
        None before the job began.
    count : int
        Acts so far.
    metal : FrontState
    steps : FrontSteps or None
        How the metal moved in the last act, if it did.
    rams, holds, cables, ties : mapping by name
    stations : tuple of str
        Where the body is clamped.
    stands : tuple of str
        Sides with a stand under the root.
    beam : LooseBeam or None
        The crossmember while it is off.
    people : mapping of str to (float, float)
        Where each stands, in plan. [m]
    called : tuple of str
        Of the ten steps, since a chain was last hooked on.
    made_safe : frozenset of str
        Conditions dealt with.
    story : mapping or None
    air, pressure : float
        At the regulator and in the line. [Pa]
    looked : bool
        Whether anyone looked from the side since the slack was taken up.
    oil : mapping of str to OilShare
        By ram, of the last step of the pump; ``seconds`` is how long that took. [s]
    readings : tuple of BayReading
    pulls : tuple of PullDone
    answers : mapping of (str, str) to str
        What was typed last, by step and item.
    record : mapping of str to str
        Fields of the repair record.
    faults : tuple of Fault
    signs : tuple of (str, str, float)
        What can be seen at a clamp: its sign, the place, the share of what the
        sheet there stands.
    stopped : Fault or None
        What ended the job.
    before : Bay or None
        What `undo` goes back to.
    """

    car: BayCar
    metal: FrontState
    rules: Rules | None = None
    count: int = 0
    steps: FrontSteps | None = None
    rams: Mapping[str, RamOut] = field(default_factory=dict)
    holds: Mapping[str, HoldOut] = field(default_factory=dict)
    cables: Mapping[str, Cable] = field(default_factory=dict)
    ties: Mapping[str, BodyTie] = field(default_factory=dict)
    stations: tuple[str, ...] = ()
    stands: tuple[str, ...] = ()
    beam: LooseBeam | None = None
    people: Mapping[str, tuple[float, float]] = field(
        default_factory=lambda: bay_floor().people
    )
    called: tuple[str, ...] = ()
    made_safe: frozenset[str] = frozenset()
    story: Mapping[str, tuple[str, ...]] | None = None
    air: float = 0.0
    pressure: float = 0.0
    looked: bool = False
    oil: Mapping[str, OilShare] = field(default_factory=dict)
    seconds: float = 0.0
    readings: tuple[BayReading, ...] = ()
    pulls: tuple[PullDone, ...] = ()
    answers: Mapping[tuple[str, str], str] = field(default_factory=dict)
    record: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    signs: tuple[tuple[str, str, float], ...] = ()
    stopped: Fault | None = None
    before: Bay | None = None

    @property
    def bolted(self) -> bool:
        """Whether the crossmember is on."""
        return self.beam is None

    @cached_property
    def front_end(self) -> FrontEnd:
        """The rails, with the crossmember where it is on."""
        whole = self.car.front_end
        return whole if self.bolted else replace(whole, crossmember=None)

    @property
    def crossmember(self) -> Array:
        """Nodes of the crossmember, end to end, shape (k, 3); none while off. [m]"""
        halves = self.metal.metal.nodes[len(self.car.specified) :]
        return joined(halves) if len(halves) else np.empty((0, 3))

    @property
    def rails(self) -> Array:
        """Nodes of the two rails, in the metal's frame, shape (2, n + 1, 3). [m]"""
        return self.metal.metal.nodes[: len(self.car.specified)]

    @cached_property
    def places(self) -> dict[str, Array]:
        """Where each place on the metal is now, in the bench's frame, (3,). [m]"""
        nodes = above_bench(self.rails)
        return {name: nodes[node] for name, node in bay_floor().places.items()}

    @cached_property
    def loaded(self) -> bool:
        """Whether any chain is under load."""
        pulling = any(ram.force > 0 for ram in self.rams.values())
        return pulling or any(hold.tension > 0 for hold in self.holds.values())

    def fault(self, name: str, /, **values: Any) -> Bay:
        """Return the bay with one fault more."""
        one = Fault(name=name, act=self.count + 1, values=values)
        return replace(self, faults=(*self.faults, one))

    def slack_of(self, ram: RamOut) -> float:
        """Return how much longer the hooked chain is than its way; nought if taut."""
        head = ram.pull(self.places[ram.place]).head
        return max(0.0, ram.pull_leg - float(norm(head - self.places[ram.place])))
