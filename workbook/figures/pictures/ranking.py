"""Pictures of ranked set-ups: what each one costs, side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    Label,
    Line,
    Mark,
    Panel,
    Polygon,
    Sheet,
)
from workbook.figures.drawing.scales import round_up
from workbook.language import say
from workbook.mechanics.planner.candidates import AXES

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.mechanics.planner.one_ram import Plan
    from workbook.quantities.units import UnitSystem

WIDTH = 820.0
ROW, HEAD = 46.0, 30.0  # height of a set-up, and of what stands above, in pixels
NAMES = 345.0  # width of the column of names
MOST_ROWS = 10
WORDS = ("picture", "ranking")


def ranking_sheet(plan: Plan, *, system: UnitSystem) -> Sheet:
    """Return the best set-ups, best first, with bars of what ranks them.

    Parameters
    ----------
    plan : Plan
        The ranked set-ups.
    system : UnitSystem
        Units of the numbers.
    """
    count = min(len(plan.choices), MOST_ROWS)
    wide = (WIDTH - NAMES) / 3
    bars = (
        (say(*WORDS, "off"), plan.direction_error, "angle", None),
        (
            say(*WORDS, "share"),
            plan.worst_share,
            "share",
            plan.job.rating_margin,
        ),
        (say(*WORDS, "stroke"), plan.stroke_left, "length", None),
    )
    panels = [
        Panel(
            drawing=_bars(caption, values[:count], kind, limit, system),
            left=NAMES + k * wide,
            top=0,
            width=wide,
            height=HEAD + ROW * count,
        )
        for k, (caption, values, kind, limit) in enumerate(bars)
    ]
    names = Panel(
        drawing=_names(plan, count),
        left=0,
        top=0,
        width=NAMES,
        height=HEAD + ROW * count,
    )
    return Sheet(
        width=WIDTH,
        height=HEAD + ROW * count + 6,
        text=describe(plan, system=system),
        panels=(names, *panels),
    )


def _window(count: int, left: float, right: float) -> tuple[float, float, float, float]:
    return (left, right, -count + 0.5, 0.5 + HEAD / ROW)


def _told(plan: Plan, row: int) -> dict[str, str]:
    """Return what the parts of a set-up are called, by axis."""
    return dict(zip(AXES, map(str, plan.floor.told(plan.choices[row])), strict=True))


def _names(plan: Plan, count: int) -> Drawing:
    """Name each set-up in two lines: where, and with what."""
    marks: list[Mark] = []
    for row in range(count):
        named = _told(plan, row)
        where = say(*WORDS, "place", rank=row + 1, **named)
        size, _, grade = named["chain"].partition(" chain, ")
        named["chain"] = f"{size.partition(' (')[0]} {grade.split(',')[0]}"
        parts = say(*WORDS, "parts", **named)
        marks += [
            Label((0, -row), where, "text", (8, -9), "start"),
            Label((0, -row), parts, "small text", (22, 9), "start"),
        ]
    return Drawing(
        caption=say(*WORDS, "names"),
        window=_window(count, 0, 1),
        moving=marks,
        true_scale=False,
    )


def _bars(
    caption: str,
    values: NDArray[np.float64],
    kind: str,
    limit: float | None,
    system: UnitSystem,
) -> Drawing:
    largest = max(float(values.max()), limit or 0.0, 1e-9)
    full = round_up(largest)
    marks: list[Mark] = []
    for row, value in enumerate(values):
        end = float(value) / full
        box = [
            (0, -row - 0.24),
            (end, -row - 0.24),
            (end, -row + 0.24),
            (0, -row + 0.24),
        ]
        marks += [
            Polygon(box, "bar part"),
            Label((1.75, -row), system.show(float(value), kind), "text", (0, 0), "end"),
        ]
    still: list[Mark] = []
    if limit is not None:
        still.append(
            Line([(limit / full, -len(values) + 0.5), (limit / full, 0.5)], "limit")
        )
    return Drawing(
        caption=caption,
        window=_window(len(values), -0.08, 1.8),
        still=still,
        moving=marks,
        true_scale=False,
    )


def describe(plan: Plan, *, system: UnitSystem) -> str:
    """Say in words what the picture shows, from the same numbers."""
    named = _told(plan, 0)
    return say(
        *WORDS,
        "said",
        show=system.show,
        passed=plan.passed,
        considered=plan.considered,
        socket=named["socket"],
        slot=named["slot"],
        off=float(plan.direction_error[0]),
        part=plan.worst_part[0],
        share=float(plan.worst_share[0]),
        stroke=float(plan.stroke_left[0]),
    )
