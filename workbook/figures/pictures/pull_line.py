"""Pictures of a pull line: a point out of place, its correction, and the pull on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    FreeLabel,
    Label,
    Line,
    Mark,
    Marker,
    Panel,
    Polygon,
)
from workbook.figures.drawing.named import arc
from workbook.figures.drawing.rooms import GAP, PAGE, Room
from workbook.figures.drawing.scales import bars_over, force_bars, scale_bar
from workbook.figures.drawing.texts import Amount, Text, said, where
from workbook.figures.pictures.pull_directions import rise_words, side_words
from workbook.figures.subject import Subject
from workbook.mechanics.vectors import unit
from workbook.scenes.lines import FIELDS, WORD, LineGiven, SolvedLine

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Coordinate, Sheet, Window
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, SolvedLine]

WINDOW: Window = (-0.09, 0.13, -0.125, 0.125)  # always the same [m]
CLOSE: Window = (-0.05, 0.09, -0.062, 0.034)  # on paper, of a point near its place
LONG = 0.07  # how long the pull is drawn [m]
BOW = 0.04  # radius of an angle's arc [m]
LEAST = np.radians(1.0)  # a smaller angle has no arc
# The bar of each number that has one.
ROWS = {"along the correction": "along", "across the correction": "across"}


def line_sheet(
    solved: SolvedLine,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return the pull from above, and from the side along its correction."""
    wide, high = room.picture
    half = (wide - GAP) / 2
    panels = [
        Panel(
            drawing=view_from(solved, system, ghosts, seen=seen, brief=room.brief),
            left=left,
            top=0,
            width=half,
            height=high,
            over=room.caption,
        )
        for seen, left in (("top", 0.0), ("side", half + GAP))
    ]
    text = where(solved.stands, described(solved, system), show=system.show)
    return room.picture_of(panels, text)


