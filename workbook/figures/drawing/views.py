"""Views of space: an axonometric projection that turns about the vertical."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from workbook.figures.drawing.marks import Array, Coordinate

# Where the viewer stands at home, in plan from x, plus to the left: ahead of the car
# and to its right.
HOME = np.radians(-55.0)
TURN = np.radians(80.0)  # to either side of home, so never behind the car
RISE = (np.radians(5.0), np.radians(75.0))  # while a hand turns the view


@dataclass(frozen=True, kw_only=True, eq=False)
class Viewpoint:
    """From where space is looked at: two angles, and up stays up.

    ``azimuth`` (...) turns the viewer from home, plus anticlockwise seen from above,
    ``elevation`` (...) raises the eye from the level. [rad]
    """

    azimuth: Coordinate
    elevation: Coordinate

    @cached_property
    def toward(self) -> Array:
        """Unit vector to the viewer, shape (..., 3)."""
        a, e = HOME + np.asarray(self.azimuth), np.asarray(self.elevation)
        return _stack(np.cos(e) * np.cos(a), np.cos(e) * np.sin(a), np.sin(e))

    @cached_property
    def _axes(self) -> Array:
        """What lies to the right and up on the picture, (..., 3, 2)."""
        a, e = HOME + np.asarray(self.azimuth), np.asarray(self.elevation)
        right = _stack(-np.sin(a), np.cos(a), 0.0)
        up = _stack(-np.sin(e) * np.cos(a), -np.sin(e) * np.sin(a), np.cos(e))
        return np.stack(np.broadcast_arrays(right, up), axis=-1)

    def along(self, points: Array) -> Array:
        """Return where rows of points (..., n, 3) are seen, (..., n, 2)."""
        return np.asarray(points @ self._axes)

    def at(self, point: Array) -> Array:
        """Return where points (..., 3) are seen, (..., 2)."""
        return np.asarray(self.along(point[..., None, :])[..., 0, :])

    def path(self, *points: Array) -> Array:
        """Return the line through points (..., 3) as it is seen, (..., n, 2)."""
        if len({point.shape for point in points}) > 1:
            points = np.broadcast_arrays(*points)
        rows = [point[..., None, :] for point in points]
        return self.along(np.concatenate(rows, axis=-2))

    def near(self, point: Array) -> Array:
        """Return how far towards the viewer points (..., 3) lie. [m]"""
        return np.asarray((point * self.toward).sum(axis=-1))

    def clipped(self) -> Viewpoint:
        """Return the nearest view that a hand may turn to."""
        return Viewpoint(
            azimuth=np.clip(self.azimuth, -TURN, TURN),
            elevation=np.clip(self.elevation, *RISE),
        )


def _named(azimuth: float, elevation: float) -> Viewpoint:
    return Viewpoint(azimuth=np.radians(azimuth), elevation=np.radians(elevation))


# By name: from above the eye is straight overhead, which no hand turns to.
VIEWS = {
    "home": _named(0, 25),
    "side": _named(-35, 5),
    "above": _named(-35, 90),
    "front": _named(50, 12),
}


def _stack(x: Coordinate, y: Coordinate, z: Coordinate) -> Array:
    return np.stack(np.broadcast_arrays(x, y, z), axis=-1)
