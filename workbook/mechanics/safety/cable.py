"""A safety cable: where a freed part can go before the cable holds it.

Of a cable the geometry alone is told: where the part can be while the cable is whole.
A cable stretches, slips or is cut, so nothing here says that anybody is safe.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.mechanics.magnitudes import (
    alike,
    finite,
    magnitude,
    refuse_where,
    triples,
)
from workbook.mechanics.vectors import Array, dot, norm, unit

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

ON_THE_LINE = 1e-9  # of the cable's length


def run_out(
    part: ArrayLike,
    *,
    way: ArrayLike,
    ties: ArrayLike,
    length: ArrayLike,
) -> Array:
    r"""Return how far a freed part goes one way before its cable is taut.

    The cable runs from one tie through the part to another; one that is tied at a
    single place has it twice, and twice its length. Where the cable is taut, the part
    is on an ellipsoid with the ties as its foci (Apollonius, *Conics*, III.52).

    Parameters
    ----------
    part : array_like, shape (..., 3)
        Where the part is before it lets go. [m]
    way : array_like, shape (..., 3)
        The way it goes; any length.
    ties : array_like, shape (..., 2, 3)
        Where the two ends of the cable are tied. [m]
    length : array_like, shape (...)
        Length of the cable from tie to tie. [m]

    Returns
    -------
    ndarray, shape (...)
        Distance along the way. [m]

    Raises
    ------
    OutOfRangeError
        If a place is not finite, there is no way, or the cable is too short to be
        fitted.

    References
    ----------
    .. [1] The sum of the distances from two foci is constant: Apollonius, *Conics*,
       III.52; from memory.

    Examples
    --------
    A cable of 0.5 m to a tie 0.3 m to the left:

    >>> tie = [[0, 0.3, 0], [0, 0.3, 0]]
    >>> round(float(run_out([0, 0, 0], way=[1, 0, 0], ties=tie, length=1.0)), 6)
    0.4
    """
    at, along = _places(part, name="part"), _places(way, name="way")
    two = _places(ties, name="ties")
    refuse_where(np.asarray(two.ndim < 2 or two.shape[-2] != 2), "safety.two_ties")
    whole = magnitude(length, name="cable_length", unit="m")
    alike(part=at[..., 0], way=along[..., 0], ties=two[..., 0, 0], cable_length=whole)
    direction = unit(along)
    refuse_where(norm(direction) == 0, "safety.no_way")
    one, other = (at - two[..., k, :] for k in (0, 1))
    least = norm(one) + norm(other)
    refuse_where(
        least > whole * (1 + ON_THE_LINE), "safety.short", length=whole, least=least
    )
    # With s the way gone, squared twice:
    # 2 L |other + s way| = L² + |other|² − |one|² + 2 s way·(other − one)
    ahead, grows = (
        whole**2 + dot(other, other) - dot(one, one),
        2 * dot(direction, other - one),
    )
    a = 4 * whole**2 - grows**2
    b = 8 * whole**2 * dot(direction, other) - 2 * ahead * grows
    c = 4 * whole**2 * dot(other, other) - ahead**2
    taut = a <= ON_THE_LINE * whole**2  # along the line of both ties: no way out
    root = np.sqrt(np.maximum(b**2 - 4 * a * c, 0.0))
    # Of c at most 0 one root is at least 0: as a quotient where it would cancel.
    safe = np.where(taut, 1.0, 2 * a)
    small = np.where(b + root == 0, 1.0, b + root)
    found = np.where(b > 0, -2 * c / small, (root - b) / safe)
    return np.asarray(np.where(taut, 0.0, np.maximum(found, 0.0)))


def left_past_edge(*, tie: ArrayLike, edge: ArrayLike, length: ArrayLike) -> Array:
    """Return how much of a cable is left beyond an edge that it bears on.

    A part behind the edge can be that far from it.

    Parameters
    ----------
    tie, edge : array_like, shape (..., 3)
        Where the cable is tied, and the edge it lies over. [m]
    length : array_like, shape (...)
        From the tie to the part. [m]

    Returns
    -------
    ndarray, shape (...)
        0 where the cable does not come as far. [m]

    Raises
    ------
    OutOfRangeError
        If a place is not finite, or the length is not more than zero.

    Examples
    --------
    >>> left = left_past_edge(tie=[0, 0, 0], edge=[0.3, 0.4, 0], length=0.8)
    >>> round(float(left), 6)
    0.3
    """
    at, over = _places(tie, name="tie"), _places(edge, name="edge")
    whole = magnitude(length, name="cable_length", unit="m")
    alike(tie=at[..., 0], edge=over[..., 0], cable_length=whole)
    return np.asarray(np.maximum(whole - norm(over - at), 0.0))


def _places(value: ArrayLike, *, name: str) -> Array:
    """Read places or ways, shape (..., 3), each of their numbers finite."""
    array = triples(value, name=name)
    return finite(array, name=name)
