"""Read measured points and numbers, and refuse those that no survey can hold."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.magnitudes import alike, called, numbers

FARTHEST = 1e4
"""No coordinate of a survey is farther off than this. [m]"""


def finite_points(points: ArrayLike, name: str, axes: int = 2) -> NDArray[np.float64]:
    """Points as an array (..., n, 3), or (..., 3) with one axis, all finite."""
    wanted = "(..., n, 3)" if axes == 2 else "(..., 3)"
    term = f"points.{name}"
    try:
        array = numbers(points, name="positions")
    except OutOfRangeError as error:
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


def finite_numbers(**values: ArrayLike) -> tuple[NDArray[np.float64], ...]:
    """Named numbers as arrays of shapes that go together, all finite."""
    arrays = tuple(numbers(value, name=name) for name, value in values.items())
    alike(**dict(zip(values, arrays, strict=True)))
    for name, array in zip(values, arrays, strict=True):
        if not np.all(np.abs(array) <= FARTHEST):
            raise OutOfRangeError(
                "registration.number", name=called(name), farthest=FARTHEST
            )
    return arrays


def require_positive(**lengths: NDArray[np.float64]) -> None:
    """Refuse lengths that are not above zero."""
    for name, length in lengths.items():
        if np.any(length <= 0):
            raise OutOfRangeError(
                "registration.length",
                name=called(name),
                value=float(np.min(length)),
                nothing=0.0,
            )
