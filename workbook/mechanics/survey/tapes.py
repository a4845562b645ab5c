"""Tapes, diagonals and a side laid against the other: measures without a fit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import alike, numbers
from workbook.mechanics.survey.readings import (
    finite_numbers,
    finite_points,
    require_positive,
)


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
    tape, up = finite_numbers(tape_length=tape_length, rise=rise)
    short = tape < np.abs(up)
    if np.any(short):
        worst = int(np.argmax(short))
        t, r = (np.broadcast_to(a, short.shape).flat[worst] for a in (tape, up))
        raise OutOfRangeError("registration.tape", tape=float(t), apart=abs(float(r)))
    # (t - r)(t + r) keeps its digits where t*t - r*r would lose them.
    return np.asarray(np.sqrt((tape - up) * (tape + up)))


def middle_off_centre(left: ArrayLike, *, right: ArrayLike) -> NDArray[np.float64]:
    """Return how far the middle of two points lies off the line of their widths.

    Parameters
    ----------
    left, right : ArrayLike, shape (...)
        Width of the left point to the left of the line, and of the right point to
        its right. [m]

    Returns
    -------
    NDArray[np.float64], shape (...)
        The middle of the two, plus to the left of the line. [m]

    Raises
    ------
    OutOfRangeError
        If a value is not finite.

    Examples
    --------
    >>> round(float(middle_off_centre(0.470, right=0.446)), 3)
    0.012
    """
    to_the_left, to_the_right = finite_numbers(left=left, right=right)
    return np.asarray((to_the_left - to_the_right) / 2)


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

    def __post_init__(self) -> None:
        for name in ("from_left_front", "from_right_front"):
            object.__setattr__(self, name, numbers(getattr(self, name), name=name))

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
        finite_points(corner, "corner", axes=1)
        for corner in (left_front, right_front, left_rear, right_rear)
    )
    alike(left_front=lf, right_front=rf, left_rear=lr, right_rear=rr)
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
    s, a, w = finite_numbers(skew=skew, length=length, width=width)
    require_positive(length=a, width=w)
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
    long, short, a = finite_numbers(
        from_right_front=diagonals.from_right_front,
        from_left_front=diagonals.from_left_front,
        length=length,
    )
    require_positive(from_right_front=long, from_left_front=short, length=a)
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
    mirror = np.diag([1.0, -1.0, 1.0])
    lt, rt, ls, rs = (
        finite_points(point, "paired", axes=1)
        for point in (left, right, specified_left, specified_right)
    )
    alike(left=lt, right=rt, specified_left=ls, specified_right=rs)
    unlike = float(np.abs(ls - rs @ mirror).max(initial=0.0))
    if unlike > symmetry_tolerance:
        raise OutOfRangeError(
            "registration.sides", unlike=unlike, most=symmetry_tolerance
        )
    return np.asarray(lt - rt @ mirror)
