"""The ram force that a wanted tension, or a wanted pull along a line, needs."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.magnitudes import alike, numbers, triples
from workbook.mechanics.pull.linkage import Pull, Rig, solve_pull, solve_pulls
from workbook.mechanics.vectors import Array, dot, norm, unit


def ram_force_for_tension(rig: Rig, *, pull_tension: ArrayLike) -> Array:
    """Return the ram force that puts a wanted tension in the pull leg.

    Parameters
    ----------
    rig : Rig
        Rigs of shape (...).
    pull_tension : array_like, shape (...)
        Wanted tension in the pull leg. [N]

    Returns
    -------
    ndarray, shape (...)
        Ram force, nan where a rig of an array does not stand. [N]

    Raises
    ------
    OutOfRangeError
        If a wanted tension is negative or not finite.
    OutOfRangeError, MechanismError
        If a single rig does not stand.
    """
    return _wanted(pull_tension) * _for_ram_force_of_one(rig).travel_ratio


def ram_force_for_useful_pull(
    rig: Rig, *, useful_pull: ArrayLike, line: ArrayLike
) -> Array:
    """Return the ram force whose pull has a wanted part along a line.

    Parameters
    ----------
    rig : Rig
        Rigs of shape (...).
    useful_pull : array_like, shape (...)
        Wanted part of the pull along ``line``. [N]
    line : array_like, shape (..., 3)
        Direction in which the pull is wanted; any length.

    Returns
    -------
    ndarray, shape (...)
        Ram force, nan where a rig of an array does not stand or runs across the
        wanted line or against it. [N]

    Raises
    ------
    MechanismError
        If a single chain runs across the wanted line or against it.
    OutOfRangeError
        If a wanted pull is negative or not finite, or a line has no direction.
    OutOfRangeError, MechanismError
        If a single rig does not stand.
    """
    wanted, pull = _wanted(useful_pull), _for_ram_force_of_one(rig)
    wanted_line = unit(triples(line, name="line"))
    alike(useful_pull=wanted, line=wanted_line[..., 0], rig=pull.pull_tension)
    if not np.all(norm(wanted_line) > 0):
        raise OutOfRangeError("linkage.no_line")
    along = dot(pull.direction, wanted_line)
    across = along < 1e-6
    if across.ndim == 0 and across:
        off = float(np.arccos(along))
        raise MechanismError("linkage.across_the_line", off=off)
    along = np.where(across, np.nan, along)
    return np.asarray(wanted / along * pull.travel_ratio)


def _wanted(force: ArrayLike) -> Array:
    """Read a wanted tension or pull; a chain can give none below zero."""
    wanted = numbers(force, name="useful_pull")
    bad = ~(np.isfinite(wanted) & (wanted >= 0))
    if bad.any():
        raise OutOfRangeError("linkage.wanted_pull", force=float(wanted[bad][0]))
    return wanted


def _for_ram_force_of_one(rig: Rig) -> Pull:
    """Solve for a ram force of 1 N: raise for one rig, mask for many."""
    pull = solve_pulls(rig, ram_force=1.0)
    return solve_pull(rig, ram_force=1.0) if pull.refusal.ndim == 0 else pull
