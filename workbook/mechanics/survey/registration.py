"""Measured points laid over specified ones: rigid fit, its error, tape and tilt.

A survey is measured in whatever frame the bench offers. The fit turns and
shifts it, without stretch and without mirror, until the datum points lie as
close as they can to their specified places; what is left at every other point
is its difference, measured minus specified.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from math import comb

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.magnitudes import called

SPREAD_TOLERANCE = 0.01
"""Least width of the datum points as a share of their length. [1]"""
FARTHEST = 1e4
"""No coordinate of a survey is farther off than this. [m]"""
_SMALLEST = float(np.sqrt(np.finfo(float).tiny))  # below it squares vanish


@dataclass(frozen=True, kw_only=True)
class Registration:
    """A rigid fit of measured to specified points, for one survey or many.

    Attributes
    ----------
    rotation : NDArray[np.float64], shape (..., 3, 3)
        Turn from measured to nominal axes, determinant +1. [1]
    translation : NDArray[np.float64], shape (..., 3)
        Where the measured origin lies in the nominal frame. [m]
    residuals : NDArray[np.float64], shape (..., n, 3)
        Carried measured minus specified, at every point. [m]
    rms_residual : NDArray[np.float64], shape (...)
        Weighted root mean square distance over the datum points. [m]
    """

    rotation: NDArray[np.float64]
    translation: NDArray[np.float64]
    residuals: NDArray[np.float64]
    rms_residual: NDArray[np.float64]

    @property
    def T_nominal_measured(self) -> NDArray[np.float64]:  # noqa: N802
        """Homogeneous transform from measured to nominal, shape (..., 4, 4)."""
        transform = np.zeros((*self.translation.shape[:-1], 4, 4))
        transform[..., :3, :3] = self.rotation
        transform[..., :3, 3] = self.translation
        transform[..., 3, 3] = 1.0
        return transform

    def transform(self, points: ArrayLike) -> NDArray[np.float64]:
        """Carry measured ``points``, shape (..., m, 3), to the nominal frame [m]."""
        return _carry(_finite_points(points, "points"), self.rotation, self.translation)


def register(
    measured: ArrayLike,
    *,
    specified: ArrayLike,
    datum_points: ArrayLike | None = None,
    weights: ArrayLike | None = None,
    spread_tolerance: float = SPREAD_TOLERANCE,
) -> Registration:
    r"""Fit measured points to specified ones by the best turn and shift.

    The scale is one and a mirror image is never used. Leading axes broadcast,
    so many surveys are fitted in one call.

    Parameters
    ----------
    measured : ArrayLike, shape (..., n, 3)
        Points as read. [m]
    specified : ArrayLike, shape (..., n, 3)
        The same points as they should be. [m]
    datum_points : ArrayLike, shape (n,) bool or (k,) int, optional
        Which points the fit rests on; all of them if not given.
    weights : ArrayLike, shape (..., n), optional
        Weight of each point in the fit; ones if not given. [1]
    spread_tolerance : float, optional
        Least width of the datum points as a share of their length. [1]

    Returns
    -------
    Registration
        ``rotation``, ``translation`` [m], ``residuals`` at all n points [m] and
        ``rms_residual`` over the datum points [m].

    Raises
    ------
    OutOfRangeError
        If shapes do not match, a value is not finite, a weight is negative,
        fewer than three points carry weight, or these lie in one line.

    Notes
    -----
    With weights :math:`w_i`, the sum
    :math:`\sum w_i |R\,p_i + t - q_i|^2` is least for

    .. math:: \sum w_i (q_i - \bar q)\,p_i^T = U S V^T, \qquad
              R = U\,\mathrm{diag}(1, 1, \det(U V^T))\,V^T, \qquad
              t = \bar q - R\,\bar p

    The turn is unique only if :math:`s_2 + \det(UV^T)\,s_3 > 0`. These are
    squares of lengths, so their ratio to :math:`s_1` is compared with the
    square of `spread_tolerance`.

    References
    ----------
    .. [1] W. Kabsch, "A solution for the best rotation to relate two sets of
       vectors", *Acta Crystallographica* A32, 1976, p. 922, and A34, 1978,
       p. 827 (the sign that keeps the fit from mirroring).

    Examples
    --------
    A body that stands 10 mm too far left and turned a quarter:

    >>> specified = [[0, 0, 0], [2, 0, 0], [0, 1, 0], [2, 1, 0.5]]
    >>> measured = [[0, 0.01, 0], [0, 2.01, 0], [-1, 0.01, 0], [-1, 2.01, 0.5]]
    >>> fit = register(measured, specified=specified)
    >>> bool(fit.rms_residual < 1e-12)
    True
    >>> abs(fit.transform([[0, 2.01, 0]])).round(3).tolist()
    [[2.0, 0.0, 0.0]]
    """
    p = _finite_points(measured, "measured")
    q = _finite_points(specified, "specified")
    if p.shape[-2] != q.shape[-2]:
        raise OutOfRangeError(
            "registration.unlike", count=p.shape[-2], specified=q.shape[-2]
        )
    weight = _fit_weights(p.shape[-2], datum_points, weights)

    motion = _rigid_motion(p, q, weight)
    _require_fixed_turn(motion, spread_tolerance)

    residuals = _carry(p, motion.rotation, motion.translation)
    residuals -= q
    square = np.einsum("...ni,...ni->...n", residuals, residuals)
    mean_square = (square * weight).sum(-1) / weight.sum(-1)
    return Registration(
        rotation=motion.rotation,
        translation=motion.translation,
        residuals=residuals,
        rms_residual=np.sqrt(mean_square),
    )


def fit_error_at(
    points: ArrayLike,
    *,
    datum_points: ArrayLike,
    scatter: ArrayLike,
    weights: ArrayLike | None = None,
    spread_tolerance: float = SPREAD_TOLERANCE,
) -> NDArray[np.float64]:
    r"""Return how far a fit on scattered datum points misplaces other points.

    Each datum point is read with independent scatter, the same along x, y and
    z. The result is the error of the fit alone: what reading the other point
    adds must be added to it (root of the sum of squares).

    Parameters
    ----------
    points : ArrayLike, shape (m, 3)
        Where the error is wanted, in the nominal frame. [m]
    datum_points : ArrayLike, shape (k, 3)
        The points the fit rests on, in the nominal frame. [m]
    scatter : ArrayLike, scalar or shape (k,)
        Standard deviation of one reading along one axis. [m]
    weights : ArrayLike, shape (k,), optional
        The weights of the fit; ones if not given. [1]
    spread_tolerance : float, optional
        As in `register`. [1]

    Returns
    -------
    NDArray[np.float64], shape (m, 3)
        Standard error along x, y and z. [m]

    Raises
    ------
    OutOfRangeError
        For the datum points `register` refuses, or a negative scatter.

    Notes
    -----
    To first order the fit answers readings :math:`e` with the small motion
    :math:`d = -G e` of six components, where :math:`G` is the weighted
    pseudo-inverse of :math:`A_i = [I, -[p_i - \bar p]_\times]`. The point then
    moves by :math:`A(p)\,d`. With equal weights the squared distance is

    .. math:: \langle d^2 \rangle = \frac{3\sigma^2}{k}
              \left(1 + \frac13 \sum_{j=1}^{3} \frac{d_j^2}{f_j^2}\right)

    with :math:`d_j` the distance of the point, and :math:`f_j` the root mean
    square distance of the datum points, from principal axis j.

    References
    ----------
    .. [1] J. M. Fitzpatrick, J. B. West and C. R. Maurer, "Predicting error in
       rigid-body point-based registration", *IEEE Transactions on Medical
       Imaging* 17(5), 1998, pp. 694-702 (formula quoted from memory).

    Examples
    --------
    Readings scatter by 1 mm on a square base of 1 m; the error of the fit's
    height at its centre, and 3 m ahead of it:

    >>> base = [[0, 0.5, 0], [1, 0.5, 0], [1, -0.5, 0], [0, -0.5, 0]]
    >>> error = fit_error_at(
    ...     [[0.5, 0, 0], [3.5, 0, 0]], datum_points=base, scatter=1e-3
    ... )
    >>> (error[:, 2] * 1e3).round(2).tolist()
    [0.5, 3.04]
    """
    targets = _finite_points(points, "points")
    base = _finite_points(datum_points, "datum")
    if base.ndim != 2:
        raise OutOfRangeError("registration.datum_list", shape=base.shape)
    weight = _fit_weights(len(base), None, weights)
    sigma = _scatter(scatter, len(base))
    _require_fixed_turn(_rigid_motion(base, base, weight), spread_tolerance)

    centre = weight @ base / weight.sum()
    # Lengths in units of the base's own size keep shift and turn alike.
    size = np.sqrt(weight @ ((base - centre) ** 2).sum(-1) / weight.sum())
    root_weight = np.sqrt(np.repeat(weight, 3))
    rows = small_motion_rows((base - centre) / size).reshape(-1, 6)
    gain = np.linalg.pinv(root_weight[:, None] * rows) * root_weight
    answer = small_motion_rows((targets - centre) / size) @ gain
    return np.asarray(np.linalg.norm(answer * np.repeat(sigma, 3), axis=-1))


def small_motion_rows(offset: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how points move under a small shift and turn of the whole body.

    Parameters
    ----------
    offset : NDArray[np.float64], shape (..., 3)
        Points about the centre of the turn. [m]

    Returns
    -------
    NDArray[np.float64], shape (..., 3, 6)
        [I, -skew(r)]: movement for a unit shift along, and a unit turn about,
        x, y and z. [m/m and m/rad]

    Examples
    --------
    A point 2 m ahead rises by 2 m for each radian of nose-up turn, about -y:

    >>> float(-small_motion_rows(np.array([2.0, 0.0, 0.0]))[2, 4])
    2.0
    """
    rows = np.zeros((*offset.shape, 6))
    rows[..., :, :3] = np.eye(3)
    # A turn about axis k moves r by e_k x r.
    rows[..., :, 3:] = np.cross(np.eye(3), offset[..., None, :]).swapaxes(-1, -2)
    return rows


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
    p = _finite_points(measured, "measured")
    q = _finite_points(specified, "specified")
    _require_one_survey(p, q)
    if not (np.isfinite(agreement) and agreement > 0):
        raise OutOfRangeError(
            "registration.agreement", agreement=agreement, nothing=0.0
        )
    exhaustive = comb(len(p), 3) <= max_triples
    triples = _triples(len(p), max_triples, rng)

    motion = _rigid_motion(p[triples], q[triples], np.ones(3))
    distance = np.linalg.norm(
        _carry(p, motion.rotation, motion.translation) - q, axis=-1
    )
    cost = ((np.minimum(distance, agreement) / agreement) ** 2).sum(-1)
    fixed = motion.turn_ratio > spread_tolerance**2
    if not fixed.any():
        _require_fixed_turn(motion, spread_tolerance)
    best = int(np.argmin(np.where(fixed, cost, np.inf)))
    agrees = distance[best] <= agreement
    _require_majority(agrees, agreement)
    fit = register(
        p, specified=q, datum_points=agrees, spread_tolerance=spread_tolerance
    )
    left = np.linalg.norm(fit.residuals, axis=-1)
    return ConsensusHint(
        disagrees=left > agreement,
        distance=left,
        registration=fit,
        agreement=agreement,
        exhaustive=exhaustive,
    )


