"""The bridle explorer: two legs share a pull, the more the flatter they lie."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from widgets.explorer import Explorer
from workbook.figures.pictures.bridle import (
    bridle_projector_sheet,
    bridle_sheet,
    describe,
)
from workbook.scenes.bridles import FIELDS, WORD, BridleGiven, SolvedBridle

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.scenes.fields import Value


class BridleExplorer(Explorer):
    """Spread the legs of a bridle; see what each leg carries of the pull needed."""

    word = WORD
    fields = FIELDS
    front = ("between_deg", "shift_mm", "pull_kn")
    cautions = ("S0", "S1", "S8")

    def solve(self, values: dict[str, Value]) -> SolvedBridle:
        """Divide the pull between the legs of the controls."""
        return BridleGiven(values=values).solved()

    def sheets(
        self, result: SolvedBridle, ghosts: list[tuple[str, Any]]
    ) -> list[Sheet]:
        """Return the picture of the bridle and of its forces."""
        draw = bridle_projector_sheet if self.stage.projector else bridle_sheet
        return [draw(result, system=self.system, ghosts=ghosts)]

    def amounts(self, result: SolvedBridle) -> dict[str, tuple[float, str]]:
        """Return the numbers of a bridle, most telling first."""
        left, right = float(result.tensions.left), float(result.tensions.right)
        pull = result.given.si("pull_kn")
        amounts = {
            "left leg": (left, "force"),
            "right leg": (right, "force"),
            "pull needed": (pull, "force"),
            "left leg per pull": (left / pull, "ratio"),
            "right leg per pull": (right / pull, "ratio"),
            "left leg from the line of pull": (float(result.angles[0]), "angle"),
            "right leg from the line of pull": (float(result.angles[1]), "angle"),
            "left leg, length": (float(result.legs[0]), "length"),
            "right leg, length": (float(result.legs[1]), "length"),
        }
        if result.legs_at_limit is not None:
            at_limit = map(float, result.legs_at_limit)
            amounts["left leg, length at the school's limit"] = (
                next(at_limit),
                "length",
            )
            amounts["right leg, length at the school's limit"] = (
                next(at_limit),
                "length",
            )
        return amounts

    def words(self, result: SolvedBridle) -> str:
        """Say what the picture shows."""
        return describe(result, system=self.system)

    def held(self, values: dict[str, Value]) -> str:
        """Return what stays as it is."""
        return "pull needed"
