"""Where one chain pull is turned or divided: rollers, fixed or not, and bridles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.magnitudes import alike, numbers, triples
from workbook.mechanics.pull.linkage import Rig
from workbook.mechanics.vectors import Array, angle_between, norm, unit


@dataclass(frozen=True, kw_only=True)
class Redirect:
    """A chain turned over a fixed roller.

    ``anchor_load`` (...) is what the roller's anchor carries [N],
    ``anchor_force`` (..., 3) the force of the chain on the roller [N] and
    ``between_runs`` (...) the angle between the two runs [rad].
    """

    anchor_load: Array
    anchor_force: Array
    between_runs: Array


def redirect(
    chain_tension: ArrayLike, *, run_a: ArrayLike, run_b: ArrayLike
) -> Redirect:
    r"""Return what a fixed, frictionless roller's anchor carries.

    The tension is the same on both sides; the anchor carries
    :math:`2 T \cos(\gamma/2)`, with :math:`\gamma` the angle between the runs.

    Parameters
    ----------
    chain_tension : array_like, shape (...)
        Tension in the chain. [N]
    run_a, run_b : array_like, shape (..., 3)
        Directions from the roller along the two runs; any length.

    Returns
    -------
    Redirect

    Raises
    ------
    OutOfRangeError
        If a tension is negative or a run has no direction.

    References
    ----------
    .. [1] J. L. Meriam and L. G. Kraige, *Engineering Mechanics: Statics*,
       equilibrium of a particle; from memory.

    Examples
    --------
    >>> turned = redirect(15e3, run_a=[1, 0, 0], run_b=[0, 0, 1])
    >>> round(float(turned.anchor_load))
    21213
    """
    tension = numbers(chain_tension, name="tension")
    a, b = unit(triples(run_a, name="run")), unit(triples(run_b, name="run"))
    alike(tension=tension, run=a[..., 0], other_run=b[..., 0])
    _pulls_only(tension)
    if not (np.all(norm(a) > 0) and np.all(norm(b) > 0)):
        raise OutOfRangeError("rigging.no_run")
    force = tension[..., None] * (a + b)
    return Redirect(
        anchor_load=norm(force), anchor_force=force, between_runs=angle_between(a, b)
    )


def _pulls_only(tension: Array) -> None:
    bad = ~(np.isfinite(tension) & (tension >= 0))
    if bad.any():
        raise OutOfRangeError("rigging.pushed", tension=float(tension[bad][0]))


@dataclass(frozen=True, kw_only=True)
class Bridle:
    """A pull divided between two legs: ``left`` and ``right`` tensions (...) [N]."""

    left: Array
    right: Array


def bridle(pull: ArrayLike, *, angle_left: ArrayLike, angle_right: ArrayLike) -> Bridle:
    r"""Divide a pull between the two legs of a flat bridle.

    Both legs and the pull lie in one plane and meet at a ring without weight.
    By the rule of sines (Lami) each leg takes
    :math:`P \sin(\text{other angle}) / \sin(\text{both})`; an even bridle with
    :math:`\gamma` between its legs gives :math:`P / (2\cos(\gamma/2))` each.

    Parameters
    ----------
    pull : array_like, shape (...)
        Pull on the ring. [N]
    angle_left, angle_right : array_like, shape (...)
        Angle of each leg from the line of the pull, on its own side. [rad]

    Returns
    -------
    Bridle

    Raises
    ------
    OutOfRangeError
        If a pull is negative or not finite.
    MechanismError
        If the legs do not stand on both sides of the line of pull, or lie so
        flat (180 degrees between them) that no tension balances the pull.

    Examples
    --------
    >>> even = bridle(24e3, angle_left=np.radians(40), angle_right=np.radians(40))
    >>> round(float(even.left))
    15665
    """
    p = numbers(pull, name="pull")
    left = numbers(angle_left, name="angle_left")
    right = numbers(angle_right, name="angle_right")
    alike(pull=p, angle_left=left, angle_right=right)
    _pulls_only(p)
    if not (np.all(left > 0) and np.all(right > 0)):
        raise MechanismError(
            "rigging.one_side", left=float(left.min()), right=float(right.min())
        )
    both = left + right
    if not np.all(both < np.pi - 1e-9):
        raise MechanismError("rigging.flat", both=float(both.max()), flat=np.pi)
    return Bridle(
        left=p * np.sin(right) / np.sin(both), right=p * np.sin(left) / np.sin(both)
    )


def bridle_in_space(
    pull: ArrayLike, *, ring: ArrayLike, clamps: ArrayLike, tolerance: float = 1e-6
) -> Array:
    """Divide a pull among the legs of a bridle that hangs anywhere in space.

    The ring has no weight and stands where it is; each leg pulls it straight
    toward its clamp.

    Parameters
    ----------
    pull : array_like, shape (3,)
        Force of the chain on the ring. [N]
    ring : array_like, shape (3,)
        Place of the ring. [m]
    clamps : array_like, shape (n, 3)
        Where the legs end: one, two or three of them. [m]
    tolerance : float
        Share of the pull that may stay unbalanced, and least size of a
        direction that the legs can balance, as shares of one.

    Returns
    -------
    ndarray, shape (n,)
        Tension in each leg. [N]

    Raises
    ------
    OutOfRangeError
        If a number is not finite, a leg has no length, or there are none or
        more than three legs, which statics alone cannot share.
    MechanismError
        If the pull would move the ring, or a leg would have to push.

    References
    ----------
    .. [1] R. C. Hibbeler, *Engineering Mechanics: Statics*, three-dimensional
       force systems.

    Examples
    --------
    >>> legs = bridle_in_space(
    ...     [40.0, 0, 0], ring=[0, 0, 0], clamps=[[-8, 4, -3], [-8, -4, -3], [0, 0, 1]]
    ... )
    >>> legs.round(1).tolist()
    [23.6, 23.6, 15.0]
    """
    force, at = triples(pull, name="pull"), triples(ring, name="ring")
    ends = np.atleast_2d(triples(clamps, name="clamp"))
    if not (force.shape == at.shape == (3,) and ends.ndim == 2):
        raise OutOfRangeError(
            "rigging.one_ring", pull=force.shape, ring=at.shape, clamps=ends.shape
        )
    if not 1 <= len(ends) <= 3:
        raise OutOfRangeError("rigging.legs", count=len(ends))
    legs = unit(ends - at)
    if not (np.all(norm(legs) > 0) and np.all(np.isfinite([*legs.flat, *force.flat]))):
        raise OutOfRangeError("rigging.no_length")
    tensions = np.linalg.lstsq(legs.T, -force, rcond=tolerance)[0]
    left_over, size = norm(legs.T @ tensions + force), norm(force)
    if left_over > tolerance * size:
        raise MechanismError("rigging.ring_moves", left=float(left_over))
    if tensions.min() < -tolerance * size:
        raise MechanismError("rigging.leg_pushed", push=float(-tensions.min()))
    return np.asarray(np.maximum(tensions, 0.0))


def free_running_chain(rig: Rig) -> None:
    """Refuse a chain that runs freely over the head of a swivelling ram.

    With equal tension both sides the ram could stand only along the bisector
    of the runs. With R the ram, l1 and l2 the runs and psi the angle between the
    ram and either, the path A-H-C is there the longest in their plane while
    R cos(psi) (1/l1 + 1/l2) < 2, so for any runs longer than the ram: a touch
    lets it shorten, and the ram falls. Shorter, steeper runs are refused too:
    what they hold is a place that the chain chose, not the one set out.

    Raises
    ------
    MechanismError
        Always, with the way out: lock the chain, or use a fixed roller
        (`redirect`).
    """
    raise MechanismError("linkage.runs_freely")
