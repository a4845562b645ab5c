"""A body on four clamps under one pull, with a chain that ties it back if one is set.

Axes are the vehicle's: x forward from the line of the front clamps, y to the left of
the centre-line, z up from the clamps. The body is rigid; its weight is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.mechanics.holding.anchoring import HeldBody, share_load
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import net_wrench
from workbook.mechanics.vectors import Array, direction, norm
from workbook.scenes.fields import Given, read_fields

WORD = "ANCHOR1"
FIELDS = read_fields("anchoring")
CLAMPS = ("left front", "right front", "left rear", "right rear")
TIE_WAYS = {"back": (-1.0, 0.0, 0.0), "down": (0.0, 0.0, -1.0)}
STIFF = 2e7  # N/m, of every clamp and of the tie; invented, only ratios count
TIE_AT = {"back": -2.4, "down": 0.5}  # m, ahead of the front clamps; invented
NOTHING = 1e-3  # of the pull; a force below it is said to be none


def pinch_weld_clamps(
    *,
    spacing: ArrayLike,
    width: ArrayLike,
    hold: str,
    pairs: int = 2,
    rating: ArrayLike = np.inf,
    slip_limit: ArrayLike = np.inf,
) -> Clamps:
    """Return pairs of clamps on pinch welds that run along x, the left one first.

    Parameters
    ----------
    spacing, width : array_like, shape (...)
        First pair and last pair apart along the car, clamps of a pair apart across
        it. [m]
    hold : str
        ``"along only"``: stiff along the car and up; then a stop in the middle, the
        last of the clamps, holds across. ``"both ways"``: stiff across as well.
    pairs : int
        How many there are, from the front.
    rating, slip_limit : array_like, shape (...)
        Of each clamp. [N]

    Examples
    --------
    >>> four = pinch_weld_clamps(spacing=1.8, width=1.5, hold="both ways")
    >>> four.positions.tolist()
    [[0.0, 0.75, 0.0], [0.0, -0.75, 0.0], [-1.8, 0.75, 0.0], [-1.8, -0.75, 0.0]]
    """
    lengths = np.broadcast_arrays(spacing, width, rating, slip_limit)
    apart, wide, rated, slips = (np.asarray(one)[..., None] for one in lengths)
    along = -apart * np.repeat(np.linspace(0.0, 1.0, pairs), 2)
    across = wide / 2 * np.tile([1.0, -1.0], pairs)
    places = np.stack([along, across, np.zeros_like(along)], axis=-1)
    ways = np.ones((2 * pairs, 3))
    if hold == "along only":
        ways = np.array([[1.0, 0.0, 1.0]] * (2 * pairs) + [[0.0, 1.0, 0.0]])
        middle = places.mean(axis=-2, keepdims=True)
        places = np.concatenate([places, middle], axis=-2)
    return Clamps(
        positions=places + 0.0,
        stiffness=STIFF * ways,
        ratings=rated,
        slip_limits=slips,
    )


@dataclass(frozen=True, kw_only=True)
class AnchoringGiven(Given):
    """What is given of an anchored body; ``values`` holds a value per field."""

    FIELDS = FIELDS

    def solved(self) -> SolvedAnchoring:
        """Share the pull among the clamps, in one set-up or in many at once."""
        rating = self.array("rating_kn")
        clamps = pinch_weld_clamps(
            spacing=self.array("spacing_mm"),
            width=self.array("width_mm"),
            hold=self.chosen("hold"),
            rating=rating,
            slip_limit=self.array("slip_kn"),
        )
        pull = self.array("pull_kn")[..., None] * direction(
            side_angle=0.0, rise=self.array("rise_deg")
        )
        hook = _point(
            self.array("hook_ahead_mm"),
            self.array("side_mm"),
            self.array("hook_height_mm"),
        )
        held = share_load(
            net_wrench(pull[..., None, :], points=hook[..., None, :]),
            clamps=clamps,
            stands=self._tie(rating),
        )
        return SolvedAnchoring(
            given=self,
            places=clamps.positions[..., :4, :],
            hook=hook,
            pull=pull,
            held=held,
        )

    def _tie(self, rating: Array) -> Stands | None:
        """Return the tie: a chain can only pull, as a stand can only push."""
        tie = self.chosen("tie")
        if tie == "none":
            return None
        place = self.tie_place
        many = np.broadcast_shapes(place.shape[:-1], rating.shape)
        return Stands(
            positions=np.broadcast_to(place, (*many, 3))[..., None, :],
            normals=np.array(TIE_WAYS[tie]),
            stiffness=np.array(STIFF),
            ratings=rating[..., None],
        )

    @property
    def tie_place(self) -> Array:
        """Where the tie is hooked, shape (..., 3), nan where there is none. [m]"""
        along = TIE_AT.get(self.chosen("tie"), np.nan)
        side = self.array("tie_side_mm")
        return _point(np.full_like(side, along), side, np.zeros_like(side))


def _point(x: Array, y: Array, z: Array) -> Array:
    return np.stack(np.broadcast_arrays(x, y, z), axis=-1)


@dataclass(frozen=True, kw_only=True)
class SolvedAnchoring:
    """An anchored body: its clamps in the order of ``CLAMPS``, and what each carries.

    ``places`` (..., 4, 3) are the clamps and ``hook`` (..., 3) the point of pull [m],
    ``pull`` (..., 3) its force [N]. Every number is an array over set-ups (...).
    """

    given: AnchoringGiven
    places: Array
    hook: Array
    pull: Array
    held: HeldBody

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that stand, shape (...): four clamps hold any pull."""
        return np.asarray(np.isfinite(self.forces).all(axis=-1))

    @cached_property
    def reactions(self) -> Array:
        """Forces of the clamps on the body, shape (..., 4, 3). [N]"""
        return self.held.clamp_forces[..., :4, :]

    @cached_property
    def forces(self) -> Array:
        """Their sizes, shape (..., 4). [N]"""
        return norm(self.reactions)

    @property
    def shares(self) -> Array:
        """Force over rating of each clamp, shape (..., 4). [-]"""
        return self.held.shares[..., :4]

    @property
    def slip_shares(self) -> Array:
        """Force in the flange over the slip limit of each clamp, (..., 4). [-]"""
        return self.held.slip_shares[..., :4]

    @property
    def lifts(self) -> Array:
        """How hard the body lifts each clamp, minus where it presses, (..., 4). [N]"""
        return -self.reactions[..., 2] + 0.0

    @property
    def tension(self) -> Array:
        """Size of the pull. [N]"""
        return self.given.array("pull_kn")

    @property
    def lifted(self) -> NDArray[np.bool_]:
        """Whether the body lifts a clamp, shape (..., 4)."""
        return np.asarray(self.lifts > NOTHING * self.tension[..., None])

    @property
    def pressed(self) -> NDArray[np.bool_]:
        """Whether the body presses a clamp down, shape (..., 4)."""
        return np.asarray(self.lifts < -NOTHING * self.tension[..., None])

    @property
    def governing(self) -> NDArray[np.intp]:
        """Place in ``CLAMPS`` of the first that carries most, shape (...)."""
        return np.asarray(np.argmax(self.most, axis=-1))

    @property
    def most(self) -> NDArray[np.bool_]:
        """Whether a clamp carries as much as any, but for rounding, (..., 4)."""
        largest = self.forces.max(axis=-1, keepdims=True)
        return np.asarray(self.forces >= largest * (1 - 1e-6))

    @cached_property
    def yaw(self) -> Array:
        """Moment about the upright through the middle of the clamps. [N m]

        Plus turns the nose to the left.
        """
        middle = self.places.mean(axis=-2)
        pull, hook = np.broadcast_arrays(self.pull, self.hook)
        about_it = net_wrench(
            pull[..., None, :], points=hook[..., None, :], about=middle
        )
        return about_it[..., 5]

    @property
    def tie(self) -> Array:
        """Tension of the tie, nan where there is none. [N]"""
        pushes = self.held.stand_pushes
        return pushes[..., 0] if pushes.shape[-1] else np.full_like(self.yaw, np.nan)

    @property
    def tie_share(self) -> Array:
        """Its share of its rating, nan where there is none. [-]"""
        return np.asarray(self.tie / self.given.array("rating_kn"))
