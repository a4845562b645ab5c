"""A plain box with a mix of damage in it, measured at six points and read again.

The box is invented. Axes are the vehicle's: x forward, y to the left, z up, from the
middle of its rear edge.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np
from numpy.typing import NDArray

from workbook.mechanics.survey.damage import (
    KINDS,
    DamageFrame,
    DamageReading,
    DamageSizes,
    damage_field,
    read_damage,
    twist_angle,
)
from workbook.mechanics.survey.tapes import Diagonals, diagonals_of_points
from workbook.mechanics.vectors import Array, norm
from workbook.scenes.fields import Choice, Given, read_fields

WORD = "KINDS1"
FIELDS = read_fields("damage")
LENGTH, WIDTH = 1.4, 1.1  # of the specified box [m]
POINTS = (
    *("left front", "right front"),
    *("left middle", "right middle"),
    *("left rear", "right rear"),
)
SPECIFIED = np.array(
    [[x, y, 0.0] for x in (LENGTH, LENGTH / 2, 0.0) for y in (WIDTH / 2, -WIDTH / 2)]
)
"""Where the points should be, in the order of `POINTS`, shape (6, 3). [m]"""

FIELD_OF = {kind: f"{kind}_{'deg' if kind == 'twist' else 'mm'}" for kind in KINDS}
"""Name of the field that sets each kind."""

LF, RF, LR, RR = 0, 1, 4, 5  # the corners, by their place in POINTS


@cache
def frame_of(mash_side: str, sag_lowest: str) -> DamageFrame:
    """Return the planes that the kinds refer to: hinge at the rear, front in front."""
    sides = {"both": "both", "left": "left", "right": "right"}
    return DamageFrame(
        hinge_x=0.0,
        front_x=LENGTH,
        width=WIDTH,
        mash_side=sides[mash_side],  # type: ignore[arg-type]
        sag_low_x=LENGTH / 2 if sag_lowest == "half-way" else None,
    )


@cache
def scatter_of(survey: str) -> Array:
    """Return how one survey scatters, shape (6, 3), standard deviation one."""
    which = FIELDS["survey"]
    assert isinstance(which, Choice)
    seed = which.options.index(survey)
    return np.random.default_rng(seed).standard_normal(SPECIFIED.shape)


@dataclass(frozen=True, kw_only=True)
class BoxGiven(Given):
    """What is given of a mix of damage; ``values`` holds a value per field."""

    FIELDS = FIELDS

    @property
    def frame(self) -> DamageFrame:
        """The planes of the kinds."""
        return frame_of(self.chosen("mash_side"), self.chosen("sag_lowest"))

    @property
    def sizes(self) -> DamageSizes:
        """The mix as it was set. [m, twist rad]"""
        return DamageSizes(**{kind: self.array(FIELD_OF[kind]) for kind in KINDS})

    def solved(self) -> DamagedBox:
        """Bend the box, measure it and read its damage, in one set-up or in many."""
        scatter = self.array("scatter_mm")[..., None, None]
        corner = np.zeros(SPECIFIED.shape)
        corner[LF, 0] = -1.0
        moved = (
            damage_field(SPECIFIED, sizes=self.sizes, frame=self.frame)
            + self.array("corner_mm")[..., None, None] * corner
            + scatter * scatter_of(self.chosen("survey"))
        )
        reading = read_damage(SPECIFIED, differences=moved, frame=self.frame)
        return DamagedBox(given=self, differences=moved, reading=reading)


@dataclass(frozen=True, kw_only=True)
class DamagedBox:
    """A damaged box: ``differences`` (..., 6, 3), and what was read from them.

    Every number is an array over set-ups (...).
    """

    given: BoxGiven
    differences: Array
    reading: DamageReading

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that can be measured, shape (...): each of them."""
        return np.asarray(np.isfinite(self.diagonals.difference))

    @property
    def measured(self) -> Array:
        """Where the points are, shape (..., 6, 3). [m]"""
        return np.asarray(SPECIFIED + self.differences)

    @cached_property
    def diagonals(self) -> Diagonals:
        """The diagonals between the four corners. [m]"""
        return diagonals_of_points(
            left_front=self.measured[..., LF, :],
            right_front=self.measured[..., RF, :],
            left_rear=self.measured[..., LR, :],
            right_rear=self.measured[..., RR, :],
        )

    @property
    def left_length(self) -> Array:
        """Tape from the left front corner to the left rear one. [m]"""
        return norm(self.measured[..., LF, :] - self.measured[..., LR, :])

    @property
    def right_length(self) -> Array:
        """Tape from the right front corner to the right rear one. [m]"""
        return norm(self.measured[..., RF, :] - self.measured[..., RR, :])

    @cached_property
    def twist(self) -> Array:
        """Turn of the front corners against the rear ones. [rad]"""
        high = self.measured[..., 2]
        return twist_angle(
            high[..., LF] - high[..., RF],
            rear_difference=high[..., LR] - high[..., RR],
            width=WIDTH,
        )