@dataclass(frozen=True, kw_only=True)
class Tilt:
    """How a body leans against the frame it is measured in.

    Attributes
    ----------
    nose_up : NDArray[np.float64], shape (...)
        Angle from the level of the datum plane's fore-and-aft line, plus where
        readings of height grow going forward. [rad]
    left_up : NDArray[np.float64], shape (...)
        The same across the body, plus where they grow going left. [rad]
    """

    nose_up: NDArray[np.float64]
    left_up: NDArray[np.float64]


def tilt_of_fit(registration: Registration) -> Tilt:
    """Return the tilt of the body's datum plane in the frame it was measured in.

    Parameters
    ----------
    registration : Registration
        Fit of measured to specified points.

    Returns
    -------
    Tilt
        ``nose_up`` and ``left_up`` as read by a bench that believes it is
        level, along the measured x and y axes. [rad]

    Raises
    ------
    OutOfRangeError
        If the datum plane stands upright or upside down in the measured frame.

    Examples
    --------
    >>> specified = np.array([[0, 0.5, 0], [2, 0.5, 0], [2, -0.5, 0], [0, -0.5, 0]])
    >>> measured = specified + 0.01 * specified[:, :1] * [0, 0, 1]
    >>> tilt = tilt_of_fit(register(measured, specified=specified))
    >>> round(float(np.degrees(tilt.nose_up)), 2)
    0.57
    """
    # The nominal upward axis, seen in the measured frame, is the third row of R.
    upward = registration.rotation[..., 2, :]
    if np.any(upward[..., 2] <= 0):
        raise OutOfRangeError("registration.upside_down")
    return Tilt(
        nose_up=np.arctan2(-upward[..., 0], upward[..., 2]),
        left_up=np.arctan2(-upward[..., 1], upward[..., 2]),
    )


