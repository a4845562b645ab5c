"""The kinds of damage of a survey as a table and as fields for other programs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.pictures.wire_frame import damage_sheet
from workbook.language import say, text
from workbook.mechanics.survey.damage import KINDS
from workbook.mechanics.survey.sides import STANDS_OUT
from workbook.quantities.tables import at_least_shown, columns, signed
from workbook.reports.report import Report, heads
from workbook.reports.survey import fit_words, hint_words, invented, notes
from workbook.scenes.surveys import (
    SHOWN_AS,
    is_clear,
    one_sided,
    side_words,
    size_of,
)

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.mechanics.survey.damage import DamageFrame, DamageReading
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.surveys import Survey

WORDS = ("report", "damage")
UNITS = {kind: "rad" if kind == "twist" else "m" for kind in KINDS}


@dataclass(frozen=True)
class DamageReport(Report):
    """What was read from a survey, and the planes it was read by."""

    survey: Survey
    reading: DamageReading
    frame: DamageFrame

    def blocks(self, system: UnitSystem) -> list[list[str]]:  # noqa: D102
        survey, reading, frame = self.survey, self.reading, self.frame
        planes = say(
            *WORDS,
            "planes",
            show=system.show,
            hinge=frame.hinge_x,
            front=frame.front_x,
            side=text(*WORDS, "side", frame.mash_side),
        )
        name, count = survey.specification.name, len(survey.points.ids)
        return [
            [say(*WORDS, "title", name=name, count=count)],
            [
                fit_words(survey, system=system),
                hint_words(survey, system=system),
                planes,
            ],
            columns(self._kinds(system)),
            [
                self._left_over(system),
                *(
                    say(*WORDS, "confusable", one=f"damage.{a}", other=f"damage.{b}")
                    for a, b in reading.confusable
                ),
                say(*WORDS, "clear_means", errors=STANDS_OUT),
            ],
        ]

    def invented(self) -> list[str]:  # noqa: D102
        return invented(self.survey)

    def foot(self) -> list[str]:  # noqa: D102
        return notes(self.survey)

    def _kinds(self, system: UnitSystem) -> list[list[str]]:
        rows = [[*heads("damage", "heads", ("kind", "size", "error")), "", ""]]
        for kind in self.reading.kinds:
            size, error = map(float, size_of(self.reading, kind))
            clear = is_clear(self.reading, kind)
            one_side = clear and one_sided(self.reading, kind)
            verdict = "one_side" if one_side else "clear" if clear else "in_scatter"
            rows.append(
                [
                    text("term", "damage", kind),
                    signed(size, system, SHOWN_AS[kind]),
                    at_least_shown(error, system, SHOWN_AS[kind]),
                    say(*WORDS, verdict),
                    self._meaning(kind, system) if clear else "",
                ]
            )
        return rows

    def _meaning(self, kind: str, system: UnitSystem) -> str:
        """Say what a clear size means, and what each side has of it."""
        if one_sided(self.reading, kind):
            return side_words(self.reading, kind, system=system)
        size, _ = size_of(self.reading, kind)
        meaning = say("damage", kind, "minus" if size < 0 else "plus")
        sides = self.reading.sides.get(kind)
        if sides is None or not sides.differ or sides.left * sides.right < 0:
            return meaning
        return say(
            *WORDS,
            "unequal",
            show=system.show,
            meaning=meaning,
            left=float(abs(sides.left)),
            right=float(abs(sides.right)),
        )

    def _left_over(self, system: UnitSystem) -> str:
        """Say what the kinds leave unexplained, and where most of it is."""
        reading = self.reading
        worst = int(np.argmax(reading.unexplained))
        return say(
            *WORDS,
            "left_over",
            show=system.show,
            share=float(reading.share_unexplained),
            each=float(reading.rms_residual),
            name=self.survey.points.ids[worst],
            most=float(reading.unexplained[worst]),
        )

    def amounts(self) -> dict[str, Any]:  # noqa: D102
        survey, reading, frame = self.survey, self.reading, self.frame
        return {
            "specification": survey.specification.name,
            "base": list(survey.base),
            "hinge_m": frame.hinge_x,
            "front_m": frame.front_x,
            "width_m": frame.width,
            "mash_side": frame.mash_side,
            "kinds": [
                {
                    "kind": kind,
                    f"size_{UNITS[kind]}": float(size_of(reading, kind)[0]),
                    f"standard_error_{UNITS[kind]}": float(size_of(reading, kind)[1]),
                    **self._side_amounts(kind),
                }
                for kind in reading.kinds
            ],
            "share_unexplained_1": float(reading.share_unexplained),
            "rms_unexplained_m": float(reading.rms_residual),
            "unexplained_m": dict(
                zip(survey.points.ids, reading.residuals.tolist(), strict=True)
            ),
            "hard_to_tell_apart": [list(pair) for pair in reading.confusable],
        }

    def _side_amounts(self, kind: str) -> dict[str, Any]:
        """Return what each side alone shows of a kind that both share."""
        sides = self.reading.sides.get(kind)
        if sides is None:
            return {}
        return {
            "left_m": float(sides.left),
            "right_m": float(sides.right),
            "one_side_only": sides.only,
        }

    def sheet(self, system: UnitSystem) -> Sheet:  # noqa: D102
        return damage_sheet(self.survey, self.reading, frame=self.frame, system=system)
