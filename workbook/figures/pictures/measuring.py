"""Pictures of measuring a car: readings from three planes, differences, a survey."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import Drawing, FreeLabel, Line, Mark, Marker
from workbook.figures.drawing.named import arc
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import scale_bar
from workbook.figures.drawing.texts import Text, where
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.pictures.measuring_bars import differences_sheet
from workbook.figures.pictures.measuring_parts import (
    AHEAD,
    BACK,
    drawn,
    length,
    letter,
    lettered,
    outline,
    say,
    signed,
    slope,
    tape_words,
    tilted,
)
from workbook.figures.pictures.measuring_space import measuring_grips, space_view
from workbook.figures.pictures.measuring_words import described, measuring_amounts
from workbook.figures.pictures.points import dumb_bell, survey_sheet
from workbook.figures.subject import Subject
from workbook.scenes.measuring import FIELDS, WORD, Measured, MeasuringGiven

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.marks import Sheet, Window
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

Ghost = tuple[str, Measured]

# What a view shows to the right and up, and its window, always the same. [m]
AXES = {"side": (0, 2), "above": (0, 1)}
WINDOWS: dict[str, Window] = {
    "side": (BACK - 0.15, AHEAD + 0.2, -0.5, 1.15),
    "above": (BACK - 0.15, AHEAD + 0.2, -1.0, 1.0),
}
CLOSE: Window = (-0.35, 1.95, -0.3, 1.25)  # on paper, from the zero plane forward
LEAST_TAPE = 0.05  # m; a tape that rises less has no level beside it


def measuring_sheet(
    measured: Measured,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return the car from the side and from above, with what is read of it."""
    views = [
        (view_from(measured, system, ghosts, seen=seen, brief=room.brief), share)
        for seen, share in (("side", 1.0), ("above", 1.15))
    ]
    text = where(measured.stands, described(measured, system), show=system.show)
    return room.picture_of(stacked(views, room.picture, over=room.caption), text)


def space_sheet(
    measured: Measured,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    view: Viewpoint = VIEWS["home"],
    rest: Measured | None = None,
    room: Room = PAGE,
) -> Sheet:
    """Return the three planes and the car in space; its scale is always one."""
    drawing = space_view(measured, system, ghosts, view=view, brief=room.brief)
    text = where(measured.stands, described(measured, system), show=system.show)
    return room.picture_of(stacked([(drawing, 1.0)], room.picture), text)


def list_sheet(measured: Measured, *, system: UnitSystem, room: Room = PAGE) -> Sheet:
    """Return every point of the fitted survey, one row each."""
    survey, called = measured.survey, measured.called
    return survey_sheet(survey, system=system, called=called, room=room)


# ------------------------------------------------------------------ flat views


def view_from(
    measured: Measured,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    seen: str,
    brief: bool = False,
    window: Window | None = None,
) -> Drawing:
    """Draw the car from the ``side`` or from ``above``, forward to the right."""
    axes = list(AXES[seen])
    places = drawn(measured)[..., axes]
    ends = measured.specified[measured.rows(measured.shown)][:, axes]
    moving: list[Mark] = []
    for name, other in ghosts:
        moving += _ghost(name, other, system, axes)
    if measured.given.chosen("shown") == "one point":
        moving += _readings(measured, places[..., 0, :], system, seen, brief=brief)
    if seen == "side":
        moving += _tilt(measured, system, brief=brief)
    for k in range(len(measured.shown)):
        moving += dumb_bell(ends[k], places[..., k, :], letter(k) or str(k))
    for k in range(lettered(measured)):
        words: str | Text = letter(k)
        if not brief:
            number = say(
                ("number", seen),
                system,
                first=signed(measured.differences[..., _row(measured, k), 0], system),
                second=signed(
                    measured.differences[..., _row(measured, k), axes[1]], system
                ),
            )
            words = say("named", system, letter=letter(k), number=number)
        moving.append(
            FreeLabel(
                places[..., k, :],
                words,
                "strong text",
                name=f"label {letter(k)}",
                rank="angle",
                short=letter(k),
            )
        )
    frame = WINDOWS[seen] if window is None else window
    return Drawing(
        caption=say(("caption", f"{seen}_brief" if brief else seen), system),
        window=frame,
        still=_still(measured, system, seen, frame, brief=brief),
        moving=moving,
    )


def _row(measured: Measured, k: int) -> int:
    return measured.rows(measured.shown)[k]


def _still(
    measured: Measured, system: UnitSystem, seen: str, window: Window, *, brief: bool
) -> list[Mark]:
    """Draw the car's outline, and the two planes that are seen on edge."""
    left, right, low, high = window
    axes = list(AXES[seen])
    level = [(left, 0.0), (right, 0.0)]
    upright = [(0.0, low), (0.0, 0.9 * high)]
    names = {"side": "datum", "above": "centre"}
    short = "short" if brief else "plane"
    return [
        *(
            Line(line[:, axes], "car outline", name)
            for name, line in outline(measured).items()
        ),
        Line(level, "reference", names[seen]),
        Line(upright, "reference", "zero"),
        FreeLabel(
            (right, 0.0),
            say((short, names[seen]), system),
            "small text",
            name=f"label {names[seen]}",
            along=[(0.72 * left, 0.0), (0.35 * left, 0.0)],
        ),
        FreeLabel(
            (0.0, high),
            say((short, "zero"), system),
            "small text",
            name="label zero",
            along=[(0.0, 0.5 * high), (0.0, 0.85 * high)],
        ),
        *([] if seen == "side" or brief else scale_bar(window, system)),
    ]