def tilt_of_points(
    points: ArrayLike, *, spread_tolerance: float = SPREAD_TOLERANCE
) -> Tilt:
    r"""Return the tilt of the plane through points that should be level.

    The plane :math:`z = a + b x + c y` is fitted by least squares of height.

    Parameters
    ----------
    points : ArrayLike, shape (n, 3)
        Three or more points that should share one height. [m]
    spread_tolerance : float, optional
        Least width of the points in plan as a share of their length. [1]

    Returns
    -------
    Tilt
        ``nose_up`` = arctan b and ``left_up`` = arctan c. [rad]

    Raises
    ------
    OutOfRangeError
        For fewer than three points, or points in one line seen from above.

    Examples
    --------
    >>> tilt = tilt_of_points([[0, 0, 0.3], [2, 0.5, 0.32], [2, -0.5, 0.32]])
    >>> round(float(np.degrees(tilt.nose_up)), 2), round(float(tilt.left_up), 6) + 0.0
    (0.57, 0.0)
    """
    level = _finite_points(points, "level")
    weight = _fit_weights(level.shape[-2], None, None)
    offset = level - level.mean(0)
    plan = offset * [1.0, 1.0, 0.0]
    _require_fixed_turn(_rigid_motion(plan, plan, weight), spread_tolerance)
    slopes, *_ = np.linalg.lstsq(offset[:, :2], offset[:, 2], rcond=None)
    return Tilt(nose_up=np.arctan(slopes[0]), left_up=np.arctan(slopes[1]))


