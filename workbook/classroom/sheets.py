"""Draw what a lesson prints in place of its explorers, as the course says it.

Every number comes from the engine; the set-ups are those of the lesson.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import cos, sin
from typing import TYPE_CHECKING, Any

from workbook.classroom.paper_scale import PaperSheet, one_view, two_views
from workbook.classroom.protractor import TickLabel, place_of, protractor, to_read
from workbook.course import lessons
from workbook.course.tables import TableText, code_of, solved, table_text
from workbook.errors import FormError
from workbook.figures.drawing.marks import Drawing, Line, Mark, Sheet
from workbook.figures.pictures import (
    anchoring,
    arrow,
    bridle,
    chain_sag,
    damaged_box,
    final_check,
    five_steps,
    hit_car,
    holding,
    line_of_fire,
    measuring,
    pull_line,
    pull_side,
    pull_top,
    shared_line,
    springback,
    subjects,
)
from workbook.language import STANDING, text
from workbook.quantities.units import factor, with_unit

if TYPE_CHECKING:
    from workbook.course import Lesson
    from workbook.course.handout import Handout, PrintedView
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.hanging import HungChain

VIEWS: Mapping[tuple[str, str], Callable[[Any, UnitSystem], Drawing]] = {
    ("anchoring", "above"): anchoring.top_view,
    ("anchoring", "side"): anchoring.side_view,
    ("arrow", "above"): lambda one, system: arrow.grid_view(one, system, brief=True),
    ("fire", "above"): lambda one, system: line_of_fire.plan_view(
        one, system, brief=True
    ),
    ("hit", "above"): lambda one, system: hit_car.plan_view(one, system, brief=True),
    ("pull", "side"): pull_side.side_view,
    ("pull", "above"): lambda one, system: pull_top.top_view(one, system, brief=True),
    ("pull line", "above"): lambda one, system: pull_line.view_from(
        one, system, seen="top", brief=True, window=pull_line.CLOSE
    ),
    ("measuring", "side"): lambda one, system: measuring.view_from(
        one, system, seen="side", brief=True, window=measuring.CLOSE
    ),
    ("damage", "front"): lambda one, system: damaged_box.flat_view(
        one, system, seen="front"
    ),
    ("damage", "above"): lambda one, system: damaged_box.flat_view(
        one, system, seen="top"
    ),
    ("bridle", "above"): lambda one, system: bridle.plan_view(one, system, brief=True),
    ("final check", "side"): final_check.view_to_read,
    ("chain sag", "side"): chain_sag.side_view,
    ("rams", "above"): lambda one, system: shared_line.plan_view(
        one, system, brief=True
    ),
    ("holding", "side"): holding.holding_view,
    ("springback", "side"): springback.curve_view,
    ("steps", "above"): five_steps.places_view,
}
"""How a subject is drawn to be read, by where it is seen from."""

MEASURED: Mapping[tuple[str, str], str] = {
    ("anchoring", "side"): "length",
    ("arrow", "above"): "force",
    ("fire", "above"): "length",
    ("pull", "side"): "length",
    ("pull", "above"): "length",
    ("pull line", "above"): "length",
    ("measuring", "side"): "length",
    ("bridle", "above"): "length",
    ("chain sag", "side"): "length",
    ("rams", "above"): "length",
    ("holding", "side"): "length",
}
"""What a ruler measures in those that are printed at a plain scale.

