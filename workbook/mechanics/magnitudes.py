"""Read given numbers, and refuse those that no mechanics can use.

What a number is called stands in a refusal by its key below ``quantity`` in
``term.toml``, such as ``"span"``, or as a phrase with values of its own.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.vectors import Array

Name = str | WorkbookError

# Squares and ratios of such numbers, and of their ratios, stay inside a double.
SMALLEST, LARGEST = 1e-30, 1e30


def refuse_where(
    bad: NDArray[np.bool_], reason: str, /, **values: ArrayLike | Name
) -> None:
    """Raise for the first bad element, with its values and its place.

    Parameters
    ----------
    bad : ndarray of bool, shape (...)
        True where the reason applies.
    reason : str
        What is wrong, the key of a sentence.
    **values : array_like, str or WorkbookError
        What stands in it; numbers broadcast to the shape of ``bad``.

    Raises
    ------
    OutOfRangeError
        If any element is bad.

    Examples
    --------
    >>> refuse_where(
    ...     np.array([False, True]), "pressure.rod", rod=[0.01, 0.05], bore=0.04
    ... )
    Traceback (most recent call last):
    workbook.errors.OutOfRangeError: rod 0.05 m must be thinner than the bore 0.04 m, \
or no area is left (at index 1)
    """
    if not np.any(bad):
        return
    index = np.unravel_index(np.argmax(bad), np.shape(bad))
    there = {
        name: value
        if isinstance(value, str | WorkbookError)
        else float(np.broadcast_to(value, np.shape(bad))[index])
        for name, value in values.items()
    }
    refusal = OutOfRangeError(reason, **there)
    if index:
        place = [int(i) for i in index]
        raise OutOfRangeError("magnitudes.at_index", refusal=refusal, place=place)
    raise refusal


def finite(value: ArrayLike, *, name: Name, unit: str = "") -> Array:
    """Read numbers of either sign; refuse what cannot be computed with.

    Parameters
    ----------
    value : array_like, shape (...)
        Numbers in SI.
    name : str or WorkbookError
        What they are called, for the refusal.
    unit : str
        Symbol of their SI unit; none for a plain number.

    Returns
    -------
    Array, shape (...)

    Raises
    ------
    OutOfRangeError
        If a number is not finite, or is larger than `LARGEST` either way.

    Examples
    --------
    >>> finite(float("nan"), name="rise", unit="m")
    Traceback (most recent call last):
    workbook.errors.OutOfRangeError: rise nan m must be a finite number
    """
    array, of = np.asarray(value, dtype=float), called(name)
    unit = spaced(unit)
    refuse_where(
        ~np.isfinite(array), "magnitudes.not_finite", name=of, value=array, unit=unit
    )
    refuse_where(
        np.abs(array) > LARGEST,
        "magnitudes.too_large",
        name=of,
        value=array,
        unit=unit,
        most=LARGEST,
    )
    return array


def not_negative(value: ArrayLike, *, name: Name, unit: str = "") -> Array:
    """Read numbers of nought or more.

    Parameters
    ----------
    value, name, unit
        As for `finite`.

    Returns
    -------
    Array, shape (...)

    Raises
    ------
    OutOfRangeError
        If a number is not finite, larger than `LARGEST`, or negative.

    Examples
    --------
    >>> not_negative(-2.0, name="pressure", unit="Pa")
    Traceback (most recent call last):
    workbook.errors.OutOfRangeError: pressure -2 Pa must not be negative
    """
    array = finite(value, name=name, unit=unit)
    refuse_where(
        array < 0,
        "magnitudes.negative",
        name=called(name),
        value=array,
        unit=spaced(unit),
    )
    return array


def more_than_zero(value: ArrayLike, *, name: Name, unit: str = "") -> Array:
    """Read limits: more than zero, and infinite where there is none.

    Parameters
    ----------
    value, name, unit
        As for `finite`.

    Returns
    -------
    Array, shape (...)

    Raises
    ------
    OutOfRangeError
        If a number is not more than zero.

    Examples
    --------
    >>> float(more_than_zero(np.inf, name="rating", unit="N"))
    inf
    """
    array = np.asarray(value, dtype=float)
    refuse_where(
        ~(array > 0),
        "magnitudes.not_positive",
        name=called(name),
        value=array,
        unit=spaced(unit),
    )
    return array


def magnitude(value: ArrayLike, *, name: Name, unit: str = "") -> Array:
    """Read numbers that must be more than zero, and finite.

    Parameters
    ----------
    value, name, unit
        As for `finite`.

    Returns
    -------
    Array, shape (...)

    Raises
    ------
    OutOfRangeError
        If a number is not finite, or is not from `SMALLEST` to `LARGEST`.

    Examples
    --------
    >>> magnitude([2.0, -1.0], name="span", unit="m")
    Traceback (most recent call last):
    workbook.errors.OutOfRangeError: span -1 m must be more than zero (at index 1)
    """
    array = more_than_zero(finite(value, name=name, unit=unit), name=name, unit=unit)
    refuse_where(
        array < SMALLEST,
        "magnitudes.too_small",
        name=called(name),
        value=array,
        unit=spaced(unit),
        least=SMALLEST,
    )
    return array


def called(name: Name) -> Name:
    """Return the term of a quantity by its name; a phrase stays as it is."""
    return f"quantity.{name}" if isinstance(name, str) else name


def spaced(unit: str) -> str:
    """Return the unit as it stands behind a number."""
    return f" {unit}" if unit else ""
