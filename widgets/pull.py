"""The pull explorer: chain angle, fork offset and extension height steer a pull."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from widgets.explorer import Explorer
from workbook.figures.pull import (
    describe,
    load_path_sheet,
    projector_sheet,
    pull_sheet,
)
from workbook.scenes.setups import FIELDS, WORD, Setup, SolvedPull

if TYPE_CHECKING:
    from workbook.figures.drawing import Sheet
    from workbook.scenes.fields import Value

AMOUNTS = {
    "ram force": ("ram_force_kn",),
    "useful pull": ("useful_pull_kn",),
    "chain tension": ("chain_tension_kn",),
    "ram stroke": ("ram_force_kn",),
}


class PullExplorer(Explorer):
    """Set out one pull; see where it pulls, how it hangs and how it splits."""

    word = WORD
    fields = FIELDS
    front = ("chain_angle_deg", "fork_offset_mm", "extension_mm")
    cautions = ("S0", "S1", "S8")
    extra_picture = "show the load path"

    def solve(self, values: dict[str, Value]) -> SolvedPull:
        """Solve the set-up of the controls."""
        return Setup(values=values).solved()

    def sheets(self, result: SolvedPull, ghosts: list[tuple[str, Any]]) -> list[Sheet]:
        """Return the picture of the pull and, if wanted, of its load path."""
        if self.stage.projector:
            return [projector_sheet(result, system=self.system, ghosts=ghosts)]
        sheets = [pull_sheet(result, system=self.system, ghosts=ghosts)]
        if self.extra.value:
            sheets.append(load_path_sheet(result, system=self.system))
        return sheets

    def amounts(self, result: SolvedPull) -> dict[str, tuple[float, str]]:
        """Return the numbers of a pull, most telling first."""
        return result.amounts

    def numbers(self, result: SolvedPull) -> list[tuple[str, str]]:
        """Return the numbers as text in the reader's units."""
        show = self.system.show
        return [(name, show(v, kind)) for name, (v, kind) in result.amounts.items()]

    def words(self, result: SolvedPull) -> str:
        """Say what the picture shows."""
        return describe(result, system=self.system)

    def held(self, values: dict[str, Value]) -> str:
        """Return what stays as it is."""
        return str(values["held"])

    def arrange(self, values: dict[str, Value]) -> None:
        """Show only the amount of what is held fixed."""
        used = AMOUNTS[str(values["held"])]
        for name in {n for names in AMOUNTS.values() for n in names}:
            layout = self.controls[name].widget.layout
            layout.display = None if name in used else "none"
