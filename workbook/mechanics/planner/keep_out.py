"""Straight parts against boxes they must not enter: the body, posts, walls."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError
from workbook.mechanics.holding.wrenches import components
from workbook.mechanics.magnitudes import numbers
from workbook.mechanics.vectors import Array


def boxes(corners: ArrayLike) -> Array:
    """Read boxes along the axes from their low and high corners.

    Parameters
    ----------
    corners : array_like, shape (b, 2, 3)
        Low corner, then high corner, of each box; none is an empty list. [m]

    Returns
    -------
    ndarray, shape (b, 2, 3)

    Raises
    ------
    OutOfRangeError
        If the shape is another one, a number is not finite, or a low corner is
        beyond its high corner.

    Examples
    --------
    >>> boxes([]).shape
    (0, 2, 3)
    """
    if numbers(corners, name="box_corner").size == 0:
        return np.empty((0, 2, 3))
    read = components(corners, name="box_corner")
    if read.ndim != 3 or read.shape[1] != 2:
        raise OutOfRangeError("planner.boxes", shape=read.shape)
    upside_down = (read[:, 0] > read[:, 1]).any(axis=1)
    if upside_down.any():
        number = int(np.argmax(upside_down)) + 1
        raise OutOfRangeError("planner.box_upside_down", number=number)
    return read


def crosses(start: ArrayLike, end: ArrayLike, *, keep_out: Array) -> NDArray[np.bool_]:
    r"""Tell which straight parts enter any box; touching one counts.

    Parameters
    ----------
    start, end : array_like, shape (..., 3)
        Ends of each part. [m]
    keep_out : ndarray, shape (b, 2, 3)
        Boxes, as `boxes` reads them. [m]

    Returns
    -------
    ndarray of bool, shape (...)

    Notes
    -----
    Separating axes: with m the middle of the part from the middle of the box, h
    half the part and e half the box, they are apart where, on an axis,
    :math:`|m_x| > e_x + |h_x|`, or, across the part and an axis,
    :math:`|m_y h_z - m_z h_y| > e_y |h_z| + e_z |h_y|`. Nothing is divided, so a
    part along a face is no special case.

    References
    ----------
    .. [1] C. Ericson, *Real-Time Collision Detection*, Morgan Kaufmann, 2005,
       section 5.3.3 (segment against box); from memory.

    Examples
    --------
    >>> post = boxes([[[1, -1, 0], [2, 1, 2]]])
    >>> crosses([0, 0, 1], [[3, 0, 1], [0.9, 0, 1]], keep_out=post).tolist()
    [True, False]
    """
    p, q = np.broadcast_arrays(
        np.asarray(start, dtype=float), np.asarray(end, dtype=float)
    )
    middle = np.ascontiguousarray(np.moveaxis(p + q, -1, 0)) / 2
    half = np.ascontiguousarray(np.moveaxis(q - p, -1, 0)) / 2
    entered = np.zeros(middle.shape[1:], dtype=bool)
    for low, high in keep_out:
        centre = ((low + high) / 2).reshape(3, *[1] * entered.ndim)
        entered |= ~_apart(middle - centre, half, (high - low) / 2)
    return entered


def _apart(m: Array, h: Array, e: Array) -> NDArray[np.bool_]:
    """Tell which parts an axis separates from a box; ``m``, ``h`` are (3, ...)."""
    size = np.abs(h)
    apart = np.zeros(m.shape[1:], dtype=bool)
    for x, y, z in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        apart |= np.abs(m[x]) > e[x] + size[x]
        apart |= np.abs(m[y] * h[z] - m[z] * h[y]) > e[y] * size[z] + e[z] * size[y]
    return apart
