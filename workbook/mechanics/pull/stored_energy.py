"""How far a chain stretches, and what a pull would let go."""

from __future__ import annotations

from numpy.typing import ArrayLike

from workbook.mechanics.magnitudes import alike, magnitude
from workbook.mechanics.vectors import Array


def stretch(
    tension: ArrayLike, *, length: ArrayLike, axial_stiffness: ArrayLike
) -> Array:
    r"""Return how much a chain grows under a tension: T L / EA.

    Parameters
    ----------
    tension : array_like, shape (...)
        Tension, the same all along. [N]
    length : array_like, shape (...)
        Length of the chain without tension. [m]
    axial_stiffness : array_like, shape (...)
        EA: tension over strain, that is the stiffness of one metre. [N]

    Returns
    -------
    Array, shape (...)
        Growth in length. [m]

    Raises
    ------
    OutOfRangeError
        If a number is not finite or not more than zero.

    Examples
    --------
    >>> print(f"{stretch(30e3, length=2.0, axial_stiffness=13e6) * 1e3:.2f}")  # mm
    4.62
    """
    T = magnitude(tension, name="tension", unit="N")
    L = magnitude(length, name="length", unit="m")
    EA = magnitude(axial_stiffness, name="axial_stiffness", unit="N")
    alike(tension=T, length=L, axial_stiffness=EA)
    return T * L / EA


def stored_energy(
    tension: ArrayLike, *, length: ArrayLike, axial_stiffness: ArrayLike
) -> Array:
    r"""Return the energy a stretched chain holds: T^2 L / 2 EA.

    Parameters
    ----------
    tension : array_like, shape (...)
        Tension, the same all along. [N]
    length : array_like, shape (...)
        Length of the chain without tension. [m]
    axial_stiffness : array_like, shape (...)
        EA: tension over strain, that is the stiffness of one metre. [N]

    Returns
    -------
    Array, shape (...)
        Energy. [J]

    Raises
    ------
    OutOfRangeError
        If a number is not finite or not more than zero.

    References
    ----------
    .. [1] J. M. Gere, *Mechanics of Materials*, Problem 2.7-2.

    Examples
    --------
    >>> print(f"{stored_energy(30e3, length=2.0, axial_stiffness=13e6):.0f}")
    69
    """
    T = magnitude(tension, name="tension", unit="N")
    return T * stretch(T, length=length, axial_stiffness=axial_stiffness) / 2


def stored_energy_of_pull(tension: ArrayLike, *, stiffness: ArrayLike) -> Array:
    r"""Return the energy a whole pull holds: T^2 / 2 k.

    Parameters
    ----------
    tension : array_like, shape (...)
        Pull. [N]
    stiffness : array_like, shape (...)
        Pull over the movement it makes, of chain, clamps, body and bench in
        series. [N/m]

    Returns
    -------
    Array, shape (...)
        Energy. [J]

    Raises
    ------
    OutOfRangeError
        If a number is not finite or not more than zero.

    Examples
    --------
    >>> print(f"{stored_energy_of_pull(30e3, stiffness=1e6):.0f}")
    450
    """
    T = magnitude(tension, name="tension", unit="N")
    k = magnitude(stiffness, name="stiffness", unit="N/m")
    alike(tension=T, stiffness=k)
    return T / k * T / 2
