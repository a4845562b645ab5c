"""Pictures of a final list: each point beside its neighbours, and against its limit."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    FreeLabel,
    Label,
    Line,
    Mark,
    Marker,
    Polygon,
    path,
)
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import bars_panel
from workbook.figures.drawing.texts import Amount, Signed, Text, said, where
from workbook.figures.pictures.measuring_bars import DifferenceRow, difference_bars
from workbook.figures.pictures.points import dumb_bell
from workbook.figures.subject import Subject
from workbook.scenes.final_list import (
    ALONG,
    DIAGONALS,
    FIELDS,
    POINTS,
    SIDES,
    WORD,
    FinalGiven,
    FinalList,
    rail_stiffness,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Coordinate, Sheet
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, FinalList]

LEAST, GRADE = 3e-3, 2e-3  # m, either way; a scale is a number of grades
ROOM_OVER = 1.1  # so that no point stands at the very end
HALF = 0.18  # of a column, half of the band of a limit
# Round the columns of one side, in columns and in parts of the scale.
BEFORE, BEHIND, ABOVE, BELOW = 1.05, 0.6, 1.75, 2.1
BRIEF_ABOVE = 1.35
VALUES, NAMES, PAIRS = 1.45, -1.45, -1.85  # heights of what is written above and below


def final_sheet(
    solved: FinalList,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return each point of the list beside its neighbours, a side below the other."""
    full = _scale(solved, ghosts)
    if solved.shown == "diagonal":
        rows = [("diagonals", [*range(len(DIAGONALS))])]
    else:
        rows = list(zip(SIDES, solved.groups, strict=True))
    views = [
        (row_view(solved, system, ghosts, rows=k, called=name, full=full, room=room), 1)
        for name, k in rows
    ]
    text = where(solved.stands, described(solved, system), show=system.show)
    return room.picture_of(stacked(views, room.picture, over=room.caption), text)


