"""Pictures of pulls as arrows on a grid, with their parts as bars."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.expected import expected_along
from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    FreeLabel,
    Line,
    Mark,
    Marker,
    parts,
)
from workbook.figures.drawing.named import arc
from workbook.figures.drawing.rooms import PAGE, Room, stacked
from workbook.figures.drawing.scales import bars_panel, force_bars, round_up
from workbook.figures.drawing.texts import Amount, Text, said, where
from workbook.figures.drawing.windows import window_for
from workbook.figures.subject import Subject
from workbook.mechanics.vectors import direction, norm, side_angle_of, unit
from workbook.quantities.units import factor
from workbook.scenes.arrows import FIELDS, WANTED, WORD, Arrows, SolvedArrows

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from workbook.figures.drawing.expected import Expected
    from workbook.figures.drawing.marks import Coordinate, Point, Sheet, Window
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Amounts

Ghost = tuple[str, SolvedArrows]

STRAIGHT = 5e-4  # rad; a pull turned by less is said to go along a line
NOTHING = 0.5  # N; a smaller part is said to be none
SHORT = 0.02  # of the longest arrow; a shorter part is not drawn
GRID_LINES = 26  # more than a window ever has one way
# Which way lies each number that may be expected.
EXPECTED: Mapping[str, Callable[[SolvedArrows], Array]] = {
    "useful, on the wanted line": lambda solved: WANTED,
    "chain tension": lambda solved: unit(solved.first),
    "second pull": lambda solved: unit(_second_of(solved)),
}


def arrow_sheet(
    solved: SolvedArrows,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
    expected: Expected | None = None,
) -> Sheet:
    """Return the picture of the pulls in plan.

    Parameters
    ----------
    solved : SolvedArrows
        One pull or two, in one set-up or in many.
    system : UnitSystem
        Units of the labels.
    ghosts : sequence of (str, SolvedArrows)
        Frozen pulls to show behind, each with its letter.
    room : Room
        How much room there is.
    """
    grid = grid_view(solved, system, ghosts, brief=room.brief, expected=expected)
    text = where(solved.stands, described(solved, system), show=system.show)
    panels = stacked([(grid, 1.0)], room.picture, over=room.caption)
    return room.picture_of(panels, text)


def parts_sheet(
    solved: SolvedArrows,
    *,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    room: Room = PAGE,
) -> Sheet:
    """Return what stands beside it: bars of the parts."""
    bars = part_bars(solved, system, room)
    text = where(solved.stands, bars.caption, show=system.show)
    return room.beside_of([bars_panel(bars, room)], text)


def describe(solved: SolvedArrows, *, system: UnitSystem) -> str:
    """Say in words what the picture of one set-up shows, from the same numbers."""
    return str(described(solved, system))


def described(solved: SolvedArrows, system: UnitSystem) -> Text:
    """Return what `describe` says, for one set-up or for many."""
    given, sideways = solved.given, solved.sideways
    amount = solved.tension if given.held == "chain tension" else solved.useful
    side = np.where(sideways > 0, "left", "right")
    side = np.where(np.abs(sideways) < NOTHING, "none", side)
    sentences = {
        "held": _say("held", system, held=given.shown("held"), amount=amount),
        "pull": _say(
            "pull",
            system,
            tension=solved.tension,
            where=turned(given.array("angle_deg"), "from_wanted", system),
            useful=solved.useful,
            sideways=_say(("sideways", side), system, force=np.abs(sideways)),
        ),
    }
    if solved.second is None:
        return _say("describe", system, **sentences)
    turn, both = solved.resultant_angle, solved.resultant
    together = _say(
        ("together", np.where(np.isnan(turn), "cancel", "both")),
        system,
        second=given.array("second_kn"),
        between=turned(given.array("between_deg"), "from_first", system),
        size=norm(both),
        from_first=turned(turn, "from_first", system),
        from_wanted=turned(solved.resultant_from_wanted, "from_wanted", system),
    )
    return _say("describe_two", system, **sentences, together=together)


def _say(key: str | tuple[Any, ...], system: UnitSystem, **values: Any) -> Text:
    keys = (key,) if isinstance(key, str) else key
    return said("picture", "arrow", *keys, show=system.show, **values)


def turned(angle: Coordinate, line: str, system: UnitSystem) -> Text:
    """Say directions (...) in plan from the wanted line or from the first pull."""
    side = np.where(angle > 0, "left", "right")
    side = np.where(np.abs(angle) < STRAIGHT, "along", side)
    return _say((line, side), system, angle=np.abs(angle))


def grid_view(
    solved: SolvedArrows,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
    expected: Expected | None = None,
) -> Drawing:
    """Draw the pulls from one point on a grid, the wanted line to the right."""
    asked, square_to_it = _asked_for(solved)
    forces = [solved.first, solved.resultant, asked, square_to_it]
    forces += [] if solved.second is None else [solved.second]
    if expected is not None:
        forces.append(expected.band[1] * EXPECTED[expected.amount](solved))
    forces += [force for _, other in ghosts for force in (other.first, other.resultant)]
    tips = [force[..., :2] for force in forces]
    size = np.fmax.reduce(np.broadcast_arrays(*map(norm, forces)))
    square = round_up(size / 6, unit=factor(system.unit["force"]))
    # Room for the words at the tips.
    leftmost = np.fmin.reduce(np.broadcast_arrays(*(tip[..., 0] for tip in tips)))
    left = 0.0 if solved.second is None else np.minimum(leftmost - size / 3, 0.0)
    room: list[Point] = [(left, 0.0), (1.3 * size, 0.0), *tips]
    window = window_for(room, step=2 * square, margin=0.16 * size)
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += _ghost(letter, other, system)
    moving += (
        _alone(solved, size, system, brief=brief)
        if solved.second is None
        else _pair(solved, solved.second, size, window, system, brief=brief)
    )
    moving += [
        Arrow((0, 0), tips[0], "force pull", "first"),
        *_refused(solved, asked, square_to_it, system),
    ]
    if expected is not None:
        way = EXPECTED[expected.amount](solved)[..., :2]
        half = 0.06 * size
        moving += expected_along((0, 0), way, expected, system, half=half)
    caption = ("grid", "caption_brief" if brief else "caption")
    return Drawing(
        caption=_say(caption, system, square=square),
        window=window,
        still=[*_grid(window, square), *_wanted(window, system, brief=brief)],
        moving=moving,
    )


def _grid(window: Window, square: Coordinate) -> list[Mark]:
    """Return lines at every whole square; those past the window are not shown."""
    left, right, low, top = window
    marks: list[Mark] = []
    for first, last, way in ((left, right, "along"), (low, top, "up")):
        start, end = np.round(first / square), np.round(last / square)
        for k in range(GRID_LINES):
            at, shown = (start + k) * square, start + k <= end
            ends = (
                [(at, low), (at, top)] if way == "along" else [(left, at), (right, at)]
            )
            marks.append(Line(ends, "grid", f"grid {way} {k}", shown=shown))
    return marks


def _second_of(solved: SolvedArrows) -> Array:
    return solved.first * np.nan if solved.second is None else solved.second


def _wanted(window: Window, system: UnitSystem, *, brief: bool) -> list[Mark]:
    end = (window[1], 0.0)
    words = _say(("grid", "wanted_brief" if brief else "wanted"), system)
    return [
        Arrow((0, 0), end, "wanted", "wanted"),
        FreeLabel(
            (0.9 * window[1], 0.0),
            words,
            "small text",
            name="label wanted",
            along=[(0.7 * window[1], 0.0), end],
        ),
    ]


def _named(
    force: Array, text: Text, name: str, role: str, *, shown: Coordinate = True
) -> FreeLabel:
    """Name an arrow from the point of pull."""
    tip = force[..., :2]
    return FreeLabel(
        tip, text, role, name=name, rank="force", along=[(0.0, 0.0), tip], shown=shown
    )


def _alone(
    solved: SolvedArrows, size: Coordinate, system: UnitSystem, *, brief: bool
) -> list[Mark]:
    """Draw the useful and the sideways part, and the angle that makes them."""
    useful, sideways = solved.useful, solved.sideways
    foot, tip = (useful, 0.0), solved.first[..., :2]
    long, wide = useful > SHORT * size, np.abs(sideways) > SHORT * size
    labels: list[Mark] = [
        FreeLabel(
            foot,
            _say(("grid", "useful"), system, force=np.abs(useful)),
            name="label useful",
            along=[(0.0, 0.0), foot],
            short=Amount(np.abs(useful), "force", system.show),
            shown=long,
        ),
        FreeLabel(
            foot,
            _say(("grid", "sideways"), system, force=np.abs(sideways)),
            name="label sideways",
            along=[foot, tip],
            short=Amount(np.abs(sideways), "force", system.show),
            shown=wide,
        ),
    ]
    angle = solved.given.array("angle_deg")
    turn = np.minimum(0.0, angle), np.maximum(0.0, angle)
    words: Text = Amount(np.abs(angle), "angle", system.show)
    if not brief:
        words = _say(("grid", "angle"), system, angle=np.abs(angle))
    tension = Amount(solved.tension, "force", system.show)
    return [
        Arrow((0, 0), foot, "part", "useful", shown=long),
        Arrow(foot, tip, "part", "sideways", shown=wide),
        *([] if brief else labels),  # a brief view leaves them to the bars
        Line(arc((0, 0), 0.3 * size, *turn), "angle", "angle"),
        _named(solved.first, tension, "label first", "pull text"),
        FreeLabel(
            (0.3 * size * np.cos(angle / 2), 0.3 * size * np.sin(angle / 2)),
            words,
            "angle text",
            name="label angle",
            rank="angle",
            short=Amount(np.abs(angle), "angle", system.show),
        ),
    ]


def _pair(
    solved: SolvedArrows,
    second: Array,
    size: Coordinate,
    window: Window,
    system: UnitSystem,
    *,
    brief: bool,
) -> list[Mark]:
    """Draw the second pull, the parallelogram of both and what they make together."""
    first, both = solved.first, solved.resultant

    def named(key: str, force: Array) -> Text:
        if brief:
            return Amount(norm(force), "force", system.show)
        return _say(("grid", key), system, force=norm(force))

    turn = solved.resultant_angle
    together = ~np.isnan(turn)
    start = side_angle_of(first)
    bow = start + np.minimum(0.0, turn), start + np.maximum(0.0, turn)
    half = start + turn / 2
    words = _say(
        ("grid", "turn_brief" if brief else "turn"), system, angle=np.abs(turn)
    )
    outline = [force[..., :2] for force in (first, both, second)]
    return [
        Line(outline, "reference", "parallelogram"),
        Arrow((0, 0), outline[2], "force second", "second"),
        _named(first, named("first", first), "label first", "pull text"),
        _named(second, named("second", second), "label second", "second text"),
        Arrow((0, 0), outline[1], "force resultant", "together", shown=together),
        _named(
            *(both, named("together", both), "label together", "strong text"),
            shown=together,
        ),
        Line(arc((0, 0), 0.35 * size, *bow), "angle", "angle"),
        FreeLabel(
            (0.35 * size * np.cos(half), 0.35 * size * np.sin(half)),
            words,
            "angle text",
            name="label angle",
            rank="angle",
            short=Amount(np.abs(turn), "angle", system.show),
            shown=together,
        ),
    ]


def _asked_for(solved: SolvedArrows) -> tuple[Array, Array]:
    """Return the useful pull asked of a chain that can give none, and its line.

    Both (..., 3), of one length, and nan where the chain can give it.
    """
    given = solved.given
    useful = np.where(solved.stands, np.nan, given.array("useful_kn"))[..., None]
    along = direction(side_angle=given.array("angle_deg"), rise=0.0)
    return np.asarray(useful * WANTED), np.asarray(useful * along)


def _refused(
    solved: SolvedArrows, asked: Array, square_to_it: Array, system: UnitSystem
) -> list[Mark]:
    """Draw what is asked of a chain square to the wanted line, and where it lies."""
    tip, end = asked[..., :2], square_to_it[..., :2]
    words = _say(("grid", "useful"), system, force=norm(asked))
    return [
        Arrow((0, 0), tip, "part", "asked for"),
        _named(asked, words, "label asked for", "text", shown=~solved.stands),
        Line([(0.0, 0.0), end], "refused", "as it would be"),
        Marker(end, "cross", "fails", "fails"),
        FreeLabel(
            end,
            _say(("refused", "square"), system),
            "strong text",
            name="label refused",
            rank="warning",
        ),
    ]


def _ghost(letter: str, other: SolvedArrows, system: UnitSystem) -> list[Mark]:
    """Show a frozen pull, and a frozen second one with what both made together."""
    name = f"ghost {letter}"
    tips = [other.first[..., :2]]
    if other.second is not None:
        tips += [other.second[..., :2], other.resultant[..., :2]]
    return [
        *(
            Line([(0.0, 0.0), tip], "ghost", f"{name} {k + 1}")
            for k, tip in enumerate(tips)
        ),
        FreeLabel(
            tips[-1],
            _say("ghost", system, letter=letter),
            "ghost text",
            name=f"label {name}",
            short=letter,
        ),
    ]


def part_bars(solved: SolvedArrows, system: UnitSystem, room: Room = PAGE) -> Drawing:
    """Draw tension and parts as bars, and those of two pulls together."""
    rows: list[tuple[str, Any, Coordinate, str]] = [
        ("tension", "tension", solved.tension, "bar pull"),
        ("useful", "useful", solved.useful, "bar part"),
        ("sideways", "sideways", np.abs(solved.sideways), "bar part"),
    ]
    if solved.second is not None:
        along, across = parts(solved.resultant)
        way = np.where(along >= 0, "along", "against")
        rows += [
            ("second", "second", norm(solved.second), "bar second"),
            ("together", "together", norm(solved.resultant), "bar together"),
            ("both along", way, np.abs(along), "bar part"),
            ("both across", "across", np.abs(across), "bar part"),
        ]
    return force_bars(
        [(name, _say(("bars", key), system), v, role) for name, key, v, role in rows],
        caption=_say(("bars", "caption"), system),
        system=system,
        room=room,
    )


def amounts(solved: SolvedArrows) -> Amounts:
    """Return the numbers of the pulls, most telling first; nan is none."""
    alone: Amounts = {
        "chain tension": (solved.tension, "force"),
        "useful, on the wanted line": (solved.useful, "force"),
        "sideways, plus left": (solved.sideways, "force"),
        "useful part of the tension": (solved.useful / solved.tension, "share"),
    }
    if solved.second is None:
        return alone
    along, across = parts(solved.resultant)
    return {
        **alone,
        "second pull": (norm(solved.second), "force"),
        "together": (norm(solved.resultant), "force"),
        "together, on the wanted line": (along, "force"),
        "together, sideways, plus left": (across, "force"),
        "together, left of the first pull": (solved.resultant_angle, "angle"),
    }


ARROW = Subject(
    name="arrow",
    word=WORD,
    fields=FIELDS,
    front=("tension_kn", "useful_kn", "angle_deg", "held"),
    only_with={
        "tension_kn": ("held", ("chain tension",)),
        "useful_kn": ("held", ("useful pull",)),
        "second_kn": ("second", ("at the same point",)),
        "between_deg": ("second", ("at the same point",)),
    },
    held="held",
    leaves_out=("what_pulls", "metal", "sudden"),
    solve=lambda values: Arrows(values=values).solved(),
    amounts=amounts,
    picture=arrow_sheet,
    expects=dict.fromkeys(EXPECTED, "picture"),
    beside=parts_sheet,
)
