"""Pulls on a held body as a table to read and as fields for other programs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.errors import WorkbookError
from workbook.figures.pictures.held_body import bench_sheet, stop_lines
from workbook.figures.pictures.pull import PULL
from workbook.figures.pictures.pull_directions import rise_words, side_words
from workbook.language import caution, left_out, say, text
from workbook.mechanics.vectors import norm, rise_of, side_angle_of
from workbook.quantities.tables import columns, signed
from workbook.reports.pull import code_or_reason
from workbook.reports.report import Report, heads

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.mechanics.holding.wrenches import CentralAxis
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.bench import SolvedBench

WORDS = ("report", "bench")
WAYS = ("forward", "left", "up")
PULL_HEADS = ("pull", "tension", *WAYS, "ram", "nearest")
SUPPORT_HEADS = ("support", *WAYS, "total", "share", "slip")


@dataclass(frozen=True)
class BenchReport(Report):
    """Pulls, what holds the body, and what that carries."""

    leaves_out = PULL.leaves_out
    bench: SolvedBench

    def blocks(self, system: UnitSystem) -> list[list[str]]:  # noqa: D102
        supports = columns(self._support_rows(system))
        return [
            stop_lines(self.bench, system=system),
            [self.bench.hold.title or say(*WORDS, "title")],
            columns(self._pull_rows(system)),
            self._resultant(system),
            [say(*WORDS, "holds"), *supports, *self._supports(system)],
            [self._on_the_bench(system)],
        ]

    def codes(self) -> list[str]:  # noqa: D102
        return [
            say(*WORDS, "code", name=name, code=code_or_reason(solved.setup))
            for name, solved in zip(self.bench.names, self.bench.pulls, strict=True)
        ]

    def foot(self) -> list[str]:  # noqa: D102
        foot = say(*WORDS, "foot", left_out=left_out(self.leaves_out))
        return [foot, caution("S0")]

    def _pull_rows(self, system: UnitSystem) -> list[list[str]]:
        bench, show = self.bench, system.show
        rows = [heads("bench", "pull_heads", PULL_HEADS)]
        for name, solved, force in zip(
            bench.names, bench.pulls, bench.forces, strict=True
        ):
            path = solved.load_path
            nearest = say(
                *WORDS,
                "nearest_past" if path.largest_share > 1 else "nearest",
                show=show,
                place=f"place.{path.governing}",
                share=float(path.largest_share),
            )
            rows.append(
                [
                    name,
                    show(float(solved.pull.pull_tension), "force"),
                    *(signed(float(part), system, "force") for part in force),
                    show(float(solved.pull.ram_force), "force"),
                    nearest,
                ]
            )
        return rows

    def _resultant(self, system: UnitSystem) -> list[str]:
        """Say what the pulls add up to, and along which line."""
        bench, show = self.bench, system.show
        force, moment = bench.wrench[:3], bench.wrench[3:]
        together = say(
            *WORDS,
            "together",
            show=show,
            force=float(norm(force)),
            left_up=signed(float(moment[0]), system, "moment"),
            nose_up=signed(-float(moment[1]), system, "moment"),
            nose_left=signed(float(moment[2]), system, "moment"),
        )
        if isinstance(bench.axis, WorkbookError):
            return [together, say(*WORDS, "no_line", show=show, reason=bench.axis)]
        x, y, z = (float(part) for part in bench.axis.point)
        line = say(
            *WORDS,
            "line",
            side=side_words(float(side_angle_of(force)), show),
            rise=rise_words(float(rise_of(force)), show),
            x=self._from("zero_plane", x, system),
            y=self._from("centre_line", y, system),
            z=self._from("bench_top", z, system),
            couple=_couple(bench.axis, system),
        )
        return [together, line]

    def _from(self, where: str, distance: float, system: UnitSystem) -> str:
        side = "plus" if distance >= 0 else "minus"
        return say(*WORDS, where, side, show=system.show, distance=abs(distance))

    def _support_rows(self, system: UnitSystem) -> list[list[str]]:
        bench, show = self.bench, system.show
        rows = [[*heads("bench", "support_heads", SUPPORT_HEADS), ""]]
        slips = [show(float(share), "share") for share in bench.held.slip_shares]
        slips += [""] * len(bench.hold.stand_names)
        for name, force, share, slip in zip(
            bench.hold.all_names, bench.supports, bench.held.shares, slips, strict=True
        ):
            rows.append(
                [
                    name,
                    *(signed(float(part), system, "force") for part in force),
                    show(float(norm(force)), "force"),
                    show(float(share), "share"),
                    slip,
                    self._remark(name, float(share)),
                ]
            )
        return rows

    def _remark(self, name: str, share: float) -> str:
        bench = self.bench
        remarks = {
            "lifted": name in bench.lifted,
            "slides": name in bench.sliding,
            "over": share > 1,
            "governs": name == bench.governing,
        }
        return ", ".join(
            text(*WORDS, "remark", entry) for entry, holds in remarks.items() if holds
        )

    def _supports(self, system: UnitSystem) -> list[str]:
        """Say which support governs, what has lifted off and what slides."""
        bench = self.bench
        share = float(bench.held.shares.max())
        said = [
            say(*WORDS, "governs", show=system.show, name=bench.governing, share=share)
        ]
        if bench.lifted:
            said.append(say(*WORDS, "lifted_off", names=bench.lifted))
        if bench.sliding:
            said.append(say(*WORDS, "sliding", names=bench.sliding))
        return said

    def _on_the_bench(self, system: UnitSystem) -> str:
        """Say what is left on the bench of all that loads it."""
        return say(
            *WORDS,
            "on_the_bench",
            show=system.show,
            weight=float(norm(self.bench.bench_left_over[:3])),
            left=float(np.abs(self.bench.bench_loop[:3]).max()),
        )

    def amounts(self) -> dict[str, Any]:  # noqa: D102
        bench = self.bench
        axis = None if isinstance(bench.axis, WorkbookError) else bench.axis
        slips: list[float | None] = [float(s) for s in bench.held.slip_shares]
        slips += [None] * len(bench.hold.stand_names)
        return {
            "title": bench.hold.title,
            "pulls": [
                {
                    "name": name,
                    "code": code_or_reason(solved.setup),
                    "hook_m": hook.tolist(),
                    "force_N": force.tolist(),
                    "tension_N": float(solved.pull.pull_tension),
                    "ram_force_N": float(solved.pull.ram_force),
                    "governing": str(solved.load_path.governing),
                    "share_1": float(solved.load_path.largest_share),
                }
                for name, solved, hook, force in zip(
                    bench.names, bench.pulls, bench.hooks, bench.forces, strict=True
                )
            ],
            "force_N": bench.wrench[:3].tolist(),
            "moment_about_zero_N_m": bench.wrench[3:].tolist(),
            "line_point_m": axis and axis.point.tolist(),
            "line_direction_1": axis and axis.direction.tolist(),
            "couple_N_m": axis and float(axis.couple),
            "no_line_because": None if axis else str(bench.axis),
            "weight_N": bench.hold.weight,
            "supports": [
                {
                    "name": name,
                    "place_m": place.tolist(),
                    "force_on_body_N": force.tolist(),
                    "share_1": float(share),
                    "slip_share_1": slip,
                    "lifted_off": name in bench.lifted,
                }
                for name, place, force, share, slip in zip(
                    bench.hold.all_names,
                    bench.places,
                    bench.supports,
                    bench.held.shares,
                    slips,
                    strict=True,
                )
            ],
            "governing": bench.governing,
            "body_slide_at_zero_m": bench.held.displacement[:3].tolist(),
            "body_turn_rad": bench.held.displacement[3:].tolist(),
            "bench_left_over_N": bench.bench_left_over[:3].tolist(),
            "bench_left_over_N_m": bench.bench_left_over[3:].tolist(),
        }

    def sheet(self, system: UnitSystem) -> Sheet:  # noqa: D102
        return bench_sheet(self.bench, system=system)


def _couple(axis: CentralAxis, system: UnitSystem) -> str:
    couple = float(axis.couple)
    if abs(couple) <= 1e-6 * float(axis.force):  # an arm of a thousandth of a mm
        return ""
    return say(*WORDS, "couple", show=system.show, couple=abs(couple))
