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
)
from workbook.figures.drawing.texts import Sentence, Signed, Text, said
from workbook.language import say, text

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from workbook.figures.drawing.marks import Coordinate
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.surveys import Survey

WIDTH = 820.0
ROW, HEAD = 24.0, 62.0  # height of a row of points, and of what stands above, in pixels
MOST_ROWS = 30
SMALLEST_SCALE = 5e-3  # of a row, either way [m]
NAMES, LAST = 142.0, 92.0  # width of the first and the last column
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


def survey_sheet(
    survey: Survey, *, system: UnitSystem, called: Callable[[str], str] = str
) -> Sheet:
    """Return one row a point, one column a coordinate; the largest if many.

    Parameters
    ----------
    survey : Survey
        Survey laid over its specification, or many of the same points.
    system : UnitSystem
        Units of the numbers.
    called : callable
        Returns what a reader calls a point; its id unless given.
    """
    rows = _rows_shown(survey)
    high = ROW * len(rows)
    wide = (WIDTH - NAMES - LAST) / 3
    largest = np.abs(survey.differences[..., rows, :]).max(axis=(-2, -1))
    scale = np.maximum(largest, SMALLEST_SCALE)
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
        drawing=_names(survey, rows, called), left=0, top=HEAD, width=NAMES, height=high
    )
    words = Panel(
        drawing=_verdicts(survey, rows, system),
        left=WIDTH - LAST,
        top=HEAD,
        width=LAST,
        height=high,
    )
    return Sheet(
        width=WIDTH,
        height=HEAD + high + 8,
        text=described(survey, system=system, called=called),
        panels=(_legend(survey, len(rows), scale, system), names, *columns, words),
    )


def _rows_shown(survey: Survey) -> list[int]:
    """Return all points, or those with the largest differences, in their order."""
    totals = survey.totals.reshape(-1, survey.totals.shape[-1]).max(axis=0)
    largest = np.argsort(-totals, kind="stable")[:MOST_ROWS]
    return sorted(largest.tolist())


def _legend(survey: Survey, shown: int, scale: Coordinate, system: UnitSystem) -> Panel:
    everything = len(survey.points.ids)
    which = "caption" if shown == everything else "caption_largest"
    band = [(226, -9), (250, -9), (250, 9), (226, 9)]
    key = {"specified": 28, "measured": 138, "inside_limit": 258}
    scales = said(*WORDS, "scales", show=system.show, low=-scale, high=scale)
    marks: list[Mark] = [
        Marker((14, 0), "ring", "specified", "key specified"),
        Marker((124, 0), "square", "measured", "key measured"),
        Polygon(band, "limit band", "key limit"),
        *(
            Label(
                (x, 0),
                say(*WORDS, word),
                "small text",
                align="start",
                name=f"key {word}",
            )
            for word, x in key.items()
        ),
        Label((WIDTH - 14, 0), scales, "small text", align="end", name="key scales"),
    ]
    drawing = Drawing(
        caption=say(*WORDS, which, shown=shown, count=everything),
        window=(0, WIDTH, -26, 26),
        still=marks,
        true_scale=False,
    )
    return Panel(drawing=drawing, left=0, top=0, width=WIDTH, height=52)


def _names(
    survey: Survey, rows: Sequence[int], called: Callable[[str], str]
) -> Drawing:
    base = set(survey.base) if len(survey.base) < len(survey.points.ids) else set()
    marks = []
    for line, k in enumerate(rows):
        name = survey.points.ids[k]
        word = called(name)
        word = say(*WORDS, "base_point", name=word) if name in base else word
        marks.append(
            Label((1, -line), word, "small text", (-6, 0), "end", name=f"name {name}")
        )
    return Drawing(
        caption="", window=_window(rows, 0, 1), moving=marks, true_scale=False
    )


def _verdicts(survey: Survey, rows: Sequence[int], system: UnitSystem) -> Drawing:
    """Say by a flag and a word whether a point is inside its limit."""
    marks: list[Mark] = []
    for line, k in enumerate(rows):
        if survey.points.limits is None:
            continue
        name, beyond = survey.points.ids[k], survey.beyond[..., k, :].any(axis=-1)
        at = (0.2, -line)
        word = said(*WORDS, np.where(beyond, "outside", "inside"), show=system.show)
        marks += [
            Marker(at, "diamond", "outside", f"outside {name}", shown=beyond),
            Marker(at, "diamond", "inside", f"inside {name}", shown=~beyond),
            Label(at, word, "small text", (16, 0), "start", name=f"verdict {name}"),
        ]
    return Drawing(
        caption="", window=_window(rows, 0, 1), moving=marks, true_scale=False
    )


def _window(
    rows: Sequence[int], left: float, right: float
) -> tuple[float, float, float, float]:
    return (left, right, -len(rows) + 0.5, 0.5)


def _column(
    survey: Survey,
    rows: Sequence[int],
    axis: int,
    scale: Coordinate,
    system: UnitSystem,
) -> Drawing:
    """Draw one coordinate of every point along its own scale, its number behind."""
    still: list[Mark] = []
    moving: list[Mark] = []
    for line, k in enumerate(rows):
        name = survey.points.ids[k]
        if survey.points.limits is not None:
            limit = np.minimum(float(survey.points.limits[k]), scale)
            low, high = -line - 0.5, -line + 0.5
            band = [(-limit, low), (limit, low), (limit, high), (-limit, high)]
            still.append(Polygon(band, "limit band", f"limit {name}"))
        value = survey.differences[..., k, axis]
        number = Signed(value, "small length", system.show)
        moving += [
            *dumb_bell((0, -line), (value, -line), name),
            Label(
                (2.35 * scale, -line), number, "text", align="end", name=f"value {name}"
            ),
        ]
    nought = [(0, -len(rows) + 0.5), (0, 0.5)]
    still.append(Line(nought, "reference", "nought"))
    return Drawing(
        caption=text(*WORDS, "ways")[axis],
        window=(-1.2 * scale, 2.4 * scale, -len(rows) + 0.5, 1.5),
        still=still,
        moving=moving,
        true_scale=False,
    )


def described(
    survey: Survey, *, system: UnitSystem, called: Callable[[str], str] = str
) -> Text:
    """Say in words what the picture shows, of one survey or of many."""
    worst = np.argmax(survey.totals, axis=-1)
    names = np.array([called(name) for name in survey.points.ids])
    there = worst[..., None, None]
    parts = np.take_along_axis(survey.differences, there, axis=-2)[..., 0, :]
    length, width, height = (
        Signed(part, "small length", system.show) for part in np.moveaxis(parts, -1, 0)
    )
    largest = _say(
        "largest",
        system,
        count=len(survey.points.ids),
        base=len(survey.base),
        name=names[worst],
        parts=_say("parts", system, length=length, width=width, height=height),
        total=survey.totals.max(axis=-1),
    )
    outside = np.asarray(survey.beyond.any(axis=-1).sum(axis=-1))
    limits = (
        _say("no_limits", system)
        if survey.points.limits is None
        else _say("beyond", system, count=outside)
    )
    return _say("told", system, largest=largest, limits=limits)


def _say(key: str, system: UnitSystem, **values: object) -> Sentence:
    return said(*WORDS, key, show=system.show, **values)
