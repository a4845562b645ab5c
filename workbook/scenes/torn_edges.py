"""One or two clamps at the edge of a sheet, on the rail of `straightening`.

Each clamp holds on an edge of its own and is pulled straight out of it. The estimate of
the tear-out is the rating of the rail's clamp: what happens at it is what the practice
rail does when a clamp tears.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from workbook.mechanics.metal.edges import tear_out
from workbook.mechanics.pull.rigging import bridle
from workbook.scenes.fields import Given, read_fields
from workbook.scenes.straightening import (
    COUNT,
    SpringGiven,
    climb,
    curve_of,
    spread,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.errors import WorkbookError
    from workbook.mechanics.vectors import Array

WORD = "EDGE1"
FIELDS = read_fields("edge")
FLAT = 1e-9  # half an angle as small as this is none [rad]


# The rail that is pulled: as the explorer of springback starts with it. [m]
RAIL = SpringGiven()
WALL, NEEDED = RAIL.si("wall_mm"), RAIL.si("needed_mm")


@lru_cache(maxsize=1024)
def pulled_at(load: float, rating: float) -> tuple[Array, WorkbookError | None]:
    """Return movement over load (COUNT, 2) of a pull whose clamp tears at a rating."""
    parts, refusal = climb(WALL, NEEDED, 0.0, load, rating=rating)
    curve = curve_of(parts, NEEDED)
    return (spread(curve) if parts else np.full((COUNT, 2), np.nan)), refusal


@dataclass(frozen=True, kw_only=True)
class EdgeGiven(Given):
    """What is given of a clamp at an edge; ``values`` holds a value a field."""

    FIELDS = FIELDS

    def solved(self) -> TornEdge:
        """Pull at the edge, in one set-up or in many.

        Raises
        ------
        WorkbookError
            If a single rail is pulled further than the model follows it.
        """
        names = ("pull_kn", "edge_mm", "sheet_mm", "strength_n_per_mm2", "between_deg")
        pull, edge, sheet, strength, between = np.broadcast_arrays(
            *(self.array(name) for name in names)
        )
        estimate = tear_out(
            edge_distance=edge, thickness=sheet, shear_strength=strength
        )
        share = np.ones_like(pull)
        if self.chosen("clamps") == "two":
            half = np.maximum(between / 2, FLAT)
            share = bridle(share, angle_left=half, angle_right=half).left
        rating = estimate / share
        each = [
            pulled_at(round(float(load), 6), round(float(most), 6))
            for load, most in zip(pull.ravel(), rating.ravel(), strict=True)
        ]
        if pull.shape == () and each[0][1] is not None:
            raise each[0][1]
        curve = np.stack([one for one, _ in each]).reshape((*pull.shape, COUNT, 2))
        stands = np.reshape([why is None for _, why in each], pull.shape)
        return TornEdge(
            given=self,
            estimate=estimate,
            share=share,
            rating=rating,
            curve=curve,
            stands=stands,
        )


@dataclass(frozen=True, kw_only=True)
class TornEdge:
    """A clamp at an edge, and what became of it; every number is an array (...).

    Attributes
    ----------
    estimate : ndarray
        Of the pull at one clamp that tears it out of the edge. [N]
    share : ndarray
        What each clamp carries over the whole pull. [-]
    rating : ndarray
        The whole pull that tears. [N]
    curve : ndarray, shape (..., COUNT, 2)
        Movement of the rail's hook [m] over the pull [N]; it falls to nothing where
        the clamp tears.
    stands : ndarray of bool
        Where the rail goes so far.
    """

    given: EdgeGiven
    estimate: Array
    share: Array
    rating: Array
    curve: Array
    stands: NDArray[np.bool_]

    @property
    def pull(self) -> Array:
        """The whole pull that is asked for. [N]"""
        return self.given.array("pull_kn")

    @property
    def at_clamp(self) -> Array:
        """What each clamp would carry of it. [N]"""
        return np.asarray(self.pull * self.share)

    @property
    def used(self) -> Array:
        """That over the estimate. [-]"""
        return np.asarray(self.at_clamp / self.estimate)

    @property
    def torn(self) -> NDArray[np.bool_]:
        """Whether the clamp tears before the pull is reached, shape (...)."""
        return np.asarray(self.pull > self.rating)

    @property
    def gauge(self) -> Array:
        """What is in the chain in the end. [N]"""
        return self.curve[..., -1, 1]

    @property
    def movement(self) -> Array:
        """How far the hook has moved in the end. [m]"""
        return self.curve[..., -1, 0]