def height_without_tilt(
    height: ArrayLike, *, x: ArrayLike, nose_up: ArrayLike
) -> NDArray[np.float64]:
    """Take the tilt out of a height read at distance ``x`` from the zero plane.

    Parameters
    ----------
    height : ArrayLike, shape (...)
        Height as read. [m]
    x : ArrayLike, shape (...)
        Distance forward of the zero plane, where the tilt does nothing. [m]
    nose_up : ArrayLike, shape (...)
        Tilt from the level, plus where readings grow going forward. [rad]

    Returns
    -------
    NDArray[np.float64], shape (...)
        Height less ``x`` tan ``nose_up``. [m]

    Raises
    ------
    OutOfRangeError
        If a value is not finite or the tilt is a right angle or more.

    Examples
    --------
    >>> round(float(height_without_tilt(0.352, x=2.4, nose_up=np.radians(0.5))), 3)
    0.331
    """
    z, forward, tilt = _finite_numbers(height=height, x=x, nose_up=nose_up)
    if np.any(np.abs(tilt) >= np.pi / 2):
        steepest = float(np.degrees(np.abs(tilt).max()))
        raise OutOfRangeError("registration.tilt", degrees=steepest)
    return np.asarray(z - forward * np.tan(tilt))


def length_along_datum(
    tape_length: ArrayLike, *, rise: ArrayLike
) -> NDArray[np.float64]:
    """Turn the reading of a sloping tape into a length along the datum plane.

    Parameters
    ----------
    tape_length : ArrayLike, shape (...)
        Straight distance between the two points. [m]
    rise : ArrayLike, shape (...)
        Height of one point above the other, either sign. [m]

    Returns
    -------
    NDArray[np.float64], shape (...)
        Distance between the points seen from above. [m]

    Raises
    ------
    OutOfRangeError
        If a value is not finite or the tape is shorter than the rise.

    Examples
    --------
    >>> round(float(length_along_datum(1.200, rise=0.350)), 3)
    1.148
    """
    tape, up = _finite_numbers(tape_length=tape_length, rise=rise)
    short = tape < np.abs(up)
    if np.any(short):
        worst = int(np.argmax(short))
        t, r = (np.broadcast_to(a, short.shape).flat[worst] for a in (tape, up))
        raise OutOfRangeError("registration.tape", tape=float(t), apart=abs(float(r)))
    # (t - r)(t + r) keeps its digits where t*t - r*r would lose them.
    return np.asarray(np.sqrt((tape - up) * (tape + up)))


