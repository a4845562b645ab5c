"""The pull explorer: chain angle, fork offset and extension height steer a pull."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from widgets.controls import Control, NumberControl
from widgets.explorer import Explorer
from workbook.equipment import Ram, pick, shop
from workbook.figures.pictures.pull import (
    describe,
    load_path_sheet,
    projector_sheet,
    pull_sheet,
)
from workbook.quantities.units import factor
from workbook.scenes.fields import Number
from workbook.scenes.setups import FIELDS, WORD, Setup, SolvedPull

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.scenes.fields import Value

AMOUNTS = {
    "ram force": ("ram_force_kn",),
    "useful pull": ("useful_pull_kn",),
    "chain tension": ("chain_tension_kn",),
    "ram stroke": ("ram_force_kn",),
}

GAUGE = Number(
    name="gauge_bar",
    subject="pull",
    low=0,
    high=1500,
    step=5,
    start=0,
)
GAUGE_STEP = 0.06 * factor("bar")  # half of the least that the gauge can show


class PullExplorer(Explorer):
    """Set out one pull; see where it pulls, how it hangs and how it splits."""

    word = WORD
    fields = FIELDS
    front = ("chain_angle_deg", "fork_offset_mm", "extension_mm")
    cautions = ("S0", "S1", "S8")
    extra_picture = "show the load path"

    def other_ways(self) -> dict[str, Control]:
        """Return the gauge pressure, another way to set the ram force."""
        if not hasattr(self, "pressure"):
            self.pressure = NumberControl(GAUGE, system=self.system)
            self.pressure.observe(self._pressed, names="value")
        return {"ram_force_kn": self.pressure}

    def _pressed(self, _change: object) -> None:
        """Set the ram force for the pressure, unless the gauge only followed it."""
        ram, control = self._ram(), self.controls["ram_force_kn"]
        pressure = self.pressure.value * factor("bar")
        if abs(pressure - ram.pressure_for(control.value * factor("kN"))) > GAUGE_STEP:
            control.value = control.nearest(
                float(ram.force_at(pressure)) / factor("kN")
            )

    def _ram(self) -> Ram:
        return pick(shop().rams, str(self.controls["ram"].value))

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

    def words(self, result: SolvedPull) -> str:
        """Say what the picture shows."""
        return describe(result, system=self.system)

    def held(self, values: dict[str, Value]) -> str:
        """Return what stays as it is."""
        return str(values["held"])

    def arrange(self, values: dict[str, Value]) -> None:
        """Show only the amount of what is held fixed; the gauge follows the force."""
        pressure = self._ram().pressure_for(
            float(values["ram_force_kn"]) * factor("kN")
        )
        self.pressure.value = self.pressure.nearest(float(pressure) / factor("bar"))
        used = AMOUNTS[str(values["held"])]
        self.pressure.widget.layout.display = None if "ram_force_kn" in used else "none"
        for name in {n for names in AMOUNTS.values() for n in names}:
            layout = self.controls[name].widget.layout
            layout.display = None if name in used else "none"
