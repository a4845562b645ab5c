"""Beside a car that is measured: each difference with its sign, against its limit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from workbook.figures.drawing.letters import width_of
from workbook.figures.drawing.marks import (
    Drawing,
    Label,
    Line,
    Mark,
    Marker,
    Polygon,
)
from workbook.figures.drawing.rooms import PAGE, Room
from workbook.figures.drawing.scales import AIR, LEAST_BAR, bars_panel, round_up
from workbook.figures.drawing.styles import STYLES
from workbook.figures.drawing.texts import Amount, Text, where
from workbook.figures.pictures.measuring_parts import letter, say, signed
from workbook.figures.pictures.points import dumb_bell
from workbook.scenes.measuring import BASE, Measured

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Coordinate, Sheet
    from workbook.quantities.units import UnitSystem

WAYS = ("length", "width", "height")
STATES = ("agrees", "odd", "left_out")
WIDEST = -0.0888  # m, of which few differences are wider
FLAG = 26.0  # px, for a flag and its air
LEAST_SCALE = 5e-3  # m, either way
KEY_ROW = 0.75  # rows, from one line of the key to the next
MANY_ROWS = 10  # so many are as narrow as their letters, and so are those of the key


class DifferenceRow(NamedTuple):
    """One difference: its words, its value, its limit, and whether it is outside.

    ``forms`` are all the words that it may have.
    """

    name: str
    words: str | Text
    forms: Sequence[str]
    value: Coordinate
    shown: Text
    limit: float
    outside: Any


def differences_sheet(
    measured: Measured,
    *,
    system: UnitSystem,
    ghosts: Sequence[tuple[str, Measured]] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return what stands beside it: each difference against its limit."""
    del ghosts  # they are told in the picture and in the table
    groups = _groups(measured, system, room)
    odd = measured.fitted and room.name != "projector"  # no room for it there
    bars = difference_bars(groups, system, room, odd=odd)
    text = where(measured.stands, bars.caption, show=system.show)
    return room.beside_of([bars_panel(bars, room)], text)


def _groups(
    measured: Measured, system: UnitSystem, room: Room
) -> list[tuple[str | Text, list[DifferenceRow]]]:
    """Return the rows of each point that has a letter, and those of the base."""
    names = measured.shown[:1] if measured.fitted else measured.shown
    found: list[tuple[str | Text, list[DifferenceRow]]] = []
    for k, name in enumerate(names):
        row = measured.rows((name,))[0]
        limit = float(measured.limits[row])
        over = measured.beyond[..., row]
        heading = say(
            ("heading", np.where(over, "outside", "inside")),
            system,
            letter=letter(k),
            name=measured.called(name),
            limit=limit,
        )
        rows = [
            DifferenceRow(
                name=f"{name} {way}",
                words=say(("way", way), system),
                forms=[str(say(("way", way), system))],
                value=measured.differences[..., row, axis],
                shown=signed(measured.differences[..., row, axis], system),
                limit=limit,
                outside=np.abs(measured.differences[..., row, axis]) > limit,
            )
            for axis, way in enumerate(WAYS)
        ]
        found.append((heading, rows))
    if measured.fitted:
        found.append((say("base", system), _base_rows(measured, system, room)))
    return found


def _base_rows(
    measured: Measured, system: UnitSystem, room: Room
) -> list[DifferenceRow]:
    """Return how far each base point lies from the fit, and who disagrees."""
    rows, on_wall = [], room.name == "projector"  # letters, for large ones
    for k, name in enumerate(BASE):
        left_out = name not in measured.survey.base
        told = np.where(measured.odd[..., k], "odd", "agrees")
        key = np.where(left_out, "left_out", told)
        called = say((("base_point", "base_letters")[on_wall], name), system)
        off = measured.off_base[..., k]
        limit = float(measured.limits[measured.rows((name,))[0]])
        rows.append(
            DifferenceRow(
                name=name,
                words=say(("base_row", key), system, name=called),
                forms=[
                    str(say(("base_row", state), system, name=called))
                    for state in STATES
                ],
                value=off,
                shown=Amount(off, "small length", system.show),
                limit=limit,
                outside=off > limit,
            )
        )
    return rows