@dataclass(frozen=True, kw_only=True)
class Diagonals:
    """The two diagonals of a four-point figure.

    Attributes
    ----------
    from_left_front : NDArray[np.float64], shape (...)
        Left front to right rear. [m]
    from_right_front : NDArray[np.float64], shape (...)
        Right front to left rear. [m]
    """

    from_left_front: NDArray[np.float64]
    from_right_front: NDArray[np.float64]

    @property
    def difference(self) -> NDArray[np.float64]:
        """Right-front diagonal minus left-front one, shape (...) [m]."""
        return self.from_right_front - self.from_left_front


def diagonals_of_points(
    *,
    left_front: ArrayLike,
    right_front: ArrayLike,
    left_rear: ArrayLike,
    right_rear: ArrayLike,
) -> Diagonals:
    """Measure the two diagonals between four points, tape straight in space.

    Parameters
    ----------
    left_front, right_front, left_rear, right_rear : ArrayLike, shape (..., 3)
        The corners. [m]

    Returns
    -------
    Diagonals
        Both lengths [m] and, as a property, their difference [m].

    Raises
    ------
    OutOfRangeError
        If a value is not finite or a corner is not a point.

    Examples
    --------
    >>> pair = diagonals_of_points(
    ...     left_front=[1.388, 1.1, 0], right_front=[1.4, 0, 0],
    ...     left_rear=[-0.012, 1.1, 0], right_rear=[0, 0, 0],
    ... )
    >>> round(float(pair.difference) * 1e3, 1)
    18.9
    """
    lf, rf, lr, rr = (
        _finite_points(corner, "corner", axes=1)
        for corner in (left_front, right_front, left_rear, right_rear)
    )
    return Diagonals(
        from_left_front=np.asarray(np.linalg.norm(lf - rr, axis=-1)),
        from_right_front=np.asarray(np.linalg.norm(rf - lr, axis=-1)),
    )


def diagonals_of_skew(
    skew: ArrayLike, *, length: ArrayLike, width: ArrayLike
) -> Diagonals:
    """Return the diagonals of a box whose left side is pushed back by ``skew``.

    Parameters
    ----------
    skew : ArrayLike, shape (...)
        How far the left side lies behind the right one. [m]
    length, width : ArrayLike, shape (...)
        Length of the sides and distance between them. [m]

    Returns
    -------
    Diagonals
        Both lengths. [m]

    Raises
    ------
    OutOfRangeError
        If a value is not finite, or a length or width is not above zero.

    Examples
    --------
    >>> pair = diagonals_of_skew(0.012, length=1.400, width=1.100)
    >>> round(float(pair.difference) * 1e3, 1)
    18.9
    """
    s, a, w = _finite_numbers(skew=skew, length=length, width=width)
    _require_positive(length=a, width=w)
    return Diagonals(
        from_left_front=np.hypot(a - s, w), from_right_front=np.hypot(a + s, w)
    )


