"""A beam-like body from the side: pulled down over a floor redirect, or pushed up.

Pulled down, the body turns about clamps at its middle. The chain runs from its front
down to a pulley on the floor and up again to a ram; a second chain holds the body down
behind the clamps. Pushed up, a jack stands where the clamps were, and the body hangs
on two hold-downs, one before the jack and one behind it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from workbook.mechanics.holding.levers import HeldLever, hold_lever
from workbook.mechanics.pull.rigging import Redirect, redirect
from workbook.mechanics.vectors import norm, unit
from workbook.scenes.fields import Given, read_fields

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.mechanics.vectors import Array

WORD = "HOLD1"
FIELDS = read_fields("holding")
DOWN, UP = "down", "up"
# How high over the pulley hang the body's hooks, and the head where the chain comes up;
# invented. [m]
BODY, HEAD = 0.5, 0.7
DOWNWARD = (0.0, -1.0)


def _place(x: Array, z: Array | float) -> Array:
    return np.stack(np.broadcast_arrays(x, z), axis=-1)


@dataclass(frozen=True, kw_only=True)
class HoldingGiven(Given):
    """What is given of a held body; ``values`` holds a value a field."""

    FIELDS = FIELDS

    def solved(self) -> HeldBeam:
        """Hold the body, in one set-up or in many at once."""
        return HeldBeam(given=self)


@dataclass(frozen=True, kw_only=True)
class HeldBeam:
    """A held body; every number is an array (...), nan where its way has none.

    Places are (..., 2): ahead of the turning point or of the jack, and over the floor.
    """

    given: HoldingGiven

    @property
    def way(self) -> str:
        """Whether the body is pulled ``down`` or pushed ``up``."""
        return self.given.chosen("way")

    @property
    def main(self) -> Array:
        """The main pull, or the push. [N]"""
        return self.given.array("pull_kn") + 0 * self.given.array("hold_mm")

    @property
    def front(self) -> Array:
        """Where the main chain, or the front hold-down, is hooked. [m]"""
        return _place(self.given.array("arm_mm"), BODY)

    @property
    def back(self) -> Array:
        """Where the hold, or the rear hold-down, is hooked. [m]"""
        return _place(-self.given.array("hold_mm"), BODY)

    @property
    def pulley(self) -> Array:
        """Where the chain is turned. [m]"""
        ahead = self.given.array("arm_mm") + self.given.array("pulley_mm")
        return _place(ahead, 0.0)

    @property
    def head(self) -> Array:
        """Where the chain comes up to its ram. [m]"""
        return self.pulley + _place(self.given.array("up_mm"), HEAD)

    @property
    def runs(self) -> tuple[Array, Array]:
        """Ways of one length from the pulley to the body and to the head."""
        return unit(self.front - self.pulley), unit(self.head - self.pulley)

    def _if(self, way: str) -> float:
        """Return nought where this is the way of the body, else nan."""
        return 0.0 if self.way == way else np.nan

    @cached_property
    def turned(self) -> Redirect:
        """What the redirect's anchor carries."""
        body, head = (
            np.stack([run[..., 0], 0 * run[..., 0], run[..., 1]], axis=-1)
            for run in self.runs
        )
        return redirect(self.given.array("pull_kn"), run_a=body, run_b=head)

    @property
    def redirect_load(self) -> Array:
        """What the floor anchor carries. [N]"""
        return self.turned.anchor_load + self._if(DOWN)

    @property
    def redirect_force(self) -> Array:
        """Force of the chain on the pulley (..., 2). [N]"""
        return self.turned.anchor_force[..., [0, 2]] + self._if(DOWN)

    @property
    def between(self) -> Array:
        """Angle between the runs at the pulley. [rad]"""
        return self.turned.between_runs + self._if(DOWN)

    @property
    def main_force(self) -> Array:
        """Force of the main chain on the body, or of the jack (..., 2). [N]"""
        if self.way == UP:
            return _place(0 * self.main, self.main)
        return np.asarray(-self.main[..., None] * self.runs[0])

    @cached_property
    def balance(self) -> HeldLever:
        """The body in balance: about its clamps, or about the rear hold-down."""
        down = self.way == DOWN
        return hold_lever(
            self.main_force,
            at=self.front if down else (0.0, BODY),
            hook=self.back if down else self.front,
            direction=DOWNWARD,
            turning_point=(0.0, BODY) if down else self.back,
        )

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that are held, shape (...): every one can be."""
        return np.isfinite(self.balance.hold)

    @property
    def hold(self) -> Array:
        """The holding pull behind the clamps. [N]"""
        return self.balance.hold + self._if(DOWN)

    @property
    def clamps(self) -> Array:
        """Force of the clamps at the turning point on the body (..., 2). [N]"""
        return self.balance.turning_point + self._if(DOWN)

    @property
    def front_down(self) -> Array:
        """The hold-down before the jack. [N]"""
        return self.balance.hold + self._if(UP)

    @property
    def rear_down(self) -> Array:
        """The hold-down behind the jack. [N]"""
        return norm(self.balance.turning_point) + self._if(UP)
