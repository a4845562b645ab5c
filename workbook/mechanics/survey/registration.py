"""Measured points laid over specified ones: the rigid fit, and its error elsewhere.

A survey is measured in whatever frame the bench offers. The fit turns and
shifts it, without stretch and without mirror, until the datum points lie as
close as they can to their specified places; what is left at every other point
is its difference, measured minus specified.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import numbers
from workbook.mechanics.survey.readings import FARTHEST, finite_points
from workbook.mechanics.survey.rigid_motion import (
    SPREAD_TOLERANCE,
    carry,
    require_fixed_turn,
    rigid_motion,
)


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
        return carry(finite_points(points, "points"), self.rotation, self.translation)


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
    p = finite_points(measured, "measured")
    q = finite_points(specified, "specified")
    if p.shape[-2] != q.shape[-2]:
        raise OutOfRangeError(
            "registration.unlike", count=p.shape[-2], specified=q.shape[-2]
        )
    weight = fit_weights(p.shape[-2], datum_points, weights)

    motion = rigid_motion(p, q, weight)
    require_fixed_turn(motion, spread_tolerance)

    residuals = carry(p, motion.rotation, motion.translation)
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
    targets = finite_points(points, "points")
    base = finite_points(datum_points, "datum")
    if base.ndim != 2:
        raise OutOfRangeError("registration.datum_list", shape=base.shape)
    weight = fit_weights(len(base), None, weights)
    sigma = _scatter(scatter, len(base))
    require_fixed_turn(rigid_motion(base, base, weight), spread_tolerance)

    # Any centre and any size would do: in units of the base's own, shift and turn
    # are alike.
    centre, size = base.mean(axis=0), np.ptp(base, axis=0).max()
    root_weight = np.sqrt(np.repeat(weight, 3))
    rows = small_motion_rows((base - centre) / size).reshape(-1, 6)
    gain = np.linalg.pinv(root_weight[:, None] * rows) * root_weight
    answer = small_motion_rows((targets - centre) / size) @ gain
    return np.asarray(np.linalg.norm(answer * np.repeat(sigma, 3), axis=2))


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


def fit_weights(
    n: int, datum_points: ArrayLike | None, weights: ArrayLike | None
) -> NDArray[np.float64]:
    """Weights of n points, zero off the datum points; refuse too few."""
    weight = np.ones(n) if weights is None else numbers(weights, name="weights")
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
    try:
        chosen = np.asarray(datum_points)
    except ValueError:
        raise OutOfRangeError("registration.chosen", count=n, last=n - 1) from None
    if chosen.dtype == np.bool_ and chosen.shape == (n,):
        return chosen
    whole = chosen.ndim == 1 and np.issubdtype(chosen.dtype, np.integer)
    if not whole or np.any((chosen < 0) | (chosen >= n)):
        raise OutOfRangeError("registration.chosen", count=n, last=n - 1)
    mask = np.zeros(n, dtype=np.bool_)
    mask[chosen] = True
    return mask


def _scatter(scatter: ArrayLike, k: int) -> NDArray[np.float64]:
    """Scatter of k points from one number or k."""
    sigma = numbers(scatter, name="scatter")
    if sigma.shape not in {(), (k,)}:
        raise OutOfRangeError("registration.scatters", shape=sigma.shape, count=k)
    if not np.all((sigma >= 0) & (sigma <= FARTHEST)):
        raise OutOfRangeError("registration.scatter", nothing=0.0)
    return np.broadcast_to(sigma, (k,))
