"""Bridles between two clamps, and a chain turned over a fixed roller, in plan.

The picture has x out along the pull and y to its left; a bridle's clamps stand
on y, evenly on both sides of nothing, and its ring in front of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from workbook.errors import MechanismError
from workbook.mechanics.pull.rigging import Bridle, Redirect, bridle, redirect
from workbook.mechanics.vectors import Array, angle_between, direction, norm
from workbook.scenes.fields import Given, read_fields

WORD = "BRIDLE1"
FIELDS = read_fields("bridle")
ROLLER_WORD = "ROLLER1"
ROLLER_FIELDS = read_fields("roller")
NO_LIMIT = float(np.pi)
OUT = np.array([1.0, 0.0, 0.0])


def ring_place(*, between: float, spacing: float, shift: float) -> Array:
    r"""Return where a ring lies that sees two clamps at a given angle.

    All such places lie on one circle through both clamps (Euclid, *Elements*,
    III.21), of radius :math:`s / (2 \sin\gamma)`, its centre
    :math:`s / (2 \tan\gamma)` in front of them.

    Parameters
    ----------
    between : float
        Angle between the legs at the ring, more than 0 and less than pi. [rad]
    spacing : float
        Distance between the clamps. [m]
    shift : float
        Ring to the left of the middle of the clamps. [m]

    Returns
    -------
    ndarray, shape (3,)
        The ring, from the middle of the clamps. [m]

    Raises
    ------
    MechanismError
        If the ring lies so far to one side that no leg would pull from the other.

    Examples
    --------
    >>> place = ring_place(between=np.pi / 2, spacing=0.6, shift=0.0)
    >>> place.round(6).tolist()
    [0.3, 0.0, 0.0]
    """
    half = spacing / 2
    if not abs(shift) < half:
        raise MechanismError("scene.ring_outside", shift=abs(shift), half=half)
    radius, centre = half / np.sin(between), half / np.tan(between)
    # centre + root of radius^2 - shift^2, as a quotient where the two would cancel
    reach = np.sqrt((radius - shift) * (radius + shift))
    out = (half - shift) * (half + shift) / (reach - centre)
    return np.array([centre + reach if centre > 0 else out, shift, 0.0])


@dataclass(frozen=True, kw_only=True)
class BridleGiven(Given):
    """What is given of a bridle; ``values`` holds a value per field."""

    FIELDS = FIELDS

    def solved(self) -> SolvedBridle:
        """Lay the bridle out and divide the pull.

        Raises
        ------
        MechanismError
            If the legs lie flat, or the ring is not between the clamps.
        """
        spacing, between = self.si("spacing_mm"), self.si("between_deg")
        pull = self.si("pull_kn")
        if between > np.pi - 1e-9:  # the engine says why; there is no ring to place
            bridle(pull, angle_left=between / 2, angle_right=between / 2)
        ring = ring_place(between=between, spacing=spacing, shift=self.si("shift_mm"))
        clamps = np.array([[0.0, spacing / 2, 0.0], [0.0, -spacing / 2, 0.0]])
        angles = angle_between(ring - clamps, OUT)
        return SolvedBridle(
            given=self,
            ring=ring,
            clamps=clamps,
            angles=angles,
            tensions=bridle(pull, angle_left=angles[0], angle_right=angles[1]),
        )


@dataclass(frozen=True, kw_only=True)
class SolvedBridle:
    """A bridle as it lies: left leg first in ``clamps`` (2, 3) and ``angles`` (2,).

    Places are from the middle of the clamps [m], ``angles`` those of the legs
    from the line of pull [rad].
    """

    given: BridleGiven
    ring: Array
    clamps: Array
    angles: Array
    tensions: Bridle

    @property
    def between(self) -> float:
        """Angle between the legs. [rad]"""
        return float(self.angles.sum())

    @property
    def legs(self) -> Array:
        """Lengths of the legs, shape (2,). [m]"""
        return norm(self.ring - self.clamps)

    @property
    def limit(self) -> float | None:
        """The school's limit on the angle between the legs, if it has set one. [rad]"""
        limit = self.given.si("school_limit_deg")
        return limit if limit < NO_LIMIT - 1e-9 else None

    @property
    def past_limit(self) -> bool:
        """Whether the legs lie flatter than the school allows."""
        return self.limit is not None and self.between > self.limit + 1e-9

    @cached_property
    def legs_at_limit(self) -> Array | None:
        """Lengths of the legs at the school's limit, shape (2,). [m]"""
        if self.limit is None:
            return None
        spacing, shift = self.given.si("spacing_mm"), self.given.si("shift_mm")
        ring = ring_place(between=self.limit, spacing=spacing, shift=shift)
        return norm(ring - self.clamps)

    def limit_arc(self, count: int = 41) -> list[tuple[float, float]]:
        """Return places where the ring sees the clamps at the school's limit.

        From the right clamp to the left one; inside it the legs lie flatter.
        """
        if self.limit is None:
            return []
        half = self.given.si("spacing_mm") / 2
        radius, centre = half / np.sin(self.limit), half / np.tan(self.limit)
        # The clamps stand at this angle from the centre, counted from the pull.
        turn = np.linspace(-1, 1, count) * (np.pi - self.limit)
        return [
            (float(centre + radius * np.cos(t)), float(radius * np.sin(t)))
            for t in turn
        ]


@dataclass(frozen=True, kw_only=True)
class RollerGiven(Given):
    """What is given of a redirect; ``values`` holds a value per field."""

    FIELDS = ROLLER_FIELDS

    def solved(self) -> SolvedRoller:
        """Turn the chain over the roller."""
        half = self.si("between_deg") / 2
        runs = direction(side_angle=np.array([half, -half]), rise=0.0)
        turned = redirect(self.si("tension_kn"), run_a=runs[0], run_b=runs[1])
        return SolvedRoller(given=self, runs=runs, turned=turned)


@dataclass(frozen=True, kw_only=True)
class SolvedRoller:
    """A redirect: ``runs`` (2, 3) are the directions of the two runs."""

    given: RollerGiven
    runs: Array
    turned: Redirect

    @property
    def tension(self) -> float:
        """Tension in both runs. [N]"""
        return self.given.si("tension_kn")

    @property
    def anchor_load(self) -> float:
        """What the roller's anchor carries. [N]"""
        return float(self.turned.anchor_load)

    @property
    def anchor_per_chain(self) -> float:
        """Anchor load over chain tension. [-]"""
        return self.anchor_load / self.tension
