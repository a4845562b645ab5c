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
from workbook.figures.drawing.rooms import PAGE, Room
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
LEAST_COLUMN = 150.0  # width of a coordinate's column
KEY, SECOND = 700.0, 20.0  # width of the key in one line; height of a second one
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
    survey: Survey,
    *,
    system: UnitSystem,
    called: Callable[[str], str] = str,
    room: Room = PAGE,
) -> Sheet:
    """Return one row a point, one column a coordinate; the largest if many.

    Where there is no room for three columns they stand below one another.

    Parameters
    ----------
    survey : Survey
        Survey laid over its specification, or many of the same points.
    system : UnitSystem
        Units of the numbers.
    called : callable
        Returns what a reader calls a point; its id unless given.
    room : Room
        How much room there is.
    """
    rows = _rows_shown(survey)
    on_wall = room.name == "projector"  # it stands below picture and split
    width = room.picture[0] + on_wall * room.beside[0] if room.brief else WIDTH
    names, last, row = (x * room.letters for x in (NAMES, LAST, ROW))
    second = SECOND * (width / room.letters < KEY)  # line of the key
    high, head = row * len(rows), (HEAD + second) * room.letters
    largest = np.abs(survey.differences[..., rows, :]).max(axis=(-2, -1))
    scale = np.maximum(largest, SMALLEST_SCALE)
    beside = width - names - last >= 3 * LEAST_COLUMN * room.letters
    wide = (width - names - last) / 3 if beside else width - names
    below = 0.0 if beside else high + row
    panels = [_legend(survey, len(rows), scale, system, width, second, room.letters)]
    called_rows = _names(survey, rows, called)
    for axis in range(3):
        top, left = head + axis * below, names + axis * wide * beside
        if axis == 0 or not beside:
            panels.append(_panel(called_rows, 0, top, names, high))
        column = _column(survey, rows, axis, scale, system)
        panels.append(_panel(column, left, top - row, wide, high + row))
    top = head + 3 * below
    if not beside:
        panels.append(_panel(called_rows, 0, top, names, high))
    verdicts = _verdicts(survey, rows, system)
    panels.append(_panel(verdicts, names + 3 * wide * beside, top, last, high))
    return Sheet(
        width=width,
        height=top + high + 8,
        letters=room.letters,
        text=described(survey, system=system, called=called),
        panels=panels,
    )


def _panel(
    drawing: Drawing, left: float, top: float, width: float, height: float
) -> Panel:
    return Panel(drawing=drawing, left=left, top=top, width=width, height=height)


def _rows_shown(survey: Survey) -> list[int]:
    """Return all points, or those with the largest differences, in their order."""
    totals = survey.totals.reshape(-1, survey.totals.shape[-1]).max(axis=0)
    largest = np.argsort(-totals, kind="stable")[:MOST_ROWS]
    return sorted(largest.tolist())


def _legend(
    survey: Survey,
    shown: int,
    scale: Coordinate,
    system: UnitSystem,
    width: float,
    second: float,
    letters: float,
) -> Panel:
    everything = len(survey.points.ids)
    which = "caption" if shown == everything else "caption_largest"
    band = [(226, -9), (250, -9), (250, 9), (226, 9)]
    key = {"specified": 28, "measured": 138, "inside_limit": 258}
    scales = said(*WORDS, "scales", show=system.show, low=-scale, high=scale)
    wide = width / letters
    at = (wide - 14, -second)
    marks: list[Mark] = [
        Marker((14, 0), "ring", "specified", "key specified"),
        Marker((124, 0), "square", "measured", "key measured"),
        Polygon(band, "limit band", "key limit"),
        *(
            Label((x, 0), say(*WORDS, w), "small text", align="start", name=f"key {w}")
            for w, x in key.items()
        ),
        Label(at, scales, "small text", align="end", name="key scales"),
    ]
    drawing = Drawing(
        caption=say(*WORDS, which, shown=shown, count=everything),
        window=(0, wide, -26 - second, 26),
        still=marks,
        true_scale=False,
    )
    return _panel(drawing, 0, 0, width, (52 + second) * letters)


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
