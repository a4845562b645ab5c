"""Balance of rails under pulls and springs, one step at a time.

A step goes from one state to the next by Newton's method with the consistent
tangent; whether the balance it finds stands is asked of the tangent.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from workbook.errors import NoConvergenceError
from workbook.mechanics.metal.rail_arrangement import Arrangement
from workbook.mechanics.metal.rail_links import (
    HingeResponse,
    Placed,
    load_stiffness,
    point_jacobian,
    return_to_yield,
)
from workbook.mechanics.vectors import Array, dot

# A correction this small (radians, or shares of a link) ends the iteration; the
# next one would be its square.
CORRECTION = 1e-7
ITERATIONS = 14
# A chain is slack when its clamp is this much nearer than the chain is long. [m]
SLACK = 1e-10
# Stiffness along a locked pull, in multiples of the rail's own, when asking
# whether a balance stands.
LOCKED = 1e6


@dataclass(frozen=True, kw_only=True)
class Controls:
    """What is set from outside; ramps mix two of them.

    ``tension`` of pulls driven by force, shape (k,) [N]; ``goal`` for the travel
    of locked pulls, shape (k,) [m]; ``presence`` of springs, 1 to 0, shape (s,);
    ``strength`` left in hammered hinges, 1 to 0, shape (m, n, 3).
    """

    tension: Array
    goal: Array
    presence: Array
    strength: Array

    def toward(self, other: Controls, share: float) -> Controls:
        """Return what is set when ``share`` of the way to ``other`` is done."""
        names = ("tension", "goal", "presence", "strength")
        mixed = {
            name: (1 - share) * getattr(self, name) + share * getattr(other, name)
            for name in names
        }
        return Controls(**mixed)


@dataclass(frozen=True, kw_only=True)
class Energies:
    """Where the work of the pulls has gone. [J]

    ``work`` of the pulls; ``elastic`` in hinges and springs; ``hardening``
    locked in by flow; ``dissipated`` by flow; ``relieved`` by hammering;
    ``removed`` with springs taken out. ``gross`` is the work without regard to
    sign, the measure of what is small.
    """

    work: float = 0.0
    elastic: float = 0.0
    hardening: float = 0.0
    dissipated: float = 0.0
    relieved: float = 0.0
    removed: float = 0.0
    gross: float = 0.0

    @property
    def imbalance(self) -> float:
        """Work that the other terms do not account for. [J]"""
        stored = self.elastic + self.hardening
        return self.work - stored - self.dissipated - self.relieved - self.removed


@dataclass(frozen=True, kw_only=True)
class State:
    """Everything the rails remember.

    ``deformation``, ``plastic``, ``load``, ``back_load``: shape (m, n, 3);
    ``nodes``: (m, n + 1, 3) [m]; ``tension``, ``travel``: (k,) [N], [m];
    ``locked``, ``slack``: bool, (k,); ``rest`` of the springs and their ``gap``
    beyond it: (s, 3) [m].
    """

    controls: Controls
    deformation: Array
    plastic: Array
    load: Array
    back_load: Array
    nodes: Array
    tension: Array
    travel: Array
    locked: NDArray[np.bool_]
    slack: NDArray[np.bool_]
    rest: Array
    gap: Array
    energies: Energies


@dataclass(frozen=True, kw_only=True)
class RailLook:
    """Where a deformation puts everything, and what the hinges then carry."""

    deformation: Array
    placed: Placed
    hinges: HingeResponse
    points: Array
    direction: Array
    travel: Array
    turning: Array
    gap: Array


@dataclass(frozen=True, kw_only=True)
class Slopes:
    """What Newton's method asks of a look: force left over, and its slopes."""

    residual: Array
    tangent: Array
    travel_slope: Array


def pull_lines(a: Arrangement, points: Array) -> tuple[Array, Array, Array]:
    """Return direction (k, 3), travel (k,) and 1/length (k,) of every pull."""
    away = np.where(a.to_head[:, None], a.head - points, a.head)
    to_go = np.sqrt((away * away).sum(axis=1))
    direction = away / to_go[:, None]
    travel = np.where(a.to_head, -to_go, (direction * points).sum(axis=1))
    return direction, travel, a.to_head / to_go


