"""Pictures of the practice rail: its load-movement curve, and how it lies."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import OutOfRangeError
from workbook.figures.drawing.graph import axes_of
from workbook.figures.drawing.marks import (
    Drawing,
    Label,
    Line,
    Mark,
    Marker,
    Panel,
    Sheet,
)
from workbook.figures.drawing.scales import round_up
from workbook.figures.pictures.points import dumb_bell
from workbook.language import say, text
from workbook.quantities.tables import signed
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.mechanics.metal.rail_history import RailHistory
    from workbook.quantities.units import UnitSystem

WIDTH = 820.0
WORDS = ("picture", "rail")
RAILS = ("left", "right")
ACROSS = (1, 2)  # what a view shows upright: width from above, height from the side
ROLES = ("before", "under load", "after")
DRAWN_LARGEST = 0.4  # how long the largest movement is drawn, over a rail's length


@dataclass(frozen=True, kw_only=True)
class PullCurve:
    """Load and movement of one pull through a history.

    Attributes
    ----------
    movement, force : ndarray, shape (k,)
        Of the hook along the pull since the start [m], and in the chain [N].
    peak : int
        The step with the greatest force, the last of them if it was held.
    under_load, stays, springback : float
        Movement at that step, movement at the end, and the difference. [m]
    """

    movement: NDArray[np.float64]
    force: NDArray[np.float64]
    peak: int

    @property
    def under_load(self) -> float:
        """Movement at the greatest force. [m]"""
        return float(self.movement[self.peak])

    @property
    def stays(self) -> float:
        """Movement at the end. [m]"""
        return float(self.movement[-1])

    @property
    def springback(self) -> float:
        """How far it went back from the greatest force to the end. [m]"""
        return self.under_load - self.stays


def pull_curve(history: RailHistory, pull: str) -> PullCurve:
    """Return load and movement of one pull.

    Parameters
    ----------
    history : RailHistory
        What the rails went through.
    pull : str
        Its name in the history.

    Raises
    ------
    OutOfRangeError
        If the history has no such pull, or it never pulled.
    """
    if pull not in history.pulls:
        raise OutOfRangeError("picture.no_such_pull", pull=pull, known=history.pulls)
    column = history.pulls.index(pull)
    force = history.force[:, column]
    greatest = float(force.max())
    if greatest <= 0:
        raise OutOfRangeError("picture.never_pulled", pull=pull)
    travel = history.travel[:, column]
    held = np.flatnonzero(force >= greatest * (1 - 1e-9))
    return PullCurve(movement=travel - travel[0], force=force, peak=int(held[-1]))


def curve_sheet(history: RailHistory, *, pull: str, system: UnitSystem) -> Sheet:
    """Return load against movement of one pull: loading, hold, release, springback.

    Parameters
    ----------
    history : RailHistory
        What the rails went through.
    pull : str
        The pull to show.
    system : UnitSystem
        Units of the numbers.

    Raises
    ------
    OutOfRangeError
        If the history has no such pull, or it never pulled.
    """
    curve = pull_curve(history, pull)
    drawing = _curve_drawing(curve, pull, system)
    return Sheet(
        width=WIDTH,
        height=420,
        text=describe_curve(curve, pull=pull, system=system),
        panels=(Panel(drawing=drawing, left=0, top=0, width=WIDTH, height=420),),
    )


def _curve_drawing(curve: PullCurve, pull: str, system: UnitSystem) -> Drawing:
    right = round_up(1.1 * float(curve.movement.max()), unit=factor("mm"))
    right = max(1.25 * float(curve.movement.max()), right / 2)
    low = min(0.0, float(curve.movement.min()))
    top = 1.3 * float(curve.force.max())
    window = (low - 0.12 * right, right, -0.14 * top, top)
    points = [
        (float(x), float(y)) for x, y in zip(curve.movement, curve.force, strict=True)
    ]
    peak = points[curve.peak]
    show = system.show
    still = axes_of(
        window,
        along=(say(*WORDS, "movement"), "length"),
        up=(say(*WORDS, "force", pull=pull), "force"),
        system=system,
    )
    middle = points[max(curve.peak // 2, 1)]
    down = points[(curve.peak + len(points) - 1) // 2]
    moving: list[Mark] = [
        Line(points[: curve.peak + 1], "loading"),
        Line(points[curve.peak :], "release"),
        Marker(peak, "diamond", "hold"),
        Label(
            peak,
            say(*WORDS, "hold", show=show, force=peak[1], movement=peak[0]),
            "strong text", (0, -22),
        ),
        Label(middle, say(*WORDS, "loading"), "text", (-12, -10), "end"),
        Label(down, say(*WORDS, "release"), "text", (-14, 0), "end"),
        *_springback(curve, top, system),
    ]  # fmt: skip
    return Drawing(
        caption=say(*WORDS, "curve"),
        window=window,
        still=still,
        moving=moving,
        true_scale=False,
    )


def _springback(curve: PullCurve, top: float, system: UnitSystem) -> list[Mark]:
    """Draw what stays and what springs back as lengths under the curve."""
    show = system.show
    if curve.peak == len(curve.force) - 1:  # not let go yet
        return []
    level, tick = 0.13 * top, 0.022 * top
    ends = (0.0, curve.stays, curve.under_load)
    marks: list[Mark] = [
        Line([(ends[1], 0), (ends[1], level + tick)], "reference"),
        Line([(ends[2], 0), (ends[2], float(curve.force.max()))], "reference"),
        Line([(ends[0], level), (ends[2], level)], "axis"),
        *(Line([(x, level - tick), (x, level + tick)], "axis") for x in ends),
        Label(
            ((ends[0] + ends[1]) / 2, level),
            say(*WORDS, "stays", show=show, movement=curve.stays), "text", (0, -12),
        ),
        Label(
            (ends[2], level),
            say(*WORDS, "springback", show=show, movement=curve.springback),
            "text", (10, 0), "start",
        ),
    ]  # fmt: skip
    return marks


def describe_curve(curve: PullCurve, *, pull: str, system: UnitSystem) -> str:
    """Say in words what the curve shows, from the same numbers."""
    most, movement = float(curve.force.max()), curve.under_load
    pulled = say(
        *WORDS, "pulled", show=system.show, pull=pull, force=most, movement=movement
    )
    if curve.peak == len(curve.force) - 1:
        return f"{pulled} {say(*WORDS, 'still_on')}"
    back, stays = curve.springback, curve.stays
    let_go = say(*WORDS, "let_go", show=system.show, springback=back, stays=stays)
    return f"{pulled} {let_go}"


def rails_sheet(
    history: RailHistory,
    *,
    specified: NDArray[np.float64],
    system: UnitSystem,
    under_load: int | None = None,
) -> Sheet:
    """Return each rail before, under load and after, in top and side view.

    Parameters
    ----------
    history : RailHistory
        What the rails went through.
    specified : ndarray, shape (m, n + 1, 3)
        Where their nodes should be. [m]
    system : UnitSystem
        Units of the numbers.
    under_load : int, optional
        The step to show as under load; the one with the greatest force unless
        given.
    """
    most = int(np.argmax(history.force.max(axis=1)))
    loaded = most if under_load is None else under_load
    steps = dict(zip(ROLES, (0, loaded, len(history.stage) - 1), strict=True))
    moved = {role: history.nodes[step] - specified for role, step in steps.items()}
    largest = max(float(np.abs(m).max()) for m in moved.values())
    long = float(np.ptp(specified[..., 0]))
    times = max(1.0, round_up(DRAWN_LARGEST * long / max(largest, 1e-6)) / 2)
    panels = [
        Panel(
            drawing=_rail_view(specified[rail], moved, rail, k, times, system),
            left=410 * k,
            top=44 + 165 * rail,
            width=400,
            height=155,
        )
        for rail in range(len(specified))
        for k in range(len(ACROSS))
    ]
    key = Panel(drawing=_key(times), left=0, top=0, width=WIDTH, height=44)
    return Sheet(
        width=WIDTH,
        height=44 + 165 * len(specified),
        text=describe_rails(moved, system=system),
        panels=(key, *panels),
    )


def _rail_view(
    specified: NDArray[np.float64],
    moved: dict[str, NDArray[np.float64]],
    rail: int,
    view: int,
    times: float,
    system: UnitSystem,
) -> Drawing:
    name, flat = text(*WORDS, "views")[view], [0, ACROSS[view]]
    lies = {role: specified + times * m[rail] for role, m in moved.items()}
    lines = {
        role: [(float(x), float(y)) for x, y in nodes[:, flat]]
        for role, nodes in (("frame specified", specified), *lies.items())
    }
    reach = times * max(float(np.abs(m[..., 1:]).max()) for m in moved.values())
    long = float(np.ptp(specified[:, 0]))
    root, tip = lines["frame specified"][0], lines["frame specified"][-1]
    window = (
        root[0] - 0.1 * long, tip[0] + 0.75 * long,
        root[1] - reach - 0.1 * long, root[1] + reach + 0.15 * long,
    )  # fmt: skip
    left = moved["after"][rail, -1, flat]
    number = ", ".join(signed(float(d), system) for d in left)
    return Drawing(
        caption=say(*WORDS, RAILS[rail], view=name),
        window=window,
        still=[Line(lines.pop("frame specified"), "frame specified")],
        moving=[
            *(Line(line, role) for role, line in lines.items()),
            *dumb_bell(tip, lines["after"][-1]),
            Label(tip, number, "text", (16, 0), "start"),
        ],
    )


def _key(times: float) -> Drawing:
    marks: list[Mark] = []
    for k, role in enumerate(("frame specified", *ROLES)):
        at = 14 + 160.0 * k
        marks += [
            Line([(at, 0), (at + 44, 0)], role),
            Label(
                (at + 44, 0),
                say(*WORDS, "role", role), "small text", (8, 0), "start",
            ),
        ]  # fmt: skip
    return Drawing(
        caption=say(*WORDS, "lies", times=times),
        window=(0, WIDTH, -12, 32),
        still=marks,
        true_scale=False,
    )


def describe_rails(moved: dict[str, NDArray[np.float64]], *, system: UnitSystem) -> str:
    """Say in words how the tips lie, from the same numbers."""
    said = {}
    for role in ROLES:
        tips = [
            "(" + ", ".join(signed(float(d), system) for d in rail[-1]) + ")"
            for rail in moved[role]
        ]
        both = dict(zip(RAILS, tips, strict=False))
        told = say(*WORDS, "tip", "both", **both) if len(tips) > 1 else tips[0]
        said[role.replace(" ", "_")] = say(*WORDS, "tip", role, tips=told)
    return say(*WORDS, "tips", **said)
