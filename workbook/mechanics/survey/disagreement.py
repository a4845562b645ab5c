"""Which datum points disagree with the majority of them: a vote by triples."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations
from math import comb

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import one_number
from workbook.mechanics.survey.readings import finite_points
from workbook.mechanics.survey.registration import Registration, register
from workbook.mechanics.survey.rigid_motion import (
    SPREAD_TOLERANCE,
    carry,
    require_fixed_turn,
    rigid_motion,
)

FEWEST = 4
"""Points that must agree before one can be called the odd one out."""


@dataclass(frozen=True, kw_only=True)
class ConsensusHint:
    """Which datum points disagree with the others; a hint, nothing is dropped.

    Attributes
    ----------
    disagrees : NDArray[np.bool_], shape (..., n)
        True where a point lies farther than ``agreement`` from where the
        agreeing points put it.
    distance : NDArray[np.float64], shape (..., n)
        That distance, from the fit on the agreeing points alone; nan where the
        vote named nobody. [m]
    settled : NDArray[np.bool_], shape (...)
        Whether a majority of at least four points agreed. Of a single survey it
        always did.
    registration : Registration
        The fit on the agreeing points; nan where the vote named nobody.
    agreement : float
        The distance within which points were said to agree. [m]
    exhaustive : bool
        True if every triple of points was tried.
    """

    disagrees: NDArray[np.bool_]
    distance: NDArray[np.float64]
    settled: NDArray[np.bool_]
    registration: Registration
    agreement: float
    exhaustive: bool


def find_disagreement(
    measured: ArrayLike,
    *,
    specified: ArrayLike,
    agreement: float,
    max_triples: int = 5000,
    rng: np.random.Generator | None = None,
    spread_tolerance: float = SPREAD_TOLERANCE,
) -> ConsensusHint:
    """Say which datum points disagree with the majority of them.

    A least-squares fit spreads the error of one bent datum point over all.
    Here each triple of points is fitted alone and the others vote; the triple
    with the best vote names the points that agree.

    Parameters
    ----------
    measured, specified : ArrayLike, shape (..., n, 3)
        The candidate datum points as read and as they should be. [m]
    agreement : float
        Distance within which a point agrees with a fit. [m]
    max_triples : int, optional
        Up to this many triples all are tried; beyond it, so many are drawn.
    rng : numpy.random.Generator, optional
        Draws the triples; needed only where there are more than `max_triples`.
    spread_tolerance : float, optional
        As in `register`. [1]

    Returns
    -------
    ConsensusHint
        ``disagrees`` and ``distance`` for every point, and the fit on those
        that agree.

    Raises
    ------
    OutOfRangeError
        If of a single survey no majority of at least four points agrees, so that
        no point can be called the odd one out (of many, such a one is not
        ``settled``); or for what `register` refuses.

    References
    ----------
    .. [1] M. A. Fischler and R. C. Bolles, "Random sample consensus",
       *Communications of the ACM* 24(6), 1981, pp. 381-395. Each vote is
       capped, not counted, so that of two equal majorities the closer wins.

    Examples
    --------
    >>> specified = np.array(
    ...     [[0, 0.5, 0], [1, 0.5, 0], [2, 0.6, 0.2], [2, -0.6, 0.2], [0, -0.5, 0]]
    ... )
    >>> measured = specified + [0.3, 0.0, 0.1]
    >>> measured[2] += [-0.012, 0.004, 0.0]
    >>> hint = find_disagreement(measured, specified=specified, agreement=0.003)
    >>> hint.disagrees.tolist()
    [False, False, True, False, False]
    >>> round(float(hint.distance[2]), 4)
    0.0126
    """
    p = finite_points(measured, "measured")
    q = finite_points(specified, "specified")
    _require_same_points(p, q)
    agreement = one_number(agreement, name="agreement")
    if not (np.isfinite(agreement) and agreement > 0):
        raise OutOfRangeError(
            "registration.agreement", agreement=agreement, nothing=0.0
        )
    n = p.shape[-2]
    exhaustive = comb(n, 3) <= max_triples
    triples = _triples(n, max_triples, rng)
    alone = p.ndim == q.ndim == 2

    motion = rigid_motion(p[..., triples, :], q[..., triples, :], np.ones(3))
    carried = carry(p[..., None, :, :], motion.rotation, motion.translation)
    distance = np.linalg.norm(carried - q[..., None, :, :], axis=-1)
    cost = (np.minimum(distance, agreement) ** 2).sum(axis=-1)
    fixed = motion.turn_ratio > spread_tolerance**2
    if alone and not fixed.any():
        require_fixed_turn(motion, spread_tolerance)
    best = np.argmin(np.where(fixed, cost, np.inf), axis=-1)[..., None, None]
    nearest = np.take_along_axis(distance, best, axis=-2)[..., 0, :]
    agrees = (nearest <= agreement) & fixed.any(-1, keepdims=True)
    count = agrees.sum(-1)
    settled = (count >= FEWEST) & (2 * count > n)
    if alone:
        _require_majority(settled, count, n, agreement)
    else:
        weight = np.where(settled[..., None], agrees, 1.0)
        held = rigid_motion(p, q, weight).turn_ratio > spread_tolerance**2
        settled = settled & held
    fit = register(
        # What is not settled is laid over itself, and told by nan.
        np.where(settled[..., None, None], p, q),
        specified=q,
        weights=np.where(settled[..., None], agrees, 1.0),
        spread_tolerance=spread_tolerance,
    )
    if not settled.all():
        fit = _where(settled, fit)
    left = np.linalg.norm(fit.residuals, axis=-1)
    return ConsensusHint(
        disagrees=left > agreement,
        distance=left,
        settled=settled,
        registration=fit,
        agreement=agreement,
        exhaustive=exhaustive,
    )


def _where(settled: NDArray[np.bool_], fit: Registration) -> Registration:
    """Return a fit of many surveys with nan where none was settled."""
    gone = np.where(settled, 0.0, np.nan)
    return replace(
        fit,
        rotation=fit.rotation + gone[..., None, None],
        translation=fit.translation + gone[..., None],
        residuals=fit.residuals + gone[..., None, None],
        rms_residual=fit.rms_residual + gone,
    )


def _triples(
    n: int, max_triples: int, rng: np.random.Generator | None
) -> NDArray[np.int64]:
    """All triples of n points if they are few, else a draw."""
    if comb(n, 3) <= max_triples:
        return np.array(list(combinations(range(n), 3)), dtype=np.int64)
    if rng is None:
        raise OutOfRangeError(
            "registration.triples", count=n, triples=comb(n, 3), most=max_triples
        )
    return np.argsort(rng.random((max_triples, n)), axis=1)[:, :3]


def _require_same_points(p: NDArray[np.float64], q: NDArray[np.float64]) -> None:
    """Refuse anything but lists of the same four or more points."""
    if p.shape[-2] != q.shape[-2]:
        raise OutOfRangeError(
            "registration.one_survey", measured=p.shape, specified=q.shape
        )
    if p.shape[-2] < FEWEST:
        raise OutOfRangeError("registration.no_vote", count=p.shape[-2])


def _require_majority(
    settled: NDArray[np.bool_], count: NDArray[np.int64], n: int, agreement: float
) -> None:
    """Refuse a vote that names no odd one out."""
    if not settled:
        raise OutOfRangeError(
            "registration.no_majority",
            agreeing=int(count),
            count=n,
            agreement=agreement,
        )
