"""Pulls as arrows in plan: one or two at a point, and their parts on a wanted line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

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
        """Return the pulls as forces, of one set-up or of many at once.

        Returns
        -------
        SolvedArrows
            Of many, with nan where a useful pull is wanted of a chain square to the
            wanted line.

        Raises
        ------
        OutOfRangeError
            If it is wanted in a single set-up.
        """
        angle = self.array("angle_deg")
        along = direction(side_angle=angle, rise=0.0)
        first = self._tension(along)[..., None] * along
        if self.values["second"] == "none":
            return SolvedArrows(given=self, first=first)
        way = direction(side_angle=angle + self.array("between_deg"), rise=0.0)
        second = self.array("second_kn")[..., None] * way
        return SolvedArrows(given=self, first=first, second=second)

    def _tension(self, along: Array) -> Array:
        if self.held == "chain tension":
            return self.array("tension_kn")
        useful_share = dot(along, WANTED)
        square = np.asarray(useful_share < 1e-9)  # to the wanted line, but for rounding
        if square.ndim == 0 and square:
            raise OutOfRangeError("scene.square", angle=self.si("angle_deg"))
        share = np.where(square, np.nan, useful_share)
        return np.asarray(self.array("useful_kn") / share)


@dataclass(frozen=True, kw_only=True)
class SolvedArrows:
    """Forces in plan, shape (..., 3) [N]; ``second`` is ``None`` for one pull alone.

    Every number is an array over set-ups (...), nan where there is no such pull.
    """

    given: Arrows
    first: Array
    second: Array | None = None

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups whose pulls can be had, shape (...)."""
        return np.asarray(np.isfinite(self.resultant).all(axis=-1))

    @property
    def tension(self) -> Array:
        """Size of the first pull. [N]"""
        return norm(self.first)

    @property
    def useful(self) -> Array:
        """Part of the first pull along the wanted line. [N]"""
        return dot(self.first, WANTED)

    @property
    def sideways(self) -> Array:
        """Part of the first pull square to the wanted line, plus to the left. [N]"""
        return dot(self.first, LEFT)

    @property
    def resultant(self) -> Array:
        """Sum of the pulls. [N]"""
        return self.first if self.second is None else self.first + self.second

    @property
    def resultant_angle(self) -> Array:
        """Angle from the first pull to the resultant, plus to the left. [rad]

        Nan where the two pulls cancel, and there is no direction.
        """
        first, both = self.first, self.resultant
        angle = angle_between(first, both)
        turn = np.cross(first, both)[..., 2]
        gone = norm(both) < 1e-9 * self.tension
        return np.where(gone, np.nan, np.where(turn >= 0, angle, -angle))

    @property
    def resultant_from_wanted(self) -> Array:
        """Angle from the wanted line to the resultant, plus to the left. [rad]"""
        return side_angle_of(self.resultant)