def list_sheet(
    solved: FinalList,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return what stands beside it: the list, each row on the band of its limit."""
    del ghosts  # they are told in the picture and in the table
    bars = difference_bars(_groups(solved, system, room), system, room)
    text = where(solved.stands, bars.caption, show=system.show)
    if room.name == "projector":  # its rows take the room of a caption
        bars = replace(bars, caption="")
    return room.beside_of([bars_panel(bars, room)], text)


def _say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "final", *keys, show=system.show, **values)


def _scale(solved: FinalList, ghosts: Sequence[Ghost]) -> Coordinate:
    """Return what the height of a drawing means. [m]"""
    sizes = [solved.largest, *(other.largest for _, other in ghosts)]
    most = np.maximum.reduce(np.broadcast_arrays(LEAST, *sizes))
    return GRADE * np.ceil(ROOM_OVER * most / GRADE)


# The rows of neighbours -------------------------------------------------------


def row_view(
    solved: FinalList,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    rows: Sequence[int],
    called: str,
    full: Coordinate,
    room: Room = PAGE,
) -> Drawing:
    """Draw some rows of the list as columns, each difference on its limit's band."""
    there = {row: column for column, row in enumerate(rows)}
    still: list[Mark] = []
    moving: list[Mark] = []
    for row, x in there.items():
        limit = np.minimum(solved.limits[row] / full, 1.0)
        band = path(
            [
                (x - HALF, -limit),
                (x + HALF, -limit),
                (x + HALF, limit),
                (x - HALF, limit),
            ]
        )
        moving.append(Polygon(band, "limit band", f"limit {row}"))
        still += _names(solved, row, x, system)
    still.append(Line([(-0.35, 0.0), (len(rows) - 0.5, 0.0)], "reference", "nought"))
    for letter, other in ghosts:
        moving += _ghost(letter, other, rows, full, system)
    heights = solved.differences / full[..., None]
    pairs = [(k, pair) for k, pair in enumerate(solved.pairs) if pair[0] in there]
    for k, (first, second) in pairs:
        line = path([(there[row], heights[..., row]) for row in (first, second)])
        moving.append(Line(line, "angle", f"neighbours {k}"))
    for row, x in there.items():
        moving += _point(solved, row, (x, heights[..., row]), system, room)
    for k, (first, second) in pairs:
        moving += _step(
            solved, k, there[first] + 0.5, heights[..., [first, second]], system, room
        )
    brief = "brief" if room.brief else "caption"
    before, above = (BEHIND, BRIEF_ABOVE) if room.brief else (BEFORE, ABOVE)
    return Drawing(
        caption=_say((brief, called), system, shown=solved.given.shown("shown")),
        window=(-before, len(rows) - 1 + BEHIND, -BELOW, above),
        still=[*still, *([] if room.brief else _numbers(full, system))],
        moving=moving,
        true_scale=False,
    )


def view_to_read(solved: FinalList, system: UnitSystem) -> Drawing:
    """Return the left side to be read with a ruler: no difference has its number."""
    drawn = row_view(
        solved, system, rows=solved.groups[0], called=SIDES[0], full=_scale(solved, ())
    )
    told = ("value ", "step ", "label step ")
    silent = [mark for mark in drawn.moving if not mark.name.startswith(told)]
    return replace(drawn, moving=silent)


def _names(solved: FinalList, row: int, x: float, system: UnitSystem) -> list[Mark]:
    """Write below a column which point it is, or which diagonal and from which side."""
    if solved.shown != "diagonal":
        words = _say(("point", ALONG[row % len(ALONG)]), system)
        return [Label((x, NAMES), words, "small text", name=f"name {row}")]
    front, rear = DIAGONALS[row]
    side, end = front.split("-")
    words = _say(("across", f"{end} {rear.split('-')[1]}"), system)
    marks: list[Mark] = [
        Label(
            (x, NAMES), _say(("from", side), system), "small text", name=f"name {row}"
        )
    ]
    if side == SIDES[0]:
        at = (x + 0.5, PAIRS)
        marks.append(Label(at, words, "small text", name=f"pair {row}"))
    return marks


def _numbers(full: Coordinate, system: UnitSystem) -> list[Mark]:
    """Write what the height of the drawing means, either way."""
    return [
        Label(
            (-0.45, way),
            Signed(way * full, "length", system.show) if way else "0",
            "small text",
            (0.0, 0.0),
            "end",
            name=f"number {way}",
        )
        for way in (1.0, 0.0, -1.0)
    ]


def _point(
    solved: FinalList,
    row: int,
    at: tuple[float, Array],
    system: UnitSystem,
    room: Room,
) -> list[Mark]:
    """Draw one point as it should be and as it is, with its number."""
    value = Signed(solved.differences[..., row], "small length", system.show)
    over = solved.outside[..., row]
    marks = [
        *dumb_bell((at[0], 0.0), at, str(row)),
        Marker(at, "square", "out of place", f"outside {row}", shown=over),
    ]
    if room.brief:
        return marks
    return [*marks, Label((at[0], VALUES), value, "strong text", name=f"value {row}")]


def _step(
    solved: FinalList,
    k: int,
    x: float,
    ends: Array,
    system: UnitSystem,
    room: Room,
) -> list[Mark]:
    """Draw the step to the next point, where it is the largest of the list."""
    step = np.abs(solved.steps[..., k])
    shown = solved.at_largest_step == k
    low, high = ends.min(axis=-1), ends.max(axis=-1)
    line = path([(x, low), (x, high)])
    tick = 0.06
    shown_as = Amount(step, "small length", system.show)
    words = shown_as if room.brief else _say("step", system, step=step)
    return [
        Line(line, "difference", f"step {k}", shown=shown),
        *(
            Line([(x - tick, y), (x + tick, y)], "difference", f"step {k} {end}",
                 shown=shown)
            for end, y in (("low", low), ("high", high))
        ),
        FreeLabel(
            path([(x, (low + high) / 2)])[..., 0, :],
            words,
            "strong text",
            name=f"label step {k}",
            rank="force",
            along=line,
            short=shown_as,
            shown=shown,
        ),
    ]  # fmt: skip


def _ghost(
    letter: str,
    other: FinalList,
    rows: Sequence[int],
    full: Coordinate,
    system: UnitSystem,
) -> list[Mark]:
    """Draw what a frozen list had in the same rows, a pair of diagonals by itself."""
    marks: list[Mark] = []
    for group in other.groups:
        there = [row for row in group if row in rows]
        if not there:
            continue
        ends = path([(rows.index(k), other.differences[..., k] / full) for k in there])
        marks += [
            Line(ends, "ghost", f"ghost {letter} {there[0]}"),
            FreeLabel(
                ends[..., -1, :],
                _say("ghost", system, letter=letter),
                "ghost text",
                name=f"label ghost {letter} {there[0]}",
                short=letter,
            ),
        ]
    return marks


# What stands beside it, and what is said --------------------------------------


def _groups(
    solved: FinalList, system: UnitSystem, room: Room
) -> list[tuple[str | Text, list[DifferenceRow]]]:
    """Return the rows of each side, or those of the diagonals, with their headings."""
    long = len(DIAGONALS) if solved.shown == "diagonal" else len(ALONG)
    names = ("diagonals",) if solved.shown == "diagonal" else SIDES
    return [
        (
            _say(("heading", name), system, shown=solved.given.shown("shown")),
            [
                _row(solved, row, system, room)
                for row in range(k * long, (k + 1) * long)
            ],
        )
        for k, name in enumerate(names)
    ]


def _row(solved: FinalList, row: int, system: UnitSystem, room: Room) -> DifferenceRow:
    words = _words(solved, row, system, brief=room.brief)
    value = solved.differences[..., row]
    return DifferenceRow(
        name=str(row),
        words=words,
        forms=[str(words)],
        value=value,
        shown=Signed(value, "small length", system.show),
        limit=float(solved.limits[row]),
        outside=solved.outside[..., row],
    )


def _words(
    solved: FinalList, row: int, system: UnitSystem, *, brief: bool = False
) -> Text:
    """Return a row as it is called in the list."""
    if solved.shown != "diagonal":
        return _say(("point", ALONG[row % len(ALONG)]), system)
    front, rear = DIAGONALS[row]
    side, end = front.split("-")
    ends = f"{end} {rear.split('-')[1]}"
    if brief:
        return _say(("row_brief", side), system, ends=_say(("across", ends), system))
    return _say(("row", ends, side), system)


def describe(solved: FinalList, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: FinalList, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    count = solved.outside.sum(axis=-1)
    many = np.where(count == 0, "none", np.where(count == 1, "one", "more"))
    called = np.array([str(_called(solved, k, system)) for k in range(solved.count)])
    pairs = np.array(solved.pairs)[solved.at_largest_step]
    on = np.where(solved.given.array("load_kn") > 0, "on", "off")
    return _say(
        "describe",
        system,
        shown=solved.given.shown("shown"),
        outside=_say(("outside", many), system, count=count),
        largest=solved.largest,
        step=solved.largest_step,
        first=called[pairs[..., 0]],
        second=called[pairs[..., 1]],
        load=_say(
            ("load", on),
            system,
            point=solved.given.shown("loaded_point"),
            load=solved.given.array("load_kn"),
            jump=solved.jump,
        ),
    )


def _called(solved: FinalList, row: int, system: UnitSystem) -> Text:
    """Return a row as it is called in a sentence."""
    if solved.shown == "diagonal":
        return _words(solved, row, system)
    side, name = POINTS[row].split("-")
    return _say(("side_point", side), system, point=_say(("point", name), system))


def amounts(solved: FinalList) -> Amounts:
    """Return the numbers of a final list, most telling first."""
    here = 0 * solved.jump
    stiffness = rail_stiffness(solved.given.chosen("loaded_point"))
    return {
        "largest step between neighbours": (solved.largest_step, "small length"),
        "rows outside their limit": (
            np.asarray(solved.outside.sum(axis=-1), dtype=float),
            "count",
        ),
        "largest difference of the list": (solved.largest, "small length"),
        "jump of the loaded reading": (solved.jump, "small length"),
        "stiffness at the loaded point": (stiffness + here, "stiffness"),
        "left point farthest off its neighbours": (
            np.abs(solved.stands_off).max(axis=-1),
            "small length",
        ),
        **_rows(solved),
    }


def _rows(solved: FinalList) -> Amounts:
    """Return what each row of the list has: of points or of diagonals, as it shows."""
    ends = [f"{front} to {rear}" for front, rear in DIAGONALS]
    names = [row.replace("-", " ") for row in (*POINTS, *ends)]
    first = len(POINTS) if solved.shown == "diagonal" else 0
    none = np.full(np.shape(solved.jump), np.nan)
    return {
        name: (
            solved.differences[..., k - first]
            if 0 <= k - first < solved.count
            else none,
            "small length",
        )
        for k, name in enumerate(names)
    }


FINAL = Subject(
    name="final check",
    word=WORD,
    fields=FIELDS,
    front=("shown", "second_mm", "load_kn"),
    held="other points of the list",
    solve=lambda values: FinalGiven(values=values).solved(),
    amounts=amounts,
    picture=final_sheet,
    beside=list_sheet,
    leaves_out=("reading_errors", "between_points", "other_pulls", "real_car"),
)
