"""A list of points read one after the other: is each in step with its neighbours?"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import FormError
from workbook.mechanics.magnitudes import alike, finite, more_than_zero
from workbook.mechanics.survey.readings import finite_numbers


def neighbour_steps(differences: ArrayLike) -> NDArray[np.float64]:
    """Return how much more each point is off than the one before it.

    Parameters
    ----------
    differences : ArrayLike, shape (..., n)
        Measured minus specified of points in their order along the body. [m]

    Returns
    -------
    NDArray[np.float64], shape (..., n - 1)
        Each difference minus the one before; its size is the step. [m]

    Raises
    ------
    FormError
        If there are fewer than two points.
    OutOfRangeError
        If a value is not finite.

    Examples
    --------
    >>> neighbour_steps([0.0028, -0.0027, 0.0029]).round(4).tolist()
    [-0.0055, 0.0056]
    """
    return np.asarray(np.diff(_row(differences, least=2), axis=-1))


def off_neighbours(differences: ArrayLike) -> NDArray[np.float64]:
    """Return how far each inner point stands off the middle of its two neighbours.

    Parameters
    ----------
    differences : ArrayLike, shape (..., n)
        Measured minus specified of points in their order along the body. [m]

    Returns
    -------
    NDArray[np.float64], shape (..., n - 2)
        Plus where the point is off by more than its neighbours. [m]

    Raises
    ------
    FormError
        If there are fewer than three points.
    OutOfRangeError
        If a value is not finite.

    Examples
    --------
    A bow is in step; one reading of it that is taken under load is not.

    >>> off_neighbours([0.001, 0.0015, 0.002, 0.0025]).round(4).tolist()
    [0.0, 0.0]
    >>> off_neighbours([0.001, 0.0045, 0.002, 0.0025]).round(4).tolist()
    [0.003, -0.0015]
    """
    row = _row(differences, least=3)
    return np.asarray(row[..., 1:-1] - (row[..., :-2] + row[..., 2:]) / 2)


def read_under_load(
    reading: ArrayLike, *, load: ArrayLike, stiffness: ArrayLike
) -> NDArray[np.float64]:
    """Return what a point reads while a pull is on that moves no metal for good.

    Parameters
    ----------
    reading : ArrayLike, shape (...)
        With the load off. [m]
    load : ArrayLike, shape (...)
        Pull along the reading, plus the way it counts. [N]
    stiffness : ArrayLike, shape (...)
        Load over movement of the point. [N/m]

    Returns
    -------
    NDArray[np.float64], shape (...)
        Reading plus load over stiffness. [m]

    Raises
    ------
    OutOfRangeError
        If a value is not finite, or a stiffness is not positive.

    Examples
    --------
    >>> round(float(read_under_load(0.0004, load=12e3, stiffness=4e6)), 4)
    0.0034
    """
    there = finite(reading, name="reading", unit="m")
    pull = finite(load, name="load", unit="N")
    stiff = more_than_zero(stiffness, name="stiffness", unit="N/m")
    alike(reading=there, load=pull, stiffness=stiff)
    return np.asarray(there + pull / stiff)


def _row(differences: ArrayLike, *, least: int) -> NDArray[np.float64]:
    (row,) = finite_numbers(differences=differences)
    if row.ndim == 0 or row.shape[-1] < least:
        raise FormError("neighbours.too_few", least=least)
    return row
