"""Who stands in line with a loaded chain: wedges swept from where it may let go.

A wedge opens from a point along the line of the chain, to both sides by an angle that
the school sets. It says who stands in line, not who is safe: there is no speed and no
distance in it, and it has no end.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import alike, called, finite, refuse_where
from workbook.mechanics.vectors import Array, dot, norm

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

QUARTER = np.pi / 2
ON_THE_LINE = 1e-9  # rad; a person on the edge of a wedge is in it


def pairs(value: ArrayLike, *, name: str) -> Array:
    """Read points in plan, shape (..., 2); refuse others.

    Raises
    ------
    OutOfRangeError
        If a number is not finite, or the last axis has not two.
    """
    array = finite(value, name=name, unit="m")
    if array.ndim == 0 or array.shape[-1] != 2:
        raise OutOfRangeError(
            "wrenches.shape", name=called(name), shape=array.shape, count=2
        )
    return array


def angle_off_line(people: ArrayLike, *, apex: ArrayLike, towards: ArrayLike) -> Array:
    """Return how far off a line people stand, seen from where it begins.

    Parameters
    ----------
    people : array_like, shape (..., 2)
        Where they stand, in plan. [m]
    apex : array_like, shape (..., 2)
        Where the line begins: the part that may let go. [m]
    towards : array_like, shape (..., 2)
        Another point of the line, on the side to which it is swept. [m]

    Returns
    -------
    ndarray, shape (...)
        From 0 in line to pi behind; 0 for who stands on the apex. [rad]

    Raises
    ------
    OutOfRangeError
        If a place is not finite, or the line has no direction.

    References
    ----------
    .. [1] Arctangent of the opposite over the adjacent side of a right triangle, by
       its two-argument form, which keeps all figures near 0 and pi.

    Examples
    --------
    >>> off = angle_off_line([2.4, 0.9], apex=[0, 0], towards=[1, 0])
    >>> round(float(np.degrees(off)), 1)
    20.6
    """
    stand, start, end = (
        pairs(value, name=name)
        for value, name in ((people, "person"), (apex, "apex"), (towards, "towards"))
    )
    alike(person=stand[..., 0], apex=start[..., 0], towards=end[..., 0])
    along, there = end - start, stand - start
    refuse_where(norm(along) == 0, "safety.no_line")
    across = along[..., 0] * there[..., 1] - along[..., 1] * there[..., 0]
    return np.asarray(np.abs(np.arctan2(across, dot(along, there))))


def in_wedge(
    people: ArrayLike, *, apex: ArrayLike, towards: ArrayLike, half_angle: ArrayLike
) -> NDArray[np.bool_]:
    """Tell who stands in a wedge that opens from a point along a line.

    Parameters
    ----------
    people, apex, towards
        As for `angle_off_line`.
    half_angle : array_like, shape (...)
        By how much it opens to each side of the line, as the school sets it. [rad]

    Returns
    -------
    ndarray of bool, shape (...)
        Who stands on the edge is in it.

    Raises
    ------
    OutOfRangeError
        If a place is not finite, the line has no direction, or the half-angle is not
        more than 0 and at most a quarter turn.

    Examples
    --------
    >>> in_wedge(
    ...     [[2.4, 0.9], [2.4, 1.8]],
    ...     apex=[0, 0],
    ...     towards=[1, 0],
    ...     half_angle=np.radians(30),
    ... ).tolist()
    [True, False]
    """
    half = finite(half_angle, name="half_angle", unit="rad")
    refuse_where(~((half > 0) & (half <= QUARTER)), "safety.half_angle", angle=half)
    off = angle_off_line(people, apex=apex, towards=towards)
    alike(person=off, half_angle=half)
    return np.asarray(off <= half + ON_THE_LINE)


def in_line_of_fire(
    people: ArrayLike, *, ends: ArrayLike, half_angle: ArrayLike
) -> NDArray[np.bool_]:
    """Tell who is in which wedge, from both ends of every chain.

    Whichever part of a line lets go, both loose ends fly along it. What they can sweep
    together is in the wedges that open from each end past the other.

    Parameters
    ----------
    people : array_like, shape (..., n, 2)
        Where n people stand, in plan. [m]
    ends : array_like, shape (..., m, 2, 2)
        Both ends of m chains, in plan. [m]
    half_angle : array_like, shape (...)
        By how much each wedge opens to each side, as the school sets it. [rad]

    Returns
    -------
    ndarray of bool, shape (..., n, m, 2)
        For each person, chain and end whether the wedge from that end has the person
        in it.

    Raises
    ------
    OutOfRangeError
        If a place is not finite, a chain has no length in plan, or the half-angle is
        not more than 0 and at most a quarter turn.

    Examples
    --------
    >>> chain = [[[0, 0], [2, 0]]]
    >>> both = in_line_of_fire([[3, 0.5], [-2, 0.5]], ends=chain, half_angle=0.5)
    >>> both[:, 0].tolist()
    [[True, False], [False, True]]
    """
    stand, both = pairs(people, name="person"), pairs(ends, name="chain_ends")
    if stand.ndim < 2 or both.ndim < 3 or both.shape[-2] != 2:
        raise OutOfRangeError("safety.ends", people=stand.shape, ends=both.shape)
    half = finite(half_angle, name="half_angle", unit="rad")
    alike(person=stand[..., 0, 0], chain_ends=both[..., 0, 0, 0], half_angle=half)
    apex = both[..., None, :, :, :]
    return in_wedge(
        stand[..., :, None, None, :],
        apex=apex,
        towards=apex[..., ::-1, :],
        half_angle=half[..., None, None, None],
    )
