"""How a body leans in the frame it is measured in, and readings freed of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError
from workbook.mechanics.survey.readings import finite_numbers, finite_points
from workbook.mechanics.survey.registration import Registration, fit_weights
from workbook.mechanics.survey.rigid_motion import (
    SPREAD_TOLERANCE,
    require_fixed_turn,
    rigid_motion,
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
    >>> from workbook.mechanics.survey.registration import register
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
    points : ArrayLike, shape (..., n, 3)
        Three or more points that should share one height; many sets at once. [m]
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
    level = finite_points(points, "level")
    weight = fit_weights(level.shape[-2], None, None)
    offset = level - level.mean(-2, keepdims=True)
    plan = offset * [1.0, 1.0, 0.0]
    require_fixed_turn(rigid_motion(plan, plan, weight), spread_tolerance)
    slopes = (np.linalg.pinv(offset[..., :2]) @ offset[..., 2:])[..., 0]
    return Tilt(nose_up=np.arctan(slopes[..., 0]), left_up=np.arctan(slopes[..., 1]))


def read_with_tilt(points: ArrayLike, *, nose_up: ArrayLike) -> NDArray[np.float64]:
    """Return points of a body as a base reads them that believes itself level.

    The body is turned about the line in which its zero plane meets its datum plane.

    Parameters
    ----------
    points : ArrayLike, shape (..., n, 3)
        Points in the body's own frame. [m]
    nose_up : ArrayLike, shape (...)
        Tilt of the body against the base, plus where readings of height grow going
        forward. [rad]

    Returns
    -------
    NDArray[np.float64], shape (..., n, 3)
        The readings. [m]

    Raises
    ------
    OutOfRangeError
        If a value is not finite or the tilt is a right angle or more.

    Examples
    --------
    >>> read = read_with_tilt([[2.4, 0.0, 0.0]], nose_up=np.radians(0.5))
    >>> read.round(4).tolist()
    [[2.3999, 0.0, 0.0209]]
    """
    body = finite_points(points, "points")
    (tilt,) = finite_numbers(nose_up=nose_up)
    _require_less_than_upright(tilt)
    cosine, sine = np.cos(tilt), np.sin(tilt)
    nothing, whole = np.zeros_like(tilt), np.ones_like(tilt)
    rows = [
        [cosine, nothing, -sine],
        [nothing, whole, nothing],
        [sine, nothing, cosine],
    ]
    turn = np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)
    return np.asarray(body @ np.swapaxes(turn, -1, -2))


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
    z, forward, tilt = finite_numbers(height=height, x=x, nose_up=nose_up)
    _require_less_than_upright(tilt)
    return np.asarray(z - forward * np.tan(tilt))


def _require_less_than_upright(tilt: NDArray[np.float64]) -> None:
    """Refuse a body that stands on its end."""
    if np.any(np.abs(tilt) >= np.pi / 2):
        steepest = float(np.degrees(np.abs(tilt).max()))
        raise OutOfRangeError("registration.tilt", degrees=steepest)
