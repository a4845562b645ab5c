"""What is left of a correction: its share, and readings that got worse."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import alike, finite, numbers, triples
from workbook.mechanics.vectors import Array, norm


def share_done(start: ArrayLike, left: ArrayLike) -> Array:
    """Return which share of a correction is done: what is gone over what there was.

    Parameters
    ----------
    start, left : array_like, shape (..., 3)
        What a point lacked at first, and what it lacks now. [m]

    Returns
    -------
    ndarray, shape (...)
        1 where it is done, below 0 where there is more left than at first. [-]

    Examples
    --------
    >>> share_done([0.024, 0.018, 0.010], [0.010, 0.006, 0.007]).round(3).item()
    0.57
    """
    first, now = (norm(triples(x, name="differences")) for x in (start, left))
    alike(differences=first, reading=now)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(1 - now / first)


def grew(before: ArrayLike, after: ArrayLike) -> Array:
    """Return by how much each reading got worse, whichever side of its place it is on.

    Parameters
    ----------
    before, after : array_like, shape (...)
        Differences of the same reading from its place, with their signs. [m]

    Returns
    -------
    ndarray, shape (...)
        Above 0 it got worse, below 0 better. [m]

    Examples
    --------
    A reading that has gone from 2 mm short to 5 mm past is 3 mm worse.

    >>> grew([-0.002], [0.005]).round(4).tolist()
    [0.003]
    """
    # One that was not read is nan, and so is how it grew.
    now, then = (numbers(x, name="differences") for x in (after, before))
    alike(differences=then, reading=now)
    return np.asarray(np.abs(now) - np.abs(then))


def next_force(last: ArrayLike, *, lacks: ArrayLike, rate: ArrayLike) -> Array:
    """Return the force that the next pull needs, from how the point moved at the last.

    Parameters
    ----------
    last : array_like
        Force of the last pull. [N]
    lacks : array_like
        What is left along the line of pull. [m]
    rate : array_like
        Movement that stays for each extra unit of force. [m/N]

    Returns
    -------
    ndarray
        A straight line on from the last pull. [N]

    Raises
    ------
    OutOfRangeError
        If the point does not move: more force is then no answer.

    Examples
    --------
    >>> next_force(18e3, lacks=0.006, rate=1.5e-6).round().item()
    22000.0
    """
    each = finite(rate, name="rate", unit="m/N")
    if not np.all(each > 0):
        raise OutOfRangeError("survey.does_not_move")
    force = finite(last, name="force", unit="N")
    short = finite(lacks, name="differences", unit="m")
    alike(force=force, differences=short, rate=each)
    return np.asarray(force + short / each)
