"""One chain from what is known of it: a tension, its length or its sag.

Each finds the half turn of `workbook.mechanics.pull.catenary`, the one unknown.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import NoConvergenceError, OutOfRangeError
from workbook.mechanics.magnitudes import alike, magnitude, refuse_where
from workbook.mechanics.pull.catenary import (
    GREATEST_HALF_TURN,
    HangingChain,
    drop_of,
    hang,
    sinhc_excess,
    sinhc_slope,
    supports,
)
from workbook.mechanics.vectors import Array

End = Literal["upper", "lower", "near", "far"]
ENDS: tuple[End, ...] = ("upper", "lower", "near", "far")


def from_tension(
    tension: ArrayLike,
    *,
    span: ArrayLike,
    rise: ArrayLike = 0.0,
    weight_per_length: ArrayLike,
    at: End = "upper",
    tolerance: float = 1e-13,
) -> HangingChain:
    r"""Hang a chain whose tension at one end is known: the tighter of the two.

    Two chains have the same tension at that end, one tight and one that hangs
    deep and pulls with its weight. This is the tighter one, the shorter.

    Parameters
    ----------
    tension : array_like, shape (...)
        Tension at the end that ``at`` names. [N]
    span, rise : array_like, shape (...)
        Horizontal distance between the ends, and height of the far end over the
        near one. [m]
    weight_per_length : array_like, shape (...)
        Weight of the chain. [N/m]
    at : {"upper", "lower", "near", "far"}
        The end, by its height or by its place.
    tolerance : float
        Last relative step of the half turn at which the search stops. [-]

    Returns
    -------
    HangingChain

    Raises
    ------
    OutOfRangeError
        If a number is not finite or, but for ``rise``, not more than zero, if
        ``at`` is no end, or if the tension is below `least_tension`.
    NoConvergenceError
        If ``tolerance`` is finer than doubles allow.

    Notes
    -----
    The two end tensions are :math:`\tfrac{w}{2}(s \coth u \pm |v|)`, so any of
    them gives the lower one without loss, and that one gives u.

    Examples
    --------
    >>> chain = from_tension(1000.0, span=2.0, rise=0.5, weight_per_length=30.0)
    >>> print(f"{chain.far_tension:.1f} N, {chain.near_tension:.1f} N")
    1000.0 N, 985.0 N
    """
    L, v, w = supports(span, rise, weight_per_length)
    T = magnitude(tension, name="tension", unit="N")
    alike(tension=T, span=L, rise=v, weight_per_length=w)
    steepness = np.abs(v) / L
    loosest = _loosest_half_turn(steepness, tolerance=tolerance)
    excess_at_loosest, _ = _tension_excess(loosest, steepness)
    height = _height_above_lower_end(at, v)
    least = w * (excess_at_loosest * L / 2 + height)
    refuse_where(
        least * (1 - tolerance) > T,
        "catenary.tension_too_small",
        at=f"end.{at}",
        tension=T,
        least=least,
    )
    # Rounding may leave the least tension itself a hair below the least.
    excess = np.maximum(2 * (T / w - height) / L, excess_at_loosest)
    chord = np.hypot(1, steepness)

    def tightness(u: Array) -> tuple[Array, Array]:
        E, slope = _tension_excess(u, steepness)
        return chord / E, -chord * slope / E**2

    half_turn = _solve(
        tightness,
        chord / excess,
        start=np.minimum(chord / excess, loosest),
        lower=0.0,
        upper=loosest,
        tolerance=tolerance,
    )
    return hang(half_turn, L, v, w)


def least_tension(
    *,
    span: ArrayLike,
    rise: ArrayLike = 0.0,
    weight_per_length: ArrayLike,
    at: End = "upper",
    tolerance: float = 1e-13,
) -> Array:
    r"""Return the least tension any chain between two ends can have at one end.

    A tighter chain pulls harder because it is flat, a looser one because it is
    heavy; between them the end tension is least.

    Parameters
    ----------
    span, rise : array_like, shape (...)
        Horizontal distance between the ends, and height of the far end over the
        near one. [m]
    weight_per_length : array_like, shape (...)
        Weight of the chain. [N/m]
    at : {"upper", "lower", "near", "far"}
        The end, by its height or by its place.
    tolerance : float
        Last relative step of the half turn at which the search stops. [-]

    Returns
    -------
    Array, shape (...)
        Tension. [N]

    Raises
    ------
    OutOfRangeError
        As `from_tension`.
    NoConvergenceError
        If ``tolerance`` is finer than doubles allow.

    Notes
    -----
    Between level ends it is least where :math:`u \tanh u = 1`, and is then
    :math:`0.7544 \, w L`.

    Examples
    --------
    >>> print(f"{least_tension(span=2.0, weight_per_length=30.0):.2f}")
    45.27
    """
    L, v, w = supports(span, rise, weight_per_length)
    steepness = np.abs(v) / L
    loosest = _loosest_half_turn(steepness, tolerance=tolerance)
    excess, _ = _tension_excess(loosest, steepness)
    return w * (excess * L / 2 + _height_above_lower_end(at, v))


def from_length(
    length: ArrayLike,
    *,
    span: ArrayLike,
    rise: ArrayLike = 0.0,
    weight_per_length: ArrayLike,
    tolerance: float = 1e-13,
) -> HangingChain:
    """Hang a chain whose length is known.

    Parameters
    ----------
    length : array_like, shape (...)
        Length along the chain. [m]
    span, rise : array_like, shape (...)
        Horizontal distance between the ends, and height of the far end over the
        near one. [m]
    weight_per_length : array_like, shape (...)
        Weight of the chain. [N/m]
    tolerance : float
        Last relative step of the half turn at which the search stops. [-]

    Returns
    -------
    HangingChain

    Raises
    ------
    OutOfRangeError
        If a number is not finite or, but for ``rise``, not more than zero, or
        the chain is not longer than the straight distance between its ends.
    NoConvergenceError
        If ``tolerance`` is finer than doubles allow.

    Examples
    --------
    >>> chain = from_length(2.03, span=2.0, weight_per_length=30.0)
    >>> print(f"{chain.sag * 1e3:.0f}")  # mm
    151
    """
    L, v, w = supports(span, rise, weight_per_length)
    s = magnitude(length, name="length", unit="m")
    alike(length=s, span=L, rise=v, weight_per_length=w)
    chord = np.hypot(L, v)
    # s - chord is exact for a tight chain; then what rounding the chord took away.
    slack = s - chord - _rounding_of_chord(L, v, chord)
    refuse_where(
        slack <= 0,
        "catenary.too_short",
        length=s,
        chord=chord,
    )
    return from_slack(slack, span=L, rise=v, weight_per_length=w, tolerance=tolerance)


def from_length_and_sag(
    length: ArrayLike, *, sag: ArrayLike, weight_per_length: ArrayLike
) -> HangingChain:
    r"""Hang a chain of known length and sag between level ends: how far apart are they.

    Parameters
    ----------
    length : array_like, shape (...)
        Length along the chain. [m]
    sag : array_like, shape (...)
        Drop of its middle below the ends. [m]
    weight_per_length : array_like, shape (...)
        Weight of the chain. [N/m]

    Returns
    -------
    HangingChain
        With the ``span`` that was asked for.

    Raises
    ------
    OutOfRangeError
        If a number is not finite or not more than zero, or the sag is not less
        than half of the length.

    Notes
    -----
    With :math:`s/2 = a \sinh u` and :math:`f = a (\cosh u - 1)`, the half turn
    follows from :math:`\tanh(u/2) = 2 f / s`, without a search.

    References
    ----------
    .. [1] *Schaum's Outline of Engineering Mechanics*, problem 7.7-13.

    Examples
    --------
    >>> chain = from_length_and_sag(240.0, sag=24.0, weight_per_length=5.88)
    >>> print(f"{chain.span:.2f} m, {chain.far_tension:.0f} N")
    233.55 m, 1835 N
    """
    s = magnitude(length, name="length", unit="m")
    f = magnitude(sag, name="sag", unit="m")
    w = magnitude(weight_per_length, name="weight_per_length", unit="N/m")
    alike(length=s, sag=f, weight_per_length=w)
    refuse_where(2 * f >= s, "catenary.too_deep", sag=f, length=s)
    half_turn = 2 * np.arctanh(2 * f / s)
    span = s / (1 + sinhc_excess(half_turn))
    return hang(half_turn, span, np.zeros_like(span), w)


def from_slack(
    slack: ArrayLike,
    *,
    span: ArrayLike,
    rise: ArrayLike = 0.0,
    weight_per_length: ArrayLike,
    tolerance: float = 1e-13,
) -> HangingChain:
    """Hang a chain that is longer than the straight distance by a known slack.

    Parameters
    ----------
    slack : array_like, shape (...)
        Length less the straight distance between the ends. [m]
    span, rise : array_like, shape (...)
        Horizontal distance between the ends, and height of the far end over the
        near one. [m]
    weight_per_length : array_like, shape (...)
        Weight of the chain. [N/m]
    tolerance : float
        Last relative step of the half turn at which the search stops. [-]

    Returns
    -------
    HangingChain

    Raises
    ------
    OutOfRangeError
        If a number is not finite or, but for ``rise``, not more than zero.
    NoConvergenceError
        If ``tolerance`` is finer than doubles allow.

    Examples
    --------
    >>> chain = from_slack(0.030, span=2.0, weight_per_length=30.0)
    >>> print(f"{chain.sag * 1e3:.0f}")  # mm
    151
    """
    L, v, w = supports(span, rise, weight_per_length)
    spare = magnitude(slack, name="slack", unit="m")
    alike(slack=spare, span=L, rise=v, weight_per_length=w)
    # (sinh u / u)^2 - 1 = (s^2 - chord^2) / L^2, and a factor of the difference.
    square_excess = spare / L * (2 * np.hypot(L, v) + spare) / L
    excess = square_excess / (1 + np.sqrt(1 + square_excess))
    # sinh u / u > 1 + u^2 / 6 bounds the root from above.
    upper = np.minimum(np.sqrt(6 * excess), GREATEST_HALF_TURN)

    def longness(u: Array) -> tuple[Array, Array]:
        return sinhc_excess(u), sinhc_slope(u)

    half_turn = _solve(
        longness, excess, start=upper, lower=0.0, upper=upper, tolerance=tolerance
    )
    return hang(half_turn, L, v, w)


def from_sag(
    sag: ArrayLike,
    *,
    span: ArrayLike,
    rise: ArrayLike = 0.0,
    weight_per_length: ArrayLike,
    tolerance: float = 1e-13,
) -> HangingChain:
    """Hang a chain whose sag has been read: what it tells of the tension.

    Parameters
    ----------
    sag : array_like, shape (...)
        Largest drop, straight down, below the line between the ends. [m]
    span, rise : array_like, shape (...)
        Horizontal distance between the ends, and height of the far end over the
        near one. [m]
    weight_per_length : array_like, shape (...)
        Weight of the chain. [N/m]
    tolerance : float
        Last relative step of the half turn at which the search stops. [-]

    Returns
    -------
    HangingChain

    Raises
    ------
    OutOfRangeError
        If a number is not finite or, but for ``rise``, not more than zero.
    NoConvergenceError
        If ``tolerance`` is finer than doubles allow.

    Examples
    --------
    >>> chain = from_sag(0.015, span=2.0, weight_per_length=30.0)
    >>> print(f"{chain.horizontal_tension:.0f}")
    1000
    """
    L, v, w = supports(span, rise, weight_per_length)
    f = magnitude(sag, name="sag", unit="m")
    alike(sag=f, span=L, rise=v, weight_per_length=w)
    steepness, share = np.abs(v) / L, f / L

    def sagging(u: Array) -> tuple[Array, Array]:
        drop, slope, _ = drop_of(u, steepness)
        return drop, slope

    half_turn = _solve(
        sagging,
        share,
        start=np.minimum(4 * share, GREATEST_HALF_TURN / 2),  # as if a parabola
        lower=0.0,
        upper=GREATEST_HALF_TURN,
        tolerance=tolerance,
    )
    return hang(half_turn, L, v, w)


def _height_above_lower_end(at: End, rise: Array) -> Array:
    """Height of the named end over the lower end [m]."""
    heights = {
        "upper": np.abs(rise),
        "lower": np.zeros_like(rise),
        "near": np.maximum(-rise, 0.0),
        "far": np.maximum(rise, 0.0),
    }
    if at not in heights:
        raise OutOfRangeError("catenary.no_end", at=at, ends=ENDS)
    return heights[at]


def _rounding_of_chord(span: Array, rise: Array, chord: Array) -> Array:
    """Exact straight distance less the rounded ``chord`` (to first order)."""
    legs = np.broadcast_arrays(span, np.abs(rise))
    long, long_rest = _exact_square(np.maximum(*legs))
    short, short_rest = _exact_square(np.minimum(*legs))
    square, square_rest = _exact_square(chord)
    # Each of the two large differences is exact: their terms lie close together.
    missing = (short - (square - long)) + (long_rest + short_rest - square_rest)
    return missing / (2 * chord)


def _exact_square(x: Array) -> tuple[Array, Array]:
    """Split x^2 into its rounded value and the rest (Dekker, Numer. Math. 1971)."""
    cut = x * (2.0**27 + 1)
    head = cut - (cut - x)
    tail = x - head
    square = x * x
    return square, ((head * head - square) + 2 * head * tail) + tail * tail


def _tension_excess(u: Array, steepness: Array) -> tuple[Array, Array]:
    """Twice the lower end tension over w L, and its slope in u.

    That is G - steepness with G^2 = (steepness coth u)^2 + (cosh u / u)^2.
    """
    sinh, cosh = np.sinh(u), np.cosh(u)
    G = np.hypot(steepness * cosh / sinh, cosh / u)
    excess = ((steepness / sinh) ** 2 + (cosh / u) ** 2) / (G + steepness)
    fall = (steepness / sinh) ** 2 * cosh / sinh
    growth = cosh / u * ((u * sinh - cosh) / u**2)
    return excess, (growth - fall) / G


def _balance_of_loosest(u: Array) -> tuple[Array, Array]:
    """(u tanh u - 1) cosh u (sinh u / u)^3 and its slope in u."""
    tanh, sinhc = np.tanh(u), np.sinh(u) / u
    margin = u * tanh - 1
    scale = np.cosh(u) * sinhc**3
    margin_slope = tanh + u * (1 - tanh**2)
    return margin * scale, scale * (margin_slope + margin * (tanh + 3 / tanh - 3 / u))


def _loosest_half_turn(steepness: Array, *, tolerance: float) -> Array:
    """Half turn of the chain whose end tensions are least.

    The slope of `_tension_excess` is zero where `_balance_of_loosest` is
    steepness^2.
    """
    return _solve(
        _balance_of_loosest,
        steepness**2,
        start=np.full_like(steepness, 1.2),
        lower=1.19,  # u tanh u = 1 at 1.1997
        upper=GREATEST_HALF_TURN,
        tolerance=tolerance,
    )


def _solve(
    measure: Callable[[Array], tuple[Array, Array]],
    target: Array,
    *,
    start: Array,
    lower: float,
    upper: Array | float,
    tolerance: float,
) -> Array:
    """Find u where a rising measure (value and slope) meets its target.

    Newton's method on log(1 + measure), which is nearly straight for tight and
    for loose chains; a step that would leave the bracket halves it instead.
    """
    u: Array = start
    low, high = np.asarray(lower), np.asarray(upper)
    for _ in range(200):
        value, slope = measure(u)
        miss = np.log1p(value) - np.log1p(target)
        low, high = np.where(miss <= 0, u, low), np.where(miss > 0, u, high)
        with np.errstate(divide="ignore", invalid="ignore"):  # slope 0: halve
            trial = u - miss * (1 + value) / slope
        # An end of the bracket is no step: two ends could take turns for ever.
        good = (low < trial) & (trial < high) | (trial == u)
        trial = np.where(good, trial, (low + high) / 2)
        done = np.all(np.abs(trial - u) <= tolerance * u)
        u = trial
        if done:
            return u
    raise NoConvergenceError("catenary.not_found", tolerance=tolerance)
