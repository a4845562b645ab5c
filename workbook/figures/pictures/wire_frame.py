"""Pictures of kinds of damage: a bent wire frame over the specified one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.figures.drawing.marks import (
    Drawing,
    Label,
    Line,
    Mark,
    Panel,
    Point,
    Polygon,
    Sheet,
)
from workbook.figures.drawing.scales import round_up
from workbook.language import say, text
from workbook.mechanics.survey.damage import DamageSizes, damage_field
from workbook.quantities.tables import at_least_shown, signed
from workbook.scenes.surveys import (
    SHOWN_AS,
    is_clear,
    one_sided,
    side_words,
    size_of,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from workbook.mechanics.survey.damage import DamageFrame, DamageReading
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.surveys import Survey

WIDTH, HEIGHT = 820.0, 475.0
STATIONS = 13  # places along the frame at which its bent lines are drawn
DEPTH = (0.42, 0.30)  # where a metre to the left goes: right and up, in metres
DRAWN_LARGEST = 0.10  # how long the largest movement is drawn, over the frame's length
WORDS = ("picture", "damage")


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
    sizes = Panel(
        drawing=size_bars(reading, system), left=420, top=255, width=400, height=210
    )
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
    moved = [damage_field(line, sizes=sizes, frame=frame) for line in lines]
    long = frame.front_x - rear
    times = exaggeration(max(float(np.abs(m).max()) for m in moved), long=long)
    bent = [line + times * move for line, move in zip(lines, moved, strict=True)]
    places = ((0, 0, 820, 250), (0, 255, 400, 120), (0, 380, 400, 90))
    return tuple(
        Panel(
            drawing=_view(k, lines, bent, times),
            left=left,
            top=top,
            width=wide,
            height=high,
        )
        for k, (left, top, wide, high) in enumerate(places)
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


def box_lines(
    frame: DamageFrame, *, rear: float, height: float
) -> list[NDArray[np.float64]]:
    """Return the lines of a plain box: four along it, a ring at each of its planes."""
    half = frame.width / 2
    along = np.unique([*np.linspace(rear, frame.front_x, STATIONS), frame.hinge_x])
    corners = [(half, 0.0), (half, height), (-half, height), (-half, 0.0)]
    lines = [np.array([[x, y, z] for x in along]) for y, z in corners]
    middle = (frame.hinge_x + frame.front_x) / 2
    lines += [
        np.array([[x, y, z] for y, z in (*corners, corners[0])])
        for x in (rear, frame.hinge_x, middle, frame.front_x)
    ]
    return lines


def _view(
    view: int,
    specified: Sequence[NDArray[np.float64]],
    bent: Sequence[NDArray[np.float64]],
    times: float,
) -> Drawing:
    flat = [[_flat(view, p) for p in line] for line in (*specified, *bent)]
    xs, ys = np.concatenate([np.array(line) for line in flat]).T
    room = 0.04 * float(np.ptp(xs))
    top = room if view == 0 else 0.08 * float(np.ptp(xs))  # the caption stands there
    window = (
        float(xs.min() - room), float(xs.max() + room),
        float(ys.min() - room), float(ys.max() + top),
    )  # fmt: skip
    n = len(specified)
    still: list[Mark] = [Line(line, "frame specified") for line in flat[:n]]
    moving: list[Mark] = [Line(line, "frame damaged") for line in flat[n:]]
    caption = text(*WORDS, "views")[view]
    if view == 0:
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


def _flat(view: int, point: NDArray[np.float64]) -> Point:
    x, y, z = map(float, point)
    if view == 0:
        return x + DEPTH[0] * y, z + DEPTH[1] * y
    return (x, y) if view == 1 else (x, z)


def size_bars(reading: DamageReading, system: UnitSystem) -> Drawing:
    """Draw each kind's size from zero with its standard error; twist in degrees."""
    longest = {
        kind: max(
            (
                abs(size_of(reading, k)[0]) + size_of(reading, k)[1]
                for k in reading.kinds
                if SHOWN_AS[k] == SHOWN_AS[kind]
            ),
            default=0.0,
        )
        for kind in reading.kinds
    }
    marks: list[Mark] = [Line([(0, -len(reading.kinds) + 0.4), (0, 0.6)], "reference")]
    for row, kind in enumerate(reading.kinds):
        size, error = size_of(reading, kind)
        whole = longest[kind] or 1.0
        if kind == "twist":  # an angle has its own scale: 1 degree is a full bar
            whole = max(whole, np.radians(1.0))
        at, reach = size / whole, error / whole
        clear = is_clear(reading, kind)
        box = [
            (0, -row - 0.22),
            (at, -row - 0.22),
            (at, -row + 0.22),
            (0, -row + 0.22),
        ]
        number = say(
            *WORDS,
            "size",
            size=signed(size, system, SHOWN_AS[kind]),
            error=at_least_shown(error, system, SHOWN_AS[kind]),
        )
        marks += [
            Polygon(box, "bar pull" if clear else "bar frame"),
            Line([(at - reach, -row), (at + reach, -row)], "axis"),
            *(
                Line([(end, -row - 0.14), (end, -row + 0.14)], "axis")
                for end in (at - reach, at + reach)
            ),
            Label((-1.2, -row), say("term", "damage", kind), "text", (0, 0), "end"),
            Label((3.4, -row), number, "text", (0, 0), "end"),
        ]
    return Drawing(
        caption=say(*WORDS, "bars"),
        window=(-2.3, 3.45, -len(reading.kinds) + 0.2, 1.3),
        moving=marks,
        true_scale=False,
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
            size=signed(size_of(reading, kind)[0], system, SHOWN_AS[kind]),
        )
        for kind in reading.kinds
        if is_clear(reading, kind)
    ]
    side = frame.mash_side
    left = reading.share_unexplained
    return " ".join(
        [
            say(*WORDS, "said", found=told or [say(*WORDS, "nothing")]),
            *([] if side == "both" else [say(*WORDS, f"mash_{side}")]),
            say(*WORDS, "unexplained", show=system.show, share=left),
        ]
    )
