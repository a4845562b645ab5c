"""A plain box as a wire frame, specified and bent by kinds of damage, over set-ups.

The command line and the explorer of kinds of damage draw the same frame and the same
bars.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.figures.drawing.letters import width_of
from workbook.figures.drawing.marks import (
    Drawing,
    Label,
    Line,
    Mark,
    Panel,
    Polygon,
    Sheet,
    path,
)
from workbook.figures.drawing.scales import AIR, round_up
from workbook.figures.drawing.styles import STYLES
from workbook.figures.drawing.texts import Amount, Text, said
from workbook.figures.drawing.views import VIEWS
from workbook.language import say
from workbook.mechanics.survey.damage import DamageSizes, damage_field
from workbook.quantities.tables import at_least_shown, signed
from workbook.quantities.units import factor
from workbook.scenes.surveys import (
    SHOWN_AS,
    is_clear,
    one_sided,
    side_words,
    size_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from workbook.mechanics.survey.damage import DamageFrame, DamageReading
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.surveys import Survey

    Seen = Callable[[Array], Array]  # points (..., n, 3) as they are seen (..., n, 2)

WIDTH, HEIGHT = 820.0, 475.0
DRAWN_LARGEST = 0.10  # how long the largest movement is drawn, over the frame's length
WORDS = ("picture", "damage")
ROW = 22.0  # px, of a bar, in letters of a page
LEAST_FULL = {"small length": 1e-3, "angle": np.radians(1.0)}  # of a scale of bars
WIDEST = {"small length": -0.0999, "angle": -np.radians(9.9)}  # of sizes shown
SEEN: Mapping[str, Seen] = {
    "top": lambda points: points[..., :2],
    "side": lambda points: points[..., [0, 2]],
    "front": lambda points: points[..., 1:],
    "space": VIEWS["home"].along,
}
"""How points are seen: from above, from the right, from ahead, and at home in space."""


def damage_sheet(
    survey: Survey, reading: DamageReading, *, frame: DamageFrame, system: UnitSystem
) -> Sheet:
    """Return the wire frame bent by the kinds read from a survey, and their sizes.

    Parameters
    ----------
    survey : Survey
        The survey that was read.
    reading : DamageReading
        What was read from it.
    frame : DamageFrame
        The planes it was read by.
    system : UnitSystem
        Units of the numbers.
    """
    rear = float(survey.points.specified[:, 0].min())
    frame_sheet = wire_frame_panels(reading.sizes, frame=frame, rear=rear)
    bars = size_bars(reading, system, wide=400.0, with_errors=True)
    sizes = Panel(drawing=bars, left=420, top=255, width=400, height=210)
    return Sheet(
        width=WIDTH,
        height=HEIGHT,
        text=describe(reading, frame=frame, system=system),
        panels=(*frame_sheet, sizes),
    )


def wire_frame_panels(
    sizes: DamageSizes, *, frame: DamageFrame, rear: float, height: float = 0.4
) -> tuple[Panel, ...]:
    """Return three views of a plain box, specified and bent.

    Parameters
    ----------
    sizes : DamageSizes
        Size of each kind. [m, twist rad]
    frame : DamageFrame
        The planes the kinds refer to.
    rear : float
        Where the box ends behind the hinge plane. [m]
    height : float
        Of the box; damage is the same at every height. [m]
    """
    lines = box_lines(frame, rear=min(rear, frame.hinge_x - 0.1), height=height)
    moves = moves_of(lines, sizes=sizes, frame=frame)
    largest = max(float(np.abs(move).max()) for move in moves.values())
    times = exaggeration(largest, long=frame.front_x - rear)
    places = {
        "space": (0, 0, 820, 250),
        "top": (0, 255, 400, 120),
        "side": (0, 380, 400, 90),
    }
    return tuple(
        Panel(
            drawing=_view(seen, lines, moves, times),
            left=left,
            top=top,
            width=wide,
            height=high,
        )
        for seen, (left, top, wide, high) in places.items()
    )


def exaggeration(largest: float, *, long: float) -> float:
    """Return how many times too large movements are drawn, a round number.

    Examples
    --------
    >>> exaggeration(0.026, long=3.5)
    10.0
    >>> exaggeration(0.0, long=3.5)
    1.0
    """
    if largest <= 0:
        return 1.0
    return float(max(1.0, round_up(DRAWN_LARGEST * long / largest) / 2))


def box_lines(frame: DamageFrame, *, rear: float, height: float) -> dict[str, Array]:
    """Return the lines of a plain box by name, (n, 3) each.

    Four run along it, with a point wherever damage may kink them, and a ring stands
    at each of its planes.
    """
    half, hinge, front = frame.width / 2, frame.hinge_x, frame.front_x
    rings = {
        "rear": rear,
        "hinge": hinge,
        "middle": (hinge + front) / 2,
        "front": front,
    }
    kinks = [] if frame.sag_low_x is None else [frame.sag_low_x]
    along = np.unique([*rings.values(), *kinks])
    corners = {
        "left lower": (half, 0.0),
        "left upper": (half, height),
        "right upper": (-half, height),
        "right lower": (-half, 0.0),
    }
    lines = {
        name: np.array([[x, y, z] for x in along]) for name, (y, z) in corners.items()
    }
    round_it = [*corners.values(), corners["left lower"]]
    rings = {name: x for name, x in rings.items() if name != "hinge" or x != rear}
    return lines | {
        f"{name} ring": np.array([[x, y, z] for y, z in round_it])
        for name, x in rings.items()
    }


def moves_of(
    lines: Mapping[str, Array], *, sizes: DamageSizes, frame: DamageFrame
) -> dict[str, Array]:
    """Return how far damage moves the points of lines, by name, (..., n, 3)."""
    return {
        name: damage_field(line, sizes=sizes, frame=frame)
        for name, line in lines.items()
    }


def frame_marks(
    lines: Mapping[str, Array],
    moves: Mapping[str, Array],
    *,
    seen: Seen,
    times: float,
) -> tuple[list[Mark], list[Mark]]:
    """Return the specified frame and the bent one, as they are seen from somewhere."""
    specified: list[Mark] = [
        Line(seen(line), "frame specified", f"{name} specified")
        for name, line in lines.items()
    ]
    bent: list[Mark] = [
        Line(seen(line + times * moves[name]), "frame damaged", f"{name} damaged")
        for name, line in lines.items()
    ]
    return specified, bent


def _view(
    seen: str, lines: Mapping[str, Array], moves: Mapping[str, Array], times: float
) -> Drawing:
    still, moving = frame_marks(lines, moves, seen=SEEN[seen], times=times)
    places = np.concatenate([np.array(mark.places) for mark in (*still, *moving)])
    xs, ys = places.T
    room = 0.04 * float(np.ptp(xs))
    top = room if seen == "space" else 0.08 * float(np.ptp(xs))  # of the caption
    window = (
        float(xs.min() - room), float(xs.max() + room),
        float(ys.min() - room), float(ys.max() + top),
    )  # fmt: skip
    caption = say(*WORDS, "views", seen)
    if seen == "space":
        caption = say(*WORDS, "enlarged", view=caption, times=times)
        still += _key(window)
    return Drawing(caption=caption, window=window, still=still, moving=moving)


def _key(window: tuple[float, float, float, float]) -> list[Mark]:
    left, y = window[0], window[2]
    long = 0.07 * (window[1] - window[0])
    marks: list[Mark] = []
    for k, (role, word) in enumerate(
        (
            ("frame specified", say(*WORDS, "specified")),
            ("frame damaged", say(*WORDS, "damaged")),
        )
    ):
        at = (left + 0.05 + 3 * k * long, y)
        marks += [
            Line([at, (at[0] + long, y)], role),
            Label((at[0] + long, y), word, "small text", (8, 0), "start"),
        ]
    return marks


def size_bars(
    reading: DamageReading,
    system: UnitSystem,
    *,
    wide: float,
    letters: float = 1.0,
    caption: str = "",
    with_errors: bool = False,
) -> Drawing:
    """Draw each kind's size from zero with its standard error; twist in degrees.

    Parameters
    ----------
    reading : DamageReading
        Read from one survey, or from many (...).
    system : UnitSystem
        Units of the sizes.
    wide : float
        Width that there is for words, bars and sizes. [px]
    letters : float
        How many times as large as on a page the letters are.
    caption : str
        What the bars are, if it is to be said otherwise.
    with_errors : bool
        Whether standard errors are said behind the sizes too.
    """
    kinds = reading.kinds
    full = _full_bars(reading)
    words = {kind: say("term", "damage", kind) for kind in kinds}
    style = STYLES["text"]

    def width(said_somewhere: Sequence[str]) -> float:
        sizes = (width_of(t, style.size * letters, style.bold) for t in said_somewhere)
        return max(sizes) + AIR

    behind = [_widest(kind, system, with_errors=with_errors) for kind in kinds]
    names, numbers = width([*words.values()]), width(behind)
    bars = max(wide - names - numbers, 4 * AIR)
    left, right = -1 - 2 * names / bars, 1 + 2 * numbers / bars
    rows = len(kinds)
    marks: list[Mark] = [Line([(0, 0.4 - rows), (0, 0.6)], "reference", "nothing")]
    for row, kind in enumerate(kinds):
        size, error = size_of(reading, kind)
        at, reach = size / full[SHOWN_AS[kind]], error / full[SHOWN_AS[kind]]
        low, high, clear = -row - 0.22, -row + 0.22, is_clear(reading, kind)
        box = path([(0, low), (at, low), (at, high), (0, high)])
        number = _size_words(size, error, kind, system, with_errors=with_errors)
        marks += [
            Polygon(box, "bar part", f"bar {kind}", shown=clear),
            Polygon(box, "bar frame", f"bar in scatter {kind}", shown=~clear),
            Line([(at - reach, -row), (at + reach, -row)], "axis", f"error {kind}"),
            *(
                Line([(end, -row - 0.14), (end, -row + 0.14)], "axis", name)
                for end, name in (
                    (at - reach, f"error from {kind}"),
                    (at + reach, f"error to {kind}"),
                )
            ),
            Label(
                (-1, -row), words[kind], "text", (-6, 0), "end", name=f"label {kind}"
            ),
            Label((right, -row), number, "text", (-2, 0), "end", name=f"value {kind}"),
        ]
    return Drawing(
        caption=caption or say(*WORDS, "bars"),
        window=(left, right, 0.2 - rows, 1.3),
        moving=marks,
        true_scale=False,
    )


def _full_bars(reading: DamageReading) -> dict[str, Any]:
    """Return how large a full bar is, (...), by the kind of quantity. [SI]"""
    full = {}
    for shown_as, least in LEAST_FULL.items():
        sizes = [size_of(reading, k) for k in reading.kinds if SHOWN_AS[k] == shown_as]
        reach = [np.abs(size) + error for size, error in sizes]
        largest = np.maximum.reduce(np.broadcast_arrays(least, *reach))
        unit = factor("deg") if shown_as == "angle" else 1.0
        full[shown_as] = round_up(largest, unit=unit)
    return full


def _size_words(
    size: Any, error: Any, kind: str, system: UnitSystem, *, with_errors: bool
) -> Text:
    """Return a signed size as text, with its standard error where that is wanted."""
    number = Amount(size, SHOWN_AS[kind], _shown_by(signed, system))
    if not with_errors:
        return number
    scatter = Amount(error, SHOWN_AS[kind], _shown_by(at_least_shown, system))
    return said(*WORDS, "size", show=system.show, size=number, error=scatter)


def _shown_by(
    how: Callable[[float, UnitSystem, str], str], system: UnitSystem
) -> Callable[[Any, str], str]:
    return lambda value, kind: how(float(value), system, kind)


def _widest(kind: str, system: UnitSystem, *, with_errors: bool) -> str:
    size = WIDEST[SHOWN_AS[kind]]
    error = np.asarray(0.0)
    return str(
        _size_words(np.asarray(size), error, kind, system, with_errors=with_errors)
    )


def describe(reading: DamageReading, *, frame: DamageFrame, system: UnitSystem) -> str:
    """Say in words what the picture shows, from the same numbers."""
    told = [
        say(
            *WORDS,
            "one_side",
            kind=f"damage.{kind}",
            meaning=side_words(reading, kind, system=system),
        )
        if one_sided(reading, kind)
        else say(
            *WORDS,
            "one_kind",
            kind=f"damage.{kind}",
            size=signed(float(size_of(reading, kind)[0]), system, SHOWN_AS[kind]),
        )
        for kind in reading.kinds
        if is_clear(reading, kind)
    ]
    side = frame.mash_side
    left = float(reading.share_unexplained)
    return " ".join(
        [
            say(*WORDS, "said", found=told or [say(*WORDS, "nothing")]),
            *([] if side == "both" else [say(*WORDS, f"mash_{side}")]),
            say(*WORDS, "unexplained", show=system.show, share=left),
        ]
    )