def difference_bars(
    groups: Sequence[tuple[str | Text, Sequence[DifferenceRow]]],
    system: UnitSystem,
    room: Room,
    *,
    odd: bool = False,
) -> Drawing:
    """Draw each difference as a dumb-bell from nought on the band of its limit.

    A key below says what the marks mean, ``odd`` that of base points too.
    """
    rows = [row for _, some in groups for row in some]
    marks: list[Mark] = []
    y = 1.0
    left, flag, right = _sides(rows, system, room)
    px = (right - left) / room.beside[0]
    for number, (heading, some) in enumerate(groups):
        y -= 1.0
        at = (left, y)
        marks.append(
            Label(at, heading, "text", (4, 0), "start", name=f"heading {number}")
        )
        values = (np.abs(row.value) for row in some)
        largest = np.maximum.reduce(np.broadcast_arrays(LEAST_SCALE, *values))
        full = round_up(largest)
        for row in some:
            y -= 1.0
            marks += _row(row, y, full, flag)
    step = 1.0 if len(rows) > MANY_ROWS else KEY_ROW
    key = _key(left, y - 0.4, px * room.letters, system, odd=odd, step=step)
    return Drawing(
        caption=say(("caption", "bars"), system),
        window=(left, right, y - 1.9 - step * (1 + 2 * odd), 1.4),
        still=key,
        moving=marks,
        true_scale=False,
    )


def _key(
    left: float, y: float, px: float, system: UnitSystem, *, odd: bool, step: float
) -> list[Mark]:
    """Say what flags, band and words mean, in rows under the bars."""
    y -= 1.0
    second, wide = left + 140 * px, 8 * px
    low, high = y - step - 0.25, y - step + 0.25
    band = [
        (x, at)
        for x, at in zip(
            (left + 4 * px, left + 4 * px + 2 * wide) * 2,
            (low, low, high, high),
            strict=True,
        )
    ]
    words = [(left + 26 * px, y, "outside"), (second + 22 * px, y, "inside")]
    words += [(left + 26 * px, y - step, "limit")]
    names = ("odd", "left_out") if odd else ()
    words += [(left, y - step * (2 + k), name) for k, name in enumerate(names)]
    return [
        Marker((left + 12 * px, y), "diamond", "outside", "key outside"),
        Marker((second + 8 * px, y), "diamond", "inside", "key inside"),
        Polygon([band[0], band[1], band[3], band[2]], "limit band", "key limit"),
        *(
            Label((x, at), say(("key", name), system), "small text", (4, 0), "start",
                  name=f"label key {name}")
            for x, at, name in words
        ),
    ]  # fmt: skip


def _row(row: DifferenceRow, y: float, full: Coordinate, flag: float) -> list[Mark]:
    limit, low, high = np.minimum(row.limit / full, 1.0), y - 0.36, y + 0.36
    band = [(-limit, low), (limit, low), (limit, high), (-limit, high)]
    over = np.asarray(row.outside)
    return [
        Polygon(band, "limit band", f"bar limit {row.name}"),
        Line([(0.0, y - 0.5), (0.0, y + 0.5)], "reference", f"nought {row.name}"),
        *dumb_bell((0.0, y), (row.value / full, y), row.name),
        Label((-1.0, y), row.words, "text", (-10, 0), "end", name=f"label {row.name}"),
        Label((1.0, y), row.shown, "text", (10, 0), "start", name=f"value {row.name}"),
        Marker((flag, y), "diamond", "outside", f"over {row.name}", shown=over),
        Marker((flag, y), "diamond", "inside", f"within {row.name}", shown=~over),
    ]


def _sides(
    rows: Sequence[DifferenceRow], system: UnitSystem, room: Room
) -> tuple[float, float, float]:
    """Return the left end, the flags' place and the right end; the scale is -1 to 1."""
    names = max(_width(form, room) for row in rows for form in row.forms)
    values = _width(system.show(WIDEST, "small length"), room)
    flag = FLAG * room.letters
    rest = room.beside[0] - names - values - flag
    half = max(rest, 2 * LEAST_BAR * room.letters) / 2
    return (
        -1.0 - names / half,
        1.0 + (values + flag / 2) / half,
        1.0 + (values + flag) / half,
    )


def _width(text: str, room: Room) -> float:
    size = STYLES["text"].size * room.letters
    return width_of(text, size, STYLES["text"].bold) + AIR