def skew_of_diagonals(
    diagonals: Diagonals, *, length: ArrayLike
) -> NDArray[np.float64]:
    r"""Work back from two diagonals to how far the left side is pushed back.

    Exact for a box whose sides are equal and parallel:
    :math:`s = (d_1^2 - d_2^2)/(4a)`; the width is not needed.

    Parameters
    ----------
    diagonals : Diagonals
        The two measured lengths. [m]
    length : ArrayLike, shape (...)
        Length of the sides. [m]

    Returns
    -------
    NDArray[np.float64], shape (...)
        Skew, plus where the left side lies behind the right one. [m]

    Raises
    ------
    OutOfRangeError
        If a value is not finite or a length is not above zero.

    Examples
    --------
    >>> pair = diagonals_of_skew(0.012, length=1.400, width=1.100)
    >>> round(float(skew_of_diagonals(pair, length=1.400)) * 1e3, 6)
    12.0
    """
    long, short, a = _finite_numbers(
        from_right_front=diagonals.from_right_front,
        from_left_front=diagonals.from_left_front,
        length=length,
    )
    _require_positive(from_right_front=long, from_left_front=short, length=a)
    surplus = (long - short) * (long + short)
    if np.any(np.abs(surplus) > 4 * a * a):
        apart = float(np.max(np.abs(long - short)))
        raise OutOfRangeError(
            "registration.diagonals", apart=apart, side=float(np.min(a))
        )
    return np.asarray(surplus / (4 * a))


def left_right_difference(
    left: ArrayLike,
    *,
    right: ArrayLike,
    specified_left: ArrayLike,
    specified_right: ArrayLike,
    symmetry_tolerance: float = 0.5e-3,
) -> NDArray[np.float64]:
    """Compare left points with the mirror of right ones across the centre plane.

    Allowed only where the specification itself is alike on both sides.

    Parameters
    ----------
    left, right : ArrayLike, shape (..., 3)
        Measured points of a pair, in the nominal frame. [m]
    specified_left, specified_right : ArrayLike, shape (..., 3)
        The same points as they should be. [m]
    symmetry_tolerance : float, optional
        How unlike the specified sides may be. [m]

    Returns
    -------
    NDArray[np.float64], shape (..., 3)
        Left minus mirrored right: plus where the left point is farther forward,
        farther out, higher. [m]

    Raises
    ------
    OutOfRangeError
        If the body is unlike left to right by design at these points, or a
        value is not finite.

    Examples
    --------
    >>> left_right_difference(
    ...     [1.790, 0.462, 0.40], right=[1.800, -0.450, 0.40],
    ...     specified_left=[1.8, 0.45, 0.4], specified_right=[1.8, -0.45, 0.4],
    ... ).round(3).tolist()
    [-0.01, 0.012, 0.0]
    """
    mirror = np.array([1.0, -1.0, 1.0])
    lt, rt, ls, rs = (
        _finite_points(point, "paired", axes=1)
        for point in (left, right, specified_left, specified_right)
    )
    unlike = float(np.abs(ls - rs * mirror).max(initial=0.0))
    if unlike > symmetry_tolerance:
        raise OutOfRangeError(
            "registration.sides", unlike=unlike, most=symmetry_tolerance
        )
    return np.asarray(lt - rt * mirror)


@dataclass(frozen=True, kw_only=True)
class _RigidMotion:
    """Turn and shift of p to q, and how well the points fix the turn."""

    rotation: NDArray[np.float64]
    translation: NDArray[np.float64]
    turn_ratio: NDArray[np.float64]


def _rigid_motion(
    p: NDArray[np.float64], q: NDArray[np.float64], weight: NDArray[np.float64]
) -> _RigidMotion:
    """Best turn and shift of p (..., n, 3) to q."""
    share = weight / weight.sum(-1, keepdims=True)
    q_mean = (share[..., None, :] @ q)[..., 0, :]
    # About the mean of q a shift of p cancels, so p is gone over only once.
    pull = share[..., None] * (q - q_mean[..., None, :])
    share = np.broadcast_to(share, pull.shape[:-1])
    moments = np.swapaxes(np.concatenate([pull, share[..., None]], -1), -1, -2) @ p
    rotation, turn_ratio = _best_turn(moments[..., :3, :])
    p_mean = moments[..., 3, :]
    return _RigidMotion(
        rotation=rotation,
        translation=q_mean - (rotation @ p_mean[..., None])[..., 0],
        turn_ratio=turn_ratio,
    )


