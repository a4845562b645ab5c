"""Pictures of a survey: each point specified, measured, and the bar between them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    Label,
    Line,
    Mark,
    Marker,
    Panel,
    Point,
    Polygon,
    Sheet,
    window_for,
)
from workbook.figures.drawing.scales import scale_bar
from workbook.language import say, text
from workbook.quantities.tables import signed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.quantities.units import UnitSystem
    from workbook.scenes.surveys import Survey

WIDTH = 820.0
ROW, HEAD = 24.0, 62.0  # height of a row of points, and of what stands above, in pixels
MOST_ROWS = 30
SMALLEST_SCALE = 5e-3  # of a row, either way [m]
NAMES, LAST = 142.0, 92.0  # width of the first and the last column
SIDE = {-1: "end", 1: "start"}
ACROSS = (1, 2)  # what a view shows upright: width from above, height from the side
WORDS = ("picture", "survey")


def dumb_bell(specified: Point, measured: Point, name: str = "") -> list[Mark]:
    """Return a point as it should be and as it is, and the bar between them.

    The ring is the specified point, the filled square the measured one; its
    signed number belongs beside it. ``name`` is what the point is called.
    """
    return [
        Line([specified, measured], "difference", f"difference {name}"),
        Marker(measured, "square", "measured", f"measured {name}"),
        Marker(specified, "ring", "specified", f"specified {name}"),
    ]


def survey_sheet(survey: Survey, *, system: UnitSystem) -> Sheet:
    """Return one row a point, one column a coordinate; the largest if many.

    Parameters
    ----------
    survey : Survey
        Survey laid over its specification.
    system : UnitSystem
        Units of the numbers.
    """
    rows = _rows_shown(survey)
    high = ROW * len(rows)
    wide = (WIDTH - NAMES - LAST) / 3
    scale = max(float(np.abs(survey.differences[rows]).max()), SMALLEST_SCALE)
    columns = [
        Panel(
            drawing=_column(survey, rows, axis, scale, system),
            left=NAMES + axis * wide,
            top=HEAD - ROW,
            width=wide,
            height=high + ROW,
        )
        for axis in range(3)
    ]
    names = Panel(
        drawing=_names(survey, rows), left=0, top=HEAD, width=NAMES, height=high
    )
    words = Panel(
        drawing=_verdicts(survey, rows),
        left=WIDTH - LAST,
        top=HEAD,
        width=LAST,
        height=high,
    )
    return Sheet(
        width=WIDTH,
        height=HEAD + high + 8,
        text=describe(survey, system=system),
        panels=(_legend(survey, len(rows), scale, system), names, *columns, words),
    )


def _rows_shown(survey: Survey) -> list[int]:
    """Return all points, or those with the largest differences, in their order."""
    largest = np.argsort(-survey.totals, kind="stable")[:MOST_ROWS]
    return sorted(largest.tolist())


def _legend(survey: Survey, shown: int, scale: float, system: UnitSystem) -> Panel:
    everything = len(survey.points.ids)
    which = "caption" if shown == everything else "caption_largest"
    marks: list[Mark] = [
        Marker((14, 0), "ring", "specified"),
        Label((28, 0), say(*WORDS, "specified"), "small text", align="start"),
        Marker((124, 0), "square", "measured"),
        Label((138, 0), say(*WORDS, "measured"), "small text", align="start"),
        Polygon([(226, -9), (250, -9), (250, 9), (226, 9)], "limit band"),
        Label((258, 0), say(*WORDS, "inside_limit"), "small text", align="start"),
        Label(
            (WIDTH - 14, 0),
            say(*WORDS, "scales", show=system.show, low=-scale, high=scale),
            "small text",
            align="end",
        ),
    ]
    drawing = Drawing(
        caption=say(*WORDS, which, shown=shown, count=everything),
        window=(0, WIDTH, -26, 26),
        still=marks,
        true_scale=False,
    )
    return Panel(drawing=drawing, left=0, top=0, width=WIDTH, height=52)


def _names(survey: Survey, rows: Sequence[int]) -> Drawing:
    base = set(survey.base) if len(survey.base) < len(survey.points.ids) else set()
    marks = []
    for line, k in enumerate(rows):
        name = survey.points.ids[k]
        word = say(*WORDS, "base_point", name=name) if name in base else name
        marks.append(Label((1, -line), word, "small text", (-6, 0), "end"))
    return Drawing(
        caption="", window=_window(rows, 0, 1), moving=marks, true_scale=False
    )


def _verdicts(survey: Survey, rows: Sequence[int]) -> Drawing:
    """Say by a flag and a word whether a point is inside its limit."""
    marks: list[Mark] = []
    for line, k in enumerate(rows):
        if survey.points.limits is None:
            continue
        role = "outside" if survey.beyond[k].any() else "inside"
        marks += [
            Marker((0.2, -line), "diamond", role),
            Label((0.2, -line), say(*WORDS, role), "small text", (16, 0), "start"),
        ]
    return Drawing(
        caption="", window=_window(rows, 0, 1), moving=marks, true_scale=False
    )


def _window(
    rows: Sequence[int], left: float, right: float
) -> tuple[float, float, float, float]:
    return (left, right, -len(rows) + 0.5, 0.5)


def _column(
    survey: Survey, rows: Sequence[int], axis: int, scale: float, system: UnitSystem
) -> Drawing:
    """Draw one coordinate of every point along its own scale, its number behind."""
    still: list[Mark] = []
    moving: list[Mark] = []
    for line, k in enumerate(rows):
        if survey.points.limits is not None:
            limit = min(float(survey.points.limits[k]), scale)
            low, high = -line - 0.5, -line + 0.5
            band = [(-limit, low), (limit, low), (limit, high), (-limit, high)]
            still.append(Polygon(band, "limit band"))
        value = float(survey.differences[k, axis])
        moving += [
            *dumb_bell((0, -line), (value, -line)),
            Label((2.35 * scale, -line), signed(value, system), "text", align="end"),
        ]
    still.append(Line([(0, -len(rows) + 0.5), (0, 0.5)], "reference"))
    return Drawing(
        caption=text(*WORDS, "ways")[axis],
        window=(-1.2 * scale, 2.4 * scale, -len(rows) + 0.5, 1.5),
        still=still,
        moving=moving,
        true_scale=False,
    )


def views_sheet(
    survey: Survey, ids: Sequence[str], *, system: UnitSystem, exaggeration: float = 10
) -> Sheet:
    """Return top and side view of a few points, their differences drawn larger.

    Parameters
    ----------
    survey : Survey
        Survey laid over its specification.
    ids : sequence of str
        The points.
    system : UnitSystem
        Units of the numbers.
    exaggeration : float
        How many times too long the differences are drawn.
    """
    rows = [survey.points.ids.index(point_id) for point_id in ids]
    panels = [
        Panel(
            drawing=_view(survey, rows, k, system, exaggeration),
            left=0,
            top=270.0 * k,
            width=WIDTH,
            height=260,
        )
        for k in range(len(ACROSS))
    ]
    return Sheet(
        width=WIDTH,
        height=530,
        text=describe(survey, system=system),
        panels=panels,
    )


def _view(
    survey: Survey,
    rows: Sequence[int],
    view: int,
    system: UnitSystem,
    exaggeration: float,
) -> Drawing:
    up = ACROSS[view]
    specified = survey.points.specified[rows][:, [0, up]]
    moved = survey.differences[rows][:, [0, up]]
    measured = specified + exaggeration * moved
    ends = [(float(x), float(y)) for x, y in np.concatenate([specified, measured])]
    wide = 0.5 * max(float(np.ptp([x for x, _ in ends])), 0.4)
    sides = [(x + side, y) for x, y in ends for side in (-wide, wide)]
    window = window_for(sides, step=0.1, margin=0.15)
    moving: list[Mark] = []
    for k, row in enumerate(rows):
        here, there = ends[k], ends[len(rows) + k]
        number = ", ".join(signed(float(d), system) for d in moved[k])
        # The number stands beyond the square, the name beyond the ring.
        away = -1 if there[0] < here[0] else 1
        moving += [
            *dumb_bell(here, there),
            Label(there, number, "text", (13 * away, 4), SIDE[away]),
            Label(
                here,
                survey.points.ids[row],
                "small text",
                (-13 * away, -4),
                SIDE[-away],
            ),
        ]
    return Drawing(
        caption=say(
            *WORDS, "enlarged", view=text(*WORDS, "views")[view], times=exaggeration
        ),
        window=window,
        still=scale_bar(window, system),
        moving=moving,
    )


def describe(survey: Survey, *, system: UnitSystem) -> str:
    """Say in words what the picture shows, from the same numbers."""
    worst = int(np.argmax(survey.totals))
    parts = ", ".join(signed(float(d), system) for d in survey.differences[worst])
    largest = say(
        *WORDS,
        "largest",
        show=system.show,
        count=len(survey.points.ids),
        base=len(survey.base),
        name=survey.points.ids[worst],
        parts=parts,
        total=float(survey.totals[worst]),
    )
    if survey.points.limits is None:
        return f"{largest} {say(*WORDS, 'no_limits')}"
    outside = int(survey.beyond.any(axis=1).sum())
    return f"{largest} {say(*WORDS, 'beyond', count=outside)}"
