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
from workbook.quantities.tables import signed
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.mechanics.metal.rail import RailHistory
    from workbook.quantities.units import UnitSystem

WIDTH = 820.0
NOTE = "teaching model, invented steel"
RAILS = ("left", "right")
VIEWS = (("top view: left is up", 1), ("side view from the right", 2))
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
        msg = f"there is no pull {pull!r}; there is {', '.join(history.pulls)}"
        raise OutOfRangeError(msg)
    column = history.pulls.index(pull)
    force = history.force[:, column]
    greatest = float(force.max())
    if greatest <= 0:
        msg = f"pull {pull!r} never pulled in this history: give it a force"
        raise OutOfRangeError(msg)
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
    number = system.show
    still = axes_of(
        window,
        along=("movement of the hook along the pull", "length"),
        up=(f"force of pull {pull!r}", "force"),
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
            f"hold: {number(peak[1], 'force')}, {number(peak[0], 'small length')}",
            "strong text", (0, -22),
        ),
        Label(middle, "loading", "text", (-12, -10), "end"),
        Label(down, "release", "text", (-14, 0), "end"),
        *_springback(curve, top, system),
    ]  # fmt: skip
    return Drawing(
        caption=f"load and movement of one pull; {NOTE}",
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
            f"stays {show(curve.stays, 'small length')}", "text", (0, -12),
        ),
        Label(
            (ends[2], level),
            f"springback {show(curve.springback, 'small length')}",
            "text", (10, 0), "start",
        ),
    ]  # fmt: skip
    return marks


def describe_curve(curve: PullCurve, *, pull: str, system: UnitSystem) -> str:
    """Say in words what the curve shows, from the same numbers."""
    show = system.show
    said = (
        f"Pull {pull!r} goes up to {show(float(curve.force.max()), 'force')} and moves "
        f"the hook {show(curve.under_load, 'small length')}."
    )
    if curve.peak == len(curve.force) - 1:
        return f"{said} It is still on."
    return (
        f"{said} Let go, the hook springs back "
        f"{show(curve.springback, 'small length')}; "
        f"{show(curve.stays, 'small length')} stay."
    )


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
    steps = {"before": 0, "under load": loaded, "after": len(history.stage) - 1}
    moved = {role: history.nodes[step] - specified for role, step in steps.items()}
    largest = max(float(np.abs(m).max()) for m in moved.values())
    long = float(np.ptp(specified[..., 0]))
    times = max(1.0, round_up(DRAWN_LARGEST * long / max(largest, 1e-6)) / 2)
    panels = [
        Panel(
            drawing=_rail_view(specified[rail], moved, rail, view, times, system),
            left=410 * k,
            top=44 + 165 * rail,
            width=400,
            height=155,
        )
        for rail in range(len(specified))
        for k, view in enumerate(VIEWS)
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
    view: tuple[str, int],
    times: float,
    system: UnitSystem,
) -> Drawing:
    name, across = view
    flat = [0, across]
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
        caption=f"{RAILS[rail]} rail, {name}",
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
    roles = ("frame specified", "before", "under load", "after")
    for k, role in enumerate(roles):
        at = 14 + 160.0 * k
        marks += [
            Line([(at, 0), (at + 44, 0)], role),
            Label(
                (at + 44, 0),
                role.removeprefix("frame "), "small text", (8, 0), "start",
            ),
        ]  # fmt: skip
    return Drawing(
        caption=f"how the rails lie; movement drawn {times:g} times; {NOTE}",
        window=(0, WIDTH, -12, 32),
        still=marks,
        true_scale=False,
    )


def describe_rails(moved: dict[str, NDArray[np.float64]], *, system: UnitSystem) -> str:
    """Say in words how the tips lie, from the same numbers."""
    said = []
    for role in ("before", "under load", "after"):
        told = " and ".join(
            "(" + ", ".join(signed(float(d), system) for d in rail[-1]) + ")"
            for rail in moved[role]
        )
        said.append(f"{role} {told}")
    return (
        "How far the rails' tips are from where they should be, forward, left and "
        f"up: {'; '.join(said)}."
    )
