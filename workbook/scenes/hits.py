"""A plain box car that was hit at a corner, or at two: its panels and its gaps.

Axes are the vehicle's, seen from above: x forward from its tail, y to the left. The car
and its gaps are invented.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from workbook.mechanics.survey.panels import LEFT, RIGHT, carried, corner_hit
from workbook.mechanics.vectors import Array
from workbook.scenes.fields import Given, read_fields

WORD = "HIT1"
FIELDS = read_fields("hit")

# The invented car: its pairs of pillars from nose to tail, half its width, what a pair
# passes on, and its gaps as they should be.
NOSE, HINGE, MIDDLE, REAR, TAIL = range(5)
STATIONS = np.array((3.6, 2.5, 1.55, 0.7, 0.0))  # m ahead of the tail
HALF = 0.8  # m
HOOD_HALF = 0.62  # m; the fenders lie outside of the hood
PASSED_ON = 0.25
GAP = 0.005  # m
SIDES = {"left": (LEFT, 1.0), "right": (RIGHT, -1.0)}


@dataclass(frozen=True, kw_only=True)
class BodyPanel:
    """A stiff panel of one side: from one station to another, and what moves it.

    ``fixed`` takes it along, ``led`` turns it.
    """

    front: int
    back: int
    fixed: int
    led: int


PANELS: Mapping[str, BodyPanel] = {
    "fender": BodyPanel(front=NOSE, back=HINGE, fixed=NOSE, led=HINGE),
    "front door": BodyPanel(front=HINGE, back=MIDDLE, fixed=HINGE, led=MIDDLE),
    "rear door": BodyPanel(front=MIDDLE, back=REAR, fixed=MIDDLE, led=REAR),
    "rear side": BodyPanel(front=REAR, back=TAIL, fixed=TAIL, led=REAR),
}
# Gaps of a side, from the front: between which panels, and at which station.
ACROSS_THE_SIDE = {
    "front door, front edge": ("fender", "front door", HINGE),
    "front door, rear edge": ("front door", "rear door", MIDDLE),
    "rear door, rear edge": ("rear door", "rear side", REAR),
}
HOOD_ENDS = {"hood, front": NOSE, "hood, rear": HINGE}
GAPS = tuple(
    f"{side} {name}" for side in SIDES for name in (*HOOD_ENDS, *ACROSS_THE_SIDE)
)
"""Names of the gaps: those of the left side, then those of the right."""


def pillar(side: str, station: int) -> Array:
    """Return where a pillar stands in plan, (2,)."""
    return np.array((STATIONS[station], SIDES[side][1] * HALF))


def corners_of(side: str, name: str) -> Array:
    """Return the corners of a panel of one side, outer edge first, (4, 2)."""
    panel, way = PANELS[name], SIDES[side][1]
    front, back = STATIONS[panel.front], STATIONS[panel.back]
    inner = way * HOOD_HALF
    return np.array(
        [[front, way * HALF], [back, way * HALF], [back, inner], [front, inner]]
    )


HOOD = np.array(
    [
        [STATIONS[NOSE], HOOD_HALF],
        [STATIONS[HINGE], HOOD_HALF],
        [STATIONS[HINGE], -HOOD_HALF],
        [STATIONS[NOSE], -HOOD_HALF],
    ]
)


@dataclass(frozen=True, kw_only=True)
class HitGiven(Given):
    """What is given of one or two hits; ``values`` holds a value per field."""

    FIELDS = FIELDS

    def solved(self) -> HitCar:
        """Move pillars and panels, in one set-up or in many at once."""
        second = self.chosen("second_corner")
        car = {"stations": len(STATIONS), "passed_on": PASSED_ON}
        first = corner_hit(
            **car,  # type: ignore[arg-type]
            depth=self.array("depth_mm"),
            came_from=self.array("from_deg"),
            front=True,
            left=True,
        )
        other = corner_hit(
            **car,  # type: ignore[arg-type]
            depth=self.array("second_depth_mm"),
            came_from=self.array("second_from_deg"),
            front=second.endswith("front"),
            left=second.startswith("left"),
        )
        return HitCar(given=self, moved=first + other)


@dataclass(frozen=True, kw_only=True)
class HitCar:
    """A box car after its hits: ``moved`` (..., 2, 5, 2) is how its pillars went. [m]

    Every number is an array over set-ups (...).
    """

    given: HitGiven
    moved: Array

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that can be drawn, shape (...): each of them."""
        return np.asarray(np.isfinite(self.moved).all(axis=(-3, -2, -1)))

    @property
    def bearing(self) -> Array:
        """Way the first hit ran, clockwise from straight ahead, 0 to a turn. [rad]"""
        return np.asarray((np.pi - self.given.array("from_deg")) % (2 * np.pi))

    @property
    def undoing(self) -> Array:
        """Bearing of the pull that undoes it: back along the path. [rad]"""
        return np.asarray((self.bearing + np.pi) % (2 * np.pi))

    @property
    def far_corner(self) -> Array:
        """How far the right front corner went across, plus to the left. [m]"""
        return np.asarray(self.moved[..., RIGHT, NOSE, 1] + 0.0)  # never minus nought

    def panel_moved(self, side: str, name: str, points: Array) -> Array:
        """Return how far points (n, 2) of a panel of one side went, (..., n, 2)."""
        panel, place = PANELS[name], SIDES[side][0]
        ends = [panel.fixed, panel.led]
        return carried(
            points,
            fixed=pillar(side, panel.fixed),
            led=pillar(side, panel.led),
            moved=self.moved[..., place, ends, :],
        )

    def hood_moved(self, points: Array) -> Array:
        """Return how far points (n, 2) of the hood went: it hangs on both hinges."""
        return carried(
            points,
            fixed=pillar("left", HINGE),
            led=pillar("right", HINGE),
            moved=self.moved[..., :, HINGE, :],
        )

    @cached_property
    def changes(self) -> dict[str, Array]:
        """How much each gap is wider than it should be, by its name. [m]"""
        return {name: self._change(name) for name in GAPS}

    @property
    def gaps(self) -> dict[str, Array]:
        """Each gap as it is measured; one that is shut is nought. [m]"""
        return {n: np.maximum(GAP + c, 0.0) for n, c in self.changes.items()}

    @property
    def hood_turned(self) -> Array:
        """Angle between hood and right fender, from the ends of their gap. [rad]"""
        wider = self.changes["right hood, front"] - self.changes["right hood, rear"]
        return np.asarray(np.arctan2(wider, STATIONS[NOSE] - STATIONS[HINGE]))

    def _change(self, name: str) -> Array:
        side, _, place = name.partition(" ")
        way = SIDES[side][1]
        if place in HOOD_ENDS:
            at = np.array([[STATIONS[HOOD_ENDS[place]], way * HOOD_HALF]])
            apart = self.panel_moved(side, "fender", at) - self.hood_moved(at)
            return np.asarray(way * apart[..., 0, 1])
        ahead, behind, station = ACROSS_THE_SIDE[place]
        at = pillar(side, station)[None]
        apart = self.panel_moved(side, ahead, at) - self.panel_moved(side, behind, at)
        return np.asarray(apart[..., 0, 0])
