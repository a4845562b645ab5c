"""Pictures of a damaged box: its wire frame, its points, and what they are read as.

The frame is bent by what was read; a point that no kind explains stands off it.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    FreeLabel,
    Label,
    Line,
    Mark,
    Panel,
)
from workbook.figures.drawing.rooms import GAP, PAGE, Room, stacked
from workbook.figures.drawing.texts import Amount, Text, said
from workbook.figures.drawing.views import VIEWS, Viewpoint
from workbook.figures.grips import Grip, grips_along
from workbook.figures.pictures.bench_space import window_round
from workbook.figures.pictures.points import dumb_bell
from workbook.figures.pictures.wire_frame import (
    SEEN,
    box_lines,
    frame_marks,
    moves_of,
    size_bars,
)
from workbook.figures.subject import Subject
from workbook.language import say, text
from workbook.mechanics.survey.damage import KINDS
from workbook.quantities.tables import signed, signed_number
from workbook.quantities.units import factor
from workbook.scenes.damaged_box import (
    FIELD_OF,
    FIELDS,
    LENGTH,
    POINTS,
    SPECIFIED,
    WIDTH,
    WORD,
    BoxGiven,
    DamagedBox,
)
from workbook.scenes.surveys import SHOWN_AS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from workbook.figures.drawing.marks import Sheet, Window
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, DamagedBox]

TIMES = 10.0  # how many times too large damage is drawn, whatever its size
HEIGHT = 0.4  # of the box; damage is the same at every height [m]
CORNERS = ("left front", "right front", "left rear", "right rear")
DIAGONALS = {
    "from the left front": ("left front", "right rear"),
    "from the right front": ("right front", "left rear"),
}
WAYS = ("ahead", "left", "up")
# What nearly every mix of damage stays inside of, drawn so large [m].
LOW, HIGH = np.array((-0.05, -0.68, -0.2)), np.array((1.75, 0.68, 0.62))
WINDOWS: Mapping[str, Window] = {
    "top": (-0.3, 1.8, -0.78, 0.78),
    "side": (-0.2, 1.85, -0.45, 0.85),
    "front": (-1.0, 1.0, -0.45, 0.85),
}
SHARE_OF_TOP = 0.62  # of the width of the picture


def box_sheet(
    solved: DamagedBox,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return the box from above, and from the side and from ahead."""
    wide, high = room.picture
    left = SHARE_OF_TOP * (wide - GAP)
    top = Panel(
        drawing=flat_view(solved, system, ghosts, seen="top", room=room),
        left=0,
        top=0,
        width=left,
        height=high,
        over=room.caption,
    )
    others = [
        (flat_view(solved, system, ghosts, seen=seen, room=room), 1.0)
        for seen in ("side", "front")
    ]
    beside = stacked(others, (wide - GAP - left, high), over=room.caption)
    panels = [top, *(_shifted(panel, left + GAP) for panel in beside)]
    return room.picture_of(panels, described(solved, system))


def _shifted(panel: Panel, by: float) -> Panel:
    return Panel(
        drawing=panel.drawing,
        left=panel.left + by,
        top=panel.top,
        width=panel.width,
        height=panel.height,
        over=panel.over,
    )


def space_sheet(
    solved: DamagedBox,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    view: Viewpoint = VIEWS["home"],
    rest: DamagedBox | None = None,
    room: Room = PAGE,
) -> Sheet:
    """Return the box in space, as it is seen from a view; its scale is always one."""
    still, moving = _marks(solved, system, ghosts, seen=view.along, named=True)
    drawing = Drawing(
        caption="" if room.brief else say(*WORDS, "space", times=TIMES),
        window=window_round(LOW, HIGH, view, np.zeros(3)),
        still=still,
        moving=moving + _names(solved, system, view.along, room=room),
    )
    text = described(solved, system)
    return room.picture_of(
        stacked([(drawing, 1.0)], room.picture, over=room.caption), text
    )


