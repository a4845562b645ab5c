r"""One ram on a pump: pressure, piston area, force and travel.

.. math:: F = p A, \qquad A = \tfrac{\pi}{4} (d^2 - d_{rod}^2)

Pressure is gauge pressure, the same everywhere in oil at rest. Left out:
friction of the seals, losses in the hose, compression of the oil. A class name
in tons is not a force; only pressure times area is.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from workbook.mechanics.magnitudes import alike, magnitude, not_negative, refuse_where
from workbook.mechanics.vectors import Array


def piston_area(bore: ArrayLike, *, rod: ArrayLike = 0.0) -> Array:
    """Return the area the oil pushes on.

    Parameters
    ----------
    bore : array_like, shape (...)
        Diameter of the cylinder. [m]
    rod : array_like, shape (...)
        Diameter of the rod on the side of the oil: 0 when the ram extends, the
        rod's own when oil draws it in, for then only a ring is left. [m]

    Returns
    -------
    Array, shape (...)
        Area. [m^2]

    Raises
    ------
    OutOfRangeError
        If the bore is not more than zero or the rod does not fit into it.

    Examples
    --------
    >>> print(f"{piston_area(0.040) * 1e4:.2f}")  # cm^2
    12.57
    """
    d = magnitude(bore, name="bore", unit="m")
    d_rod = not_negative(rod, name="rod", unit="m")
    alike(bore=d, rod=d_rod)
    refuse_where(
        d_rod >= d,
        "pressure.rod",
        rod=d_rod,
        bore=d,
    )
    # A product instead of a difference of squares keeps the figures of a thin ring.
    return np.pi / 4 * (d - d_rod) * (d + d_rod)


def bore_from_area(piston_area: ArrayLike) -> Array:
    """Return the diameter of a round piston of this area.

    Parameters
    ----------
    piston_area : array_like, shape (...)
        Area without a rod. [m^2]

    Returns
    -------
    Array, shape (...)
        Bore. [m]

    Raises
    ------
    OutOfRangeError
        If the area is not more than zero.

    Examples
    --------
    >>> print(f"{bore_from_area(12.566e-4):.4f}")
    0.0400
    """
    area = magnitude(piston_area, name="piston_area", unit="m^2")
    return np.sqrt(4 / np.pi * area)


def force_from_pressure(pressure: ArrayLike, *, piston_area: ArrayLike) -> Array:
    """Return the force of a ram: pressure times piston area.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Gauge pressure of the oil. [Pa]
    piston_area : array_like, shape (...)
        Area the oil pushes on; see `piston_area`. [m^2]

    Returns
    -------
    Array, shape (...)
        Force. [N]

    Raises
    ------
    OutOfRangeError
        If the pressure is negative or the area not more than zero.

    References
    ----------
    .. [1] A. Esposito, *Fluid Power with Applications*, Examples 3-4 and 6-1.

    Examples
    --------
    >>> print(f"{force_from_pressure(700e5, piston_area=piston_area(0.040)) / 1e3:.2f}")
    87.96
    """
    p = not_negative(pressure, name="pressure", unit="Pa")
    area = magnitude(piston_area, name="piston_area", unit="m^2")
    alike(pressure=p, piston_area=area)
    return p * area


def pressure_from_force(ram_force: ArrayLike, *, piston_area: ArrayLike) -> Array:
    """Return the pressure a ram needs for a force.

    Parameters
    ----------
    ram_force : array_like, shape (...)
        Force of the ram. [N]
    piston_area : array_like, shape (...)
        Area the oil pushes on; see `piston_area`. [m^2]

    Returns
    -------
    Array, shape (...)
        Gauge pressure of the oil. [Pa]

    Raises
    ------
    OutOfRangeError
        If the force is negative or the area not more than zero.

    Examples
    --------
    >>> print(f"{pressure_from_force(50e3, piston_area=1e-3) / 1e5:.1f}")  # bar
    500.0
    """
    force = not_negative(ram_force, name="ram_force", unit="N")
    area = magnitude(piston_area, name="piston_area", unit="m^2")
    alike(ram_force=force, piston_area=area)
    return force / area


def pump_ratio(*, air_area: ArrayLike, oil_area: ArrayLike) -> Array:
    """Return oil pressure over air pressure of an air-driven pump at its stall.

    The air piston and the oil piston share one rod, so their forces are equal.

    Parameters
    ----------
    air_area, oil_area : array_like, shape (...)
        Areas of the two pistons. [m^2]

    Returns
    -------
    Array, shape (...)
        Ratio of the pressures, which is that of the areas. [-]

    Raises
    ------
    OutOfRangeError
        If an area is not more than zero.

    Examples
    --------
    >>> print(f"{pump_ratio(air_area=7.2e-3, oil_area=1e-4):.1f}")
    72.0
    """
    air = magnitude(air_area, name="air_area", unit="m^2")
    oil = magnitude(oil_area, name="oil_area", unit="m^2")
    alike(air_area=air, oil_area=oil)
    return air / oil


def oil_pressure(air_pressure: ArrayLike, *, pump_ratio: ArrayLike) -> Array:
    """Return the greatest oil pressure an air-driven pump can hold.

    Parameters
    ----------
    air_pressure : array_like, shape (...)
        Gauge pressure of the air line. [Pa]
    pump_ratio : array_like, shape (...)
        Oil pressure over air pressure; see `pump_ratio`. [-]

    Returns
    -------
    Array, shape (...)
        Gauge pressure of the oil. [Pa]

    Raises
    ------
    OutOfRangeError
        If the air pressure is negative or the ratio not more than zero.

    Examples
    --------
    >>> print(f"{oil_pressure(7e5, pump_ratio=90) / 1e5:.0f}")  # bar
    630
    """
    air = not_negative(air_pressure, name="air_pressure", unit="Pa")
    ratio = magnitude(pump_ratio, name="pump_ratio")
    alike(air_pressure=air, pump_ratio=ratio)
    return air * ratio


def air_pressure(oil_pressure: ArrayLike, *, pump_ratio: ArrayLike) -> Array:
    """Return the air pressure at which an air-driven pump stalls.

    Parameters
    ----------
    oil_pressure : array_like, shape (...)
        Gauge pressure of the oil. [Pa]
    pump_ratio : array_like, shape (...)
        Oil pressure over air pressure; see `pump_ratio`. [-]

    Returns
    -------
    Array, shape (...)
        Gauge pressure of the air line. [Pa]

    Raises
    ------
    OutOfRangeError
        If the oil pressure is negative or the ratio not more than zero.

    Examples
    --------
    >>> print(f"{air_pressure(630e5, pump_ratio=90) / 1e5:.0f}")  # bar
    7
    """
    oil = not_negative(oil_pressure, name="oil_pressure", unit="Pa")
    ratio = magnitude(pump_ratio, name="pump_ratio")
    alike(oil_pressure=oil, pump_ratio=ratio)
    return oil / ratio


def stroke_from_volume(volume: ArrayLike, *, piston_area: ArrayLike) -> Array:
    """Return how far oil pumped into a ram moves it.

    Parameters
    ----------
    volume : array_like, shape (...)
        Oil pumped in. [m^3]
    piston_area : array_like, shape (...)
        Area the oil pushes on; see `piston_area`. [m^2]

    Returns
    -------
    Array, shape (...)
        Ram travel. [m]

    Raises
    ------
    OutOfRangeError
        If the volume is negative or the area not more than zero.

    Examples
    --------
    >>> print(f"{stroke_from_volume(50e-6, piston_area=1e-3):.3f}")
    0.050
    """
    oil = not_negative(volume, name="volume", unit="m^3")
    area = magnitude(piston_area, name="piston_area", unit="m^2")
    alike(volume=oil, piston_area=area)
    return oil / area