_Turn = tuple[NDArray[np.float64], NDArray[np.float64]]


def _best_turn(B: NDArray[np.float64], thin_ratio: float = 0.02) -> _Turn:
    """Rotations nearest to B; in closed form, or by SVD where thin points need it."""
    matrices = B.reshape(-1, 3, 3)
    rotation, ratio = _turn_in_closed_form(matrices)
    thin = ~(ratio > thin_ratio)
    if thin.any():
        rotation[thin], ratio[thin] = _turn_by_svd(matrices[thin])
    return rotation.reshape(B.shape), ratio.reshape(B.shape[:-2])


def _turn_in_closed_form(B: NDArray[np.float64], iterations: int = 30) -> _Turn:
    """Rotations nearest to B by the characteristic root; fast in large batches.

    F. L. Markley, "Attitude determination using vector observations: a fast
    optimal matrix algorithm", Journal of the Astronautical Sciences 41(2), 1993.
    """
    size = np.linalg.norm(B, axis=(-2, -1), keepdims=True)
    B = np.divide(B, size, out=np.zeros_like(B), where=size > _SMALLEST)
    cofactors = np.cross(np.roll(B, -1, axis=-2), np.roll(B, -2, axis=-2))
    det = (B[:, 0] * cofactors[:, 0]).sum(-1)
    # Newton from above on (x^2 - 1)^2 - 8 x det - 4 |cof|^2, with |B| = 1.
    root = np.full(len(B), np.sqrt(3.0))
    constant = 4 * (cofactors**2).sum((-2, -1))
    for _ in range(iterations):
        square = root * root - 1
        slope = 4 * (root * square - 2 * det)
        value = square * square - 8 * root * det - constant
        step = np.divide(value, slope, out=np.zeros_like(root), where=slope > 0)
        root -= step
        if np.all(np.abs(step) < 1e-15):
            break
    kappa = (root * root - 1) / 2
    zeta = kappa * root - det  # (s1 + s2)(s1 + s3)(s2 + s3), s3 signed
    scaled = (kappa + 1)[:, None, None] * B + root[:, None, None] * cofactors
    scaled -= B @ (B.swapaxes(-1, -2) @ B)
    divisor = np.where(zeta > 0, zeta, 1.0)
    return scaled / divisor[:, None, None], zeta


def _turn_by_svd(B: NDArray[np.float64]) -> _Turn:
    """Rotations nearest to B by singular values; exact for thin points too."""
    u, s, vt = np.linalg.svd(B)
    sign = np.where(np.linalg.det(u @ vt) < 0, -1.0, 1.0)
    u[..., 2] *= sign[..., None]
    turn = s[..., 1] + sign * s[..., 2]
    longest = s[..., 0]
    ratio = np.divide(turn, longest, out=np.zeros_like(turn), where=longest > _SMALLEST)
    return u @ vt, ratio


