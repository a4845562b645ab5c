"""The best turn and shift of points to points, and how well they fix the turn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from workbook.errors import OutOfRangeError

SPREAD_TOLERANCE = 0.01
"""Least width of the datum points as a share of their length. [1]"""
_SMALLEST = float(np.sqrt(np.finfo(float).tiny))  # below it squares vanish


@dataclass(frozen=True, kw_only=True)
class RigidMotion:
    """Turn and shift of p to q, and how well the points fix the turn."""

    rotation: NDArray[np.float64]
    translation: NDArray[np.float64]
    turn_ratio: NDArray[np.float64]


def rigid_motion(
    p: NDArray[np.float64], q: NDArray[np.float64], weight: NDArray[np.float64]
) -> RigidMotion:
    """Best turn and shift of p (..., n, 3) to q."""
    share = weight / weight.sum(-1, keepdims=True)
    q_mean = (share[..., None, :] @ q)[..., 0, :]
    # About the mean of q a shift of p cancels, so p is gone over only once.
    pull = share[..., None] * (q - q_mean[..., None, :])
    share = np.broadcast_to(share, pull.shape[:-1])
    moments = np.swapaxes(np.concatenate([pull, share[..., None]], -1), -1, -2) @ p
    rotation, turn_ratio = _best_turn(moments[..., :3, :])
    p_mean = moments[..., 3, :]
    return RigidMotion(
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
    det = (B[:, 0] * cofactors[:, 0]).sum(1)
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


def carry(
    points: NDArray[np.float64],
    rotation: NDArray[np.float64],
    translation: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Turn and shift points: R p + t for each row."""
    carried: NDArray[np.float64] = points @ np.swapaxes(rotation, -1, -2)
    carried += translation[..., None, :]
    return carried


def require_fixed_turn(motion: RigidMotion, spread_tolerance: float) -> None:
    """Refuse datum points that leave the body free to turn."""
    loose = motion.turn_ratio <= spread_tolerance**2
    if not loose.any():
        return
    width = 100 * np.sqrt(max(float(motion.turn_ratio.min()), 0.0))
    raise OutOfRangeError(
        "registration.free_to_turn", percent=width, needed=100 * spread_tolerance
    )