def tie_force(a: Arrangement, state: State) -> Array:
    """Return the force of each spring on its first node, shape (s, 3). [N]"""
    return -state.controls.presence[:, None] * a.spring_stiffness * state.gap


def look(
    a: Arrangement, state: State, controls: Controls, deformation: Array
) -> RailLook:
    """Place the links and return the hinges to yield, from the state before."""
    placed = a.placed(deformation)
    # Hammering takes its share of the back load half before the flow of a step
    # and half after it: second order in the step.
    kept = controls.strength / state.controls.strength
    hinges = return_to_yield(
        deformation,
        plastic=state.plastic,
        back_load=kept * state.back_load,
        stiffness=a.stiffness,
        yield_load=controls.strength * a.yield_load,
        hardening=np.sqrt(kept) * a.hardening,
    )
    points, k = a.points(placed), len(a.head)
    direction, travel, turning = pull_lines(a, points[:k])
    return RailLook(
        deformation=deformation,
        placed=placed,
        hinges=hinges,
        points=points,
        direction=direction,
        travel=travel,
        turning=turning,
        gap=a.gap_of @ points[k:] - state.rest,
    )


def slopes(a: Arrangement, controls: Controls, now: RailLook, tension: Array) -> Slopes:
    """Return what is out of balance under these tensions, and how it changes."""
    k = len(a.head)
    spring = controls.presence[:, None] * a.spring_stiffness
    forces = np.concatenate(
        [tension[:, None] * now.direction, -a.gap_of.T @ (spring * now.gap)]
    )

    jacobian = point_jacobian(now.placed, points=now.points, carried=a.carried)
    size = jacobian.shape[-1]
    along = (now.direction[:, None, :] @ jacobian[:k])[:, 0]
    gap_slope = np.tensordot(a.gap_of, jacobian[k:], axes=1).reshape(-1, size)
    # A pull to a fixed head swings as its clamp moves across it.
    across = jacobian[:k] - now.direction[:, :, None] * along[:, None, :]
    swing = np.repeat(np.maximum(tension * now.turning, 0), 3)
    bars = np.concatenate([gap_slope, across.reshape(-1, size)])
    weight = np.concatenate([spring.ravel(), swing])
    tangent = bars.T @ (weight[:, None] * bars) - load_stiffness(
        now.placed,
        points=now.points,
        forces=forces,
        carried=a.carried,
        in_line=a.in_line,
    )
    tangent.ravel()[:: size + 1] += now.hinges.tangent.ravel()
    return Slopes(
        residual=now.hinges.load.ravel() - forces.ravel() @ jacobian.reshape(-1, size),
        tangent=tangent,
        travel_slope=along,
    )


def balance(a: Arrangement, state: State, controls: Controls, *, guess: Array) -> State:
    """Find the balance under new controls; locked chains may only pull.

    Raises
    ------
    NoConvergenceError
        If there is none in reach, or it would not stand.
    """
    slack = state.slack.copy()
    for _ in range(2 * len(slack) + 1):
        now, tension = _newton(a, state, controls, slack, guess)
        loosened = state.locked & ~slack & (tension < -_crumb(a))
        tightened = slack & (now.travel < controls.goal - SLACK)
        if not (loosened | tightened).any():
            return _accept(a, state, controls, now, tension, slack)
        slack = (slack | loosened) & ~tightened
    raise NoConvergenceError("rail.slack_and_taut")


def _crumb(a: Arrangement) -> float:
    """Return a force too small to tell a taut chain from a slack one. [N]"""
    return float(SLACK * np.max(a.stiffness[..., 2]))


