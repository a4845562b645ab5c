"""Scales that several pictures share: round numbers, a scale bar, bars from zero."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.expected import Expected, expected_bar
from workbook.figures.drawing.letters import width_of
from workbook.figures.drawing.marks import (
    Coordinate,
    Drawing,
    FreeLabel,
    Label,
    Line,
    Mark,
    Panel,
    Polygon,
    Window,
    parts,
    path,
    place,
)
from workbook.figures.drawing.rooms import GAP, PAGE, Room, stacked
from workbook.figures.drawing.styles import STYLES
from workbook.figures.drawing.texts import Amount, Text, forms_of, said
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from workbook.quantities.units import UnitSystem

ROW = 28.0  # px, of a row of bars that stand alone
CLOSE_ROW, LEAST_ROW = 20.0, 16.5  # px, of one with something below; at its letters
LEAST_BELOW = 120.0  # px, of a drawing below bars, in letters of a page
BETWEEN = 0.35  # of a row, between groups of bars
AIR, LEAST_BAR = 12.0, 12.0  # px, beside words of bars; a bar's least full length
BAR_ROOM = 1.4  # height of a row of bars, in rows, above the first and below the last

_ROUND = np.array([1.0, 2.0, 5.0, 10.0])


def round_up(value: Coordinate, *, unit: float = 1.0) -> Coordinate:
    """Return the next of 1, 2, 5 times a power of ten units, for one or many (...).

    Examples
    --------
    >>> [float(round_up(x)) for x in (17.0, 0.03, 50.0)]
    [20.0, 0.05, 50.0]
    """
    size = np.asarray(value) / unit
    power = 10.0 ** np.floor(np.log10(size))
    # A hair of room, for a value that is round but for rounding.
    enough = _ROUND * power[..., None] * (1 + 1e-9) >= size[..., None]
    return _ROUND[enough.argmax(axis=-1)] * power * unit


def scale_bar(window: Window, system: UnitSystem) -> list[Mark]:
    """Return a bar of round length in the lower right corner of a window [m]."""
    wide, high = window[1] - window[0], window[3] - window[2]
    length = round_up(wide / 12, unit=factor(system.unit["length"]))
    right, y = window[1] - 0.02 * wide, window[2] + 0.03 * high
    left, tick = right - length, 0.008 * wide
    return [
        Line([(left, y), (right, y)], "angle", "scale"),
        *(
            Line([(x, y - tick), (x, y + tick)], "angle", f"scale {end}")
            for end, x in (("start", left), ("end", right))
        ),
        FreeLabel(
            (left, y),
            Amount(length, "length", system.show),
            "small text",
            name="label scale",
            along=[(left, y), (right, y)],
        ),
    ]


def bar(
    y: float,
    share: Coordinate,
    words: str | Text,
    value: str | Text,
    role: str,
    *,
    over: Coordinate = None,
    name: str = "",
) -> list[Mark]:
    """Return one bar from zero, its words before it and its value behind.

    Where ``over`` (...) is given, another bar stands in its place where that holds,
    and looks as if over a limit.
    """
    box = path([(0, y - 0.32), (share, y - 0.32), (share, y + 0.32), (0, y + 0.32)])
    bars = [Polygon(box, role, f"bar {name}")]
    if over is not None:
        bars = [
            Polygon(box, role, f"bar {name}", shown=~np.asarray(over)),
            Polygon(box, "bar over", f"bar over {name}", shown=over),
        ]
    return [*bars, *words_of_bar(y, share, words, value, name)]


def words_of_bar(
    y: float, share: Coordinate, words: str | Text, value: str | Text, name: str
) -> list[Mark]:
    """Return the words before a bar and its value behind it."""
    return [
        Label((0, y), words, "text", (-8, 0), "end", name=f"label {name}"),
        Label((share, y), value, "text", (6, 0), "start", name=f"value {name}"),
    ]


def force_bars(
    rows: Sequence[tuple[str, str | Text, Coordinate, str]],
    *,
    caption: str | Text,
    system: UnitSystem,
    room: Room = PAGE,
    kind: str = "force",
    gaps: Collection[int] = (),
    note: str | Text = "",
    expected: Expected | None = None,
    rows_of: Mapping[str, str] = MappingProxyType({}),
) -> Drawing:
    """Return bars from zero, each with its words before it and its value behind.

    Parameters
    ----------
    rows : sequence of (str, text, array_like, str)
        Name, words, value (...) in SI and role of each bar, from the top.
    caption : str or Text
        What the bars are.
    system : UnitSystem
        Units of the values.
    room : Room
        What is left of its width by words and values is for the bars.
    kind : str
        Kind of the values.
    gaps : collection of int
        Rows before which there is a gap.
    note : str or Text
        What explains a row, below the last.
    expected : Expected, optional
        What a reader expects of a row; it stands below that.
    rows_of : mapping
        Which row has each number that may be expected.
    """
    guess = expected if expected and expected.amount in rows_of else None
    values = [row[2] for row in rows] + ([guess.band[1]] if guess else [])
    largest = np.maximum.reduce(np.broadcast_arrays(*values))
    full = round_up(np.maximum(largest, 1e-9))
    marks: list[Mark] = []
    y = 0.0
    before = said("picture", "expected", "row", show=system.show)
    for k, (name, words, value, role) in enumerate(rows):
        shown = Amount(value, kind, system.show)
        y -= (k > 0) + BETWEEN * (k in gaps)
        marks += bar(y, value / full, words, shown, role, name=name)
        if guess and name == rows_of[guess.amount]:
            y -= 1
            behind = Amount(guess.value, kind, system.show)
            marks += expected_bar(y, full, guess)
            marks += words_of_bar(y, guess.band[1] / full, before, behind, "expected")
    texts = [row[1] for row in rows] + ([before] if guess else [])
    names = max(_width(form, room) for text in texts for form in forms_of(text))
    behind_it = _width(Amount(0.0, kind, system.show).widest, room)
    long = max(room.beside[0] - names - behind_it, LEAST_BAR * room.letters)
    left = -names / long
    if note:
        y -= 1
        at = (left, y)
        marks.append(Label(at, note, "small text", (4, 0), "start", name="note"))
    return Drawing(
        caption=caption,
        window=(left, 1.0 + behind_it / long, y - BAR_ROOM / 2, BAR_ROOM),
        moving=marks,
        true_scale=False,
    )


def with_limit(bars: Drawing, at: Coordinate, name: str) -> Drawing:
    """Return bars with a dashed line across them, and values that keep off it.

    Parameters
    ----------
    bars : Drawing
        Of `force_bars`.
    at : Coordinate
        Where the line stands, as a share of the longest bar there is room for (...).
    name : str
        Which line it is.
    """
    low, high = bars.window[2], bars.window[3]
    line = path([(at, low + 0.4), (at, high - 0.6)])

    def clear(mark: Mark) -> Mark:
        """Put a value behind the line, where its bar ends before it."""
        if not mark.name.startswith("value "):
            return mark
        assert isinstance(mark, Label)
        x, y = parts(mark.at)
        there = place((np.maximum(x, at), y))
        return Label(there, mark.said, "text", (6, 0), "start", name=mark.name)

    moving = [*map(clear, bars.moving), Line(line, "limit", name)]
    return replace(bars, moving=moving)


def _width(text: str, room: Room) -> float:
    size = STYLES["text"].size * room.letters
    return width_of(text, size, STYLES["text"].bold) + AIR


def bars_panel(bars: Drawing, room: Room) -> Panel:
    """Put bars alone beside a picture, in rows no higher than they need be."""
    wide, high = room.beside
    rows = ROW * room.letters * float(bars.window[3] - bars.window[2])
    return Panel(drawing=bars, left=0, top=0, width=wide, height=min(rows, high))


def bars_over(bars: Drawing, other: Drawing, room: Room) -> list[Panel]:
    """Put bars beside a picture, in close rows, and a drawing below if it has room."""
    row = max(CLOSE_ROW, LEAST_ROW * room.letters)
    rows = row * float(bars.window[3] - bars.window[2])
    rest = room.beside[1] - GAP - rows
    if rest < LEAST_BELOW * room.letters:
        return [bars_panel(bars, room)]
    return stacked([(bars, rows), (other, rest)], room.beside)
