"""Read given numbers, and refuse those that no mechanics can use.

What a number is called stands in a refusal by its key below ``quantity`` in
``term.toml``, such as ``"span"``, or as a phrase with values of its own.
"""

from __future__ import annotations

from itertools import combinations

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
    if not np.asarray(bad).any():
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


def numbers(value: object, *, name: Name) -> Array:
    """Read real numbers as an array of their own.

    The caller's array may be changed afterwards; what was read stays. Text is
    no number, even where it could be read as one.

    Parameters
    ----------
    value : array_like, shape (...)
        Numbers in SI.
    name : str or WorkbookError
        What they are called, for the refusal.

    Returns
    -------
    Array, shape (...)

    Raises
    ------
    OutOfRangeError
        If it is text, complex, ragged or anything else but real numbers.

    Examples
    --------
    >>> numbers("12", name="span")
    Traceback (most recent call last):
    workbook.errors.OutOfRangeError: span must be real numbers, all rows of one length
    """
    try:
        array = np.array(value)
    except (TypeError, ValueError):
        raise OutOfRangeError("magnitudes.no_numbers", name=called(name)) from None
    if array.dtype.kind not in "biuf":
        raise OutOfRangeError("magnitudes.no_numbers", name=called(name))
    return array.astype(float, copy=False)


def one_number(value: object, *, name: Name) -> float:
    """Read a single real number, finite or not.

    Raises
    ------
    OutOfRangeError
        If it is no real number, or there are several.

    Examples
    --------
    >>> one_number([1.0, 2.0], name="span")
    Traceback (most recent call last):
    workbook.errors.OutOfRangeError: span of shape (2,) must be a single number
    """
    array = numbers(value, name=name)
    if array.ndim:
        raise OutOfRangeError(
            "magnitudes.one_number", name=called(name), shape=array.shape
        )
    return float(array)


def triples(value: object, *, name: Name) -> Array:
    """Read vectors of three real numbers, shape (..., 3), finite or not.

    Raises
    ------
    OutOfRangeError
        If it is no real numbers, or the last axis has not three.

    Examples
    --------
    >>> triples([[0, 0, 1]], name="clamp").shape
    (1, 3)
    """
    array = numbers(value, name=name)
    if array.ndim == 0 or array.shape[-1] != 3:
        raise OutOfRangeError(
            "wrenches.shape", name=called(name), shape=array.shape, count=3
        )
    return array


def alike(**arrays: Array) -> None:
    """Refuse arrays whose shapes do not go together, by what they are called.

    Raises
    ------
    OutOfRangeError
        If two of them do not broadcast.

    Examples
    --------
    >>> alike(span=np.ones(2), rise=np.ones(3))
    Traceback (most recent call last):
    workbook.errors.OutOfRangeError: span of shape (2,) and rise of shape (3,) do not \
fit: give one, or as many of each
    """
    if len({array.shape for array in arrays.values()} - {()}) < 2:
        return  # one shape and single numbers always go together
    for (one, a), (other, b) in combinations(arrays.items(), 2):
        try:
            np.broadcast_shapes(a.shape, b.shape)
        except ValueError:
            raise OutOfRangeError(
                "magnitudes.unlike",
                one=called(one),
                shape=a.shape,
                other=called(other),
                other_shape=b.shape,
            ) from None


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
    array, of = numbers(value, name=name), called(name)
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
    array = numbers(value, name=name)
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


def one_magnitude_each(unit: str, **values: float) -> None:
    """Refuse values that are not one magnitude each, by their names."""
    for name, value in values.items():
        magnitude(one_number(value, name=name), name=name, unit=unit)


def called(name: Name) -> Name:
    """Return the term of a quantity by its name; a phrase stays as it is.

    A name with a point in it is a term of another list already.
    """
    return f"quantity.{name}" if isinstance(name, str) and "." not in name else name


def spaced(unit: str) -> str:
    """Return the unit as it stands behind a number."""
    return f" {unit}" if unit else ""
