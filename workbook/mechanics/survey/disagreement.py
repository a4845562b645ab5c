"""Which datum points disagree with the majority of them: a vote by triples."""

from __future__ import annotations

from dataclasses import dataclass
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


@dataclass(frozen=True, kw_only=True)
class ConsensusHint:
    """Which datum points disagree with the others; a hint, nothing is dropped.

    Attributes
    ----------
    disagrees : NDArray[np.bool_], shape (n,)
        True where a point lies farther than ``agreement`` from where the
        agreeing points put it.
    distance : NDArray[np.float64], shape (n,)
        That distance, from the fit on the agreeing points alone. [m]
    registration : Registration
        The fit on the agreeing points.
    agreement : float
        The distance within which points were said to agree. [m]
    exhaustive : bool
        True if every triple of points was tried.
    """

    disagrees: NDArray[np.bool_]
    distance: NDArray[np.float64]
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
    measured, specified : ArrayLike, shape (n, 3)
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
        If no majority of at least four points agrees, so that no point can be
        called the odd one out; or for what `register` refuses.

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
    _require_one_survey(p, q)
    agreement = one_number(agreement, name="agreement")
    if not (np.isfinite(agreement) and agreement > 0):
        raise OutOfRangeError(
            "registration.agreement", agreement=agreement, nothing=0.0
        )
    exhaustive = comb(len(p), 3) <= max_triples
    triples = _triples(len(p), max_triples, rng)

    motion = rigid_motion(p[triples], q[triples], np.ones(3))
    distance = np.linalg.norm(carry(p, motion.rotation, motion.translation) - q, axis=2)
    cost = ((np.minimum(distance, agreement) / agreement) ** 2).sum(-1)
    fixed = motion.turn_ratio > spread_tolerance**2
    if not fixed.any():
        require_fixed_turn(motion, spread_tolerance)
    best = int(np.argmin(np.where(fixed, cost, np.inf)))
    agrees = distance[best] <= agreement
    _require_majority(agrees, agreement)
    fit = register(
        p, specified=q, datum_points=agrees, spread_tolerance=spread_tolerance
    )
    left = np.linalg.norm(fit.residuals, axis=1)
    return ConsensusHint(
        disagrees=left > agreement,
        distance=left,
        registration=fit,
        agreement=agreement,
        exhaustive=exhaustive,
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


def _require_one_survey(p: NDArray[np.float64], q: NDArray[np.float64]) -> None:
    """Refuse anything but two equal lists of four or more points."""
    if p.ndim != 2 or p.shape != q.shape:
        raise OutOfRangeError(
            "registration.one_survey", measured=p.shape, specified=q.shape
        )
    if len(p) < 4:
        raise OutOfRangeError("registration.no_vote", count=len(p))


def _require_majority(agrees: NDArray[np.bool_], agreement: float) -> None:
    """Refuse a vote that names no odd one out."""
    n, count = agrees.size, int(agrees.sum())
    if count < 4 or 2 * count <= n:
        raise OutOfRangeError(
            "registration.no_majority", agreeing=count, count=n, agreement=agreement
        )
