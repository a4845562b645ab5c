"""How numbers and tables are set as text, in reports and pictures alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.language import say
from workbook.quantities.units import factor, with_unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.quantities.units import UnitSystem


def columns(rows: Sequence[Sequence[str]]) -> list[str]:
    """Return rows of cells as lines: names to the left, numbers to the right.

    The last column keeps its own width.

    Examples
    --------
    >>> columns([["point", "length", ""], ["tip", "−3 mm", "outside"]])
    ['  point  length', '  tip     −3 mm  outside']
    """
    wide = [max(len(row[k]) for row in rows) for k in range(len(rows[0]) - 1)]
    lines = []
    for first, *rest, last in rows:
        cells = [first.ljust(wide[0])]
        cells += [c.rjust(w) for c, w in zip(rest, wide[1:], strict=True)]
        lines.append("  " + "  ".join([*cells, last]).rstrip())
    return lines


def signed(value: float, system: UnitSystem, kind: str = "small length") -> str:
    """Return a value with its sign, plus too; nothing has none.

    Examples
    --------
    >>> from workbook.quantities.units import METRIC
    >>> signed(0.0034, METRIC), signed(-0.00001, METRIC)
    ('+3.4 mm', '0.0 mm')
    """
    return with_sign(system.show(value, kind), system.show(0.0, kind))


def with_sign(shown: str, nothing: str) -> str:
    """Return a shown value with its sign, plus too, unless it shows as nothing."""
    return shown if shown.startswith("−") or shown == nothing else f"+{shown}"


def signed_number(value: float, system: UnitSystem, kind: str = "small length") -> str:
    """Return what `signed` does without the unit, for a column whose head says it.

    Examples
    --------
    >>> from workbook.quantities.units import METRIC
    >>> signed_number(0.0034, METRIC), signed_number(0.0, METRIC)
    ('+3.4', '0.0')
    """
    return signed(value, system, kind).removesuffix(with_unit("", system.unit[kind]))


def at_least_shown(value: float, system: UnitSystem, kind: str = "small length") -> str:
    """Return a size that is never nothing, such as an error, as text.

    Examples
    --------
    >>> from workbook.quantities.units import INCH, METRIC
    >>> at_least_shown(0.0034, METRIC), at_least_shown(0.00001, METRIC)
    ('3.4 mm', 'under 0.1 mm')
    >>> at_least_shown(0.00001, INCH)
    'under 0.01 in'
    """
    shown = system.show(value, kind)
    if shown != system.show(0.0, kind):
        return shown
    unit = system.unit[kind]
    finest = 10.0 ** -system.digits[kind] * factor(unit)
    return say("amount", "under", least=system.show(finest, kind))
