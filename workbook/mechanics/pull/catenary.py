r"""A chain hung between two ends: its sag, slopes, tensions, length and energy.

The chain is uniform, bends freely and is too stiff to stretch under its own
weight; its ends may stand at different heights. With horizontal tension
:math:`H`, weight per length :math:`w` and catenary parameter :math:`a = H/w`,
the curve is :math:`y = a \cosh(x / a)` about its low point. Two numbers without
a unit hold everything else:

.. math::

    u = \frac{L}{2a}, \qquad
    \sinh m = \frac{v}{L} \, \frac{u}{\sinh u}

for a span :math:`L` and a rise :math:`v`: the curve runs from :math:`m - u` at
the near end to :math:`m + u` at the far end, measured in :math:`x / a` from the
low point. ``half_turn`` is u, ``middle_turn`` is m. So

.. math::

    T = H \cosh(m \pm u), \qquad
    s^2 = v^2 + \left(L \, \frac{\sinh u}{u}\right)^2

Whatever is given (tension, slack or sag), u is the one unknown.

Left out: contact with the floor, stiffness of links, swinging.

References
----------
.. [1] F. P. Beer and E. R. Johnston, *Vector Mechanics for Engineers: Statics*,
   chapter 7, Samples 7.9 (parabola) and 7.10 (catenary).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import NoConvergenceError, OutOfRangeError
from workbook.mechanics.magnitudes import finite, magnitude, refuse_where
from workbook.mechanics.vectors import Array

End = Literal["upper", "lower", "near", "far"]
ENDS: tuple[End, ...] = ("upper", "lower", "near", "far")

# sinh(150) / 150 is 5e62: more than the longest chain over the shortest span.
GREATEST_HALF_TURN = 150.0


@dataclass(frozen=True, kw_only=True)
class HangingChain:
    """One hanging chain, or many: every field has the shape (...) of the call.

    Heights and horizontal distances are counted from the near end. Angles are
    counted from the level, along the chain from near to far, plus upward; so a
    level chain leaves its near end at a negative angle.

    Attributes
    ----------
    span : Array
        Horizontal distance between the ends. [m]
    rise : Array
        Height of the far end over the near end. [m]
    weight_per_length : Array
        Weight of the chain. [N/m]
    horizontal_tension : Array
        Level part of the tension, the same all along. [N]
    catenary_parameter : Array
        Horizontal tension over weight per length. [m]
    near_tension, far_tension : Array
        Tension at the two ends. [N]
    near_angle_from_horizontal, far_angle_from_horizontal : Array
        Slope of the chain at the two ends. [rad]
    length : Array
        Length along the chain. [m]
    slack : Array
        Length less the straight distance between the ends. [m]
    sag : Array
        Chain sag: largest drop, straight down, below the line between the ends. [m]
    sag_position : Array
        Horizontal distance of the largest drop. [m]
    low_point, low_point_height : Array
        Horizontal distance and height of the low point of the curve; outside
        the span if the chain falls, or climbs, all the way. [m]
    """

    span: Array
    rise: Array
    weight_per_length: Array
    horizontal_tension: Array
    catenary_parameter: Array
    near_tension: Array
    far_tension: Array
    near_angle_from_horizontal: Array
    far_angle_from_horizontal: Array
    length: Array
    slack: Array
    sag: Array
    sag_position: Array
    low_point: Array
    low_point_height: Array


# --------------------------------------------------------------- from a tension


def from_horizontal_tension(
    horizontal_tension: ArrayLike,
    *,
    span: ArrayLike,
    rise: ArrayLike = 0.0,
    weight_per_length: ArrayLike,
) -> HangingChain:
    """Hang a chain whose horizontal tension is known.

    Parameters
    ----------
    horizontal_tension : array_like, shape (...)
        Level part of the tension. [N]
    span, rise : array_like, shape (...)
        Horizontal distance between the ends, and height of the far end over the
        near one. [m]
    weight_per_length : array_like, shape (...)
        Weight of the chain. [N/m]

    Returns
    -------
    HangingChain

    Raises
    ------
    OutOfRangeError
        If a number is not finite or, but for ``rise``, not more than zero, or
        the tension is so small that the chain would hang beyond all measure.

    Examples
    --------
    >>> chain = from_horizontal_tension(1000.0, span=2.0, weight_per_length=30.0)
    >>> print(f"{chain.sag * 1e3:.2f}")  # mm
    15.00
    """
    L, v, w = _supports(span, rise, weight_per_length)
    H = magnitude(horizontal_tension, name="horizontal_tension", unit="N")
    half_turn = w * L / (2 * H)
    refuse_where(
        half_turn > GREATEST_HALF_TURN,
        "catenary.horizontal_tension_too_small",
        tension=H,
        least=w * L / (2 * GREATEST_HALF_TURN),
    )
    return _hang(half_turn, L, v, w)


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
    L, v, w = _supports(span, rise, weight_per_length)
    T = magnitude(tension, name="tension", unit="N")
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
    return _hang(half_turn, L, v, w)


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
    L, v, w = _supports(span, rise, weight_per_length)
    steepness = np.abs(v) / L
    loosest = _loosest_half_turn(steepness, tolerance=tolerance)
    excess, _ = _tension_excess(loosest, steepness)
    return w * (excess * L / 2 + _height_above_lower_end(at, v))


# ------------------------------------------------------ from a length or a sag


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
    L, v, w = _supports(span, rise, weight_per_length)
    s = magnitude(length, name="length", unit="m")
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
    L, v, w = _supports(span, rise, weight_per_length)
    spare = magnitude(slack, name="slack", unit="m")
    # (sinh u / u)^2 - 1 = (s^2 - chord^2) / L^2, and a factor of the difference.
    square_excess = spare / L * (2 * np.hypot(L, v) + spare) / L
    excess = square_excess / (1 + np.sqrt(1 + square_excess))
    # sinh u / u > 1 + u^2 / 6 bounds the root from above.
    upper = np.minimum(np.sqrt(6 * excess), GREATEST_HALF_TURN)

    def longness(u: Array) -> tuple[Array, Array]:
        return _sinhc_excess(u), _sinhc_slope(u)

    half_turn = _solve(
        longness, excess, start=upper, lower=0.0, upper=upper, tolerance=tolerance
    )
    return _hang(half_turn, L, v, w)


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
    L, v, w = _supports(span, rise, weight_per_length)
    f = magnitude(sag, name="sag", unit="m")
    steepness = np.abs(v) / L
    chord = np.hypot(1, steepness)
    share = f / L / chord

    def sagging(u: Array) -> tuple[Array, Array]:
        drop, slope, _ = _drop(u, steepness)
        return drop / chord, slope / chord

    half_turn = _solve(
        sagging,
        share,
        start=np.minimum(4 * share, GREATEST_HALF_TURN / 2),  # as if a parabola
        lower=0.0,
        upper=GREATEST_HALF_TURN,
        tolerance=tolerance,
    )
    return _hang(half_turn, L, v, w)


# ------------------------------------------------------------- points to draw


def curve_points(chain: HangingChain, *, count: int = 101) -> tuple[Array, Array]:
    """Return points along a chain at even steps of its length, ends included.

    Parameters
    ----------
    chain : HangingChain
        One chain or many, of shape (...).
    count : int
        Number of points, at least 2.

    Returns
    -------
    x, y : Array, shape (..., count)
        Horizontal distance from the near end, and height over it. [m]

    Raises
    ------
    OutOfRangeError
        If ``count`` is below 2.

    Examples
    --------
    >>> chain = from_slack(0.030, span=2.0, weight_per_length=30.0)
    >>> x, y = curve_points(chain, count=3)
    >>> x.round(3).tolist(), y.round(3).tolist()
    ([0.0, 1.0, 2.0], [0.0, -0.151, 0.0])
    """
    if count < 2:
        raise OutOfRangeError("catenary.two_ends", count=count)
    a = np.asarray(chain.catenary_parameter)[..., None]
    near_turn = -np.asarray(chain.low_point)[..., None] / a
    along = np.asarray(chain.length)[..., None] * np.linspace(0, 1, count)
    # Length from the low point is a sinh(x / a).
    turn = np.arcsinh(np.sinh(near_turn) + along / a) - near_turn
    turn[..., 0] = 0.0
    turn[..., -1] = np.asarray(chain.span) / a[..., 0]
    # A difference of two cosh as a product keeps the figures of a tight chain.
    y = 2 * a * np.sinh(near_turn + turn / 2) * np.sinh(turn / 2)
    y[..., 0], y[..., -1] = 0.0, chain.rise
    return a * turn, y


# --------------------------------------------- the parabola, for a tight chain


@dataclass(frozen=True, kw_only=True)
class HangingParabola:
    """A cable under a load spread evenly along its span; shapes (...).

    Heights and horizontal distances are counted from the near end.

    Attributes
    ----------
    horizontal_tension, near_tension, far_tension : Array
        Level part of the tension, and tension at the two ends. [N]
    low_point, low_point_height : Array
        Place of the low point, perhaps outside the span. [m]
    """

    horizontal_tension: Array
    near_tension: Array
    far_tension: Array
    low_point: Array
    low_point_height: Array


def parabola_from_sag(
    sag: ArrayLike,
    *,
    span: ArrayLike,
    rise: ArrayLike = 0.0,
    weight_per_span: ArrayLike,
) -> HangingParabola:
    r"""Hang a cable under a load spread evenly along its span.

    A tight chain between nearly level ends comes close to it, for then its
    weight per length is nearly its weight per span.

    Parameters
    ----------
    sag : array_like, shape (...)
        Largest drop below the line between the ends, always at mid-span. [m]
    span, rise : array_like, shape (...)
        Horizontal distance between the ends, and height of the far end over the
        near one. [m]
    weight_per_span : array_like, shape (...)
        Load per horizontal distance. [N/m]

    Returns
    -------
    HangingParabola

    Raises
    ------
    OutOfRangeError
        If a number is not finite or, but for ``rise``, not more than zero.

    Notes
    -----
    With sag f the slope is :math:`v/L - 4f/L` at the near end and
    :math:`v/L + 4f/L` at the far end, and :math:`H = w L^2 / 8f`.

    Examples
    --------
    >>> cable = parabola_from_sag(0.5, span=40.0, weight_per_span=7.3575)
    >>> print(f"{cable.far_tension:.1f}")
    2946.7
    """
    L, v, w = _supports(span, rise, weight_per_span)
    f = magnitude(sag, name="sag", unit="m")
    H = w * L**2 / (8 * f)
    near_slope, far_slope = (v - 4 * f) / L, (v + 4 * f) / L
    return HangingParabola(
        horizontal_tension=H,
        near_tension=H * np.hypot(1, near_slope),
        far_tension=H * np.hypot(1, far_slope),
        low_point=-near_slope * H / w,
        low_point_height=-(near_slope**2) * H / (2 * w),
    )


def parabola_sag(
    tension: ArrayLike, *, span: ArrayLike, weight_per_length: ArrayLike
) -> Array:
    r"""Return the sag of a tight, level chain from its tension: w L^2 / 8 T.

    Parameters
    ----------
    tension : array_like, shape (...)
        Tension, the same all along so tight a chain. [N]
    span : array_like, shape (...)
        Distance between the ends. [m]
    weight_per_length : array_like, shape (...)
        Weight of the chain. [N/m]

    Returns
    -------
    Array, shape (...)
        Sag. [m]

    Raises
    ------
    OutOfRangeError
        If a number is not finite or not more than zero.

    Examples
    --------
    >>> print(f"{parabola_sag(1000.0, span=2.0, weight_per_length=30.0):.4f}")
    0.0150
    """
    T = magnitude(tension, name="tension", unit="N")
    L, _, w = _supports(span, 0.0, weight_per_length)
    return w * L**2 / (8 * T)


def parabola_tension(
    sag: ArrayLike, *, span: ArrayLike, weight_per_length: ArrayLike
) -> Array:
    r"""Return the tension of a tight, level chain from its sag: w L^2 / 8 f.

    Parameters
    ----------
    sag : array_like, shape (...)
        Drop at mid-span. [m]
    span : array_like, shape (...)
        Distance between the ends. [m]
    weight_per_length : array_like, shape (...)
        Weight of the chain. [N/m]

    Returns
    -------
    Array, shape (...)
        Tension. [N]

    Raises
    ------
    OutOfRangeError
        If a number is not finite or not more than zero.

    Examples
    --------
    >>> print(f"{parabola_tension(0.015, span=2.0, weight_per_length=30.0):.0f}")
    1000
    """
    f = magnitude(sag, name="sag", unit="m")
    L, _, w = _supports(span, 0.0, weight_per_length)
    return w * L**2 / (8 * f)


def parabola_slack(sag: ArrayLike, *, span: ArrayLike) -> Array:
    r"""Return the slack of a tight, level chain from its sag: 8 f^2 / 3 L.

    Parameters
    ----------
    sag : array_like, shape (...)
        Drop at mid-span. [m]
    span : array_like, shape (...)
        Distance between the ends. [m]

    Returns
    -------
    Array, shape (...)
        Slack. [m]

    Raises
    ------
    OutOfRangeError
        If a number is not finite or not more than zero.

    Examples
    --------
    >>> print(f"{parabola_slack(0.150, span=2.0):.3f}")
    0.030
    """
    f = magnitude(sag, name="sag", unit="m")
    L = magnitude(span, name="span", unit="m")
    return 8 * f**2 / (3 * L)


def parabola_sag_from_slack(slack: ArrayLike, *, span: ArrayLike) -> Array:
    r"""Return the sag of a tight, level chain from its slack: root of 3 L s / 8.

    Parameters
    ----------
    slack : array_like, shape (...)
        Length of the chain less the span. [m]
    span : array_like, shape (...)
        Distance between the ends. [m]

    Returns
    -------
    Array, shape (...)
        Sag. [m]

    Raises
    ------
    OutOfRangeError
        If a number is not finite or not more than zero.

    Examples
    --------
    >>> print(f"{parabola_sag_from_slack(0.030, span=2.0):.4f}")
    0.1500
    """
    spare = magnitude(slack, name="slack", unit="m")
    L = magnitude(span, name="span", unit="m")
    return np.sqrt(3 * L * spare / 8)


# ---------------------------------------------------- stretch and stored energy


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
    return T / k * T / 2


# -------------------------------------------------------------- inner workings


def _supports(
    span: ArrayLike, rise: ArrayLike, weight_per_length: ArrayLike
) -> tuple[Array, Array, Array]:
    return (
        magnitude(span, name="span", unit="m"),
        finite(rise, name="rise", unit="m"),
        magnitude(weight_per_length, name="weight_per_length", unit="N/m"),
    )


def _hang(half_turn: Array, span: Array, rise: Array, weight: Array) -> HangingChain:
    """Fill in everything that follows from u, the span, the rise and the weight."""
    u, L, v, w = np.broadcast_arrays(half_turn, span, rise, weight)
    excess = _sinhc_excess(u)
    level_length = L * (1 + excess)  # s^2 = v^2 + this^2
    middle_turn = np.arcsinh(v / level_length)
    near_turn, far_turn = middle_turn - u, middle_turn + u
    a = L / (2 * u)
    length = np.hypot(level_length, v)
    drop, _, from_lower = _drop(u, np.abs(v) / L)
    return HangingChain(
        span=L[()],
        rise=v[()],
        weight_per_length=w[()],
        horizontal_tension=w * a,
        catenary_parameter=a,
        near_tension=w * a * np.cosh(near_turn),
        far_tension=w * a * np.cosh(far_turn),
        near_angle_from_horizontal=np.arctan(np.sinh(near_turn)),
        far_angle_from_horizontal=np.arctan(np.sinh(far_turn)),
        length=length,
        slack=L * L * excess * (2 + excess) / (length + np.hypot(L, v)),
        sag=L * drop,
        sag_position=L * np.where(v < 0, 1 - from_lower, from_lower),
        low_point=-a * near_turn,
        low_point_height=-2 * a * np.sinh(near_turn / 2) ** 2,
    )


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


def _sinhc_excess(u: Array) -> Array:
    """sinh(u) / u - 1, by its series where the difference would cancel."""
    near = np.minimum(u, 1.0) ** 2
    series = np.ones_like(u)
    for n in range(9, 1, -1):
        series = 1 + near / (2 * n * (2 * n + 1)) * series
    return np.where(u < 1, near / 6 * series, np.sinh(u) / u - 1)


def _sinhc_slope(u: Array) -> Array:
    """Differentiate sinh(u) / u: (cosh u - sinh(u) / u) / u."""
    return (2 * np.sinh(u / 2) ** 2 - _sinhc_excess(u)) / u


def _exp_excess(x: Array) -> Array:
    """exp(-x) - 1 + x = (cosh x - 1) - (sinh x - x), the second form near zero."""
    near = np.minimum(x, 1.0)
    small = 2 * np.sinh(near / 2) ** 2 - near * _sinhc_excess(near)
    return np.where(x < 1, small, np.expm1(-x) + x)


def _drop(u: Array, steepness: Array) -> tuple[Array, Array, Array]:
    """Sag over span, its slope in u, and its place over span from the lower end.

    The drop is largest where the chain runs along the chord. From the lower end
    to there the turn grows by d = u + (turn of the chord - middle turn).
    """
    excess = _sinhc_excess(u)
    sinhc, chord = 1 + excess, np.hypot(1, steepness)
    length = np.hypot(sinhc, steepness)
    slack = excess * (2 + excess) / (length + chord)
    # asinh(steepness) - asinh(steepness / sinhc), by the difference formula.
    d = u + np.arcsinh(steepness * slack / sinhc)
    d_slope = 1 + steepness / length * _sinhc_slope(u) / sinhc
    # chord (cosh d - 1) - steepness (sinh d - d), all terms positive.
    rest = 1 / (chord + steepness)
    drop = (rest * 2 * np.sinh(d / 2) ** 2 + steepness * _exp_excess(d)) / (2 * u)
    along = rest * np.sinh(d) - steepness * np.expm1(-d)
    return drop, (along * d_slope - 2 * drop) / (2 * u), d / (2 * u)


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


def _loosest_half_turn(steepness: Array, *, tolerance: float) -> Array:
    """Half turn of the chain whose end tensions are least.

    The slope of `_tension_excess` is zero where
    (u tanh u - 1) cosh u (sinh u / u)^3 = steepness^2.
    """

    def balance(u: Array) -> tuple[Array, Array]:
        tanh, sinhc = np.tanh(u), np.sinh(u) / u
        margin = u * tanh - 1
        scale = np.cosh(u) * sinhc**3
        margin_slope = tanh + u * (1 - tanh**2)
        return margin * scale, scale * (
            margin_slope + margin * (tanh + 3 / tanh - 3 / u)
        )

    return _solve(
        balance,
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
