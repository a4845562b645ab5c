"""The chain sag explorer: what slack, tension and chain sag tell of each other."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from widgets.explorer import Explorer
from workbook.figures.pictures.chain_sag import (
    chain_sag_sheet,
    describe,
    projector_sheet,
)
from workbook.scenes.hanging import FIELDS, WORD, Hanging, HungChain, fine_units

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Value

SET_BY = {
    "slack": "slack_mm",
    "chain tension": "take_up_kn",
    "chain sag": "sag_mm",
}


class ChainSagExplorer(Explorer):
    """Hang one chain; read its sag, its tension and the energy it can store.

    Only what the chain is held fixed by is in sight of slack, tension and sag.
    """

    word = WORD
    fields = FIELDS
    front = (*SET_BY.values(), "span_mm")
    cautions = ("S0", "S1", "S5")

    @property
    def system(self) -> UnitSystem:
        """The reader's units; a hanging chain pulls with a few newtons."""
        return self._system

    @system.setter
    def system(self, system: UnitSystem) -> None:
        self._system = fine_units(system)

    def solve(self, values: dict[str, Value]) -> HungChain:
        """Hang the chain of the controls."""
        return Hanging(values=values).solved()

    def sheets(self, result: HungChain, ghosts: list[tuple[str, Any]]) -> list[Sheet]:
        """Return the picture of the chain and of its energy."""
        draw = projector_sheet if self.stage.projector else chain_sag_sheet
        return [draw(result, system=self.system, ghosts=ghosts)]

    def amounts(self, result: HungChain) -> dict[str, tuple[float, str]]:
        """Return the numbers of a hung chain, most telling first."""
        hung, working = result.hung, result.given.si("working_kn")
        return {
            "chain sag": (float(hung.sag), "small length"),
            "level tension": (float(hung.horizontal_tension), "force"),
            "stored energy at working tension": (result.energy(working), "energy"),
            "stored energy at twice that": (result.energy(2 * working), "energy"),
            "tension at C": (float(hung.near_tension), "force"),
            "tension at H": (float(hung.far_tension), "force"),
            "slope at C": (float(hung.near_angle_from_horizontal), "angle"),
            "slope at H": (float(hung.far_angle_from_horizontal), "angle"),
            "slack": (float(hung.slack), "small length"),
            "chain length": (float(hung.length), "small length"),
            "chain sag from slack, by the tight-chain rule": (
                result.sag_by_parabola,
                "small length",
            ),
            "slack from chain sag, by the rule": (
                result.slack_by_parabola,
                "small length",
            ),
            "level tension from chain sag, by the rule": (
                result.tension_by_parabola,
                "force",
            ),
        }

    def words(self, result: HungChain) -> str:
        """Say what the picture shows."""
        return describe(result, system=self.system)

    def held(self, values: dict[str, Value]) -> str:
        """Return what stays as it is."""
        return str(values["set_by"])

    def arrange(self, values: dict[str, Value]) -> None:
        """Show only the amount of what is held fixed."""
        for held, name in SET_BY.items():
            layout = self.controls[name].widget.layout
            layout.display = None if held == values["set_by"] else "none"