def _readings(
    measured: Measured, place: Array, system: UnitSystem, seen: str, *, brief: bool
) -> list[Mark]:
    """Draw from which plane each reading of the chosen point starts, and the tape."""
    x, up = place[..., 0], place[..., 1]
    axis = AXES[seen][1]
    ways = {
        ("height", "width")[seen == "above"]: ([(x, 0.0 * up), (x, up)], axis),
    }
    if seen == "above":
        ways["length"] = ([(0.0 * x, up), (x, up)], 0)
    marks: list[Mark] = [
        Line(line, "angle", f"reading of {name}") for name, (line, _) in ways.items()
    ]
    if not brief:
        marks += [
            FreeLabel(
                np.stack(np.broadcast_arrays(*line[1]), axis=-1),
                say(("reading", name), system, at=np.abs(measured.reading[..., axis])),
                name=f"label {name}",
                rank="angle",
                along=line,
                short=length(np.abs(measured.reading[..., axis]), system),
            )
            for name, (line, axis) in ways.items()
        ]
    return marks + (_tape(measured, place, system, brief) if seen == "side" else [])


def _tape(
    measured: Measured, place: Array, system: UnitSystem, brief: bool
) -> list[Mark]:
    """Draw the tape from the zero plane to the point, and the level beside it."""
    high = measured.tape_start[..., 2]
    start, level = (0.0 * high, high), (place[..., 0], high)
    slopes = np.abs(place[..., 1] - high) > LEAST_TAPE
    tape = [start, (place[..., 0], place[..., 1])]
    marks: list[Mark] = [
        Line([start, level], "reference", "level", shown=slopes),
        Line(tape, "tape", "tape"),
        Marker(start, "disc", "hold", "tape start"),
    ]
    if brief:
        return marks
    return [
        *marks,
        FreeLabel(
            np.stack(np.broadcast_arrays(*start), axis=-1),
            tape_words(measured, system),
            name="label tape",
            rank="force",
            along=tape,
            short=length(measured.tape, system),
        ),
    ]


def _tilt(measured: Measured, system: UnitSystem, *, brief: bool) -> list[Mark]:
    """Draw the car's own datum plane against the base's."""
    steep, shown = slope(measured), tilted(measured)
    turn = np.arctan(steep)
    line = [(BACK + 0.0 * steep, BACK * steep), (AHEAD + 0.0 * steep, AHEAD * steep)]
    tilt = measured.given.array("tilt_deg")
    marks: list[Mark] = [
        Line(line, "axis", "car's datum", shown=shown),
        Line(
            arc((0.0, 0.0), 0.8, np.minimum(turn, 0.0), np.maximum(turn, 0.0)),
            "angle",
            "tilt",
            shown=shown,
        ),
    ]
    if brief:
        return marks
    far = [(0.35 * BACK + 0.0 * steep, 0.35 * BACK * steep), line[0]]
    return [
        *marks,
        FreeLabel(
            np.stack([0.8 * np.cos(turn / 2), 0.8 * np.sin(turn / 2)], axis=-1),
            say("tilt", system, tilt=np.abs(tilt)),
            "angle text",
            name="label tilt",
            rank="angle",
            shown=shown,
        ),
        FreeLabel(
            np.stack(line[0], axis=-1),
            say("own_datum", system),
            "small text",
            name="label car's datum",
            along=far,
            shown=shown,
        ),
    ]


def _ghost(
    name: str, other: Measured, system: UnitSystem, axes: list[int]
) -> list[Mark]:
    """Show where the chosen point of a frozen set-up was measured."""
    ring = other.specified[other.row][axes]
    place = drawn(other)[..., 0, axes]
    return [
        Line([ring, place], "ghost", f"ghost {name}"),
        FreeLabel(
            place,
            say("ghost", system, letter=name),
            "ghost text",
            name=f"label ghost {name}",
            short=name,
        ),
    ]


MEASURING = Subject(
    name="measuring",
    word=WORD,
    fields=FIELDS,
    front=("tilt_deg", "tape_start_mm", "shown"),
    only_with={
        "tape_start_mm": ("shown", ("one point",)),
        "second_point": ("shown", ("three points",)),
        "third_point": ("shown", ("three points",)),
        "bent": ("shown", ("whole survey",)),
        "bent_mm": ("shown", ("whole survey",)),
        "left_out": ("shown", ("whole survey",)),
    },
    held="points of the car",
    leaves_out=("tape_sag", "base_bend", "car_settles", "real_car"),
    solve=lambda values: MeasuringGiven(values=values).solved(),
    amounts=measuring_amounts,
    picture=measuring_sheet,
    beside=differences_sheet,
    in_space=space_sheet,
    grips=lambda solved, view, sheet: measuring_grips(solved, view, sheet.panels[0]),
    extras={"survey": list_sheet},
)