def parts_sheet(
    solved: SolvedLine,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return what stands beside it: the pull and its parts, and its height."""
    along = solved.along
    way = np.where(along >= 0, "along", "against")
    bars = force_bars(
        [
            ("tension", _say(("bars", "tension"), system), solved.tension, "bar pull"),
            ("along", _say(("bars", way), system), np.abs(along), "bar part"),
            ("across", _say(("bars", "across"), system), solved.across, "bar part"),
        ],
        caption=_say(("bars", "caption"), system),
        system=system,
        room=room,
        expected=expected,
        rows_of=ROWS,
    )
    text = where(solved.stands, bars.caption, show=system.show)
    return room.beside_of(bars_over(bars, _tipping_view(solved, system), room), text)


def describe(solved: SolvedLine, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: SolvedLine, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    show, given, along = system.show, solved.given, solved.along
    return _say(
        "describe",
        system,
        wanted=_way(solved.wanted_side, solved.wanted_rise, system),
        pull=_way(given.array("bearing_deg"), given.array("rise_deg"), system),
        off=Amount(solved.off, "angle", show),
        tension=Amount(solved.tension, "force", show),
        works=_say(
            ("works", np.where(along >= 0, "along", "against")),
            system,
            force=Amount(np.abs(along), "force", show),
        ),
        across=Amount(solved.across, "force", show),
    )


def _way(side: Coordinate, rise: Coordinate, system: UnitSystem) -> Text:
    side_said, rise_said = side_words(side, system.show), rise_words(rise, system.show)
    return _say("way", system, side=side_said, rise=rise_said)


def _say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "line", *keys, show=system.show, **values)


def _axes(solved: SolvedLine, seen: str) -> Array:
    """Return what lies to the right and up of a view, shape (..., 2, 3).

    The side view looks square at the level way of the correction; straight ahead
    where it goes neither way.
    """
    up = np.broadcast_to([0.0, 0.0, 1.0], solved.difference.shape)
    if seen == "top":
        right = np.broadcast_to([1.0, 0.0, 0.0], solved.difference.shape)
        return np.stack([right, np.broadcast_to([0.0, 1.0, 0.0], right.shape)], -2)
    level = unit(solved.wanted * (1.0, 1.0, 0.0))
    plumb = (level == 0).all(axis=-1, keepdims=True)
    return np.stack([np.where(plumb, [1.0, 0.0, 0.0], level), up], axis=-2)


def _flat(axes: Array, vector: Array) -> Array:
    """Return how vectors (..., 3) are seen, shape (..., 2)."""
    return np.asarray(np.einsum("...ij,...j->...i", axes, vector))


def view_from(
    solved: SolvedLine,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    seen: str,
    brief: bool = False,
    window: Window = WINDOW,
) -> Drawing:
    """Draw the point, its correction and the pull, from the ``top`` or the ``side``."""
    axes = _axes(solved, seen)
    start, pull = _flat(axes, solved.difference), _flat(axes, solved.way)
    wanted = _flat(axes, solved.wanted)
    end, tip = start + 1.35 * LONG * wanted, start + LONG * pull
    level = start + np.stack([LONG, 0.0], axis=-1) * np.ones_like(start)
    turn = np.arctan2(wanted[..., 1], wanted[..., 0])
    to = np.arctan2(pull[..., 1], pull[..., 0])
    low, high = np.minimum(turn, to), np.maximum(turn, to)
    bow = start[..., None, :] + arc((0, 0), BOW, low, high)
    apart = high - low > LEAST
    marks: list[Mark] = [
        *(
            mark
            for letter, other in ghosts
            for mark in _ghost(letter, other, system, seen)
        ),
        Line([start, level], "reference", "level"),
        Arrow(start, end, "wanted", "wanted"),
        Line([np.zeros_like(start), start], "out of place", "difference"),
        Line(bow, "angle", "angle", shown=apart),
        Arrow(start, tip, "force pull", "pull"),
        Marker((0.0, 0.0), "ring", "specified", "specified"),
        Marker(start, "square", "out of place", "measured"),
        FreeLabel(
            tip,
            Amount(solved.tension, "force", system.show),
            "pull text",
            name="label pull",
            rank="force",
        ),
        FreeLabel(end, _say("wanted", system), "small text", name="label wanted"),
    ]
    if not brief:
        marks += _words(solved, system, start, seen=seen)
    caption = ("caption", f"{seen}_brief" if brief else seen)
    return Drawing(
        caption=_say(caption, system),
        window=window,
        still=[*scale_bar(window, system)] if seen == "top" else [],
        moving=marks,
    )


def _words(
    solved: SolvedLine, system: UnitSystem, start: Array, *, seen: str
) -> list[Mark]:
    """Name the two ends of the difference, and how far the point is out."""
    x, y, z = np.moveaxis(solved.difference, -1, 0)

    def out(value: Coordinate, plus: str, minus: str) -> Text:
        way = np.where(value >= 0, plus, minus)
        return _say(("out", way), system, amount=np.abs(value))

    if seen == "top":
        words = _say(
            ("out", "top"),
            system,
            first=out(x, "ahead", "back"),
            second=out(y, "left", "right"),
        )
    else:
        words = _say(("out", "side"), system, first=out(z, "up", "low"))
    return [
        FreeLabel(
            (0.0, 0.0), _say("specified", system), "small text", name="label specified"
        ),
        FreeLabel(start, words, "text", name="label measured", rank="angle"),
    ]


def _tipping_view(solved: SolvedLine, system: UnitSystem) -> Drawing:
    """Draw the level part of the pull from the side, above what holds the vehicle."""
    high = solved.given.array("pull_height_mm")
    low = solved.given.array("hold_height_mm")
    body = [(-1.3, 0.12), (0.0, 0.12), (0.0, 1.45), (-1.3, 1.45)]
    hold, hook = np.stack([0 * low - 0.65, low], -1), np.stack([0 * high, high], -1)
    above = np.stack([np.broadcast_arrays(0 * low - 0.65, high)[0], high], -1)
    tip = hook + np.array((0.7, 0.0))
    moment = Amount(np.abs(solved.tipping), "moment", system.show)
    way = np.where(solved.tipping >= 0, "down", "up")
    return Drawing(
        caption=_say(("caption", "tipping"), system),
        window=(-1.5, 1.0, -0.35, 1.6),
        still=[
            Line([(-1.5, 0.0), (1.0, 0.0)], "floor", "bench"),
            Polygon(body, "body", "body"),
        ],
        moving=[
            Line([hook, above], "line of action", "line"),
            Line([hold, above], "part", "arm"),
            Marker(hold, "square", "support", "hold"),
            Marker(hook, "square", "clamp", "clamp"),
            Arrow(hook, tip, "force pull", "level pull"),
            FreeLabel(
                tip,
                _say(("tips", "level"), system),
                "pull text",
                name="label level pull",
                rank="force",
                along=[hook, tip],
            ),
            FreeLabel(
                hold,
                _say(("tips", "arm"), system),
                name="label arm",
                rank="angle",
                along=[hold, above],
            ),
            FreeLabel(hold, _say(("tips", "hold"), system), name="label hold"),
            Label(
                (-1.5, -0.2),
                _say(("tips", way), system, moment=moment),
                "text",
                (4, 0),
                "start",
                name="label moment",
            ),
        ],
    )


def _ghost(letter: str, other: SolvedLine, system: UnitSystem, seen: str) -> list[Mark]:
    """Show a frozen pull on its point."""
    axes, name = _axes(other, seen), f"ghost {letter}"
    start = _flat(axes, other.difference)
    tip = start + LONG * _flat(axes, other.way)
    return [
        Line([start, tip], "ghost", name),
        Label(
            tip,
            _say("ghost", system, letter=letter),
            "ghost text",
            (6, -8),
            "start",
            name=f"label {name}",
        ),
    ]


def line_amounts(solved: SolvedLine) -> Amounts:
    """Return the numbers of a pull line, most telling first."""
    return {
        "along the correction": (solved.along, "force"),
        "across the correction": (solved.across, "force"),
        "off the correction": (solved.off, "angle"),
        "correction: side angle": (solved.wanted_side, "angle"),
        "correction: rise": (solved.wanted_rise, "angle"),
        "moment about the hold": (solved.tipping, "moment"),
        "point ahead of its place": (solved.difference[..., 0], "small length"),
        "point left of its place": (solved.difference[..., 1], "small length"),
        "point above its place": (solved.difference[..., 2], "small length"),
    }


LINE = Subject(
    name="pull line",
    word=WORD,
    fields=FIELDS,
    front=("bearing_deg", "rise_deg", "tension_kn"),
    held="chain tension",
    leaves_out=("drift", "around_the_point", "metal", "sudden"),
    solve=lambda values: LineGiven(values=values).solved(),
    amounts=line_amounts,
    picture=line_sheet,
    beside=parts_sheet,
    expects=dict.fromkeys(ROWS, "beside"),
)
