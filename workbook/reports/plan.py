"""Ranked set-ups of a planned pull as a table and as fields for other programs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from workbook.figures.pictures.pull import PULL
from workbook.figures.pictures.ranking import ranking_sheet
from workbook.language import say, text
from workbook.mechanics.planner.candidates import AXES
from workbook.quantities.tables import columns
from workbook.reports.report import Report, heads
from workbook.scenes.planning import amounts, why

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.plan_files import PlanFile

WORDS = ("report", "plan")
HEADS = ("off", "share", "left", "force")


@dataclass(frozen=True)
class PlanReport(Report):
    """A plan's best set-ups, and how many each reason refused."""

    leaves_out = PULL.leaves_out
    planned: PlanFile

    def blocks(self, system: UnitSystem) -> list[list[str]]:  # noqa: D102
        plan, show = self.planned.plan, system.show
        passed = say(
            *WORDS,
            "passed",
            show=show,
            passed=plan.passed,
            count=plan.considered,
            margin=plan.job.rating_margin,
        )
        best = [
            [text("amount", name), show(v, kind), ""]
            for name, (v, kind) in amounts(plan).items()
        ]
        return [
            [self.planned.title or say(*WORDS, "title")],
            [passed, *columns(self._ranked(system))],
            [why(plan.advantage, show=show)],
            [say(*WORDS, "refused_first"), *columns(self._refused())],
            [say(*WORDS, "in_full"), *columns(best)],
        ]

    def _refused(self) -> list[list[str]]:
        """Return how many set-ups each reason refused, most first."""
        by_count = sorted(self.planned.plan.refused.items(), key=lambda item: -item[1])
        return [
            [text(*WORDS, "refused", reason.name.lower()), str(count), ""]
            for reason, count in by_count
        ]

    def _ranked(self, system: UnitSystem) -> list[list[str]]:
        plan = self.planned.plan
        axes = [text("term", "axis", axis) for axis in AXES]
        rows = [["", *axes, *heads("plan", "heads", HEADS), ""]]
        for k, choice in enumerate(plan.choices):
            numbers = (
                (plan.direction_error, "angle"),
                (plan.worst_share, "share"),
                (plan.stroke_left, "length"),
                (plan.pull.ram_force, "force"),
            )
            rows.append(
                [
                    say(*WORDS, "rank", rank=k + 1),
                    *map(str, plan.floor.told(choice)),
                    *(system.show(float(values[k]), kind) for values, kind in numbers),
                    text("term", "place", str(plan.worst_part[k])),
                ]
            )
        return rows

    def amounts(self) -> dict[str, Any]:  # noqa: D102
        plan = self.planned.plan
        return {
            "title": self.planned.title,
            "considered": plan.considered,
            "passed": plan.passed,
            "refused": {reason.name.lower(): n for reason, n in plan.refused.items()},
            "wanted_direction_1": plan.job.line.tolist(),
            "rating_margin_1": plan.job.rating_margin,
            "set_ups": [
                {
                    **plan.floor.named(choice),
                    "base_m": plan.rig.base[k].tolist(),
                    "anchor_m": plan.rig.anchor[k].tolist(),
                    "anchor_leg_m": float(plan.rig.anchor_leg[k]),
                    "direction_1": plan.pull.direction[k].tolist(),
                    "direction_error_rad": float(plan.direction_error[k]),
                    "ram_force_N": float(plan.pull.ram_force[k]),
                    "pull_tension_N": float(plan.pull.pull_tension[k]),
                    "anchor_tension_N": float(plan.pull.anchor_tension[k]),
                    "largest_share_1": float(plan.worst_share[k]),
                    "of": str(plan.worst_part[k]),
                    "stroke_needed_m": float(plan.stroke_needed[k]),
                    "stroke_left_m": float(plan.stroke_left[k]),
                }
                for k, choice in enumerate(plan.choices)
            ],
        }

    def sheet(self, system: UnitSystem) -> Sheet:  # noqa: D102
        return ranking_sheet(self.planned.plan, system=system)
