"""What every result has in common: a table to read, fields for programs, a picture."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING, Any, ClassVar

from workbook.figures.drawing.notes import with_notes
from workbook.language import STANDING, caution, left_out, say, text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from workbook.figures.drawing.marks import Sheet
    from workbook.quantities.units import UnitSystem

FORM = 1


def heads(report: str, table: str, names: Iterable[str]) -> list[str]:
    """Return the heads of a table's columns, in the order of their names."""
    return [text("report", report, table, name) for name in names]


class Report(ABC):
    """A result in all the ways it is shown; the cautions are in each of them.

    A new one says its `blocks`, its `amounts`, its `sheet` and what it `leaves_out`.
    """

    leaves_out: ClassVar[tuple[str, ...]] = ()

    @abstractmethod
    def blocks(self, system: UnitSystem) -> list[list[str]]:
        """Return the table in the reader's units: blocks of lines, the title first."""

    @abstractmethod
    def amounts(self) -> dict[str, Any]:
        """Return the result in SI units; every name ends with its unit.

        Lengths are in metres, forces in newtons, pressures in pascals, angles in
        radians; points and forces in space are x forward, y left, z up.
        """

    @abstractmethod
    def sheet(self, system: UnitSystem) -> Sheet:
        """Return the picture in the reader's units."""

    def codes(self) -> list[str]:
        """Return the lines with the set-up codes of the result, if it has any."""
        return []

    def invented(self) -> list[str]:
        """Return what of the result is invented."""
        return [say("report", "report", "invented")]

    def picture(self, system: UnitSystem) -> Sheet:
        """Return the picture as it is saved: with codes, caution, what is invented."""
        short = [caution(name) for name in STANDING["result"]]
        return with_notes(self.sheet(system), [*self.codes(), *short, *self.invented()])

    def foot(self) -> list[str]:
        """Return what stands below the table: what is left out, and the caution."""
        left = left_out(self.leaves_out)
        return [say("report", "report", "foot", left_out=left), caution("S0")]

    def table(self, system: UnitSystem) -> str:
        """Return the table as text, an empty line between its blocks."""
        blocks = [*self.blocks(system), self.foot()]
        return "\n\n".join("\n".join(block) for block in blocks if block)

    def fields(self) -> dict[str, Any]:
        """Return the amounts for other programs, the caution with them."""
        return {"form": FORM, **self.amounts(), "caution": caution("S0")}