def _newton(
    a: Arrangement,
    state: State,
    controls: Controls,
    slack: NDArray[np.bool_],
    guess: Array,
) -> tuple[RailLook, Array]:
    """Iterate on deformation and the tension of taut locked pulls."""
    held = state.locked & ~slack
    tension = np.where(
        state.locked, np.where(slack, 0, state.tension), controls.tension
    )
    deformation = guess
    scale = np.ones_like(guess)
    scale[..., 2] = a.link_length
    for _ in range(ITERATIONS):
        slope = slopes(
            a, controls, now := look(a, state, controls, deformation), tension
        )
        short = (controls.goal - now.travel)[held]
        change, pull_change = _correction(slope, held, short)
        turn = np.max(np.abs(change.reshape(guess.shape) / scale))
        if not np.isfinite(turn):
            raise NoConvergenceError("rail.no_balance_in_reach")
        deformation = deformation + change.reshape(guess.shape)
        tension[held] += pull_change
        if turn < CORRECTION:
            now = look(a, state, controls, deformation)
            break
    else:
        raise NoConvergenceError("rail.no_balance_in_reach")
    _refuse_if_it_would_not_stand(slope, held)
    return now, tension


def _correction(
    now: Slopes, held: NDArray[np.bool_], short: Array
) -> tuple[Array, Array]:
    """Solve for the change of deformation and of locked tensions."""
    size, locks = len(now.residual), len(short)
    slope = now.travel_slope[held]
    matrix = np.zeros((size + locks, size + locks))
    matrix[:size, :size] = now.tangent
    matrix[:size, size:] = -slope.T
    matrix[size:, :size] = slope
    try:
        change = np.linalg.solve(matrix, np.concatenate([-now.residual, short]))
    except np.linalg.LinAlgError:
        raise NoConvergenceError("rail.nothing_resists") from None
    return change[:size], change[size:]


def _refuse_if_it_would_not_stand(now: Slopes, held: NDArray[np.bool_]) -> None:
    """Raise unless every movement the locked pulls allow is resisted."""
    slope = now.travel_slope[held]
    firm = LOCKED * np.max(np.abs(np.diag(now.tangent)))
    size = np.maximum(dot(slope, slope), np.finfo(float).tiny)
    locks = slope / np.sqrt(size)[:, None]
    try:
        np.linalg.cholesky(now.tangent + firm * locks.T @ locks)
    except np.linalg.LinAlgError:
        raise NoConvergenceError("rail.would_not_stand") from None


def _accept(
    a: Arrangement,
    state: State,
    controls: Controls,
    now: RailLook,
    tension: Array,
    slack: NDArray[np.bool_],
) -> State:
    """Return the state at the end of a step, its energies brought up to date."""
    return replace(
        state,
        controls=controls,
        deformation=now.deformation,
        plastic=now.hinges.plastic,
        load=now.hinges.load,
        back_load=now.hinges.back_load,
        nodes=now.placed.nodes,
        gap=now.gap,
        tension=tension,
        travel=now.travel,
        slack=slack,
        energies=_energies(a, state, controls, now, tension),
    )


def _energies(
    a: Arrangement, state: State, controls: Controls, now: RailLook, tension: Array
) -> Energies:
    """Add one step to the energies; sums over the step by the trapezoid rule."""
    before, hinges = state.energies, now.hinges
    moved = 0.5 * (state.tension + tension) * (now.travel - state.travel)
    flow = np.abs(hinges.plastic - state.plastic)
    limit = 0.5 * (state.controls.strength + controls.strength) * a.yield_load
    locked_in, was_locked_in = (
        0.5 * np.divide(back**2, a.hardening, out=np.zeros_like(back),
                        where=a.hardening > 0)
        for back in (hinges.back_load, state.back_load)
    )  # fmt: skip
    hammered = np.log(state.controls.strength / controls.strength)
    full, was_full = (
        0.5 * np.einsum("sa,sa->s", a.spring_stiffness, gap**2)
        for gap in (now.gap, state.gap)
    )
    faded = state.controls.presence - controls.presence
    bent = 0.5 * np.sum(hinges.load * (now.deformation - hinges.plastic))
    return Energies(
        work=float(before.work + moved.sum()),
        elastic=float(bent + controls.presence @ full),
        hardening=float(locked_in.sum()),
        dissipated=before.dissipated
        + float(np.sum(np.where(flow > 0, limit, 0) * flow)),
        relieved=before.relieved
        + float(np.sum(hammered * (locked_in + was_locked_in))),
        removed=before.removed + float(0.5 * (full + was_full) @ faded),
        gross=before.gross + float(np.abs(moved).sum()),
    )
