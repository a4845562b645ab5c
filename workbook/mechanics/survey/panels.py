"""Stiff panels on pillars that a hit has moved: which gaps open, and which close.

All in plan, for movements that are small beside the body.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import alike, called, finite, one_number
from workbook.mechanics.vectors import Array

LEFT, RIGHT = 0, 1


def corner_hit(
    *,
    stations: int,
    passed_on: float,
    depth: ArrayLike,
    came_from: ArrayLike,
    front: ArrayLike,
    left: ArrayLike,
) -> Array:
    """Move the pillars of a body whose corner was hit.

    The corner goes as far as the hit is deep, the way the hit ran. Behind it each pair
    of pillars moves ``passed_on`` times as far as the pair before. Cross members
    keep their length and turn about their far end: across, both sides move alike;
    along the body, only the side that was hit.

    Parameters
    ----------
    stations : int
        How many pairs of pillars there are, both ends counted.
    passed_on : float
        Share of a pair's movement that reaches the next, from 0 to 1.
    depth : array_like
        How far the corner was moved, shape (...). [m]
    came_from : array_like
        Where the hit came from, off the long axis outward of that end, plus to the
        vehicle's left. [rad]
    front, left : array_like of bool
        Which corner was hit.

    Returns
    -------
    Array, shape (..., 2, stations, 2)
        Movement of the left and the right pillars, from the front on, along the body
        (plus forward) and across it (plus to the left). [m]

    Raises
    ------
    OutOfRangeError
        If ``passed_on`` is not from 0 to 1.

    Notes
    -----
    A teaching model: real bodies fold where they were made to fold. It is what
    follows from stiff cross members and from nothing moving at the far end.

    Examples
    --------
    >>> moved = corner_hit(
    ...     stations=3, passed_on=0.5, depth=0.01, came_from=0.0, front=True, left=True
    ... )
    >>> (moved[LEFT, :, 0] * 1e3).tolist(), (moved[RIGHT, :, 0] * 1e3).tolist()
    ([-10.0, -5.0, -2.5], [0.0, 0.0, 0.0])
    """
    count = one_number(stations, name="stations")
    if not (1 <= count < np.inf and count == int(count)):
        raise OutOfRangeError("panels.stations", count=count)
    part = one_number(passed_on, name="passed_on")
    if not 0 <= part <= 1:
        raise OutOfRangeError("panels.passed_on", share=part)
    given = {
        "depth": depth,
        "came_from": came_from,
        "hit_in_front": front,
        "hit_on_left": left,
    }
    read = {name: finite(value, name=name) for name, value in given.items()}
    alike(**read)
    depth, came_from, front, left = np.broadcast_arrays(*read.values())
    front, left = front.astype(bool), left.astype(bool)
    away = np.arange(int(count))
    share = np.where(front[..., None], part**away, part ** away[::-1])
    along = np.where(front, -1.0, 1.0) * depth * np.cos(came_from)
    across = -depth * np.sin(came_from)
    hit = np.stack([left, ~left], axis=-1)  # which side
    way = np.stack(
        [hit * along[..., None], np.broadcast_to(across[..., None], hit.shape)], axis=-1
    )
    moved = way[..., :, None, :] * share[..., None, :, None]
    return np.asarray(moved + 0.0)  # no minus before nothing


def carried(
    points: ArrayLike, *, fixed: ArrayLike, led: ArrayLike, moved: ArrayLike
) -> Array:
    r"""Move points of a stiff panel with the two mounts that hold it.

    One mount takes the panel along; the other leads it round the first, and lets it
    slide along the line between them, as a slot does.

    Parameters
    ----------
    points : array_like, shape (..., n, 2)
        Points of the panel in plan. [m]
    fixed, led : array_like, shape (..., 2)
        Where the mounts are. [m]
    moved : array_like, shape (..., 2, 2)
        How far the first and the second mount moved. [m]

    Returns
    -------
    Array, shape (..., n, 2)
        How far the points moved. [m]

    Notes
    -----
    A small turn of a stiff body: :math:`u_P = u_A + \omega \hat{z} \times r_{AP}`
    with :math:`\omega = r_{AB} \times (u_B - u_A) / |r_{AB}|^2`.

    References
    ----------
    .. [1] R. C. Hibbeler, *Engineering Mechanics: Dynamics*, 14th ed., Pearson, 2016,
       section 16.5, for a small time. From memory.

    Examples
    --------
    >>> moved = carried(
    ...     [[2.0, 0.0]], fixed=[0, 0], led=[1.0, 0.0], moved=[[0, 0], [0.5, 0.001]]
    ... )
    >>> moved.tolist()
    [[0.0, 0.002]]
    """
    first, second = _in_plan(fixed, "fixed_mount"), _in_plan(led, "led_mount")
    moved, places = (
        _in_plan(moved, "mounts_moved", "(..., 2, 2)"),
        _in_plan(points, "panel_points", "(..., n, 2)"),
    )
    alike(
        panel_points=places[..., 0, 0],
        fixed_mount=first[..., 0],
        led_mount=second[..., 0],
        mounts_moved=moved[..., 0, 0],
    )
    arm = second - first
    turn = _cross(arm, moved[..., 1, :] - moved[..., 0, :]) / (arm * arm).sum(axis=-1)
    reach = places - first[..., None, :]
    round_it = np.stack([-reach[..., 1], reach[..., 0]], axis=-1)
    return np.asarray(moved[..., None, 0, :] + turn[..., None, None] * round_it)


def _in_plan(value: ArrayLike, name: str, wanted: str = "(..., 2)") -> Array:
    """Read places in plan of a shape such as (..., 2), (..., n, 2) or (..., 2, 2)."""
    array = finite(value, name=name)
    axes = wanted.strip("(.)").split(", ")[1:]
    fits = array.ndim >= len(axes) and array.shape[-1] == 2
    if not fits or (axes[0] == "2" and array.shape[-len(axes)] != 2):
        raise OutOfRangeError(
            "panels.shape", name=called(name), shape=array.shape, wanted=wanted
        )
    return array


def _cross(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])
