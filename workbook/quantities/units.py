"""Shop units at the edges: everything inside the engine is SI."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from math import floor, log10
from typing import TYPE_CHECKING, SupportsFloat

from workbook.quantities.table import KINDS, UNITS

if TYPE_CHECKING:
    from collections.abc import Mapping


@cache
def factor(unit: str) -> float:
    """Return the SI size of one ``unit``: ``length_m = number * factor("mm")``.

    Parameters
    ----------
    unit : str
        A key of `UNITS`.

    Returns
    -------
    float
        The number of SI units (m, N, Pa, rad, J, kg/m, s) in one unit.

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
    return float(UNITS[unit].size)


def figures(value: float, *, least: int = 0) -> str:
    """Return a number to three figures, with at least so many decimals among them.

    It is written out, however small it is.

    Examples
    --------
    >>> figures(11.0), figures(11.0, least=1), figures(6.8404), figures(1234.0, least=1)
    ('11', '11.0', '6.84', '1230')
    >>> figures(1e-5), figures(1.234e-7)
    ('0.00001', '0.000000123')
    """
    rounded = float(f"{value:.3g}")
    plain = f"{Decimal(repr(rounded)).normalize():f}"
    most = 2 - floor(log10(abs(rounded))) if rounded else 0
    needed = len(plain.partition(".")[2])
    return f"{rounded:.{max(0, min(most, max(needed, least)))}f}"


def with_unit(number: str, unit: str) -> str:
    """Return a number as it is shown with its unit.

    Examples
    --------
    >>> with_unit("-17", "kN"), with_unit("30", "deg"), with_unit("3", "1")
    ('−17 kN', '30°', '3')
    """
    ending = UNITS[unit].ending
    shown = number + (f" {unit}" if ending is None else ending)
    return shown.replace("-", "−")


@dataclass(frozen=True)
class UnitSystem:
    """The shop units one reader has chosen, by kind of quantity."""

    name: str
    unit: Mapping[str, str]
    digits: Mapping[str, int]

    def show(self, value: SupportsFloat, kind: str) -> str:
        """Return an SI ``value`` as text in this system, with its unit.

        Examples
        --------
        >>> METRIC.show(12_345.0, "force")
        '12.3 kN'
        >>> INCH.show(0.0254, "length")
        '1.00 in'
        """
        unit = self.unit[kind]
        number = f"{float(value) / factor(unit):.{self.digits[kind]}f}"
        if float(number) == 0:
            number = number.lstrip("-")  # no minus before nothing
        return with_unit(number, unit)


def _system(name: str, shown: Mapping[str, tuple[str, int]]) -> UnitSystem:
    return UnitSystem(
        name,
        unit={kind: unit for kind, (unit, _) in shown.items()},
        digits={kind: digits for kind, (_, digits) in shown.items()},
    )


METRIC = _system("kN-mm", {name: kind.metric for name, kind in KINDS.items()})
INCH = _system(
    "lbf-inch", {name: kind.inch or kind.metric for name, kind in KINDS.items()}
)
TON = _system("tf-mm", {name: kind.ton or kind.metric for name, kind in KINDS.items()})
"""Metric tons-force, as on many a tag; a bare "ton" is never taken for one."""
SYSTEMS: Mapping[str, UnitSystem] = {one.name: one for one in (METRIC, INCH, TON)}
