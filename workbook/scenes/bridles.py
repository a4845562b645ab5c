"""Bridles between two clamps, and a chain turned over a fixed roller, in plan.

The picture has x out along the pull and y to its left; a bridle's clamps stand
on y, evenly on both sides of nothing, and its ring in front of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

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
SIDES = np.array([[0.0, 1.0, 0.0], [0.0, -1.0, 0.0]])  # left and right of the pull


def ring_place(*, between: ArrayLike, spacing: ArrayLike, shift: ArrayLike) -> Array:
    r"""Return where a ring lies that sees two clamps at a given angle.

    All such places lie on one circle through both clamps (Euclid, *Elements*,
    III.21), of radius :math:`s / (2 \sin\gamma)`, its centre
    :math:`s / (2 \tan\gamma)` in front of them.

    Parameters
    ----------
    between : array_like, shape (...)
        Angle between the legs at the ring, more than 0 and less than pi. [rad]
    spacing : array_like, shape (...)
        Distance between the clamps. [m]
    shift : array_like, shape (...)
        Ring to the left of the middle of the clamps. [m]

    Returns
    -------
    ndarray, shape (..., 3)
        The ring, from the middle of the clamps; of many, nan where it would lie so
        far to one side that no leg would pull from the other. [m]

    Raises
    ------
    MechanismError
        If a single ring lies so.

    Examples
    --------
    >>> place = ring_place(between=np.pi / 2, spacing=0.6, shift=0.0)
    >>> place.round(6).tolist()
    [0.3, 0.0, 0.0]
    """
    gamma, half, off = np.broadcast_arrays(between, np.asarray(spacing) / 2, shift)
    outside = np.asarray(~(np.abs(off) < half))
    if outside.ndim == 0 and outside:
        raise MechanismError(
            "scene.ring_outside", shift=abs(float(off)), half=float(half)
        )
    off = np.where(outside, np.nan, off)
    radius, centre = half / np.sin(gamma), half / np.tan(gamma)
    # centre + root of radius^2 - shift^2, as a quotient where the two would cancel
    reach = np.sqrt((radius - off) * (radius + off))
    apart = np.where(centre > 0, 1.0, reach - centre)
    out = np.where(centre > 0, centre + reach, (half - off) * (half + off) / apart)
    return np.stack([out, off, np.zeros_like(out)], axis=-1)


@dataclass(frozen=True, kw_only=True)
class BridleGiven(Given):
    """What is given of a bridle; ``values`` holds a value per field."""

    FIELDS = FIELDS

    def solved(self) -> SolvedBridle:
        """Lay the bridle out and divide the pull, in one set-up or in many at once.

        Returns
        -------
        SolvedBridle
            Of many, with nan where there is no such bridle.

        Raises
        ------
        MechanismError
            If a single bridle's legs lie flat, or its ring is not between the clamps.
        """
        spacing, between = self.array("spacing_mm"), self.array("between_deg")
        pull = self.array("pull_kn")
        flat = np.asarray(between > np.pi - 1e-9)
        if flat.ndim == 0 and flat:  # the engine says why; there is no ring to place
            bridle(pull, angle_left=between / 2, angle_right=between / 2)
        between = np.where(flat, np.nan, between)
        ring = ring_place(
            between=between, spacing=spacing, shift=self.array("shift_mm")
        )
        clamps = spacing[..., None, None] / 2 * SIDES
        angles = angle_between(ring[..., None, :] - clamps, OUT)
        stands = np.asarray(np.isfinite(angles).all(axis=-1))
        # Some angle where there is no bridle, for the engine refuses none.
        left, right = np.moveaxis(np.where(stands[..., None], angles, 1.0), -1, 0)
        legs = bridle(pull, angle_left=left, angle_right=right)
        gone = np.where(stands, 0.0, np.nan)
        return SolvedBridle(
            given=self,
            ring=ring,
            clamps=clamps,
            angles=angles,
            tensions=Bridle(left=legs.left + gone, right=legs.right + gone),
        )


@dataclass(frozen=True, kw_only=True)
class SolvedBridle:
    """A bridle: left leg first in ``clamps`` (..., 2, 3) and ``angles`` (..., 2).

    Places are from the middle of the clamps [m], ``angles`` those of the legs
    from the line of pull [rad]. Every number is an array over set-ups (...), nan
    where there is no such bridle.
    """

    given: BridleGiven
    ring: Array
    clamps: Array
    angles: Array
    tensions: Bridle

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that have such a bridle, shape (...)."""
        return np.asarray(np.isfinite(self.angles).all(axis=-1))

    @property
    def between(self) -> Array:
        """Angle between the legs. [rad]"""
        return np.asarray(self.angles.sum(axis=-1))

    @property
    def legs(self) -> Array:
        """Lengths of the legs, shape (..., 2). [m]"""
        return norm(self.ring[..., None, :] - self.clamps)

    @property
    def limit(self) -> Array:
        """The school's limit on the angle between the legs, nan for none. [rad]"""
        limit = self.given.array("school_limit_deg")
        return np.where(limit < NO_LIMIT - 1e-9, limit, np.nan)

    @property
    def past_limit(self) -> NDArray[np.bool_]:
        """Whether the legs lie flatter than the school allows, shape (...)."""
        return np.asarray(self.between > self.limit + 1e-9)

    @cached_property
    def legs_at_limit(self) -> Array:
        """Lengths of the legs at the school's limit, shape (..., 2), or nan. [m]"""
        given = self.given
        ring = ring_place(
            between=self.limit,
            spacing=given.array("spacing_mm"),
            shift=given.array("shift_mm"),
        )
        return norm(ring[..., None, :] - self.clamps)

    def limit_arc(self, count: int = 41) -> Array:
        """Return places (..., count, 2) that see the clamps at the school's limit.

        From the right clamp to the left one; inside it the legs lie flatter. Nan
        where there is no limit.
        """
        half, limit = self.given.array("spacing_mm") / 2, self.limit
        radius = (half / np.sin(limit))[..., None]
        centre = (half / np.tan(limit))[..., None]
        # The clamps stand at this angle from the centre, counted from the pull.
        turn = np.linspace(-1, 1, count) * (np.pi - limit)[..., None]
        return np.stack(
            [centre + radius * np.cos(turn), radius * np.sin(turn)], axis=-1
        )


