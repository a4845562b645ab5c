"""Ranked set-ups of a planned pull as a table and as fields for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from workbook.language import caution, left_out, text
from workbook.mechanics.planner.candidates import AXES
from workbook.quantities.tables import columns
from workbook.scenes.planning import amounts, why

if TYPE_CHECKING:
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.plan_files import PlanFile


def plan_table(planned: PlanFile, *, system: UnitSystem) -> str:
    """Return the best set-ups in the reader's units, cautions below them.

    Parameters
    ----------
    planned : PlanFile
        The plan and its title.
    system : UnitSystem
        The reader's units.
    """
    plan, show = planned.plan, system.show
    margin = show(plan.job.rating_margin, "share")
    best = [
        [text("amount", name), show(v, kind), ""]
        for name, (v, kind) in amounts(plan).items()
    ]
    return "\n".join(
        [
            planned.title or "A planned pull",
            "",
            f"{plan.passed} of {plan.considered} set-ups pass every limit; no part may "
            f"use more than {margin} of its rating. The best are:",
            *columns(_rows(planned, system)),
            "",
            why(plan.advantage, show=show),
            "",
            "Refused, each for the first reason",
            *columns(_refused(planned)),
            "",
            "The first in full",
            *columns(best),
            "",
            f"What the model leaves out: {left_out()}",
            caution("S0"),
        ]
    )


def _refused(planned: PlanFile) -> list[list[str]]:
    """Return how many set-ups each reason refused, most first."""
    by_count = sorted(planned.plan.refused.items(), key=lambda item: -item[1])
    return [[r.name.lower().replace("_", " "), str(n), ""] for r, n in by_count]


def _rows(planned: PlanFile, system: UnitSystem) -> list[list[str]]:
    plan, show = planned.plan, system.show
    heads = ["", *AXES, "off the line", "largest share", "stroke left", "ram force", ""]
    rows = [heads]
    for k, choice in enumerate(plan.choices):
        numbers = (
            (plan.direction_error, "angle"),
            (plan.worst_share, "share"),
            (plan.stroke_left, "length"),
            (plan.pull.ram_force, "force"),
        )
        rows.append(
            [
                f"{k + 1}.",
                *plan.floor.named(choice).values(),
                *(show(float(values[k]), kind) for values, kind in numbers),
                str(plan.worst_part[k]),
            ]
        )
    return rows


def plan_fields(planned: PlanFile) -> dict[str, Any]:
    """Return the best set-ups in SI units; every name ends with its unit."""
    plan = planned.plan
    return {
        "form": 1,
        "title": planned.title,
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
        "caution": caution("S0"),
    }
