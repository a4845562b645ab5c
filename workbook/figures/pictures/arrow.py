"""Pictures of pulls as arrows on a grid, with their parts as bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    Arrow,
    Drawing,
    Label,
    Line,
    Mark,
    Panel,
    Point,
    Sheet,
    arc,
    window_for,
)
from workbook.figures.drawing.scales import force_bars, round_up
from workbook.figures.subject import Subject
from workbook.mechanics.vectors import norm, side_angle_of, unit
from workbook.quantities.units import factor
from workbook.scenes.arrows import FIELDS, WORD, Arrows, SolvedArrows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

Ghost = tuple[str, SolvedArrows]

WIDTH, HEIGHT = 820.0, 420.0


def arrow_sheet(
    solved: SolvedArrows, *, system: UnitSystem, ghosts: Sequence[Ghost] = ()
) -> Sheet:
    """Return the picture of the pulls in plan and bars of their parts.

    Parameters
    ----------
    solved : SolvedArrows
        One pull or two.
    system : UnitSystem
        Units of the labels.
    ghosts : sequence of (str, SolvedArrows)
        Frozen pulls to show behind, each with its letter.
    """
    grid = grid_view(solved, system, ghosts)
    bars = part_bars(solved, system)
    return Sheet(
        width=WIDTH,
        height=HEIGHT,
        text=describe(solved, system=system),
        panels=(
            Panel(drawing=grid, left=0, top=20, width=500, height=400),
            Panel(drawing=bars, left=510, top=30, width=310, height=_bars_high(bars)),
        ),
    )


def projector_sheet(
    solved: SolvedArrows, *, system: UnitSystem, ghosts: Sequence[Ghost] = ()
) -> Sheet:
    """Return the same for large letters."""
    grid = grid_view(solved, system, ghosts, brief=True)
    bars = part_bars(solved, system)
    return Sheet(
        width=1240,
        height=430,
        text=describe(solved, system=system),
        panels=(
            Panel(drawing=grid, left=0, top=10, width=660, height=420),
            Panel(drawing=bars, left=670, top=40, width=570, height=380),
        ),
    )


def _bars_high(bars: Drawing) -> float:
    return 28 * float(bars.window[3] - bars.window[2])


def describe(solved: SolvedArrows, *, system: UnitSystem) -> str:
    """Say in words what the picture shows, from the same numbers."""
    show = system.show
    held = solved.given.held
    amount = solved.tension if held == "chain tension" else solved.useful
    where = turned(solved.given.si("angle_deg"), "the wanted line", system)
    first = (
        f"Held fixed: {solved.given.shown('held')}, {show(amount, 'force')}. "
        f"The chain pulls {show(solved.tension, 'force')} {where}: "
        f"{show(solved.useful, 'force')} of it is useful, along the wanted line, and "
        f"{sideways_words(solved.sideways, system)}."
    )
    return first if solved.second is None else f"{first} {_together(solved, system)}"


def _together(solved: SolvedArrows, system: UnitSystem) -> str:
    show = system.show
    between = turned(solved.given.si("between_deg"), "the first", system)
    other = show(solved.given.si("second_kn"), "force")
    second = f"A second pull of {other} goes {between}."
    angle = solved.resultant_angle
    if angle is None:
        return f"{second} The two cancel: nothing is left."
    size = show(float(norm(solved.resultant)), "force")
    from_wanted = turned(solved.resultant_from_wanted, "the wanted line", system)
    return (
        f"{second} Together they pull {size}, "
        f"{turned(angle, 'the first', system)} and {from_wanted}."
    )


def turned(angle: float, line: str, system: UnitSystem) -> str:
    """Say a direction in plan from a named line."""
    if abs(angle) < 5e-4:
        return f"along {line}"
    side = "left" if angle > 0 else "right"
    return f"{system.show(abs(angle), 'angle')} to the {side} of {line}"


def sideways_words(force: float, system: UnitSystem) -> str:
    """Say a sideways part and its side, or that there is none."""
    if abs(force) < 0.5:  # N
        return "nothing pulls sideways"
    side = "left" if force > 0 else "right"
    return f"{system.show(abs(force), 'force')} pulls sideways, to the {side}"


def _tip(force: Array) -> Point:
    return float(force[0]), float(force[1])


def grid_view(
    solved: SolvedArrows,
    system: UnitSystem,
    ghosts: Sequence[Ghost] = (),
    *,
    brief: bool = False,
) -> Drawing:
    """Draw the pulls from one point on a grid, the wanted line to the right."""
    forces = [solved.first, solved.resultant]
    forces += [] if solved.second is None else [solved.second]
    forces += [force for _, other in ghosts for force in (other.first, other.resultant)]
    size = max(float(norm(force)) for force in forces)
    square = round_up(size / 6, unit=factor(system.unit["force"]))
    # Room for the words at the tips.
    left = (
        0.0
        if solved.second is None
        else min(x for x, _ in map(_tip, forces)) - size / 3
    )
    tips = [(min(left, 0.0), 0.0), (1.3 * size, 0.0), *map(_tip, forces)]
    window = window_for(tips, step=2 * square, margin=0.16 * size)
    moving: list[Mark] = []
    for letter, other in ghosts:
        moving += _ghost(letter, other)
    moving += (
        _alone(solved, size, system, brief=brief)
        if solved.second is None
        else _pair(solved, size, window, system, brief=brief)
    )
    moving.append(Arrow((0, 0), _tip(solved.first), "force pull"))
    each = f"one square is {system.show(square, 'force')}"
    return Drawing(
        caption=each if brief else f"plan: wanted line to the right; {each}",
        window=window,
        still=[*_grid(window, square), *_wanted(window, brief=brief)],
        moving=moving,
    )


def _grid(window: tuple[float, float, float, float], square: float) -> list[Mark]:
    left, right, low, top = window
    xs = np.arange(round(left / square), round(right / square) + 1) * square
    ys = np.arange(round(low / square), round(top / square) + 1) * square
    return [
        *(Line([(float(x), low), (float(x), top)], "grid") for x in xs),
        *(Line([(left, float(y)), (right, float(y))], "grid") for y in ys),
    ]


def _wanted(window: tuple[float, ...], *, brief: bool) -> list[Mark]:
    end = (window[1], 0.0)
    words = "wanted" if brief else "wanted line"
    return [
        Arrow((0, 0), end, "wanted"),
        Label(end, words, "small text", (-6, 14), "end"),
    ]


def _at_tip(force: Array, text: str, *, side: int = 0) -> Label:
    """Put words at the tip of an arrow: beyond it, or left (1) or right (-1) of it."""
    x, y, _ = unit(force)
    way = (float(x), float(y)) if side == 0 else (-side * float(y), side * float(x))
    align = "start" if way[0] > 0.35 else "end" if way[0] < -0.35 else "middle"
    return Label(_tip(force), text, "strong text", (10 * way[0], -18 * way[1]), align)


def _alone(
    solved: SolvedArrows, size: float, system: UnitSystem, *, brief: bool
) -> list[Mark]:
    """Draw the useful and the sideways part, and the angle that makes them."""
    foot, tip = (solved.useful, 0.0), _tip(solved.first)
    below = -1 if solved.sideways < 0 else 1
    useful, sideways = (
        system.show(abs(part), "force") for part in (solved.useful, solved.sideways)
    )
    marks: list[Mark] = []
    labels: list[Mark] = []  # a brief view leaves them to the bars
    if solved.useful > 0.02 * size:
        half = (solved.useful / 2, 0.0)
        marks.append(Arrow((0, 0), foot, "part"))
        labels.append(Label(half, f"useful {useful}", "text", (0, 17 * below)))
    if abs(solved.sideways) > 0.02 * size:
        half = (solved.useful, solved.sideways / 2)
        marks.append(Arrow(foot, tip, "part"))
        labels.append(Label(half, f"sideways {sideways}", "text", (10, 0), "start"))
    angle = solved.given.si("angle_deg")
    words = system.show(abs(angle), "angle")
    words += "" if brief else " from wanted line"
    return [
        *marks,
        *([] if brief else labels),
        Line(arc((0, 0), 0.3 * size, min(0.0, angle), max(0.0, angle)), "angle"),
        _at_tip(solved.first, system.show(solved.tension, "force"), side=below),
        Label((0, 0), words, "angle text", (0, 42 * below), "start"),
    ]


def _pair(
    solved: SolvedArrows,
    size: float,
    window: tuple[float, float, float, float],
    system: UnitSystem,
    *,
    brief: bool,
) -> list[Mark]:
    """Draw the second pull, the parallelogram of both and what they make together."""
    assert solved.second is not None
    first, second, both = map(_tip, (solved.first, solved.second, solved.resultant))
    side = 1 if solved.given.si("between_deg") >= 0 else -1
    forces = (solved.first, solved.second, solved.resultant)
    shown = [system.show(float(norm(force)), "force") for force in forces]
    if not brief:
        names = ("first", "second", "together")
        shown = [f"{name} {force}" for name, force in zip(names, shown, strict=True)]
    marks: list[Mark] = [
        Line([first, both, second], "reference"),
        Arrow((0, 0), second, "force second"),
        _at_tip(solved.first, shown[0], side=-side),
        _at_tip(solved.second, shown[1], side=side),
    ]
    turn = solved.resultant_angle
    if turn is None:
        return marks
    start = float(side_angle_of(solved.first))
    low, high = sorted((start, start + turn))
    words = f"together {system.show(abs(turn), 'angle')}"
    words += "" if brief else " from the first"
    corner = (window[0], window[2])
    return [
        *marks,
        Arrow((0, 0), both, "force resultant"),
        _at_tip(solved.resultant, shown[2]),
        Line(arc((0, 0), 0.35 * size, low, high), "angle"),
        Label(corner, words, "angle text", (6, -14), "start"),
    ]


def _ghost(letter: str, other: SolvedArrows) -> list[Mark]:
    """Show a frozen pull, and a frozen second one with what both made together."""
    tips = [other.first]
    tips += [] if other.second is None else [other.second, other.resultant]
    return [
        *(Line([(0, 0), _tip(force)], "ghost") for force in tips),
        Label(_tip(tips[-1]), f"ghost {letter}", "ghost text", (6, -12), "start"),
    ]


def part_bars(solved: SolvedArrows, system: UnitSystem) -> Drawing:
    """Draw tension and parts as bars, and those of two pulls together."""
    rows = [
        ("chain tension", solved.tension, "bar pull"),
        ("useful", solved.useful, "bar part"),
        ("sideways", abs(solved.sideways), "bar part"),
    ]
    if solved.second is not None:
        along, across = _tip(solved.resultant)
        rows += [
            ("second", float(norm(solved.second)), "bar second"),
            ("together", float(norm(solved.resultant)), "bar part"),
            ("both useful" if along >= 0 else "both against", abs(along), "bar part"),
            ("both sideways", abs(across), "bar part"),
        ]
    return force_bars(
        [(row[0], *row) for row in rows],
        caption="parts of the pull",
        system=system,
        names=0.75,
    )


def amounts(solved: SolvedArrows) -> dict[str, tuple[float, str]]:
    """Return the numbers of the pulls, most telling first."""
    alone = {
        "chain tension": (solved.tension, "force"),
        "useful, on the wanted line": (solved.useful, "force"),
        "sideways, plus left": (solved.sideways, "force"),
        "useful part of the tension": (solved.useful / solved.tension, "share"),
    }
    if solved.second is None:
        return alone
    both, turn = solved.resultant, solved.resultant_angle
    direction = "together, left of the first pull"
    return {
        **alone,
        "second pull": (float(norm(solved.second)), "force"),
        "together": (float(norm(both)), "force"),
        "together, on the wanted line": (float(both[0]), "force"),
        "together, sideways, plus left": (float(both[1]), "force"),
        **({} if turn is None else {direction: (turn, "angle")}),
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
    solve=lambda values: Arrows(values=values).solved(),
    amounts=amounts,
    picture=arrow_sheet,
    projected=projector_sheet,
)
