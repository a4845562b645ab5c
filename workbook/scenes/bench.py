"""Several pulls on one held body: their wrench, the clamps' shares, the bench."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import WorkbookError
from workbook.language import say
from workbook.mechanics.holding.anchoring import HeldBody, bench_balance, share_load
from workbook.mechanics.holding.wrenches import CentralAxis, central_axis, net_wrench
from workbook.mechanics.vectors import Array, norm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.scenes.holds import Hold
    from workbook.scenes.setups import Setup, SolvedPull

ROUNDING = 1e-6  # of the largest force: below it a force is nothing


@dataclass(frozen=True, kw_only=True)
class SolvedBench:
    """Pulls on a held body, and everything that follows from them.

    Attributes
    ----------
    names : tuple of str
        One a pull.
    pulls : tuple of SolvedPull
        Each with its set-up.
    hold : Hold
        Clamps, stands and weight.
    held : HeldBody
        What the supports carry, weight included.
    """

    names: tuple[str, ...]
    pulls: tuple[SolvedPull, ...]
    hold: Hold
    held: HeldBody

    @cached_property
    def forces(self) -> Array:
        """Force of each pull on the body, shape (p, 3) [N]."""
        return np.array([solved.pull.force_on_clamp for solved in self.pulls])

    @cached_property
    def hooks(self) -> Array:
        """Where each pull is hooked to the body, shape (p, 3) [m]."""
        return np.array([solved.rig.clamp for solved in self.pulls])

    @cached_property
    def wrench(self) -> Array:
        """All pulls, without the weight, about the origin, shape (6,) [N, N m]."""
        return net_wrench(self.forces, points=self.hooks)

    @cached_property
    def axis(self) -> CentralAxis | WorkbookError:
        """The line the pulls act along together, or why there is none."""
        try:
            return central_axis(self.wrench)
        except WorkbookError as reason:
            return reason

    @cached_property
    def supports(self) -> Array:
        """Force of each clamp and stand on the body, shape (n + m, 3) [N]."""
        return np.concatenate([self.held.clamp_forces, self.held.stand_forces])

    @cached_property
    def places(self) -> Array:
        """Where they act, shape (n + m, 3) [m]."""
        stands = self.hold.stands
        given = [] if stands is None else [stands.positions]
        return np.concatenate([self.hold.clamps.positions, *given])

    @property
    def governing(self) -> str:
        """The clamp or stand with the largest share of its rating."""
        return self.hold.all_names[int(self.held.governing)]

    @property
    def lifted(self) -> tuple[str, ...]:
        """Stands the body has lifted off."""
        nothing = ROUNDING * max(float(norm(self.supports).max()), 1.0)
        pushes = self.held.stand_pushes
        return tuple(
            name
            for name, push in zip(self.hold.stand_names, pushes, strict=True)
            if push <= nothing
        )

    @property
    def sliding(self) -> tuple[str, ...]:
        """Clamps whose jaws slide along the flange."""
        return tuple(
            name
            for name, share in zip(self.hold.names, self.held.slip_shares, strict=True)
            if share >= 1
        )

    @cached_property
    def bench_left_over(self) -> Array:
        """All that loads the bench, about the origin, shape (6,) [N, N m].

        The pulls close in themselves; what is left is the weight, which goes
        to the floor.
        """
        # A ram's push runs along the ram, so it may be taken at the head.
        heads = np.array([solved.pull.head for solved in self.pulls])
        anchors = np.array([solved.rig.anchor for solved in self.pulls])
        at_base = np.array([solved.pull.base_on_bench for solved in self.pulls])
        at_fork = np.array([solved.pull.anchor_on_bench for solved in self.pulls])
        return bench_balance(
            [(at_base, heads), (at_fork, anchors), (-self.supports, self.places)]
        )

    @property
    def bench_loop(self) -> Array:
        """The same without the weight: nought, but for rounding, shape (6,)."""
        return np.asarray(self.bench_left_over - self.hold.weight_wrench)


def solve_bench(
    setups: Sequence[Setup], *, hold: Hold, names: Sequence[str] = ()
) -> SolvedBench:
    """Solve each pull, then share all of them among what holds the body.

    Parameters
    ----------
    setups : sequence of Setup
        One a pull; their places share the frame of the hold.
    hold : Hold
        Clamps, stands and weight.
    names : sequence of str, optional
        What to call the pulls; their titles, or their numbers, unless given.

    Returns
    -------
    SolvedBench

    Raises
    ------
    WorkbookError
        If a rig does not stand, or the supports let the body move.

    Examples
    --------
    >>> from workbook.scenes.kestrin import kestrin_hold
    >>> from workbook.scenes.setups import Setup
    >>> bench = solve_bench([Setup()], hold=kestrin_hold())
    >>> bool(abs(bench.bench_loop).max() < 1e-6)
    True
    """
    pulls = tuple(setup.solved() for setup in setups)
    called = tuple(names) or tuple(
        solved.setup.title or say("scene", "pull", number=number)
        for number, solved in enumerate(pulls, start=1)
    )
    forces = [solved.pull.force_on_clamp for solved in pulls]
    wrench = net_wrench(forces, points=[solved.rig.clamp for solved in pulls])
    held = share_load(
        wrench + hold.weight_wrench, clamps=hold.clamps, stands=hold.stands
    )
    return SolvedBench(names=called, pulls=pulls, hold=hold, held=held)
