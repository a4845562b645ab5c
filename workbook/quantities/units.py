"""Shop units at the edges: everything inside the engine is SI.

Conversion factors come from pint's definitions (exact by international
agreement: inch, pound, standard gravity); pint is loaded on first use only.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

# What a reader types or sees -> the name pint knows it by.
PINT_NAMES: Mapping[str, str] = {
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "in": "inch",
    "ft": "foot",
    "N": "newton",
    "kN": "kilonewton",
    "lbf": "pound_force",
    "kgf": "kilogram_force",
    "tf": "metric_ton * standard_gravity",
    "short tf": "force_ton",
    "long tf": "long_ton * standard_gravity",
    "bar": "bar",
    "MPa": "megapascal",
    "psi": "psi",
    "deg": "degree",
    "rad": "radian",
    "J": "joule",
    "ft lbf": "foot_pound",
    "kN m": "kilonewton * meter",
    "N m": "newton * meter",
    "lbf ft": "pound_force * foot",
    "kg/m": "kilogram / meter",
    "lb/ft": "pound / foot",
    "N/m": "newton / meter",
    "kN/mm": "kilonewton / millimeter",
    "s": "second",
    "min": "minute",
    "%": "percent",
    "1": "dimensionless",
}


@cache
def registry() -> Any:
    """Return the one pint registry; loading it takes a quarter of a second."""
    import pint

    return pint.UnitRegistry()


@cache
def factor(unit: str) -> float:
    """Return the SI size of one ``unit``: ``length_m = number * factor("mm")``.

    Parameters
    ----------
    unit : str
        A key of `PINT_NAMES`.

    Returns
    -------
    float
        The number of SI base units (m, N, Pa, rad, J, kg/m, s) in one unit.

    Raises
    ------
    KeyError
        If the unit is not one the workbook uses.

    Examples
    --------
    >>> factor("mm")
    0.001
    >>> round(factor("lbf"), 6)
    4.448222
    """
    return float(registry().Quantity(1.0, PINT_NAMES[unit]).to_base_units().magnitude)


@dataclass(frozen=True)
class UnitSystem:
    """The shop units one reader has chosen, by kind of quantity."""

    name: str
    unit: Mapping[str, str]
    digits: Mapping[str, int]

    def show(self, value: float, kind: str) -> str:
        """Return an SI ``value`` as text in this system, with its unit.

        Examples
        --------
        >>> METRIC.show(12_345.0, "force")
        '12.3 kN'
        >>> INCH.show(0.0254, "length")
        '1.00 in'
        """
        unit = self.unit[kind]
        number = f"{value / factor(unit):.{self.digits[kind]}f}"
        if float(number) == 0:
            number = number.lstrip("-")  # no minus before nothing
        glue = "" if unit in {"deg", "%", "1"} else " "
        sign = {"deg": "°", "1": ""}.get(unit, unit)
        return f"{number}{glue}{sign}".replace("-", "−")


METRIC = UnitSystem(
    "kN-mm",
    unit={
        "length": "mm",
        "small length": "mm",
        "force": "kN",
        "pressure": "bar",
        "angle": "deg",
        "energy": "J",
        "moment": "kN m",
        "line mass": "kg/m",
        "line load": "N/m",
        "stiffness": "kN/mm",
        "time": "s",
        "share": "%",
        "ratio": "1",
    },
    digits={
        "length": 0,
        "small length": 1,
        "force": 1,
        "pressure": 0,
        "angle": 1,
        "energy": 1,
        "moment": 2,
        "line mass": 2,
        "line load": 1,
        "stiffness": 1,
        "time": 1,
        "share": 0,
        "ratio": 2,
    },
)
INCH = UnitSystem(
    "lbf-inch",
    unit={
        **METRIC.unit,
        "length": "in",
        "small length": "in",
        "force": "lbf",
        "pressure": "psi",
        "energy": "ft lbf",
        "moment": "lbf ft",
        "line mass": "lb/ft",
    },
    digits={
        **METRIC.digits,
        "length": 2,
        "small length": 2,
        "force": 0,
        "energy": 0,
        "moment": 0,
    },
)
SYSTEMS: Mapping[str, UnitSystem] = {METRIC.name: METRIC, INCH.name: INCH}
