"""The arrow explorer: a pull, its useful and its sideways part, and a second pull."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from widgets.explorer import Explorer
from workbook.figures.pictures.arrow import arrow_sheet, describe, projector_sheet
from workbook.mechanics.vectors import norm
from workbook.scenes.arrows import FIELDS, WORD, Arrows, SolvedArrows

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.scenes.fields import Value


class ArrowExplorer(Explorer):
    """Turn a pull off the wanted line; see what stays useful, or what it costs."""

    word = WORD
    fields = FIELDS
    front = ("tension_kn", "useful_kn", "angle_deg", "held")

    def solve(self, values: dict[str, Value]) -> SolvedArrows:
        """Return the pulls of the controls."""
        return Arrows(values=values).solved()

    def sheets(
        self, result: SolvedArrows, ghosts: list[tuple[str, Any]]
    ) -> list[Sheet]:
        """Return the picture of the pulls and bars of their parts."""
        draw = projector_sheet if self.stage.projector else arrow_sheet
        return [draw(result, system=self.system, ghosts=ghosts)]

    def amounts(self, result: SolvedArrows) -> dict[str, tuple[float, str]]:
        """Return the numbers of the pulls, most telling first."""
        amounts = {
            "chain tension": (result.tension, "force"),
            "useful, on the wanted line": (result.useful, "force"),
            "sideways, plus left": (result.sideways, "force"),
            "useful part of the tension": (result.useful / result.tension, "share"),
        }
        if result.second is None:
            return amounts
        both = result.resultant
        amounts |= {
            "second pull": (float(norm(result.second)), "force"),
            "together": (float(norm(both)), "force"),
            "together, on the wanted line": (float(both[0]), "force"),
            "together, sideways, plus left": (float(both[1]), "force"),
        }
        if result.resultant_angle is not None:
            amounts["together, left of the first pull"] = (
                result.resultant_angle,
                "angle",
            )
        return amounts

    def words(self, result: SolvedArrows) -> str:
        """Say what the picture shows."""
        return describe(result, system=self.system)

    def held(self, values: dict[str, Value]) -> str:
        """Return what stays as it is."""
        return str(values["held"])

    def arrange(self, values: dict[str, Value]) -> None:
        """Show the amount of what is held fixed, and a second pull if there is one."""
        shown = {
            "tension_kn": values["held"] == "chain tension",
            "useful_kn": values["held"] == "useful pull",
            "second_kn": values["second"] != "none",
            "between_deg": values["second"] != "none",
        }
        for name, needed in shown.items():
            self.controls[name].widget.layout.display = None if needed else "none"
