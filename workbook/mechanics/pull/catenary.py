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

Whatever is given, u is the one unknown: `tension_length_sag` finds it from a tension,
a length or a sag, and `parabola` has the limit of a tight chain.

Left out: contact with the floor, stiffness of links, swinging.

References
----------
.. [1] F. P. Beer and E. R. Johnston, *Vector Mechanics for Engineers: Statics*,
   chapter 7, Samples 7.9 (parabola) and 7.10 (catenary).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import alike, finite, magnitude, refuse_where
from workbook.mechanics.vectors import Array

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
    L, v, w = supports(span, rise, weight_per_length)
    H = magnitude(horizontal_tension, name="horizontal_tension", unit="N")
    alike(horizontal_tension=H, span=L, rise=v, weight_per_length=w)
    half_turn = w * L / (2 * H)
    refuse_where(
        half_turn > GREATEST_HALF_TURN,
        "catenary.horizontal_tension_too_small",
        tension=H,
        least=w * L / (2 * GREATEST_HALF_TURN),
    )
    return hang(half_turn, L, v, w)


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
    >>> from workbook.mechanics.pull.tension_length_sag import from_slack
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


def supports(
    span: ArrayLike, rise: ArrayLike, weight_per_length: ArrayLike
) -> tuple[Array, Array, Array]:
    """Read where a chain hangs and what it weighs."""
    L = magnitude(span, name="span", unit="m")
    v = finite(rise, name="rise", unit="m")
    w = magnitude(weight_per_length, name="weight_per_length", unit="N/m")
    alike(span=L, rise=v, weight_per_length=w)
    return L, v, w


def hang(half_turn: Array, span: Array, rise: Array, weight: Array) -> HangingChain:
    """Fill in everything that follows from u, the span, the rise and the weight."""
    u, L, v, w = np.broadcast_arrays(half_turn, span, rise, weight)
    excess = sinhc_excess(u)
    level_length = L * (1 + excess)  # s^2 = v^2 + this^2
    middle_turn = np.arcsinh(v / level_length)
    near_turn, far_turn = middle_turn - u, middle_turn + u
    a = L / (2 * u)
    length = np.hypot(level_length, v)
    drop, _, from_lower = drop_of(u, np.abs(v) / L)
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


def sinhc_excess(u: Array) -> Array:
    """sinh(u) / u - 1, by its series where the difference would cancel."""
    near = np.minimum(u, 1.0) ** 2
    series = np.ones_like(u)
    for n in range(9, 1, -1):
        series = 1 + near / (2 * n * (2 * n + 1)) * series
    return np.where(u < 1, near / 6 * series, np.sinh(u) / u - 1)


def sinhc_slope(u: Array) -> Array:
    """Differentiate sinh(u) / u: (cosh u - sinh(u) / u) / u."""
    return (2 * np.sinh(u / 2) ** 2 - sinhc_excess(u)) / u


def exp_excess(x: Array) -> Array:
    """exp(-x) - 1 + x = (cosh x - 1) - (sinh x - x), the second form near zero."""
    near = np.minimum(x, 1.0)
    small = 2 * np.sinh(near / 2) ** 2 - near * sinhc_excess(near)
    return np.where(x < 1, small, np.expm1(-x) + x)


def drop_of(u: Array, steepness: Array) -> tuple[Array, Array, Array]:
    """Sag over span, its slope in u, and its place over span from the lower end.

    The drop is largest where the chain runs along the chord. From the lower end
    to there the turn grows by d = u + (turn of the chord - middle turn).
    """
    excess = sinhc_excess(u)
    sinhc, chord = 1 + excess, np.hypot(1, steepness)
    length = np.hypot(sinhc, steepness)
    slack = excess * (2 + excess) / (length + chord)
    # asinh(steepness) - asinh(steepness / sinhc), by the difference formula.
    d = u + np.arcsinh(steepness * slack / sinhc)
    d_slope = 1 + steepness / length * sinhc_slope(u) / sinhc
    # chord (cosh d - 1) - steepness (sinh d - d), all terms positive.
    rest = 1 / (chord + steepness)
    drop = (rest * 2 * np.sinh(d / 2) ** 2 + steepness * exp_excess(d)) / (2 * u)
    along = rest * np.sinh(d) - steepness * np.expm1(-d)
    return drop, (along * d_slope - 2 * drop) / (2 * u), d / (2 * u)
