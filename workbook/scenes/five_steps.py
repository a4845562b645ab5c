"""One damaged rail, and five steps that pull it back: pull, release, measure, decide.

The rail is the left one of the invented Kestrin 5, alone and without its crossmember.
Three strokes have left its hook point short of its place in all three directions. Every
pull is the bay's own act on the bay's own metal; a decision says where the next one
is clamped and along which line it runs. Nothing else is decided here.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.metal.front import load, places, release, undamaged
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_parts import FrontEnd, RailClamp
from workbook.mechanics.survey.what_is_left import grew, share_done
from workbook.mechanics.vectors import norm, rise_of, side_angle_of, unit
from workbook.scenes.fields import Given, read_fields
from workbook.scenes.kestrin_rail import kestrin_rail, read_rail_data

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.mechanics.metal.front_parts import FrontState
    from workbook.mechanics.vectors import Array

WORD = "STEPS1"
FIELDS = read_fields("step")
STEPS = 5
SAME, NEW, MOVE, STOP = "same line", "new line", "move the clamp", "stop"
POINTS = ("hook", "middle")
LINKS = int(read_rail_data()["rail"]["links"])
NODES = {"hook": LINKS, "middle": LINKS // 2}
# How far the model follows the hook point; a rail bent so far is scrap. [m]
FARTHEST = 0.08
# A point as near as this to its place gives no line to pull along. [m]
NO_LINE = 1e-4


@cache
def front_end() -> FrontEnd:
    """Return the rail with a clamp at its hook point and one at its middle."""
    return FrontEnd(
        rails=[kestrin_rail("left")],
        clamps={name: RailClamp(node=(0, node)) for name, node in NODES.items()},
        pulls={},
    )


@cache
def specified() -> Array:
    """Return where the nodes should be, the box that stays as it is. [m]"""
    return np.asarray(undamaged(front_end()).metal.nodes[0])


@cache
def damaged() -> FrontState:
    """Return the rail as the three strokes have left it."""
    state, blows = undamaged(front_end()), read_rail_data()["stroke"]
    for stroke, way in zip(blows["length"], blows["direction"], strict=True):
        blow = PullOn(clamp="hook", direction=way, stroke=stroke)
        struck = load(front_end(), state, {"blow": blow}).state
        state = release(front_end(), struck).state
    return state


def missing(state: FrontState, point: str) -> Array:
    """Return what a point lacks: forward, to the left and up, shape (3,). [m]"""
    return np.asarray(specified()[NODES[point]] - places(front_end(), state)[point])


@dataclass(frozen=True, kw_only=True, eq=False)
class TakenStep:
    """One step: where it was clamped, along which line, and what the metal did.

    Attributes
    ----------
    clamp : str
        One of `POINTS`.
    line : ndarray, shape (3,)
        Unit direction of the pull.
    force : float
        What it went up to; 0 once it was decided to stop. [N]
    loaded, released : FrontState
    """

    clamp: str
    line: Array
    force: float
    loaded: FrontState
    released: FrontState


def _toward(clamp: str, state: FrontState, *, else_along: Array) -> Array:
    """Return the line along what a point lacks, or the old one."""
    lacks = missing(state, clamp)
    return unit(lacks) if norm(lacks) > NO_LINE else else_along


@lru_cache(maxsize=2048)
def step_after(decisions: tuple[str, ...], forces: tuple[float, ...]) -> TakenStep:
    """Return the last of some steps on the rail.

    Parameters
    ----------
    decisions : tuple of str
        Before each step but the first.
    forces : tuple of float
        What each pull goes up to. [N]

    Raises
    ------
    OutOfRangeError
        If a pull takes the rail further than the model follows it.
    """
    if not decisions:
        clamp, line, before = "hook", unit(missing(damaged(), "hook")), damaged()
    else:
        last = step_after(decisions[:-1], forces[:-1])
        clamp, line, before = last.clamp, last.line, last.released
        if STOP in decisions:
            return TakenStep(
                clamp=clamp, line=line, force=0.0, loaded=before, released=before
            )
        if decisions[-1] == MOVE:
            clamp = POINTS[1 - POINTS.index(clamp)]
        if decisions[-1] != SAME:
            line = _toward(clamp, before, else_along=line)
    pull = PullOn(clamp=clamp, direction=line, tension=forces[-1])
    loaded = load(front_end(), before, {"pull": pull}).state
    if max(norm(missing(loaded, point)) for point in POINTS) > FARTHEST:
        raise OutOfRangeError("scene.pulled_too_far", load=forces[-1], most=FARTHEST)
    released = release(front_end(), loaded).state
    return TakenStep(
        clamp=clamp, line=line, force=forces[-1], loaded=loaded, released=released
    )


@dataclass(frozen=True, kw_only=True)
class StepsGiven(Given):
    """What is given of five steps on a rail; ``values`` holds a value a field."""

    FIELDS = FIELDS

    @property
    def step(self) -> int:
        """Which step it is now, from 1."""
        return int(self.chosen("moment")[0])

    @property
    def decisions(self) -> tuple[str, ...]:
        """What was decided before each step that was taken but the first."""
        return tuple(self.chosen(f"decision_{k}") for k in range(2, self.step + 1))

    def solved(self) -> FiveSteps:
        """Take the rail through its steps, or every one of many.

        Returns
        -------
        FiveSteps
            Of many, with nan where a rail does not go so far.

        Raises
        ------
        WorkbookError
            If a single rail is pulled further than the model follows it.
        """
        forces = np.broadcast_arrays(
            *(self.array(f"load_{k}_kn") for k in range(1, self.step + 1))
        )
        shape = forces[0].shape
        each = [
            self._one(tuple(round(float(f), 6) for f in one), alone=shape == ())
            for one in zip(*(force.ravel() for force in forces), strict=True)
        ]
        nodes, lines, pulls = (
            np.stack([one[part] for one in each]) for part in range(3)
        )
        return FiveSteps(
            given=self,
            nodes=nodes.reshape(shape + nodes.shape[1:]),
            lines=lines.reshape(shape + lines.shape[1:]),
            forces=pulls.reshape(shape + pulls.shape[1:]),
        )

    def _one(
        self, forces: tuple[float, ...], *, alone: bool
    ) -> tuple[Array, Array, Array]:
        """Return nodes, lines and forces of all steps of one rail, nan past its end."""
        nodes = np.full((STEPS + 1, 2, LINKS + 1, 3), np.nan)
        lines, pulls = np.full((STEPS, 3), np.nan), np.full(STEPS, np.nan)
        nodes[0] = damaged().metal.nodes[0]
        try:
            for k in range(self.step):
                step = step_after(self.decisions[:k], forces[: k + 1])
                nodes[k + 1] = [s.metal.nodes[0] for s in (step.loaded, step.released)]
                lines[k], pulls[k] = step.line, step.force
        except WorkbookError:
            if alone:
                raise
        return nodes, lines, pulls


@dataclass(frozen=True, kw_only=True)
class FiveSteps:
    """A rail step by step; every number is an array (...).

    Attributes
    ----------
    given : StepsGiven
    nodes : ndarray, shape (..., STEPS + 1, 2, LINKS + 1, 3)
        Where they are before any step and after each, under load and let go; nan
        where it has not come to that. [m]
    lines : ndarray, shape (..., STEPS, 3)
        Unit directions of the pulls.
    forces : ndarray, shape (..., STEPS)
        What each went up to. [N]
    """

    given: StepsGiven
    nodes: Array
    lines: Array
    forces: Array

    @property
    def step(self) -> int:
        """Which step it is now, from 1."""
        return self.given.step

    @property
    def let_go(self) -> bool:
        """Whether the load is off."""
        return self.given.chosen("moment").endswith("let go")

    @cached_property
    def clamps(self) -> tuple[str, ...]:
        """Where each step that was taken is clamped."""
        found = ["hook"]
        for k, decision in enumerate(self.given.decisions):
            stopped = STOP in self.given.decisions[: k + 1]
            moves = decision == MOVE and not stopped
            found.append(POINTS[1 - POINTS.index(found[-1])] if moves else found[-1])
        return tuple(found)

    @cached_property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups whose rail goes so far, shape (...)."""
        return np.asarray(np.isfinite(self.nodes[..., self.step, 1, -1, 0]))

    def _lacks(self, nodes: Array, point: str) -> Array:
        return np.asarray((specified() - nodes)[..., NODES[point], :])

    def lacked(self, point: str) -> Array:
        """Return what a point lacked before all and let go after each step.

        Shape (..., STEPS + 1, 3) [m]; nan for what has not come yet.
        """
        lacks = self._lacks(self.nodes[..., 1, :, :], point)
        known = self.step if self.let_go else self.step - 1
        lacks[..., known + 1 :, :] = np.nan
        return lacks

    def reading(self, point: str) -> Array:
        """Return what a point lacks by the reading of now, shape (..., 3). [m]"""
        now = self.nodes[..., self.step, 1 if self.let_go else 0, :, :]
        return self._lacks(now, point)

    def before(self, point: str) -> Array:
        """Return what it lacked at the last reading before this step (..., 3). [m]"""
        return self._lacks(self.nodes[..., self.step - 1, 1, :, :], point)

    @property
    def left(self) -> Array:
        """How far the hook point is from its place, by the reading of now. [m]"""
        return np.asarray(norm(self.reading("hook")))

    @property
    def share(self) -> Array:
        """Share of the hook point's correction that is done and stays. [-]"""
        return share_done(self.lacked("hook")[..., 0, :], self._kept("hook"))

    def _kept(self, point: str) -> Array:
        return self.reading(point) + (0.0 if self.let_go else np.nan)

    @property
    def bearing(self) -> Array:
        """Bearing of what is left at the hook point, to the left of ahead. [rad]"""
        return side_angle_of(self._kept("hook"))

    @property
    def rise(self) -> Array:
        """Rise of what is left at the hook point, above level. [rad]"""
        return rise_of(self._kept("hook"))

    @property
    def line(self) -> tuple[Array, Array]:
        """Bearing and rise of the pull of this step. [rad]"""
        now = self.lines[..., self.step - 1, :]
        return side_angle_of(now), rise_of(now)

    @property
    def springback(self) -> Array:
        """How far the hook point goes back when this step is let go. [m]"""
        both = self.nodes[..., self.step, :, LINKS, :]
        back = norm(both[..., 0, :] - both[..., 1, :])
        return np.asarray(back + (0.0 if self.let_go else np.nan))

    def grown(self, point: str) -> Array:
        """Return how much each reading of a point got worse in this step (..., 3). [m]

        Below nought it got better; nan under load, as that tells nothing that stays.
        """
        return grew(self.before(point), self._kept(point))

    @property
    def worst(self) -> Array:
        """By how much the reading got worse that got worse most, 0 if none. [m]"""
        each = np.concatenate([self.grown(point) for point in POINTS], axis=-1)
        return np.asarray(np.maximum(each.max(axis=-1), 0.0))

    @property
    def gauge(self) -> Array:
        """What is in the chain now. [N]"""
        pull = self.forces[..., self.step - 1]
        return np.asarray(0 * pull if self.let_go else pull)
