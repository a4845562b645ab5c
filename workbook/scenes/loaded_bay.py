"""A bay with loaded chains, people round it and a safety cable, seen in plan.

Axes are the vehicle's: x forward from the middle of the car, y to its left, z up from
the bench. Car, bay and people are invented; each pull is set out and solved by the
linkage, and who stands in which wedge follows from where its ends then are.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from workbook.mechanics.safety.cable import left_past_edge, run_out
from workbook.mechanics.safety.line_of_fire import angle_off_line, in_wedge
from workbook.mechanics.vectors import Array, direction, norm
from workbook.scenes.fields import Checked, Given, checked, read_fields
from workbook.scenes.setups import FIELDS as PULL_FIELDS
from workbook.scenes.setups import Setup, SolvedPull

WORD = "FIRE1"
FIELDS = read_fields("fire")

# Who is in the bay, and where: forward and left of the middle of the car. [m]
YOU = "signaller"
STANDING: Mapping[str, tuple[float, float]] = {
    "valve": (2.6, -2.4),
    "measurer": (-1.3, -1.5),
    "helper": (3.6, 1.7),
    "trainee": (1.6, 2.8),
    "customer": (-3.4, -0.4),
    "painter": (-1.4, 2.8),
    "visitor": (4.4, -0.9),
}
PEOPLE = (YOU, *STANDING)
BAY = np.array([(-4.0, -3.3), (5.2, 3.3)])  # m, its corners

# The pulls: where each is clamped to the car. [mm]
CLAMPS: Mapping[str, tuple[float, float, float]] = {
    "first": (1700, 450, 450),
    "second": (300, 850, 350),
    "third": (1700, -450, 450),
}
PULLS = tuple(CLAMPS)
RIGS = {
    name: checked(
        PULL_FIELDS,
        {
            "clamp_distance_mm": 1000,
            "fork_distance_mm": 600,
            "clamp_forward_mm": forward,
            "clamp_left_mm": left,
            "clamp_height_mm": high,
        },
    )
    for name, (forward, left, high) in CLAMPS.items()
}

# What each part that fails sets free: wedges from one end of a leg, toward the other
# or away from it. Where a leg itself parts, it may part anywhere, so at both ends.
SWEEPS = (
    ("clamp", "head"), ("head", "clamp"), ("head", "anchor"), ("anchor", "head"),
    ("clamp", "outside"), ("anchor", "outside"),
)  # fmt: skip
FREED: Mapping[str, tuple[int, ...]] = {
    "any part": (0, 1, 2, 3),
    "clamp": (0, 4),
    "hook": (0, 4),
    "pull leg": (0, 1),
    "anchor leg": (2, 3),
    "fork": (3, 5),
}
CAUGHT = ("any part", "clamp", "hook")  # what lets the first clamp go
EDGE = np.array((1.75, 1.0, 0.12))  # m, of the bench, beside the first clamp
# Of the cable, in metres: ties on the bench and below it, the far ties with two and
# with three rams, and where a cable runs that ends at its own clamp again.
TIE, UNDER = np.array([(1.5, 1.35, 0.0), (1.5, 1.35, -0.3)])
FAR_TIES = np.array([(-0.1, 1.35, 0.0), (1.5, -1.35, 0.0)])
ON_CLAMP = np.array((0.12, 0.0, 0.16))
ROUND = np.linspace(0.0, 2 * np.pi, 49)


@dataclass(frozen=True, kw_only=True)
class BayGiven(Given):
    """What is given of a loaded bay; ``values`` holds a value per field."""

    FIELDS = FIELDS

    def solved(self) -> LoadedBay:
        """Set the pulls out, in one set-up or in many at once.

        Raises
        ------
        WorkbookError
            If a single one does not stand.
        """
        return LoadedBay(given=self, pulls=tuple(self._pull(name) for name in PULLS))

    def _pull(self, name: str) -> SolvedPull:
        set_out = {"chain_angle_deg": self.values[f"{name}_angle_deg"]}
        if name == "first":
            set_out["fork_offset_mm"] = self.values["fork_offset_mm"]
        return Setup(values=Checked(RIGS[name] | set_out)).solved()


@dataclass(frozen=True, kw_only=True)
class LoadedBay:
    """A bay with its pulls set out; every number is an array over set-ups (...).

    Of m pulls the wedges are (..., m, 6), in the order of `SWEEPS`.
    """

    given: BayGiven
    pulls: tuple[SolvedPull, ...]

    @cached_property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups of which every pull stands, shape (...)."""
        every = np.broadcast_arrays(*(one.stands for one in self.pulls))
        return np.asarray(np.logical_and.reduce(every))

    @cached_property
    def places(self) -> Mapping[str, Array]:
        """Clamp, head and anchor of each pull, shape (..., m, 3), by name. [m]"""
        found = {
            "clamp": [one.rig.clamp for one in self.pulls],
            "base": [one.rig.base for one in self.pulls],
            "head": [one.pull.head for one in self.pulls],
            "anchor": [one.rig.anchor for one in self.pulls],
        }
        return {
            name: np.stack(np.broadcast_arrays(*each), axis=-2)
            for name, each in found.items()
        }

    @property
    def loaded(self) -> NDArray[np.bool_]:
        """Which pulls there are, shape (m,)."""
        three = self.given.chosen("rams") == "three rams"
        return np.array([True, True, three])

    @property
    def swept(self) -> NDArray[np.bool_]:
        """Which wedges are swept when the chosen part fails, shape (m, 6)."""
        freed = np.isin(np.arange(len(SWEEPS)), FREED[self.given.chosen("fails")])
        return np.asarray(self.loaded[:, None] & freed)

    @cached_property
    def _lines(self) -> tuple[Array, Array]:
        """Where each wedge begins and another point of its line, (..., m, 6, 2). [m]

        Some place where a pull does not stand.
        """
        plan = {name: at[..., :2] for name, at in self.places.items()}
        leg = {"clamp": "head", "anchor": "head"}
        starts = np.broadcast_arrays(*(plan[start] for start, _ in SWEEPS))
        apex = np.stack(starts, axis=-2)
        ends = [
            2 * plan[start] - plan[leg[start]] if end == "outside" else plan[end]
            for start, end in SWEEPS
        ]
        return apex, np.stack(np.broadcast_arrays(*ends), axis=-2)

    @property
    def apex(self) -> Array:
        """Where each wedge begins, shape (..., m, 6, 2). [m]"""
        return self._lines[0]

    @property
    def axis(self) -> Array:
        """Bearing of the middle of each wedge, in plan from x, (..., m, 6). [rad]"""
        apex, towards = self._lines
        along = towards - apex
        return np.asarray(np.arctan2(along[..., 1], along[..., 0]))

    @cached_property
    def people(self) -> Array:
        """Where everybody stands, in the order of `PEOPLE`, shape (..., 8, 2). [m]"""
        you = [self.given.array(f"you_{way}_mm") for way in ("forward", "left")]
        mine = np.stack(np.broadcast_arrays(*you), axis=-1)
        others = np.array([*STANDING.values()])
        others = np.broadcast_to(others, (*mine.shape[:-1], *others.shape))
        return np.concatenate([mine[..., None, :], others], axis=-2)

    @cached_property
    def half_angle(self) -> Array:
        """What the school sets, to each side of a line, shape (...). [rad]"""
        return self.given.array("half_angle_deg")

    @cached_property
    def off_lines(self) -> Array:
        """How far everybody is off each wedge's middle, (..., 8, m, 6). [rad]

        Infinite for wedges that are not swept, nan where a pull does not stand.
        """
        apex, towards = self._filled
        off = angle_off_line(
            self.people[..., :, None, None, :],
            apex=apex[..., None, :, :, :],
            towards=towards[..., None, :, :, :],
        )
        off = np.where(self.swept, off, np.inf)
        return np.where(self.stands[..., None, None, None], off, np.nan)

    @cached_property
    def in_wedges(self) -> NDArray[np.bool_]:
        """Whether everybody is in each wedge that is swept, (..., 8, m, 6)."""
        apex, towards = self._filled
        told = in_wedge(
            self.people[..., :, None, None, :],
            apex=apex[..., None, :, :, :],
            towards=towards[..., None, :, :, :],
            half_angle=self.half_angle[..., None, None, None],
        )
        stands = self.stands[..., None, None, None]
        return np.asarray(told & self.swept & stands)

    @property
    def _filled(self) -> tuple[Array, Array]:
        apex, towards = self._lines
        stands = self.stands[..., None, None, None]
        return np.where(stands, apex, 0.0), np.where(stands, towards, 1.0)

    @property
    def must_move(self) -> NDArray[np.bool_]:
        """Who stands in a wedge, shape (..., 8)."""
        return np.asarray(self.in_wedges.any(axis=(-2, -1)))

    @property
    def nearest(self) -> Array:
        """How far everybody is off the nearest line, shape (..., 8). [rad]"""
        return np.asarray(self.off_lines.min(axis=(-2, -1)))

    @property
    def to_move(self) -> Array:
        """How many must move, shape (...)."""
        gone = np.where(self.stands, 0.0, np.nan)
        return np.asarray(self.must_move.sum(axis=-1) + gone)

    # The safety cable ----------------------------------------------------------

    @property
    def clamp(self) -> Array:
        """Where the first clamp is, which the cable is for, shape (3,). [m]"""
        return np.array(CLAMPS["first"]) / 1000

    @property
    def other_clamp(self) -> Array:
        """The clamp that one cable catches as well, shape (3,). [m]"""
        name = "third" if self.loaded[2] else "second"
        return np.array(CLAMPS[name]) / 1000

    @property
    def cable_path(self) -> Array:
        """The points through which the cable runs, (n, 3); none is one point. [m]"""
        paths = {
            "none": [self.clamp],
            "to the same clamp": [self.clamp, self.clamp + ON_CLAMP, self.clamp],
            "to the bench": [self.clamp, TIE],
            "over an edge": [self.clamp, EDGE, UNDER],
            "through two clamps": [TIE, self.clamp, self.other_clamp, self._far_tie],
        }
        return np.array(paths[self.given.chosen("cable")])

    @property
    def _far_tie(self) -> Array:
        """Where a cable through two clamps is tied behind the other one. [m]"""
        return np.asarray(FAR_TIES[int(self.loaded[2])])

    @property
    def holds(self) -> bool:
        """Whether the cable is tied to what stays, if the first clamp lets go."""
        return self.given.chosen("cable") not in {"none", "to the same clamp"}

    @property
    def catches(self) -> bool:
        """Whether it is the clamp that lets go, and the cable holds it."""
        return self.holds and self.given.chosen("fails") in CAUGHT

    @property
    def held_clamps(self) -> int:
        """How many clamps stay caught if they let go; an edge is not trusted."""
        held = {"to the bench": 1, "through two clamps": 2}
        return held.get(self.given.chosen("cable"), 0)

    @cached_property
    def reach(self) -> Array:
        """How far round it the freed clamp can go on its cable, (..., 49, 2) [m].

        In plan, level at its own height; nan where no cable holds it. It is no line
        that anybody stands behind.
        """
        slack = self.given.array("cable_slack_mm")
        shape = (*slack.shape, len(ROUND), 2)
        if not self.catches:
            return np.full(shape, np.nan)
        path = self.cable_path
        whole = norm(np.diff(path, axis=0)).sum() + slack
        ties, length = np.stack([path[-1], path[-1]]), 2 * whole
        if self.given.chosen("cable") == "through two clamps":
            ties, length = np.stack([path[0], path[-1]]), whole
        elif len(path) == 3:  # what lies before the edge is lost to it
            left = left_past_edge(tie=path[-1], edge=EDGE, length=whole)
            ties, length = np.stack([EDGE, EDGE]), 2 * left
        way = direction(side_angle=ROUND, rise=0.0)
        far = run_out(self.clamp, way=way, ties=ties, length=length[..., None])
        return np.asarray((self.clamp + far[..., None] * way)[..., :2])
