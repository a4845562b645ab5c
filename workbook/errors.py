"""The refusals of the workbook: a reason and its values; a sentence comes last."""

from __future__ import annotations

from math import degrees
from typing import TYPE_CHECKING

from workbook.language import say
from workbook.quantities.table import KINDS

if TYPE_CHECKING:
    from collections.abc import Callable


def _show_si(value: float, kind: str) -> str:
    if kind == "angle":
        return f"{degrees(value):.1f}°"
    if kind == "small length":
        return f"{1000 * value:.4g} mm"
    return f"{value:.4g} {KINDS[kind].si}".rstrip()


class WorkbookError(ValueError):
    """A request the workbook refuses, for a reason that a reader can act on.

    ``reason`` is the key of a sentence of ``refusal.toml`` or of a file in
    ``refusal/``, such as ``"linkage.across_the_line"``, and ``values`` what stands
    in it, amounts in SI. ``str`` says it in SI units, `spoken` in the reader's.

    Examples
    --------
    >>> error = OutOfRangeError("linkage.wanted_pull", force=-2e3)
    >>> print(error)
    A wanted pull of -2000 N must be finite and not below zero.
    >>> from workbook.quantities.units import METRIC
    >>> error.spoken(METRIC.show)
    'A wanted pull of −2.0 kN must be finite and not below zero.'
    """

    def __init__(self, reason: str, /, **values: object) -> None:
        self.reason, self.values = reason, values
        super().__init__(reason)

    def __str__(self) -> str:
        return self.spoken(_show_si)

    def spoken(self, show: Callable[[float, str], str]) -> str:
        """Return the sentence with its values in the units of ``show``."""
        return say("refusal", *self.reason.split("."), show=show, **self.values)


class OutOfRangeError(WorkbookError):
    """A value outside what the model, a part or a form allows."""


class MechanismError(WorkbookError):
    """An arrangement that is free to move, so that no balance holds it."""


class NoConvergenceError(WorkbookError):
    """An iteration that did not reach the accuracy asked for."""


class FormError(WorkbookError):
    """A file, code or typed text that cannot be read as what it should be."""