Where movements are drawn larger than they are, and on curves, it measures nothing.
"""


RULER_STEPS = {"mm": 50, "in": 2}  # from tick to tick


@dataclass(frozen=True, kw_only=True)
class LessonSheet:
    """What one lesson prints.

    ``scales`` say what a ruler measures in the figure, if it measures anything,
    ``read`` are the readings asked for, ``codes`` (name, set-up code) pairs,
    ``cautions`` names of standing texts, ``leaves_out`` of what its models leave out.
    """

    title: str
    figure: Sheet
    scales: tuple[str, ...]
    read: tuple[str, ...]
    tables: tuple[TableText, ...]
    codes: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    leaves_out: tuple[str, ...]
    note: str


def printed_lessons() -> tuple[str, ...]:
    """Return the lessons that have a handout.

    Examples
    --------
    >>> printed_lessons()[0]
    'L01'
    """
    return tuple(one.id for one in lessons().values() if one.handout)


def with_handout(lesson: str) -> tuple[Lesson, Handout]:
    """Return a lesson and what it prints.

    Raises
    ------
    FormError
        If there is no such lesson, or nothing to print of it.
    """
    one = lessons().get(lesson)
    if one is None or one.handout is None:
        known = printed_lessons()
        raise FormError("course.not_printed", lesson=repr(lesson), known=known)
    return one, one.handout


def sheet_of(lesson: str, system: UnitSystem) -> LessonSheet:
    """Return what a lesson prints, in the reader's units.

    Parameters
    ----------
    lesson : str
        Such as ``"L07"``.
    system : UnitSystem
        Units of the figure and the tables.

    Raises
    ------
    FormError
        If there is no such lesson, or nothing to print of it.

    Examples
    --------
    >>> from workbook.quantities.units import METRIC
    >>> sheet_of("L02", METRIC).tables[0].rows[5]
    ('45.0°', '14.1 kN', '14.1 kN', '28.3 kN')
    """
    one, handout = with_handout(lesson)
    said = text("lesson", lesson, "handout")
    tables = zip(handout.tables, said["tables"], strict=True)
    named = zip(said["codes"], handout.codes, strict=True)
    printed = _figure(one, handout, said, system)
    return LessonSheet(
        title=one.title,
        figure=printed.figure,
        scales=printed.scales,
        read=tuple(said["read"]),
        tables=tuple(
            table_text(table, one.explorer(table.explorer), said=words, system=system)
            for table, words in tables
        ),
        codes=tuple(
            (name, code_of(one.explorer(explorer), **change))
            for name, (explorer, change) in named
        ),
        cautions=STANDING[lesson],
        leaves_out=tuple(
            name
            for explorer in one.explorers
            for name in subjects()[explorer.subject].leaves_out
        ),
        note=said["note"],
    )


def _figure(
    one: Lesson, handout: Handout, said: Mapping[str, Any], system: UnitSystem
) -> PaperSheet:
    drawings = [_drawing(one, view, said, system) for view in handout.views]
    kinds = [
        MEASURED.get((one.explorer(view.explorer).subject, view.seen), "")
        for view in handout.views
    ]
    if len(drawings) == 1:
        return one_view(drawings[0], kinds[0], said["figure"], system)
    left, right = drawings
    return two_views(left, right, kinds, said["figure"], system)


def _drawing(
    one: Lesson, view: PrintedView, said: Mapping[str, Any], system: UnitSystem
) -> Drawing:
    explorer = one.explorer(view.explorer)
    result = solved(explorer, **view.change)
    drawn = VIEWS[explorer.subject, view.seen](result, system)
    marks: list[Mark] = []
    for scale in view.scales:
        at = place_of(drawn, scale.at) if isinstance(scale.at, str) else scale.at
        marks += protractor(
            at,
            scale.radius,
            start=scale.start,
            end=scale.end,
            zero=scale.zero,
            named=scale.named,
        )
    for name in view.aids:
        marks += AIDS[name](result, system)
    return to_read(
        drawn,
        marks,
        caption=said["captions"][view.explorer] if view.captioned else "",
        readings=view.readings,
        lines=view.hidden,
    )


def _ruler(hung: HungChain, system: UnitSystem) -> list[Mark]:
    """Return an upright scale at the lowest point, from the straight line down."""
    unit = system.unit["length"]
    x, step = float(hung.hung.sag_position), RULER_STEPS[unit] * factor(unit)
    count = int(float(hung.hung.sag) / step) + 2
    marks: list[Mark] = [Line([(x, 0.0), (x, -step * count)], "angle")]
    for k in range(count + 1):
        marks.append(Line([(x, -k * step), (x + 0.03, -k * step)], "angle"))
        if k and k % 2 == 0:  # nought is the straight line itself
            number = f"{k * RULER_STEPS[unit]:g}"
            named = with_unit(number, unit) if k == 2 else number
            marks.append(TickLabel((x + 0.03, -k * step), named, "small text", (13, 0)))
    return marks


def _slope(hung: HungChain, _system: UnitSystem) -> list[Mark]:
    """Return the line that leaves C as steeply as the chain does."""
    slope = float(hung.hung.near_angle_from_horizontal)
    return [Line([(0.0, 0.0), (0.6 * cos(slope), 0.6 * sin(slope))], "reference")]


AIDS: Mapping[str, Callable[[HungChain, UnitSystem], list[Mark]]] = {
    "ruler": _ruler,
    "slope": _slope,
}
"""What helps to read, besides scales of degrees."""