def readings_sheet(
    solved: DamagedBox,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return what stands beside it: the readings as a table, and the kinds as bars."""
    wide = room.beside[0]
    table = readings_table(solved, system, room)
    text = say(*WORDS, "bars_brief" if room.brief else "bars")
    bars = size_bars(
        solved.reading, system, wide=wide, letters=room.letters, caption=text
    )
    shares = (len(POINTS) + 2.0, 1.08 * (len(KINDS) + 1.1))
    return room.beside_of(
        stacked([(table, shares[0]), (bars, shares[1])], room.beside), text
    )


WORDS = ("picture", "damage", "box")


def describe(solved: DamagedBox, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: DamagedBox, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    pair, show = solved.diagonals, system.show
    sizes: dict[str, Text] = {
        kind: Amount(size, SHOWN_AS[kind], _signed(system))
        for kind, size in _sizes(solved).items()
    }
    return said(
        *WORDS,
        "describe",
        show=show,
        long=LENGTH,
        wide=WIDTH,
        right=pair.from_right_front,
        left=pair.from_left_front,
        apart=Amount(np.abs(pair.difference), "small length", show),
        mash=said(*WORDS, "mash", solved.given.chosen("mash_side"), show=show),
        mash_size=sizes.pop("mash"),
        share=1 - solved.reading.share_unexplained,
        **sizes,
    )


def _sizes(solved: DamagedBox) -> dict[str, Array]:
    return {kind: getattr(solved.reading.sizes, kind) for kind in KINDS}


def _signed(system: UnitSystem) -> Callable[[Any, str], str]:
    return lambda value, kind: signed(float(value), system, kind)


@cache
def _lines() -> dict[str, Array]:
    given = BoxGiven(values={"sag_lowest": "half-way"})  # with every kink there may be
    return box_lines(given.frame, rear=0.0, height=HEIGHT)


def _at(solved: DamagedBox, name: str) -> Array:
    """Return where a measured point is drawn, (..., 3)."""
    k = POINTS.index(name)
    return np.asarray(SPECIFIED[k] + TIMES * solved.differences[..., k, :])


def _marks(
    solved: DamagedBox,
    system: UnitSystem,
    ghosts: Sequence[Ghost],
    *,
    seen: Callable[[Array], Array],
    named: bool,
) -> tuple[list[Mark], list[Mark]]:
    """Return the specified box, and all that moves.

    Where its corners are ``named``, diagonals and points are there besides the frame.
    """
    lines = _lines()
    moves = moves_of(lines, sizes=solved.reading.sizes, frame=solved.given.frame)
    still, bent = frame_marks(lines, moves, seen=seen, times=TIMES)
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += _ghost(letter, other, system, seen, named=named)
    if not named:
        return still, [*moving, *bent]
    measured = np.stack([_at(solved, name) for name in POINTS], axis=-2)
    explained = measured - TIMES * solved.reading.residuals
    moving += [
        *bent,
        *(
            Line(seen(_diagonal(solved, name)), "diagonal", f"diagonal {name}")
            for name in DIAGONALS
        ),
    ]
    flat_specified, flat_measured = seen(SPECIFIED), seen(measured)
    for k, name in enumerate(POINTS):
        off = [seen(explained)[..., k, :], flat_measured[..., k, :]]
        moving.append(Line(off, "limit", f"unexplained {name}"))
        moving += dumb_bell(flat_specified[k], flat_measured[..., k, :], name)
    return still, moving


def _diagonal(solved: DamagedBox, name: str) -> Array:
    """Return a diagonal as it is drawn, (..., 2, 3)."""
    return np.stack([_at(solved, end) for end in DIAGONALS[name]], axis=-2)


def _ghost(
    letter: str,
    other: DamagedBox,
    system: UnitSystem,
    seen: Callable[[Array], Array],
    *,
    named: bool,
) -> list[Mark]:
    """Draw the lower edge of a frozen box, through its four corners."""
    name = f"ghost {letter}"
    round_it = ("left front", "right front", "right rear", "left rear", "left front")
    edge = seen(np.stack([_at(other, corner) for corner in round_it], axis=-2))
    marks: list[Mark] = [Line(edge, "ghost", name)]
    if named:
        words = said(*WORDS, "ghost", show=system.show, letter=letter)
        marks.append(
            FreeLabel(
                edge[..., 1, :],
                words,
                "ghost text",
                name=f"label {name}",
                along=edge[..., 1:3, :],
                short=letter,
            )
        )
    return marks


def _names(
    solved: DamagedBox,
    system: UnitSystem,
    seen: Callable[[Array], Array],
    *,
    room: Room,
) -> list[Mark]:
    """Name the four corners, at the points as they are drawn.

    Where there is room, the front ones have beside them how long the diagonal truly
    is that starts there.
    """
    which = "short" if room.brief else "points"
    diagonals = {DIAGONALS[name][0]: long for name, long in _lengths(solved).items()}
    marks: list[Mark] = []
    for name in CORNERS:
        at = seen(_at(solved, name)[..., None, :])[..., 0, :]
        words: str | Text = text("picture", "damage", which, name)
        short: str | Text = text("picture", "damage", "short", name)
        if not room.brief and name in diagonals:
            words, short = (
                said(*WORDS, "corner", show=system.show, name=one, length=long)
                for one, long in ((words, diagonals[name]), (short, diagonals[name]))
            )
        marks.append(
            FreeLabel(
                at,
                words,
                "small text",
                name=f"label {name}",
                rank="point",
                short=short,
            )
        )
    return marks


def _lengths(solved: DamagedBox) -> dict[str, Array]:
    """Return the true length of each diagonal, by its name. [m]"""
    pair = solved.diagonals
    return {
        "from the left front": pair.from_left_front,
        "from the right front": pair.from_right_front,
    }


def flat_view(
    solved: DamagedBox,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    seen: str,
    room: Room = PAGE,
) -> Drawing:
    """Draw the box from above (``top``), from the ``side`` or from the ``front``."""
    top, look = seen == "top", SEEN[seen]
    still, moving = _marks(solved, system, ghosts, seen=look, named=top)
    caption = say("picture", "damage", "views", seen)
    if top:
        moving += _names(solved, system, look, room=room)
        if not room.brief:
            caption = say(*WORDS, "drawn", times=TIMES)
    return Drawing(caption=caption, window=WINDOWS[seen], still=still, moving=moving)


def readings_table(solved: DamagedBox, system: UnitSystem, room: Room) -> Drawing:
    """Set the readings out: a row for each point, measured minus specified."""
    which = "short" if room.brief else "points"
    ends = (0.48, 0.74, 1.0) if which == "points" else (0.4, 0.7, 1.0)
    heads = text("picture", "damage", "readings", "ways")
    marks: list[Mark] = [
        Label(
            (end, 0.0),
            head,
            "small text",
            (-4, 0),
            "end",
            name=f"label {way}",
        )
        for end, head, way in zip(ends, heads, WAYS, strict=True)
    ]
    for k, name in enumerate(POINTS):
        row = -1.0 - k
        words = text("picture", "damage", which, name)
        marks.append(
            Label(
                (0.0, row), words, "small text", (4, 0), "start", name=f"label {name}"
            )
        )
        marks += [
            Label(
                (end, row),
                Amount(solved.differences[..., k, axis], "small length", _bare(system)),
                "text",
                (-4, 0),
                "end",
                name=f"reading {name} {way}",
            )
            for axis, (end, way) in enumerate(zip(ends, WAYS, strict=True))
        ]
    unit = system.unit["small length"]
    return Drawing(
        caption=say("picture", "damage", "readings", "caption", unit=unit),
        window=(0.0, 1.0, -len(POINTS) - 0.5, 1.5),
        moving=marks,
        true_scale=False,
    )


def _bare(system: UnitSystem) -> Callable[[Any, str], str]:
    return lambda value, kind: signed_number(float(value), system, kind)


def box_amounts(solved: DamagedBox) -> Amounts:
    """Return the numbers of a damaged box, most telling first."""
    pair, reading = solved.diagonals, solved.reading
    return {
        "right-front minus left-front diagonal": (pair.difference, "small length"),
        "twist, front against rear": (solved.twist, "angle"),
        "share unexplained": (reading.share_unexplained, "share"),
        "left-front diagonal": (pair.from_left_front, "small length"),
        "right-front diagonal": (pair.from_right_front, "small length"),
        "left side, length": (solved.left_length, "small length"),
        "right side, length": (solved.right_length, "small length"),
        **{
            f"read as {kind}": (size, SHOWN_AS[kind])
            for kind, size in _sizes(solved).items()
        },
        **{
            f"{name}, {way}": (solved.differences[..., k, axis], "small length")
            for k, name in enumerate(POINTS)
            for axis, way in enumerate(WAYS)
        },
    }


def box_grips(solved: DamagedBox, view: Viewpoint, panel: Panel) -> dict[str, Grip]:
    """Return what can be taken in the picture of `space_sheet`, by name."""
    mm, half = TIMES * factor("mm"), WIDTH / 2
    turn = TIMES * half * factor("deg")
    # Where each is on the specified box, and what a unit of its field moves it by.
    places = {
        "mash": ((LENGTH, 0.0, 0.0), (-mm, 0.0, 0.0)),
        "sidesway": ((LENGTH, 0.0, HEIGHT), (0.0, mm, 0.0)),
        "sag": ((LENGTH, 0.0, HEIGHT / 2), (0.0, 0.0, -mm)),
        "twist": ((LENGTH, half, HEIGHT), (0.0, 0.0, turn)),
        "diamond": ((LENGTH / 2, half, HEIGHT), (-mm / 2, 0.0, 0.0)),
    }
    at = {f"grip {kind}": np.array([place]) for kind, (place, _) in places.items()}
    moves = moves_of(at, sizes=solved.reading.sizes, frame=solved.given.frame)
    ways = {
        kind: (
            FIELD_OF[kind],
            np.asarray(place + TIMES * moves[f"grip {kind}"][..., 0, :]),
            np.array(way),
        )
        for kind, (place, way) in places.items()
    }
    return grips_along(ways, view=view, panel=panel)


DAMAGE = Subject(
    name="damage",
    word=WORD,
    fields=FIELDS,
    front=("mash_mm", "diamond_mm", "twist_deg"),
    held="specified box",
    leaves_out=("kinds_meet", "between_points", "metal", "sudden", "real_car"),
    solve=lambda values: BoxGiven(values=values).solved(),
    amounts=box_amounts,
    picture=box_sheet,
    beside=readings_sheet,
    in_space=space_sheet,
    grips=lambda solved, view, sheet: box_grips(solved, view, sheet.panels[0]),
)
