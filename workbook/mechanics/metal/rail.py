"""The practice rail: what pulls do to bent metal, step by step.

A front rail is a chain of rigid links with elastic-plastic hinges about two axes
and a stretch along each link, rooted at the cowl. Damage is a history of pushes,
repair a history of pulls; springback, overpull, a root that bends unwanted, a
clamp that tears out and metal that is hammered under load all follow from the
same balance. It is a teaching model: no friction, no dynamics, no torn or folded
metal beyond the clamp, and each movement of a hinge yields on its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from workbook.errors import NoConvergenceError, OutOfRangeError, WorkbookError
from workbook.mechanics.magnitudes import finite
from workbook.mechanics.metal.rail_arrangement import arrange
from workbook.mechanics.metal.rail_at_rest import (
    NOTHING,
    at_rest,
    elastic_capacity,
    farthest_moved,
    refuse_free,
)
from workbook.mechanics.metal.rail_balance import (
    Controls,
    State,
    balance,
    pull_lines,
    tie_force,
)
from workbook.mechanics.metal.rail_history import Event, RailHistory, RailStart
from workbook.mechanics.metal.rail_parts import FrontEnd, RailStage
from workbook.mechanics.vectors import norm

# Steps shorter than this share of a stage mean that the rail can carry no more.
SHORTEST_STEP = 1e-6
# A stage that takes more steps than this asks for more than doubles can give.
MOST_TRIES = 3000
# A step gets at least this share of the tolerance, however much went before.
LEAST_SHARE = 0.1
# The universal joint of a hinge cannot follow a quarter turn; stop well before. [rad]
LARGEST_BEND = 1.3
# A clamp tears at its rating to within this share of it.
TEAR_ACCURACY = 1e-6


def follow(
    front_end: FrontEnd,
    stages: Sequence[RailStage],
    *,
    tolerance: float = 1e-3,
    largest_step: float = 0.5,
    start: RailHistory | RailStart | None = None,
) -> RailHistory:
    """Follow the rails through stages of pushing, pulling, hammering and release.

    Every recorded step is in balance, large turns and all. Its length is chosen
    so that the step and its two halves agree.

    Parameters
    ----------
    front_end : FrontEnd
        Rails, clamps, pulls and springs.
    stages : sequence of RailStage
        In order of time.
    tolerance : float
        From 0 to 1: what a step may err by in position, as a share of the largest
        movement so far, and all steps together in energy, as a share of the work
        done so far (or of what the hinges store before they yield, if more). [1]
    largest_step : float
        As a share of a stage. [1]
    start : RailHistory or RailStart, optional
        Go on from the end of this one; the front end must have the same parts.

    Returns
    -------
    RailHistory
        Every step, and the state to go on from.

    Raises
    ------
    OutOfRangeError
        If an input makes no sense, a pull is more than the rails can carry, or a
        hinge bends further than the model follows.
    MechanismError
        If a rail is free to move.
    NoConvergenceError
        If the tolerance asks for too many steps.

    Notes
    -----
    Balance is that of the end of each step (implicit), with exact link
    kinematics and closed-form return to yield. Steps are of second order: work
    is summed by the trapezoid rule and a reversal inside a step is missed by the
    square of its length. When a clamp tears, its pulls are let down to nothing
    with all else standing still, and the stage goes on without them.

    References
    ----------
    .. [1] J. C. Simo and T. J. R. Hughes, *Computational Inelasticity*,
       Springer, 1998, chapters 1 and 2 (from memory).

    Examples
    --------
    >>> from workbook.mechanics.metal.rail_parts import (
    ...     FrontEnd, Rail, RailClamp, RailPull, pull_hold_release,
    ... )
    >>> rail = Rail(
    ...     root=(0, 0, 0), along=(1, 0, 0), link_length=[0.5],
    ...     stiffness=[[1e5, 1e5, 1e8]], yield_load=[[4e3, 4e3, 1e5]],
    ...     hardening_ratio=0.05,
    ... )
    >>> bench = FrontEnd(
    ...     rails=[rail], clamps={"tip": RailClamp(node=(0, 1))},
    ...     pulls={"left": RailPull(clamp="tip", direction=(0, 1, 0))},
    ... )
    >>> history = follow(bench, pull_hold_release("left", force=9e3))
    >>> under_load, left = (history.movement((0, 1), after_stage=i)[1] for i in (0, 2))
    >>> print(f"{under_load * 1e3:.1f} mm under load, {left * 1e3:.1f} mm stay")
    65.9 mm under load, 43.7 mm stay
    """
    finite([tolerance, largest_step], name="tolerance_or_largest_step")
    if not (1e-9 <= tolerance <= 1 and SHORTEST_STEP < largest_step <= 1):
        raise OutOfRangeError(
            "rail.tolerance",
            tolerance=tolerance,
            step=largest_step,
            shortest=SHORTEST_STEP,
        )
    return _Run(front_end, tolerance, largest_step, start).through(stages)


class _Run:
    """One run of `follow`: the present state and what was recorded so far."""

    def __init__(
        self,
        front_end: FrontEnd,
        tolerance: float,
        largest_step: float,
        start: RailHistory | RailStart | None,
    ) -> None:
        self.front_end = front_end
        self.tolerance = tolerance
        self.largest_step = largest_step
        self.arrangement = arrange(front_end)
        self.pulls = tuple(front_end.pulls)
        joint = len(self.arrangement.spring_stiffness) - len(front_end.springs)
        self.ties = ("crossmember",) * joint + tuple(front_end.springs)
        self.torn = set(start.torn) if start else set()
        self.events: list[Event] = []
        self.home = at_rest(front_end, self.arrangement)
        self.state = start.end if start else self.home
        if any(
            getattr(self.state, part).shape != getattr(self.home, part).shape
            for part in ("nodes", "tension", "rest")
        ):
            raise OutOfRangeError("rail.other_start")
        if start is None:  # what was followed before was looked at then
            refuse_free(self.arrangement, self.home)
        self.stage = RailStage(name="start")
        self.recorded: list[tuple[int, float, State]] = [(-1, 1.0, self.state)]
        self.farthest = farthest_moved(self.state, self.home)
        self.capacity = elastic_capacity(self.arrangement)

    def through(self, stages: Sequence[RailStage]) -> RailHistory:
        for number, self.stage in enumerate(stages):
            todo = [(self._begin(), 0.0, 1.0)]
            while todo:
                todo = self._ramp(number, *todo[0]) + todo[1:]
        return self._history()

    # -- one stage ---------------------------------------------------------

    def _begin(self) -> Controls:
        """Set the controls at the start of the stage; return those at its end."""
        stage, state = self.stage, self.state
        self._refuse_nonsense()
        forced = self._which(self.pulls, stage.forces)
        drawn = self._which(self.pulls, stage.travels)
        fitted = self._which(self.ties, stage.fit)
        now = replace(
            state.controls,
            tension=state.tension,
            goal=np.where(drawn, state.travel, state.controls.goal),
            presence=np.where(fitted, 1.0, state.controls.presence),
            strength=np.ones_like(state.load),
        )
        self.state = replace(
            state,
            controls=now,
            locked=(state.locked & ~forced) | drawn,
            slack=state.slack & ~forced & ~drawn,
            rest=state.rest + np.where(fitted[:, None], state.gap, 0),
            gap=np.where(fitted[:, None], 0, state.gap),
        )
        strength = now.strength.copy()
        for relief in stage.relief:
            strength[relief.rail, list(relief.hinges)] = 1 - relief.fraction
        further = [stage.travels.get(name, 0.0) for name in self.pulls]
        force = [stage.forces.get(name, 0.0) for name in self.pulls]
        gone = self._which(self.ties, stage.take_out)
        return Controls(
            tension=np.where(forced, force, now.tension),
            goal=now.goal + further,
            presence=np.where(gone, 0.0, now.presence),
            strength=strength,
        )

    def _ramp(
        self, number: int, finish: Controls, progress: float, progress_end: float
    ) -> list[tuple[Controls, float, float]]:
        """Follow one ramp; return the ramps to put in place of its rest."""
        begin, span = self.state.controls, progress_end - progress
        done, step = 0.0, self.largest_step
        self.rate = np.zeros_like(self.state.deformation)
        for _ in range(MOST_TRIES):
            if done == 1:
                return []
            after = done + step if done + step < 1 - SHORTEST_STEP else 1.0
            step = after - done
            try:
                half, end, error = self._two_halves(begin, finish, done, after)
                if error > 1 and step > SHORTEST_STEP:
                    # Where a hinge begins to yield, the error falls with the step only.
                    step *= max(0.9 / error, 0.1)
                    continue
                torn = self._first_tear(begin, finish, (done, after), (half, end))
            except NoConvergenceError:
                step /= 4
                self._refuse_past(step, progress + span * done)
                continue
            if torn:
                share, state, clamp = torn
                self._record(number, at := progress + span * share, state)
                return self._let_go(clamp, finish, at, progress_end)
            self.rate = (end.deformation - self.state.deformation) / step
            self._record(number, progress + span * (done + after) / 2, half)
            self._record(number, progress + span * after, end)
            done = after
            step = min(step * min(0.9 / np.sqrt(max(error, 0.1)), 2), self.largest_step)
        raise NoConvergenceError(
            "rail.too_many_steps",
            stage=self.stage.name,
            done=done,
            count=MOST_TRIES,
            tolerance=self.tolerance,
        )

    def _two_halves(
        self, begin: Controls, finish: Controls, done: float, after: float
    ) -> tuple[State, State, float]:
        """Take one step whole and in halves; return the halves and the error."""
        a, now = self.arrangement, self.state
        last = begin.toward(finish, after)
        middle = begin.toward(finish, (done + after) / 2)
        ahead = (after - done) * self.rate
        whole = balance(a, now, last, guess=now.deformation + ahead)
        # Halves err by a quarter of the whole at best; do not try in vain.
        error = self._lost(now, whole) / 4
        if error > 1:
            return whole, whole, error
        between = (now.deformation + whole.deformation) / 2
        half = balance(a, now, middle, guess=between)
        end = balance(a, half, last, guess=whole.deformation)

        self.farthest = max(self.farthest, farthest_moved(end, self.home))
        way = max(self.farthest, NOTHING * float(np.min(a.link_length)))
        apart = float(np.max(np.abs(whole.nodes - end.nodes)))
        lost = self._lost(now, half, end)
        return half, end, max(apart / (self.tolerance * way), lost)

    def _lost(self, *states: State) -> float:
        """Return energy not accounted for over what a step may lose."""
        lost = [state.energies.imbalance for state in states]
        work = max(states[-1].energies.gross, self.capacity)
        # A step may use up a quarter of what earlier ones have left of the tolerance.
        left = max(self.tolerance - abs(lost[0]) / work, LEAST_SHARE * self.tolerance)
        return float(np.abs(np.diff(lost)).sum()) / (left / 4 * work)

    def _record(self, number: int, progress: float, state: State) -> None:
        for name, was, now in zip(
            self.pulls, self.state.slack, state.slack, strict=True
        ):
            if was != now:
                self._note(len(self.recorded), "slack" if now else "taut", name)
        self.state = state
        self.recorded.append((number, progress, state))
        bend = float(np.max(np.abs(self.state.deformation[..., :2])))
        left = 1 + self.state.deformation[..., 2] / self.arrangement.link_length
        if bend > LARGEST_BEND or np.min(left) < 0.1:
            raise OutOfRangeError(
                "rail.bent_too_far",
                stage=self.stage.name,
                bend=bend,
                left=float(np.min(left)),
                progress=progress,
                most=LARGEST_BEND,
            )

    # -- clamps that tear, chains that go slack ------------------------------

    def _loads(self, state: State) -> dict[str, float]:
        """Return what each clamp that still holds carries over its rating."""
        a, k = self.arrangement, len(self.pulls)
        points = state.nodes[a.point_rail[:k], a.point_node[:k]]
        force = state.tension[:, None] * pull_lines(a, points)[0]
        loads = {}
        for name, clamp in self.front_end.clamps.items():
            here = [pull.clamp == name for pull in self.front_end.pulls.values()]
            if np.isfinite(clamp.rating) and any(here) and name not in self.torn:
                loads[name] = float(norm(force[here].sum(axis=0))) / clamp.rating
        return loads

    def _overload(self, state: State) -> float:
        return max(self._loads(state).values(), default=0.0) - 1

    def _first_tear(
        self,
        begin: Controls,
        finish: Controls,
        reach: tuple[float, float],
        ahead: tuple[State, State],
    ) -> tuple[float, State, str] | None:
        """Halve a step, which reaches so far, until a clamp there has its rating."""
        over = [self._overload(state) > TEAR_ACCURACY for state in ahead]
        if not any(over):
            return None
        low, high = reach
        under, state = self.state, ahead[1]
        if over[0]:
            high, state = (low + high) / 2, ahead[0]
        above = state
        while abs(self._overload(state)) > TEAR_ACCURACY:
            middle = (low + high) / 2
            if not low < middle < high:
                break
            guess = (under.deformation + above.deformation) / 2
            controls = begin.toward(finish, middle)
            state = balance(self.arrangement, self.state, controls, guess=guess)
            if self._overload(state) > 0:
                high, above = middle, state
            else:
                low, under = middle, state
        loads = self._loads(state)
        return high, state, max(loads, key=lambda name: loads[name])

    def _let_go(
        self, clamp: str, finish: Controls, at: float, progress_end: float
    ) -> list[tuple[Controls, float, float]]:
        """Return the ramps after a tear: lose the clamp, then go on without it."""
        self.torn.add(clamp)
        self._note(len(self.recorded) - 1, "tore", clamp)
        lost = np.array(
            [pull.clamp == clamp for pull in self.front_end.pulls.values()], dtype=bool
        )
        state = self.state
        controls = replace(state.controls, tension=state.tension)
        self.state = replace(
            state,
            controls=controls,
            locked=state.locked & ~lost,
            slack=state.slack & ~lost,
        )
        without = np.where(lost, 0, controls.tension)
        return [
            (replace(controls, tension=without), at, at),
            (
                replace(finish, tension=np.where(lost, 0, finish.tension)),
                at,
                progress_end,
            ),
        ]

    def _note(self, step: int, what: str, name: str) -> None:
        event = Event(step=step, stage=self.stage.name, what=what, name=name)
        self.events.append(event)

    # -- refusals and the result ---------------------------------------------

    def _refuse_past(self, step: float, progress: float) -> None:
        if step > SHORTEST_STEP:
            return
        pulling = [
            WorkbookError("rail.pull_at", pull=name, tension=float(tension))
            for name, tension in zip(self.pulls, self.state.tension, strict=True)
            if tension != 0
        ]
        raise OutOfRangeError(
            "rail.no_balance",
            stage=self.stage.name,
            progress=progress,
            pulling=pulling or [WorkbookError("rail.no_pull")],
        )

    def _refuse_nonsense(self) -> None:
        stage = self.stage
        for name in (*stage.forces, *stage.travels):
            if name not in self.pulls:
                raise OutOfRangeError("rail.no_such_pull", name=name, known=self.pulls)
        self._refuse_unknown_ties()
        finite(list(stage.forces.values()), name="force", unit="N")
        finite(list(stage.travels.values()), name="travel", unit="m")
        for name in (*stage.forces, *stage.travels):
            force = stage.forces.get(name, 0.0)
            if force < 0 or (name in stage.forces and name in stage.travels):
                raise OutOfRangeError(
                    "rail.force_or_travel", pull=name, stage=stage.name, force=force
                )
            if force > 0 or name in stage.travels:
                self._refuse_torn(name)
        m, n, _ = self.state.load.shape
        for relief in stage.relief:
            inside = all(0 <= hinge < n for hinge in relief.hinges)
            if not (0 <= relief.rail < m and inside and 0 <= relief.fraction < 1):
                raise OutOfRangeError(
                    "rail.relief",
                    hinges=[*relief.hinges],
                    rail=relief.rail,
                    fraction=relief.fraction,
                    last_hinge=n - 1,
                    last_rail=m - 1,
                )

    def _refuse_unknown_ties(self) -> None:
        springs = tuple(self.front_end.springs)
        for names, known in (
            (self.stage.fit, springs),
            (self.stage.take_out, tuple(dict.fromkeys(self.ties))),
        ):
            for name in names:
                if name not in known:
                    raise OutOfRangeError("rail.no_such_spring", name=name, known=known)

    def _refuse_torn(self, pull: str) -> None:
        """Refuse a pull on torn metal, whatever the clamp there is called."""
        clamps = self.front_end.clamps
        clamp = self.front_end.pulls[pull].clamp
        if clamps[clamp].node in {clamps[torn].node for torn in self.torn}:
            raise OutOfRangeError("rail.tore_out", clamp=clamp, pull=pull)

    @staticmethod
    def _which(names: Sequence[str], chosen: Iterable[str]) -> NDArray[np.bool_]:
        return np.array([name in set(chosen) for name in names], dtype=bool)

    def _history(self) -> RailHistory:
        stage, progress, states = zip(*self.recorded, strict=True)
        arrays = {
            name: np.stack([getattr(state, name) for state in states])
            for name in (
                "nodes",
                "deformation",
                "plastic",
                "load",
                "back_load",
                "travel",
            )
        }
        return RailHistory(
            stage=np.array(stage),
            progress=np.array(progress),
            force=np.stack([state.tension for state in states]),
            tie=np.stack([tie_force(self.arrangement, state) for state in states]),
            energies=tuple(state.energies for state in states),
            pulls=self.pulls,
            events=tuple(self.events),
            end=self.state,
            torn=frozenset(self.torn),
            **arrays,
        )
