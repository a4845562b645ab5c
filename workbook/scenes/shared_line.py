"""Three rams on one line, each with its pump and valve, pulling one body on its clamps.

Axes are the vehicle's: x forward from the line of the front clamps, y to the left of
the centre-line, z up from the clamps. Every chain pulls level with the clamps, and each
rig stands so that its chain carries what its ram pushes with: ram and anchor leg lean
60 degrees from the bench, one toward the other. Car and rigs are invented.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.wrenches import net_wrench
from workbook.mechanics.hydraulics.pressure import (
    force_from_pressure,
    piston_area,
    pressure_from_force,
)
from workbook.mechanics.hydraulics.supply import Rams, extend_rams
from workbook.mechanics.vectors import Array, direction, norm
from workbook.scenes.anchored import pinch_weld_clamps
from workbook.scenes.fields import Given, read_fields

WORD = "RAMS1"
FIELDS = read_fields("rams")
RAMS = ("first", "second", "third")  # from the left of the car to its right
HOOKS = np.array([(0.9, 0.6, 0.0), (0.9, 0.0, 0.0), (0.9, -0.6, 0.0)])  # m
BODY_CLAMPS = pinch_weld_clamps(spacing=1.4, width=1.5, hold="both ways")
MIDDLE = BODY_CLAMPS.positions.mean(axis=0)
ALIKE = 1e-9  # of a pressure; rams that need the same but for rounding move together


@lru_cache(maxsize=4096)
def pumped(
    areas: tuple[float, ...],
    resistances: tuple[float, ...],
    valves_open: tuple[bool, ...],
    *,
    stiffness: float,
    flow: float,
    supply: float,
) -> tuple[Array, Array, float]:
    """Return where three rams are at the stall, when each began, and when that is.

    Strokes (3,) [m], times (3,) [s], nan for a ram that does not move, and one time.
    """
    rams = Rams(
        areas=np.array(areas),
        resistances=np.array(resistances),
        stiffness=np.array(stiffness),
        valves_open=np.array(valves_open),
    )
    run = extend_rams(rams, flow=flow, supply_pressure=supply)
    strokes = run.strokes[-1]
    # The last row in which a ram stands still is where it begins.
    still = np.count_nonzero(run.strokes <= 0, axis=0) - 1
    begins = np.where(strokes > 0, run.times[still], np.nan)
    return strokes, begins, float(run.times[-1])


@dataclass(frozen=True, kw_only=True)
class RamsGiven(Given):
    """What is given of three rams; ``values`` holds a value per field."""

    FIELDS = FIELDS

    def each(self, ending: str) -> Array:
        """Return a number of every ram in SI units, shape (..., 3)."""
        found = [self.array(f"{name}_{ending}") for name in RAMS]
        return np.stack(np.broadcast_arrays(*found), axis=-1)

    @property
    def valves_open(self) -> NDArray[np.bool_]:
        """Which valves are open, shape (3,)."""
        return np.array([self.chosen(f"{name}_valve") == "open" for name in RAMS])

    def solved(self) -> SharedLine:
        """Open the line and wait until the pumps stall, in one set-up or in many."""
        supply, stiffness, flow = (
            self.array(name)
            for name in ("supply_bar", "stiffening_kn_per_mm", "flow_l_per_min")
        )
        areas, resistances = piston_area(self.each("bore_mm")), self.each("resists_kn")
        forces = force_from_pressure(supply[..., None], piston_area=areas)
        shape = np.broadcast_shapes(
            forces.shape[:-1], resistances.shape[:-1], stiffness.shape, flow.shape
        )
        run = [
            pumped(
                tuple(areas_of.tolist()),
                tuple(resists.tolist()),
                tuple(self.valves_open.tolist()),
                stiffness=float(stiff),
                flow=float(oil),
                supply=float(limit),
            )
            for areas_of, resists, stiff, oil, limit in zip(
                np.broadcast_to(areas, (*shape, 3)).reshape(-1, 3),
                np.broadcast_to(resistances, (*shape, 3)).reshape(-1, 3),
                *(np.broadcast_to(x, shape).ravel() for x in (stiffness, flow, supply)),
                strict=True,
            )
        ]
        strokes, begins, times = zip(*run, strict=True)
        return SharedLine(
            given=self,
            forces=np.where(self.valves_open, forces, 0.0),
            needed=pressure_from_force(resistances, piston_area=areas),
            strokes=np.reshape(strokes, (*shape, 3)),
            begins=np.reshape(begins, (*shape, 3)),
            time=np.reshape(times, shape),
        )


@dataclass(frozen=True, kw_only=True)
class SharedLine:
    """Three rams when their pumps have stalled; every number is an array (...).

    Attributes
    ----------
    forces : ndarray, shape (..., 3)
        Of each ram, and so in its chain: the full pressure on its own area. [N]
    needed : ndarray, shape (..., 3)
        Pressure at which each begins to move. [Pa]
    strokes : ndarray, shape (..., 3)
        How far each has come out. [m]
    begins : ndarray, shape (..., 3)
        When each began, nan for those that stand still. [s]
    time : ndarray
        Until the stall. [s]
    """

    given: RamsGiven
    forces: Array
    needed: Array
    strokes: Array
    begins: Array
    time: Array

    @property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that stand, shape (...): a line can always be opened."""
        return np.isfinite(self.time)

    @property
    def supply(self) -> Array:
        """Pressure of the oil at which the pumps stall. [Pa]"""
        return self.given.array("supply_bar")

    @property
    def moves(self) -> NDArray[np.bool_]:
        """Which rams move, shape (..., 3)."""
        return np.asarray(self.strokes > 0)

    @property
    def place(self) -> Array:
        """Place of each ram in the order of movement from 1, nan for none, (..., 3)."""
        needed = np.where(self.moves, self.needed, np.inf)
        sooner = needed[..., None, :] < needed[..., :, None] * (1 - ALIKE)
        return np.where(self.moves, 1.0 + sooner.sum(axis=-1), np.nan)

    @property
    def first(self) -> Array:
        """Number of the ram that moves first, from 1; nan if none does, shape (...)."""
        number = np.argmin(np.where(self.moves, self.place, np.inf), axis=-1)
        return np.where(self.moves.any(axis=-1), 1.0 + number, np.nan)

    @property
    def ways(self) -> Array:
        """Direction of each chain from its hook, shape (..., 3, 3)."""
        return np.asarray(direction(side_angle=self.given.each("angle_deg"), rise=0.0))

    @property
    def pulls(self) -> Array:
        """Pull of each chain on the body, shape (..., 3, 3). [N]"""
        return np.asarray(self.forces[..., None] * self.ways)

    @cached_property
    def wrench(self) -> Array:
        """What they make together about the middle of the clamps, shape (..., 6)."""
        return net_wrench(self.pulls, points=HOOKS, about=MIDDLE)

    @property
    def together(self) -> Array:
        """Size of what they make together. [N]"""
        return norm(self.wrench[..., :3])

    @property
    def bearing(self) -> Array:
        """Its direction from straight ahead, plus to the left; nan for none. [rad]"""
        turn = np.arctan2(self.wrench[..., 1], self.wrench[..., 0])
        return np.where(self.together > 0, turn, np.nan)

    @cached_property
    def on_body(self) -> Array:
        """Forces of the four clamps on the body, shape (..., 4, 3). [N]"""
        held = share_load(self.wrench, clamps=BODY_CLAMPS, about=MIDDLE)
        return held.clamp_forces

    @property
    def most_held(self) -> Array:
        """What the clamp carries that carries most. [N]"""
        return np.asarray(norm(self.on_body).max(axis=-1))
