"""A tight chain as a parabola: the limit in which its weight is even along the span."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from workbook.mechanics.magnitudes import alike, magnitude
from workbook.mechanics.pull.catenary import supports
from workbook.mechanics.vectors import Array


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
    L, v, w = supports(span, rise, weight_per_span)
    f = magnitude(sag, name="sag", unit="m")
    alike(sag=f, span=L, rise=v, weight_per_length=w)
    H = w * L**2 / (8 * f)
    near_slope, far_slope = (v - 4 * f) / L, (v + 4 * f) / L
    return HangingParabola(
        horizontal_tension=H,
        near_tension=H * np.hypot(1, near_slope),
        far_tension=H * np.hypot(1, far_slope),
        low_point=-near_slope * H / w,
        low_point_height=-(near_slope**2) * H / (2 * w),
    )


def parabola_from_low_point(
    *,
    span: ArrayLike,
    below_near: ArrayLike,
    below_far: ArrayLike,
    weight_per_span: ArrayLike,
) -> HangingParabola:
    r"""Hang a cable whose low point is known by its depth below each end.

    Parameters
    ----------
    span : array_like, shape (...)
        Horizontal distance between the ends. [m]
    below_near, below_far : array_like, shape (...)
        Depth of the low point, between the ends, below each of them. [m]
    weight_per_span : array_like, shape (...)
        Load per horizontal distance. [N/m]

    Returns
    -------
    HangingParabola

    Raises
    ------
    OutOfRangeError
        If a number is not finite or not more than zero.

    Notes
    -----
    Depths :math:`h` grow with the square of the distance from the low point, so
    that the ends share the span as :math:`\sqrt{h_1} : \sqrt{h_2}`, and the sag
    below the line between them is :math:`(\sqrt{h_1} + \sqrt{h_2})^2 / 4`.

    References
    ----------
    .. [1] A. K. Tayal, *Engineering Mechanics: Statics and Dynamics*, problem
       10.3.

    Examples
    --------
    >>> cable = parabola_from_low_point(
    ...     span=20.0, below_near=4.5, below_far=2.0, weight_per_span=735.75
    ... )
    >>> print(f"{cable.low_point:.1f} m, {cable.horizontal_tension:.0f} N")
    12.0 m, 11772 N
    """
    near = magnitude(below_near, name="below_near", unit="m")
    far = magnitude(below_far, name="below_far", unit="m")
    alike(below_near=near, below_far=far)
    return parabola_from_sag(
        (np.sqrt(near) + np.sqrt(far)) ** 2 / 4,
        span=span,
        rise=far - near,
        weight_per_span=weight_per_span,
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
    L, _, w = supports(span, 0.0, weight_per_length)
    alike(tension=T, span=L, weight_per_length=w)
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
    L, _, w = supports(span, 0.0, weight_per_length)
    alike(sag=f, span=L, weight_per_length=w)
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
    alike(sag=f, span=L)
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
    alike(slack=spare, span=L)
    return np.sqrt(3 * L * spare / 8)