def _carry(
    points: NDArray[np.float64],
    rotation: NDArray[np.float64],
    translation: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Turn and shift points: R p + t for each row."""
    carried: NDArray[np.float64] = points @ np.swapaxes(rotation, -1, -2)
    carried += translation[..., None, :]
    return carried


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
    return np.argsort(rng.random((max_triples, n)), axis=-1)[:, :3]


def _fit_weights(
    n: int, datum_points: ArrayLike | None, weights: ArrayLike | None
) -> NDArray[np.float64]:
    """Weights of n points, zero off the datum points; refuse too few."""
    weight = np.ones(n) if weights is None else np.asarray(weights, dtype=float)
    if weight.ndim == 0 or weight.shape[-1] != n:
        raise OutOfRangeError("registration.weights", shape=weight.shape, count=n)
    if not np.all(np.isfinite(weight)) or np.any(weight < 0):
        raise OutOfRangeError("registration.weight")
    largest = weight.max(-1, keepdims=True)
    weight = weight / np.where(largest > 0, largest, 1.0)
    if datum_points is not None:
        weight = weight * _datum_mask(n, datum_points)
    count = int((weight > 0).sum(-1).min())
    if count < 3:
        raise OutOfRangeError("registration.too_few", count=count)
    return weight


def _datum_mask(n: int, datum_points: ArrayLike) -> NDArray[np.bool_]:
    """Mask of n points from a mask or from indices."""
    chosen = np.asarray(datum_points)
    if chosen.dtype == np.bool_ and chosen.shape == (n,):
        return chosen
    whole = chosen.ndim == 1 and np.issubdtype(chosen.dtype, np.integer)
    if not whole or np.any((chosen < 0) | (chosen >= n)):
        raise OutOfRangeError("registration.chosen", count=n, last=n - 1)
    mask = np.zeros(n, dtype=np.bool_)
    mask[chosen] = True
    return mask


def _require_fixed_turn(motion: _RigidMotion, spread_tolerance: float) -> None:
    """Refuse datum points that leave the body free to turn."""
    loose = motion.turn_ratio <= spread_tolerance**2
    if not loose.any():
        return
    width = 100 * np.sqrt(max(float(motion.turn_ratio.min()), 0.0))
    raise OutOfRangeError(
        "registration.free_to_turn", percent=width, needed=100 * spread_tolerance
    )


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


def _scatter(scatter: ArrayLike, k: int) -> NDArray[np.float64]:
    """Scatter of k points from one number or k."""
    sigma = np.asarray(scatter, dtype=float)
    if sigma.shape not in {(), (k,)}:
        raise OutOfRangeError("registration.scatters", shape=sigma.shape, count=k)
    if not np.all((sigma >= 0) & (sigma <= FARTHEST)):
        raise OutOfRangeError("registration.scatter", nothing=0.0)
    return np.broadcast_to(sigma, (k,))


def _finite_points(points: ArrayLike, name: str, axes: int = 2) -> NDArray[np.float64]:
    """Points as an array (..., n, 3), or (..., 3) with one axis, all finite."""
    wanted = "(..., n, 3)" if axes == 2 else "(..., 3)"
    term = f"points.{name}"
    try:
        array = np.asarray(points, dtype=float)
    except (TypeError, ValueError) as error:
        raise OutOfRangeError(
            "registration.not_numbers", points=term, wanted=wanted
        ) from error
    if array.ndim < axes or array.shape[-1] != 3 or 0 in array.shape:
        raise OutOfRangeError(
            "registration.shape", points=term, shape=array.shape, wanted=wanted
        )
    usable = np.abs(array) <= FARTHEST
    if not usable.all():
        place = np.argwhere(~usable)[0]
        where: str | WorkbookError = term
        if axes == 2:
            number = int(place[-2]) + 1
            where = WorkbookError("registration.one_of", number=number, points=term)
        raise OutOfRangeError(
            "registration.no_place",
            where=where,
            axis="xyz"[place[-1]],
            value=float(array[tuple(place)]),
            farthest=FARTHEST,
        )
    return array


def _finite_numbers(**values: ArrayLike) -> tuple[NDArray[np.float64], ...]:
    """Named numbers as arrays, all finite."""
    arrays = tuple(np.asarray(value, dtype=float) for value in values.values())
    for name, array in zip(values, arrays, strict=True):
        if not np.all(np.abs(array) <= FARTHEST):
            raise OutOfRangeError(
                "registration.number", name=called(name), farthest=FARTHEST
            )
    return arrays


def _require_positive(**lengths: NDArray[np.float64]) -> None:
    """Refuse lengths that are not above zero."""
    for name, length in lengths.items():
        if np.any(length <= 0):
            raise OutOfRangeError(
                "registration.length",
                name=called(name),
                value=float(np.min(length)),
                nothing=0.0,
            )
