"""Chains that hold: the tension that keeps sound metal where it is.

One chain has one line, so it can stop one movement, balance one moment or take
load off one clamp; what it cannot do is said beside its tension.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import OutOfRangeError
from workbook.mechanics.holding.anchoring import HeldBody, share_load
from workbook.mechanics.holding.supports import Clamps, one_layout
from workbook.mechanics.holding.wrenches import (
    ORIGIN,
    components,
    direction_of,
    moment_about_line,
    net_wrench,
    one_vector,
)
from workbook.mechanics.magnitudes import magnitude, one_number
from workbook.mechanics.vectors import Array, dot, norm


@dataclass(frozen=True, kw_only=True)
class HoldingPull:
    """A chain put on to hold: its ``tension`` [N], and the body with it on.

    ``held`` is the `HeldBody` under the load and the holding pull together, and
    ``movement`` (3,) what is left at the watched point [m].
    """

    tension: float
    held: HeldBody
    movement: Array


@dataclass(frozen=True)
class _Line:
    """One chain on a loaded body: the load, and the pull of one newton."""

    load: Array
    pull: Array
    clamps: Clamps
    about: Array

    @classmethod
    def of(
        cls,
        wrench: ArrayLike,
        clamps: Clamps,
        hook: ArrayLike,
        direction: ArrayLike,
        about: ArrayLike,
    ) -> _Line:
        return cls(
            load=_one_load(wrench),
            pull=_one_newton(_along(direction), hook, about),
            clamps=one_layout(clamps),
            about=one_vector(about, name="moment_point"),
        )

    def held(self) -> HeldBody:
        """Return the body under the load (first) and under one newton of pull."""
        both = np.stack([self.load, self.pull])
        return share_load(both, clamps=self.clamps, about=self.about)

    def with_tension(self, tension: float, watched: ArrayLike) -> HoldingPull:
        """Return the body with the chain at this tension."""
        total = self.load + tension * self.pull
        held = share_load(total, clamps=self.clamps, about=self.about)
        return HoldingPull(
            tension=tension, held=held, movement=held.movement_at(watched)[0]
        )


def _one_load(wrench: ArrayLike) -> Array:
    """Read one load (6,): several would want several tensions."""
    load = components(wrench, name="wrench", unit="N, N m", count=6)
    if load.ndim != 1:
        raise OutOfRangeError("holding.one_load", shape=load.shape)
    return load


def _along(direction: ArrayLike) -> Array:
    """Read the direction of the one chain, one long."""
    given = one_vector(direction, name="holding_pull", unit="")
    return direction_of(given, name="holding_pull")


def _one_newton(along: Array, hook: ArrayLike, about: ArrayLike) -> Array:
    """Return the wrench of one newton along a unit vector, shape (6,)."""
    point = one_vector(hook, name="hook")
    return net_wrench(along[None], points=point[None], about=about)


def _pulling(tension: float, *, rounding: float = 0.0) -> float:
    """Refuse a chain that would have to push."""
    if tension < -rounding:
        raise OutOfRangeError("holding.pushed", push=-tension)
    return max(tension, 0.0)


def pull_that_stops(
    wrench: ArrayLike,
    *,
    clamps: Clamps,
    hook: ArrayLike,
    direction: ArrayLike,
    about: ArrayLike = ORIGIN,
) -> HoldingPull:
    r"""Find the holding pull whose hook does not move along its own line.

    Clamps only: with stands that lift off, the effects of two pulls do not add.

    Parameters
    ----------
    wrench : array_like, shape (6,)
        The load: force [N] and moment about ``about`` [N m].
    clamps : Clamps
    hook : array_like, shape (3,)
        Where the chain is hooked to the body; also the watched point. [m]
    direction : array_like, shape (3,)
        From the hook along the chain; any length.
    about : array_like, shape (3,)
        The point the wrench is stated about. [m]

    Returns
    -------
    HoldingPull

    Raises
    ------
    OutOfRangeError
        If the load draws the hook along the chain, which then cannot hold it.
    MechanismError
        If the clamps leave the body free to move.

    Notes
    -----
    :math:`T = -\mathbf e \cdot \mathbf u_{load} / (\mathbf e \cdot \mathbf u_{1})`,
    with :math:`\mathbf u_1` the movement of the hook for one newton.

    Examples
    --------
    >>> corners = [[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]]
    >>> four = Clamps(positions=corners, stiffness=2e7)
    >>> pull = net_wrench([[24e3, 0, 0]], points=[[2, 0, 0]])
    >>> tie = pull_that_stops(pull, clamps=four, hook=[-1, 0, 0], direction=[-1, 0, 0])
    >>> round(tie.tension)
    24000
    """
    line = _Line.of(wrench, clamps, hook, direction, about)
    along = _along(direction)
    loaded, pulled = line.held().movement_at(hook)[:, 0] @ along
    rounding = 1e-12 * float(norm(line.load).sum())
    return line.with_tension(_pulling(-loaded / pulled, rounding=rounding), hook)


def pull_that_steadies(
    wrench: ArrayLike,
    *,
    clamps: Clamps,
    hook: ArrayLike,
    direction: ArrayLike,
    point: ArrayLike,
    about: ArrayLike = ORIGIN,
) -> HoldingPull:
    r"""Find the holding pull that leaves a point moving as little as can be.

    One line has one tension and a point moves three ways, so some movement is
    left as a rule; ``movement`` of the result says how much.

    Parameters
    ----------
    wrench : array_like, shape (6,)
        The load: force [N] and moment about ``about`` [N m].
    clamps : Clamps
        Stands are left out, as for `pull_that_stops`.
    hook : array_like, shape (3,)
        Where the chain is hooked to the body. [m]
    direction : array_like, shape (3,)
        From the hook along the chain; any length.
    point : array_like, shape (3,)
        The point to keep still. [m]
    about : array_like, shape (3,)
        The point the wrench is stated about. [m]

    Returns
    -------
    HoldingPull

    Raises
    ------
    OutOfRangeError
        If the chain would have to push, or does not move the point at all.
    MechanismError
        If the clamps leave the body free to move.

    Notes
    -----
    :math:`T = -\mathbf u_{load} \cdot \mathbf u_1 / u_1^2`, least squares.

    Examples
    --------
    >>> corners = [[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]]
    >>> four = Clamps(positions=corners, stiffness=2e7)
    >>> pull = net_wrench([[0, 20e3, 0]], points=[[2, 0, 0]])
    >>> tie = pull_that_steadies(
    ...     pull, clamps=four, hook=[2, 0, 0], direction=[0, -1, 0], point=[-1, 0, 0]
    ... )
    >>> round(tie.tension)
    20000
    """
    line = _Line.of(wrench, clamps, hook, direction, about)
    held = line.held()
    loaded, pulled = held.movement_at(one_vector(point, name="point"))[:, 0]
    own = norm(held.movement_at(hook)[1, 0])
    if norm(pulled) <= 1e-9 * own:
        raise OutOfRangeError("holding.point_not_moved")
    rounding = 1e-12 * float(norm(line.load))
    tension = -float(dot(loaded, pulled) / dot(pulled, pulled))
    return line.with_tension(_pulling(tension, rounding=rounding), point)


def pull_that_balances_moment(
    wrench: ArrayLike,
    *,
    hook: ArrayLike,
    direction: ArrayLike,
    point: ArrayLike,
    axis: ArrayLike,
    about: ArrayLike = ORIGIN,
) -> float:
    r"""Find the holding pull that cancels the load's moment about a line.

    Parameters
    ----------
    wrench : array_like, shape (6,)
        The load: force [N] and moment about ``about`` [N m].
    hook : array_like, shape (3,)
        Where the chain is hooked to the body. [m]
    direction : array_like, shape (3,)
        From the hook along the chain; any length.
    point, axis : array_like, shape (3,)
        A point of the turning line [m], and its direction.
    about : array_like, shape (3,)
        The point the wrench is stated about. [m]

    Returns
    -------
    float
        Tension of the holding pull. [N]

    Raises
    ------
    OutOfRangeError
        If the chain would have to push, or its line meets the turning line or
        runs along it, so that it has no arm.

    Notes
    -----
    For a pull :math:`P` with arm :math:`a`, held with arm :math:`b`:
    :math:`P a / b`.

    Examples
    --------
    >>> pull = net_wrench([[18e3, 0, 0]], points=[[0, 0.9, 0]])
    >>> hold = pull_that_balances_moment(
    ...     pull,
    ...     hook=[0, 1.5, 0],
    ...     direction=[-1, 0, 0],
    ...     point=[0, 0, 0],
    ...     axis=[0, 0, 1],
    ... )
    >>> round(hold)
    10800
    """
    unit_pull = _one_newton(_along(direction), hook, about)
    turning = one_vector(axis, name="line", unit="")
    start = one_vector(point, name="point")
    load_moment, arm = (
        float(moment_about_line(w, about=about, point=start, direction=turning))
        for w in (_one_load(wrench), unit_pull)
    )
    reach = float(norm(one_vector(hook, name="hook") - start))
    if abs(arm) <= 1e-9 * reach or reach == 0:
        raise OutOfRangeError("holding.no_arm")
    return _pulling(-load_moment / arm)


def pull_that_relieves(
    wrench: ArrayLike,
    *,
    clamps: Clamps,
    hook: ArrayLike,
    direction: ArrayLike,
    chain_limit: float,
    about: ArrayLike = ORIGIN,
) -> HoldingPull:
    """Find the holding pull that leaves the worst clamp with the least share.

    Exact: each clamp's share squared is a parabola in the tension, so the lowest
    worst one stands at an end of the range, at the foot of a parabola or where
    two cross.

    Parameters
    ----------
    wrench : array_like, shape (6,)
        The load: force [N] and moment about ``about`` [N m].
    clamps : Clamps
        With ratings; stands are left out, as for `pull_that_stops`.
    hook : array_like, shape (3,)
        Where the chain is hooked to the body; also the watched point. [m]
    direction : array_like, shape (3,)
        From the hook along the chain; any length.
    chain_limit : float
        Greatest tension the chain may carry. [N]
    about : array_like, shape (3,)
        The point the wrench is stated about. [m]

    Returns
    -------
    HoldingPull
        With no tension if the chain cannot help.

    Raises
    ------
    OutOfRangeError
        If no clamp has a rating, or the chain limit is not more than zero.
    MechanismError
        If the clamps leave the body free to move.

    Examples
    --------
    >>> corners = [[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]]
    >>> four = Clamps(positions=corners, stiffness=2e7, ratings=20e3)
    >>> pull = net_wrench([[24e3, 0, 0]], points=[[2, 0.4, 0]])
    >>> tie = pull_that_relieves(
    ...     pull, clamps=four, hook=[-1, 0.4, 0], direction=[-1, 0, 0], chain_limit=15e3
    ... )
    >>> round(tie.tension)
    15000
    """
    limit = one_number(chain_limit, name="chain_limit")
    magnitude(limit, name="chain_limit", unit="N")
    if not np.any(np.isfinite(clamps.ratings)):
        raise OutOfRangeError("holding.no_rating")
    line = _Line.of(wrench, clamps, hook, direction, about)
    loaded, pulled = line.held().clamp_forces / clamps.ratings[:, None]
    tension = _lowest_worst(loaded, pulled, limit=limit)
    return line.with_tension(tension, hook)


def _lowest_worst(start: Array, change: Array, *, limit: float) -> float:
    """Return the T in 0..limit with the least greatest |start + T change| (n, 3)."""
    # Squared: c T^2 + 2 b T + a for each row.
    a, b, c = dot(start, start), dot(start, change), dot(change, change)
    i, j = np.triu_indices(len(a), 1)
    quadratics = np.stack([c, 2 * b, a], axis=-1)
    feet = np.divide(-b, c, out=np.zeros_like(b), where=c > 0)
    crossings = [np.roots(q).real for q in quadratics[i] - quadratics[j] if np.any(q)]
    candidates = np.concatenate([[0.0, limit], feet, *crossings])
    inside = np.sort(candidates[(candidates >= 0) & (candidates <= limit)])
    worst = np.max(norm(start + inside[:, None, None] * change), axis=-1)
    return float(inside[np.argmin(worst)])


def hold_downs(
    push: ArrayLike,
    *,
    at: ArrayLike,
    first: ArrayLike,
    second: ArrayLike,
    tolerance: float = 1e-3,
) -> Array:
    r"""Return what two hold-downs carry that keep the body under a push.

    Both pull straight against the push, as chains or clamps on either side of a
    jack do.

    Parameters
    ----------
    push : array_like, shape (3,)
        Force of the jack on the body. [N]
    at, first, second : array_like, shape (3,)
        Where the push and the two hold-downs act. [m]
    tolerance : float
        Greatest distance of the push beside the line that joins the
        hold-downs, as a share of that line. [-]

    Returns
    -------
    ndarray, shape (2,)
        Pulls of the first and of the second hold-down. [N]

    Raises
    ------
    OutOfRangeError
        If the push stands outside the two or beside their line.

    Notes
    -----
    Seen along the push, with distances :math:`a` and :math:`b` to the first and
    the second, the first carries :math:`P b / (a + b)`.

    Examples
    --------
    >>> hold_downs(
    ...     [0, 0, 20e3], at=[0, 0, 0], first=[0.5, 0, 0], second=[-1.5, 0, 0]
    ... ).tolist()
    [15000.0, 5000.0]
    """
    tolerance = one_number(tolerance, name="tolerance")
    force = one_vector(push, name="push", unit="N")
    up = direction_of(force, name="push")
    start, end, jack = (
        one_vector(p, name=name)
        for p, name in ((first, "hold_down"), (second, "hold_down"), (at, "push_point"))
    )
    # Only what lies across the push has an arm.
    line, place = (v - dot(v, up) * up for v in (end - start, jack - start))
    length = float(norm(line))
    if length == 0:
        raise OutOfRangeError("holding.in_one_line")
    share = float(dot(place, line)) / length**2
    beside = float(norm(place - share * line))
    if not 0 <= share <= 1 or beside > tolerance * length:
        raise OutOfRangeError(
            "holding.not_between", beside=beside, along=share * length, length=length
        )
    return float(norm(force)) * np.array([1 - share, share])
