"""Pulls as arrows in plan: one or two at a point, and their parts on a wanted line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from workbook.errors import OutOfRangeError
from workbook.mechanics.vectors import (
    Array,
    angle_between,
    direction,
    dot,
    norm,
    side_angle_of,
)
from workbook.scenes.fields import Given, read_fields

WORD = "ARROW1"
FIELDS = read_fields("arrow")
# Axes of the picture: x along the wanted line, y to its left.
WANTED = direction(side_angle=0.0, rise=0.0)
LEFT = np.array([0.0, 1.0, 0.0])


@dataclass(frozen=True, kw_only=True)
class Arrows(Given):
    """What is given of the pulls; ``values`` holds a value per field."""

    FIELDS = FIELDS

    @property
    def held(self) -> str:
        """What stays as it is when the angle changes."""
        return str(self.values["held"])

    def solved(self) -> SolvedArrows:
        """Return the pulls as forces.

        Raises
        ------
        OutOfRangeError
            If a useful pull is wanted of a chain square to the wanted line.
        """
        along = direction(side_angle=self.si("angle_deg"), rise=0.0)
        first = self._tension(along) * along
        if self.values["second"] == "none":
            return SolvedArrows(given=self, first=first)
        angle = self.si("angle_deg") + self.si("between_deg")
        second = self.si("second_kn") * direction(side_angle=angle, rise=0.0)
        return SolvedArrows(given=self, first=first, second=second)

    def _tension(self, along: Array) -> float:
        if self.held == "chain tension":
            return self.si("tension_kn")
        useful_share = float(dot(along, WANTED))
        if useful_share < 1e-9:  # square to the wanted line, but for rounding
            raise OutOfRangeError("scene.square", angle=self.si("angle_deg"))
        return self.si("useful_kn") / useful_share


@dataclass(frozen=True, kw_only=True)
class SolvedArrows:
    """Forces in plan, shape (3,) [N]; ``second`` is ``None`` for one pull alone."""

    given: Arrows
    first: Array
    second: Array | None = None

    @property
    def tension(self) -> float:
        """Size of the first pull. [N]"""
        return float(norm(self.first))

    @property
    def useful(self) -> float:
        """Part of the first pull along the wanted line. [N]"""
        return float(dot(self.first, WANTED))

    @property
    def sideways(self) -> float:
        """Part of the first pull square to the wanted line, plus to the left. [N]"""
        return float(dot(self.first, LEFT))

    @property
    def resultant(self) -> Array:
        """Sum of the pulls. [N]"""
        return self.first if self.second is None else self.first + self.second

    @property
    def resultant_angle(self) -> float | None:
        """Angle from the first pull to the resultant, plus to the left. [rad]

        ``None`` where the two pulls cancel, and there is no direction.
        """
        if norm(self.resultant) < 1e-9 * self.tension:
            return None
        angle = float(angle_between(self.first, self.resultant))
        return angle if np.cross(self.first, self.resultant)[2] >= 0 else -angle

    @property
    def resultant_from_wanted(self) -> float:
        """Angle from the wanted line to the resultant, plus to the left. [rad]"""
        return float(side_angle_of(self.resultant))
