"""Read given numbers, and refuse those that no mechanics can use."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.errors import OutOfRangeError
from workbook.mechanics.vectors import Array

# Squares and ratios of such numbers, and of their ratios, stay inside a double.
SMALLEST, LARGEST = 1e-30, 1e30


def refuse_where(bad: NDArray[np.bool_], sentence: str, **values: Array) -> None:
    """Raise for the first bad element, with its values and its place.

    Parameters
    ----------
    bad : ndarray of bool, shape (...)
        True where the sentence applies.
    sentence : str
        What is wrong and the way out, with a field for each of ``values``.
    **values : ndarray
        Numbers the sentence shows; each broadcasts to the shape of ``bad``.

    Raises
    ------
    OutOfRangeError
        If any element is bad.

    Examples
    --------
    >>> refuse_where(np.array([False, True]), "{a} m", a=np.array([1.0, 2.0]))
    Traceback (most recent call last):
    workbook.errors.OutOfRangeError: 2 m (at index 1)
    """
    if not np.any(bad):
        return
    index = np.unravel_index(np.argmax(bad), np.shape(bad))
    shown = {
        name: f"{np.broadcast_to(value, np.shape(bad))[index]:.12g}"
        for name, value in values.items()
    }
    place = f" (at index {', '.join(map(str, index))})" if index else ""
    raise OutOfRangeError(sentence.format(**shown) + place)


def finite(value: ArrayLike, *, name: str, unit: str) -> Array:
    """Read numbers of either sign; refuse what cannot be computed with.

    Parameters
    ----------
    value : array_like, shape (...)
        Numbers in SI.
    name, unit : str
        What they are, for the refusal.

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
    array = np.asarray(value, dtype=float)
    refuse_where(
        ~np.isfinite(array),
        f"{name} {{value}} {unit} must be a finite number",
        value=array,
    )
    refuse_where(
        np.abs(array) > LARGEST,
        f"{name} {{value}} {unit} is beyond what is computed: at most {LARGEST:g}",
        value=array,
    )
    return array


def magnitude(value: ArrayLike, *, name: str, unit: str) -> Array:
    """Read numbers that must be more than zero.

    Parameters
    ----------
    value : array_like, shape (...)
        Numbers in SI.
    name, unit : str
        What they are, for the refusal.

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
    array = finite(value, name=name, unit=unit)
    refuse_where(
        array <= 0, f"{name} {{value}} {unit} must be more than zero", value=array
    )
    refuse_where(
        array < SMALLEST,
        f"{name} {{value}} {unit} is beyond what is computed: at least {SMALLEST:g}",
        value=array,
    )
    return array
