"""The invented Kestrin 5: its points, its crash, its survey and its shop's clamps.

Everything here is invented (`invented` says so to a reader) and hangs together:
the crash bends the rails of `kestrin_rail`, the rails carry their points along,
and the survey is those points as a measurer with a stated scatter reads them.
"""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from workbook.language import say
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import RailStage
from workbook.mechanics.survey.damage import DamageFrame
from workbook.quantities.units import factor
from workbook.scenes.holds import Hold, hold_from_toml
from workbook.scenes.kestrin_rail import SIDES, kestrin_front_end
from workbook.scenes.points import PointList, parse_points

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.mechanics.metal.rail_history import RailHistory
    from workbook.mechanics.vectors import Array

NAME = "kestrin"


class Scatter(Protocol):
    """What draws the scatter of readings, as `numpy.random.Generator` does."""

    def normal(self, *, scale: float, size: tuple[int, ...]) -> NDArray[np.float64]:
        """Return readings' errors with this standard deviation."""


def invented() -> str:
    """Return what a reader of any of its numbers must know."""
    return say("scene", "kestrin")


@cache
def kestrin_points() -> PointList:
    """Return the specified points, with their limits.

    Examples
    --------
    >>> points = kestrin_points()
    >>> len(points.ids), points.ids[0], points.positions[0].tolist()
    (23, 'left-tip', [1.54, 0.44, 0.42])
    """
    return parse_points(_text("kestrin_points.csv"), name="kestrin_points.csv")


@cache
def kestrin_survey() -> PointList:
    """Return the points as measured after the crash, in the measurer's own frame."""
    return parse_points(_text("kestrin_survey.csv"), name="kestrin_survey.csv")


@cache
def kestrin_final() -> PointList:
    """Return the points as measured after the repair, in the measurer's own frame."""
    return parse_points(_text("kestrin_final.csv"), name="kestrin_final.csv")


@cache
def kestrin_hold() -> Hold:
    """Return the clamps and stands that hold the body on the shop's bench.

    Examples
    --------
    >>> kestrin_hold().names
    ('left front', 'right front', 'left rear', 'right rear')
    """
    return hold_from_toml(_text("kestrin_clamps.toml"))


def kestrin_plan() -> str:
    """Return the plan file of the first rough pull; `plan_from_toml` reads it."""
    return _text("kestrin_plan.toml")


def kestrin_frame() -> DamageFrame:
    """Return the planes that the kinds of damage refer to."""
    reading, mm = read_kestrin_data()["reading"], factor("mm")
    return DamageFrame(
        hinge_x=reading["hinge_mm"] * mm,
        front_x=reading["front_mm"] * mm,
        width=reading["width_mm"] * mm,
        mash_side=reading["mash_side"],
    )


def crash_stages() -> tuple[RailStage, ...]:
    """Return the crash: driven in, the crossmember gives way on the way, let go."""
    crash = read_kestrin_data()["crash"]
    held = crash["crossmember_holds"]
    travel = {way: mm * factor("mm") for way, mm in crash["travel_mm"].items()}
    return (
        RailStage(name="crash", travels={way: held * m for way, m in travel.items()}),
        RailStage(
            name="crossmember gives way",
            travels={way: (1 - held) * m for way, m in travel.items()},
            take_out=["crossmember"],
        ),
        RailStage(name="crash over", forces=dict.fromkeys(travel, 0.0)),
        RailStage(name="crossmember lies bent", fit=["crossmember"]),
    )


@cache
def crashed_kestrin() -> RailHistory:
    """Return the history of the crash; give it to `follow` as ``start``.

    Examples
    --------
    Both rail tips, in mm forward, left and up:

    >>> history = crashed_kestrin()
    >>> [history.movement((side, 8)).round(3).tolist() for side in (0, 1)]
    [[-0.026, -0.019, -0.008], [-0.0, -0.006, 0.0]]
    """
    return follow(kestrin_front_end(), crash_stages())


def specified_rails() -> NDArray[np.float64]:
    """Return where the nodes of the rails should be, shape (2, 9, 3) [m]."""
    return np.asarray(crashed_kestrin().nodes[0])


def kestrin_differences(nodes: Array) -> NDArray[np.float64]:
    """Return how far each specified point is moved by bent rails.

    Parameters
    ----------
    nodes : ndarray, shape (..., 2, 9, 3)
        Where the rails are, as `RailHistory` has them. [m]

    Returns
    -------
    NDArray[np.float64], shape (..., n, 3)
        Moved minus specified; nothing for points that are not on a rail. [m]
    """
    points = kestrin_points()
    moved = np.zeros((*np.shape(nodes)[:-3], len(points.ids), 3))
    for point_id, (side, node) in read_kestrin_data()["on_rail"].items():
        row = points.ids.index(point_id)
        here = nodes[..., SIDES.index(side), node, :]
        moved[..., row, :] = here - points.positions[row]
    return moved


def measured_kestrin(
    nodes: Array, *, rng: Scatter, scatter: float | None = None
) -> PointList:
    """Measure the points of the body with bent rails, as the shop does.

    Parameters
    ----------
    nodes : ndarray, shape (2, 9, 3)
        Where the rails are, one step of a `RailHistory`. [m]
    rng : Scatter
        Draws the scatter of the readings: a generator of numpy, or its like.
    scatter : float, optional
        Standard deviation of one coordinate; the shop's unless given. [m]

    Returns
    -------
    PointList
        In the measurer's own frame, rounded as written down, no limits. [m]
    """
    survey, mm = read_kestrin_data()["survey"], factor("mm")
    points = kestrin_points()
    there = points.positions + kestrin_differences(nodes)
    spread = survey["scatter_mm"] * mm if scatter is None else scatter
    read = there @ _turn(survey).T + np.array(survey["shift_mm"]) * mm
    grain = survey["grain_mm"]
    noisy = read + rng.normal(scale=spread, size=read.shape)
    written = np.round(noisy / mm / grain) * grain * mm
    return PointList(ids=points.ids, positions=written)


def reproduced_survey() -> PointList:
    """Measure the crashed car from the stated seed: what the shipped survey holds."""
    rng = np.random.default_rng(read_kestrin_data()["survey"]["seed"])
    return measured_kestrin(crashed_kestrin().nodes[-1], rng=rng)


@cache
def read_kestrin_data() -> dict[str, Any]:
    """Return ``kestrin.toml`` as it stands, in the units its names end with."""
    return tomllib.loads(_text("kestrin.toml"))


def _text(name: str) -> str:
    return files("workbook.scenes").joinpath(name).read_text(encoding="utf-8")


def _turn(survey: dict[str, Any]) -> NDArray[np.float64]:
    """Return the turn from the car's axes to the measurer's."""
    deg = factor("deg")
    yaw, nose_up, left_up = (
        survey[f"{name}_deg"] * deg for name in ("yaw", "nose_up", "left_up")
    )
    about_z = [[np.cos(yaw), -np.sin(yaw), 0], [np.sin(yaw), np.cos(yaw), 0], [0, 0, 1]]
    about_y = [
        [np.cos(nose_up), 0, -np.sin(nose_up)],
        [0, 1, 0],
        [np.sin(nose_up), 0, np.cos(nose_up)],
    ]
    about_x = [
        [1, 0, 0],
        [0, np.cos(left_up), -np.sin(left_up)],
        [0, np.sin(left_up), np.cos(left_up)],
    ]
    return np.asarray(np.array(about_z) @ about_y @ about_x)
