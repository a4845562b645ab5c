"""A pull on a point that stands where it should not: along its correction, or not.

Axes are the vehicle's: x forward, y to the left, z up.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from workbook.errors import OutOfRangeError
from workbook.mechanics.holding.wrenches import net_wrench
from workbook.mechanics.vectors import (
    Array,
    angle_between,
    direction,
    dot,
    norm,
    rise_of,
    side_angle_of,
    unit,
)
from workbook.scenes.fields import Given, read_fields

WORD = "LINE1"
FIELDS = read_fields("line")


@dataclass(frozen=True, kw_only=True)
class LineGiven(Given):
    """What is given of a pull line; ``values`` holds a value per field."""

    FIELDS = FIELDS

    def solved(self) -> SolvedLine:
        """Hold the pull against the correction, in one set-up or in many at once.

        Returns
        -------
        SolvedLine
            Of many, with nan where the point stands where it should.

        Raises
        ------
        OutOfRangeError
            If a single point stands where it should: nothing says which way.
        """
        fields = ("forward_mm", "left_mm", "up_mm")
        places = np.broadcast_arrays(*(self.array(name) for name in fields))
        difference = np.stack(places, axis=-1)
        nowhere = norm(difference) == 0
        if nowhere.ndim == 0 and nowhere:
            raise OutOfRangeError("scene.nothing_to_correct")
        difference = np.where(nowhere[..., None], np.nan, difference)
        pull = direction(
            side_angle=self.array("bearing_deg"), rise=self.array("rise_deg")
        )
        return SolvedLine(given=self, difference=difference, way=pull)


@dataclass(frozen=True, kw_only=True)
class SolvedLine:
    """A pull and the correction it should follow.

    ``difference`` (..., 3) is measured minus specified [m], ``way`` (..., 3) the
    direction of the pull. Every number is an array over set-ups (...), nan where
    there is nothing to correct.
    """

    given: LineGiven
    difference: Array
    way: Array

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that have something to correct, shape (...)."""
        return np.asarray(np.isfinite(self.along))

    @property
    def tension(self) -> Array:
        """Size of the pull. [N]"""
        return self.given.array("tension_kn")

    @cached_property
    def wanted(self) -> Array:
        """Direction back to where the point belongs, shape (..., 3)."""
        return unit(-self.difference)

    @property
    def wanted_side(self) -> Array:
        """Side angle of the correction, plus to the left. [rad]"""
        return side_angle_of(self.wanted)

    @property
    def wanted_rise(self) -> Array:
        """Rise of the correction from the level. [rad]"""
        return rise_of(self.wanted)

    @property
    def off(self) -> Array:
        """Angle between the pull and the correction, in space. [rad]"""
        return angle_between(self.way, self.wanted)

    @cached_property
    def along(self) -> Array:
        """Part of the pull along the correction; less than nought is against it. [N]"""
        return np.asarray(self.tension * dot(self.way, self.wanted))

    @property
    def across(self) -> Array:
        """Size of the part of the pull square to the correction. [N]"""
        along = dot(self.way, self.wanted)[..., None] * self.wanted
        return np.asarray(self.tension * norm(self.way - along))

    @cached_property
    def tipping(self) -> Array:
        """Moment that tips the vehicle's nose about where it is held. [N m]

        Of the level part of the pull: its line runs over the hold. Plus takes the
        nose down.
        """
        level = self.tension * norm(self.way * (1.0, 1.0, 0.0))
        height = self.given.array("pull_height_mm"), self.given.array("hold_height_mm")
        level, high, low = np.broadcast_arrays(level, *height)
        nought = np.zeros_like(level)
        force = np.stack([level, nought, nought], axis=-1)
        arm = np.stack([nought, nought, high - low], axis=-1)
        about = (0.0, 0.0, 0.0)
        wrench = net_wrench(force[..., None, :], points=arm[..., None, :], about=about)
        return np.asarray(wrench[..., 4])
