"""Answers that are a count: a whole number, right or not."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from workbook.exercises.answers.quantity import Quantity, Tolerance
from workbook.language import shown
from workbook.quantities.typed import Typed

if TYPE_CHECKING:
    from workbook.exercises.declaration import Numbers

# Whole numbers are one apart: the neighbours are wrong, and known if a mistake.
EXACT = Tolerance(absolute=0.3)
READ_ON = {"blank", "too_long"}


@dataclass(frozen=True, kw_only=True)
class Count(Quantity):
    """A kind of answer: how many there are. For the rest see `Quantity`."""

    kind: str = field(default="count", init=False)
    unit: str = field(default="1", init=False)
    tolerance: Tolerance = field(default=EXACT, init=False)
    says: str = field(default="count", init=False)

    def read(self, typed: str, given: Numbers) -> Typed:
        """Return what was typed as a whole number, or the problem with it.

        Examples
        --------
        >>> six = Count(solve=lambda g: 6, smallest=0, largest=8)
        >>> six.read("6", None).value, six.read("6.5", None).problem
        (6.0, 'not_whole')
        """
        read = super().read(typed, given)
        whole = read.value is not None and read.value >= 0 and read.value % 1 == 0
        if whole or read.problem in READ_ON:
            return read
        said = shown(typed.strip()[:40])
        return Typed(problem="not_whole", values={"typed": said})
