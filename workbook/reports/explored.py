"""What the set-up code of any explorer shows, as a table and as fields."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look
from workbook.language import caution, left_out, say
from workbook.quantities.table import KINDS
from workbook.quantities.tables import columns
from workbook.reports.report import Report
from workbook.scenes import codes

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.figures.subject import Subject, Values
    from workbook.quantities.units import UnitSystem

S = TypeVar("S")


@dataclass(frozen=True, kw_only=True)
class ExploredReport(Report, Generic[S]):
    """A set-up of an explorer and what the engine makes of it."""

    subject: Subject[S]
    values: Values
    solved: S
    seen_from: str | None = None

    def blocks(self, system: UnitSystem) -> list[list[str]]:  # noqa: D102
        system = self.subject.units(system)
        rows = [[*row, ""] for row in self.subject.numbers(self.solved, system)]
        told = str(self.subject.picture(self.solved, system=system).text)
        own = [caution(name) for name in self.subject.cautions if name != "S0"]
        return [self.codes(), columns(rows), [told], own]

    def codes(self) -> list[str]:  # noqa: D102
        return [say("report", "pull", "code", code=self._code)]

    @property
    def _code(self) -> str:
        return codes.encode(self.subject.word, self.subject.fields, self.values)

    def foot(self) -> list[str]:  # noqa: D102
        left = left_out(self.subject.leaves_out)
        return [say("report", "report", "foot", left_out=left), caution("S0")]

    def amounts(self) -> dict[str, Any]:  # noqa: D102
        told = self.subject.told(self.solved).items()
        return {
            "explorer": self.subject.name,
            "code": self._code,
            "setup": dict(self.values),
            **{_key(name, kind): value for name, (value, kind) in told},
        }

    def sheet(self, system: UnitSystem) -> Sheet:  # noqa: D102
        view = None if self.seen_from is None else VIEWS[self.seen_from]
        look: Look[S] = Look(system=self.subject.units(system), view=view)
        return self.subject.sheets(self.solved, look).whole


def _key(name: str, kind: str) -> str:
    unit = "rad" if kind == "angle" else KINDS[kind].si or "1"
    return re.sub(r"[ ,]+", "_", f"{name} {unit}")


def explored(code: str, *, seen_from: str | None = None) -> ExploredReport[Any] | None:
    """Return what a set-up code shows, or None if it is of no explorer.

    Raises
    ------
    FormError
        If it was mistyped, or is of an older version.
    OutOfRangeError, MechanismError
        If there is no such rig.

    Examples
    --------
    >>> from workbook.quantities.units import METRIC
    >>> explored("BRIDLE1-2B1G-ZA0").table(METRIC).splitlines()[0]
    'set-up code: BRIDLE1-2B1G-ZA0'
    """
    for subject in subjects().values():
        if codes.is_of(subject.word, code):
            values = codes.decode(subject.word, subject.fields, code)
            solved = subject.solve(values)
            return ExploredReport(
                subject=subject, values=values, solved=solved, seen_from=seen_from
            )
    return None
