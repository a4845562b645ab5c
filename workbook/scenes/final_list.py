"""The final list of the invented Kestrin 5: what is left, and one reading under load.

Twelve points of the front, six of each side, in their order from the tip to the cowl.
Three neighbours on the left rail can be set; everything else is as the shop measured it
after the repair. The survey is laid over its specification on the sills, as any other.
A pull that was left on while one point was read is that of the left rail's tip,
straight to the left: the rail's own stiffness tells how far each of its points goes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property
from typing import TYPE_CHECKING

import numpy as np

from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import RailStage
from workbook.mechanics.survey.neighbours import (
    neighbour_steps,
    off_neighbours,
    read_under_load,
)
from workbook.mechanics.survey.registration import register
from workbook.mechanics.vectors import norm
from workbook.scenes.fields import Given, read_fields
from workbook.scenes.kestrin import kestrin_final, kestrin_points, read_kestrin_data
from workbook.scenes.kestrin_rail import read_rail_data
from workbook.scenes.straightening import PULL, SMALL, front_end, nodes_of
from workbook.scenes.surveys import read_specification, solve_survey

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.mechanics.survey.registration import Registration
    from workbook.mechanics.vectors import Array

WORD = "FINAL1"
FIELDS = read_fields("final")
SIDES = ("left", "right")
ALONG = ("tip", "cross", "mid", "mount", "root", "cowl")
"""Points of each side, from the front; each is the neighbour of the next."""

POINTS = tuple(f"{side}-{name}" for side in SIDES for name in ALONG)
SET = {"first": "left-cross", "second": "left-mid", "third": "left-mount"}
"""The three neighbours that can be set, by the beginning of their fields."""

WAYS = ("length", "width", "height")
ACROSS = (("tip", "cowl"), ("tip", "root"), ("cross", "mid"))
"""Front and rear end of each pair of diagonals."""

DIAGONALS = tuple(
    (f"{side}-{front}", f"{other}-{rear}")
    for front, rear in ACROSS
    for side, other in (SIDES, SIDES[::-1])
)


@cache
def after_the_repair() -> NDArray[np.float64]:
    """Return measured minus specified of each point, loads off, (n, 3) [m]."""
    specification = read_specification("kestrin")
    return solve_survey(kestrin_final(), specification=specification).differences


@cache
def rail_stiffness(point: str) -> float:
    """Return the pull to the left at the tip over what a point of the rail moves. [N/m]

    Nothing yields in it: the points go back as soon as the pull is let go.
    """
    ends = front_end(float(read_rail_data()["rail"]["wall"]))
    pulled = follow(ends, [RailStage(name=PULL, forces={PULL: SMALL})])
    _, node = read_kestrin_data()["on_rail"][point]
    return SMALL / float(nodes_of(pulled)[node, 1])


@dataclass(frozen=True, kw_only=True)
class FinalGiven(Given):
    """What is given of a final list; ``values`` holds a value per field."""

    FIELDS = FIELDS

    def solved(self) -> FinalList:
        """Measure the car, in one set-up or in many at once.

        Returns
        -------
        FinalList
        """
        points = kestrin_points()
        load, loaded = self.array("load_kn"), self.chosen("loaded_point")
        off = {points.ids.index(p): self.array(f"{k}_mm") for k, p in SET.items()}
        row = points.ids.index(loaded)
        off[row] = read_under_load(
            off.get(row, after_the_repair()[row, 1]),
            load=load,
            stiffness=rail_stiffness(loaded),
        )
        shape = np.broadcast_shapes(*(np.shape(value) for value in off.values()))
        left = np.broadcast_to(after_the_repair(), (*shape, *points.positions.shape))
        left = left.copy()
        for k, value in off.items():
            left[..., k, 1] = value
        base = read_specification("kestrin").base
        fit = register(
            points.positions + left,
            specified=points.positions,
            datum_points=[points.ids.index(name) for name in base],
        )
        return FinalList(given=self, fit=fit)


@dataclass(frozen=True, kw_only=True)
class FinalList:
    """A car's list after its repair, over set-ups (...); ``fit`` is its survey. [m]"""

    given: FinalGiven
    fit: Registration

    @property
    def shown(self) -> str:
        """What of the list is shown: a coordinate, or the diagonals."""
        return self.given.chosen("shown")

    @cached_property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that can be measured, shape (...): all of them."""
        return np.isfinite(self.fit.rms_residual)

    @cached_property
    def differences(self) -> Array:
        """Measured minus specified of each row shown, shape (..., n). [m]"""
        return self.rows_of(self.shown)

    def rows_of(self, shown: str) -> Array:
        """Return measured minus specified of twelve points, or six diagonals. [m]"""
        places, ids = kestrin_points().positions, kestrin_points().ids
        if shown == "diagonal":
            front, rear = np.array(
                [[ids.index(end) for end in ends] for ends in DIAGONALS]
            ).T
            now = places + self.fit.residuals
            measured = norm(now[..., front, :] - now[..., rear, :])
            return np.asarray(measured - norm(places[front] - places[rear]))
        rows = [ids.index(point) for point in POINTS]
        return np.asarray(self.fit.residuals[..., rows, WAYS.index(shown)])

    @property
    def limits(self) -> NDArray[np.float64]:
        """How far each row shown may be off, shape (n,): of a diagonal, as its ends."""
        points = kestrin_points()
        assert points.limits is not None
        limit = dict(zip(points.ids, points.limits.tolist(), strict=True))
        if self.shown == "diagonal":
            return np.array([max(limit[end] for end in ends) for ends in DIAGONALS])
        return np.array([limit[point] for point in POINTS])

    @cached_property
    def outside(self) -> NDArray[np.bool_]:
        """Which rows are off by more than their limit, shape (..., n)."""
        return np.asarray(np.abs(self.differences) > self.limits)

    @property
    def groups(self) -> list[list[int]]:
        """Rows that are compared with one another: of a side, of two diagonals."""
        long = 2 if self.shown == "diagonal" else len(ALONG)
        return [list(range(k, k + long)) for k in range(0, self.count, long)]

    @cached_property
    def steps(self) -> Array:
        """Step from each row to the next in its group, one after the other. [m]"""
        found = [neighbour_steps(self.differences[..., group]) for group in self.groups]
        return np.concatenate(found, axis=-1)

    @property
    def pairs(self) -> list[tuple[int, int]]:
        """Rows that each of the steps is between."""
        return [(k, k + 1) for group in self.groups for k in group[:-1]]

    @property
    def at_largest_step(self) -> NDArray[np.intp]:
        """Which of the steps is the largest, shape (...)."""
        return np.asarray(np.abs(self.steps).argmax(axis=-1))

    @property
    def count(self) -> int:
        """How many rows the list has."""
        return len(self.limits)

    @property
    def largest_step(self) -> Array:
        """Largest step between neighbours. [m]"""
        return np.asarray(np.abs(self.steps).max(axis=-1))

    @property
    def largest(self) -> Array:
        """Largest difference of a row shown. [m]"""
        return np.asarray(np.abs(self.differences).max(axis=-1))

    @property
    def jump(self) -> Array:
        """How far off the loaded reading is for its load: load over stiffness. [m]"""
        return np.asarray(
            read_under_load(
                0.0,
                load=self.given.array("load_kn"),
                stiffness=rail_stiffness(self.given.chosen("loaded_point")),
            )
        )

    @property
    def stands_off(self) -> Array:
        """How far the widths of the left side stand off their neighbours, (..., 4)."""
        return off_neighbours(self.rows_of("width")[..., : len(ALONG)])