@dataclass(frozen=True, kw_only=True)
class RollerGiven(Given):
    """What is given of a redirect; ``values`` holds a value per field."""

    FIELDS = ROLLER_FIELDS

    def solved(self) -> SolvedRoller:
        """Turn the chain over the roller, in one set-up or in many at once."""
        half = self.array("between_deg") / 2
        side = np.stack([half, -half], axis=-1)
        runs = direction(side_angle=side, rise=0.0)
        tension = self.array("tension_kn")
        turned = redirect(tension, run_a=runs[..., 0, :], run_b=runs[..., 1, :])
        return SolvedRoller(given=self, runs=runs, turned=turned)


@dataclass(frozen=True, kw_only=True)
class SolvedRoller:
    """A redirect: ``runs`` (..., 2, 3) are the directions of the two runs.

    Every number is an array over set-ups (...).
    """

    given: RollerGiven
    runs: Array
    turned: Redirect

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that stand, shape (...): a fixed roller always does."""
        return np.isfinite(self.anchor_load)

    @property
    def tension(self) -> Array:
        """Tension in both runs. [N]"""
        return self.given.array("tension_kn")

    @property
    def anchor_load(self) -> Array:
        """What the roller's anchor carries. [N]"""
        return self.turned.anchor_load

    @property
    def anchor_per_chain(self) -> Array:
        """Anchor load over chain tension. [-]"""
        return np.asarray(self.anchor_load / self.tension)
