"""The refusals of the workbook: each says what is wrong and the way out."""

from __future__ import annotations

from math import degrees
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


class _Shown:
    """A value that prints as ``{name:kind}`` asks, by the reader's units."""

    def __init__(self, value: float, show: Callable[[float, str], str]) -> None:
        self.value, self.show = value, show

    def __format__(self, kind: str) -> str:
        return self.show(self.value, kind)


_SI = {
    "length": "m",
    "small length": "m",
    "force": "N",
    "pressure": "Pa",
    "moment": "N m",
    "energy": "J",
    "line load": "N/m",
    "line mass": "kg/m",
    "stiffness": "N/m",
    "time": "s",
}


def _show_si(value: float, kind: str) -> str:
    if kind == "angle":
        return f"{degrees(value):.1f}°"
    return f"{value:.4g} {_SI.get(kind, '')}".rstrip()


class WorkbookError(ValueError):
    """A request the workbook refuses, with one sentence a reader can act on.

    The sentence may hold SI ``values`` as ``{name:kind}`` (kinds are those of a
    `UnitSystem`), so that ``spoken`` can say it in shop units.

    Examples
    --------
    >>> print(WorkbookError("the ram is {ram:length} long", ram=0.8))
    the ram is 0.8 m long
    >>> from workbook.quantities.units import METRIC
    >>> WorkbookError("the ram is {ram:length} long", ram=0.8).spoken(METRIC.show)
    'the ram is 800 mm long'
    """

    def __init__(self, sentence: str, **values: float) -> None:
        self.sentence, self.values = sentence, values
        super().__init__(self.spoken(_show_si))

    def spoken(self, show: Callable[[float, str], str]) -> str:
        """Return the sentence with its values in the units of ``show``."""
        if not self.values:
            return self.sentence
        shown = {name: _Shown(v, show) for name, v in self.values.items()}
        return self.sentence.format(**shown)


class OutOfRangeError(WorkbookError):
    """A value outside what the model, a part or a form allows."""


class MechanismError(WorkbookError):
    """An arrangement that is free to move, so that no balance holds it."""


class NoConvergenceError(WorkbookError):
    """An iteration that did not reach the accuracy asked for."""


class FormError(WorkbookError):
    """A file, code or typed text that cannot be read as what it should be."""
