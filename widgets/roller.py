"""The roller explorer: a chain turned over a fixed roller loads the roller's anchor."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from widgets.explorer import Explorer
from workbook.figures.pictures.bridle import (
    describe_roller,
    roller_projector_sheet,
    roller_sheet,
)
from workbook.scenes.bridles import (
    ROLLER_FIELDS,
    ROLLER_WORD,
    RollerGiven,
    SolvedRoller,
)

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.scenes.fields import Value


class RollerExplorer(Explorer):
    """Turn a chain over a fixed roller; see what the roller's anchor carries."""

    word = ROLLER_WORD
    fields = ROLLER_FIELDS
    front = ("between_deg", "tension_kn")
    cautions = ("S0", "S1", "S8")

    def solve(self, values: dict[str, Value]) -> SolvedRoller:
        """Turn the chain of the controls over the roller."""
        return RollerGiven(values=values).solved()

    def sheets(
        self, result: SolvedRoller, ghosts: list[tuple[str, Any]]
    ) -> list[Sheet]:
        """Return the picture of the roller and of its forces."""
        draw = roller_projector_sheet if self.stage.projector else roller_sheet
        return [draw(result, system=self.system, ghosts=ghosts)]

    def amounts(self, result: SolvedRoller) -> dict[str, tuple[float, str]]:
        """Return the numbers of a redirect, most telling first."""
        between = float(result.turned.between_runs)
        return {
            "anchor load": (result.anchor_load, "force"),
            "chain tension": (result.tension, "force"),
            "anchor load per tension": (result.anchor_per_chain, "ratio"),
            "angle between the runs": (between, "angle"),
        }

    def words(self, result: SolvedRoller) -> str:
        """Say what the picture shows."""
        return describe_roller(result, system=self.system)

    def held(self, values: dict[str, Value]) -> str:
        """Return what stays as it is."""
        return "chain tension"
