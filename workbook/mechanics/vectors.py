"""Directions in space and the angles that name them.

Axes are those of ISO 8855: x forward, y to the left, z up. A *side angle* is
measured in plan from x, plus to the left; a *rise* from the level, plus up.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def norm(vector: ArrayLike) -> Array:
    """Return the length of vectors of shape (..., 3), shape (...).

    Hypotenuse by hypotenuse: squares of very large or small parts would be lost.

    Examples
    --------
    >>> float(norm([0.0, 3e-200, 4e-200]))
    5e-200
    """
    return np.asarray(np.hypot.reduce(np.asarray(vector, dtype=float), axis=-1))


def unit(vector: ArrayLike) -> Array:
    """Return vectors of shape (..., 3) made one long.

    A vector of no length has no direction; it comes back as zeros, and who
    asked decides what that means. One that is not finite comes back as nan.

    Examples
    --------
    >>> unit([0.0, 3.0, 4.0]).tolist()
    [0.0, 0.6, 0.8]
    """
    v = np.asarray(vector, dtype=float)
    length = np.where(np.isfinite(v).all(axis=-1), norm(v), np.nan)[..., None]
    return np.asarray(np.divide(v, length, out=np.zeros_like(v), where=length != 0))


def dot(a: ArrayLike, b: ArrayLike) -> Array:
    """Return the dot product over the last axis, shape (...)."""
    return np.asarray(np.einsum("...i,...i->...", np.asarray(a), np.asarray(b)))


def direction(*, side_angle: ArrayLike, rise: ArrayLike) -> Array:
    """Return the unit vector with these two angles.

    Parameters
    ----------
    side_angle : array_like, shape (...)
        Angle in plan from the x axis, plus to the left. [rad]
    rise : array_like, shape (...)
        Angle from the level, plus upward. [rad]

    Returns
    -------
    ndarray, shape (..., 3)
        Unit vector. [-]

    Examples
    --------
    >>> direction(side_angle=0.0, rise=0.0).tolist()
    [1.0, 0.0, 0.0]
    """
    side, up = np.broadcast_arrays(
        np.asarray(side_angle, dtype=float), np.asarray(rise, dtype=float)
    )
    level = np.cos(up)
    return np.stack([level * np.cos(side), level * np.sin(side), np.sin(up)], axis=-1)


def side_angle_of(vector: ArrayLike) -> Array:
    """Return the angle in plan from x, plus to the left, shape (...) [rad]."""
    v = np.asarray(vector, dtype=float)
    return np.asarray(np.arctan2(v[..., 1], v[..., 0]))


def rise_of(vector: ArrayLike) -> Array:
    """Return the angle from the level, plus upward, shape (...) [rad]."""
    v = np.asarray(vector, dtype=float)
    return np.asarray(np.arctan2(v[..., 2], np.hypot(v[..., 0], v[..., 1])))


def angle_between(a: ArrayLike, b: ArrayLike) -> Array:
    """Return the angle between two directions, shape (...) [rad].

    The two-argument arctangent keeps all figures where a cosine loses half of
    them, near 0 and 180 degrees.

    Examples
    --------
    >>> round(float(np.degrees(angle_between([1, 0, 0], [1, 1, 0]))), 6)
    45.0
    """
    p, q = np.broadcast_arrays(unit(a), unit(b))
    return np.asarray(np.arctan2(norm(np.cross(p, q)), dot(p, q)))
