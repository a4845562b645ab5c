"""A set-up of one pull: what the shop chooses, as a code, a rig and what it does."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from workbook.equipment import Chain, LoadPath, chain, load_path, pick, reference, shop
from workbook.errors import FormError, WorkbookError
from workbook.mechanics.pull.catenary import HangingChain
from workbook.mechanics.pull.linkage import Pull, Rig, solve_pull
from workbook.mechanics.pull.rigging import free_running_chain, redirect
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.pull.stroke import StrokePath, stroke_path
from workbook.mechanics.pull.tension_length_sag import from_tension
from workbook.mechanics.pull.wanted_force import (
    ram_force_for_tension,
    ram_force_for_useful_pull,
)
from workbook.mechanics.vectors import Array, direction, dot, norm, unit
from workbook.scenes import codes
from workbook.scenes.fields import Given, Number, read_fields, si

if TYPE_CHECKING:
    from collections.abc import Mapping

WORD = "PULL1"
CHAIN_GRADES: Mapping[str, tuple[str, str | None]] = {
    "EN 818-2 grade 8": ("EN 818-2", "8"),
    "EN 818-3 grade 4": ("EN 818-3", "4"),
    "49 CFR 393.108 unmarked": ("49 CFR 393.108", None),
    "49 CFR 393.108 grade 43": ("49 CFR 393.108", "43"),
    "49 CFR 393.108 grade 70": ("49 CFR 393.108", "70"),
    "49 CFR 393.108 grade 80": ("49 CFR 393.108", "80"),
    "49 CFR 393.108 grade 100": ("49 CFR 393.108", "100"),
}

FIELDS = read_fields("pull")
# The anchor leg may stand in a file in place of the lean.
ANCHOR_LEG = Number(
    name="anchor_leg_mm",
    key="ram.anchor_leg_mm",
    subject="pull",
    low=50,
    high=5000,
    step=10,
    start=1000,
)


@dataclass(frozen=True, kw_only=True)
class Setup(Given):
    """One pull as the shop sets it out; ``values`` holds a value per field.

    ``anchor_leg_mm`` stands in place of the lean where a file gives it.
    """

    FIELDS = FIELDS
    title: str = ""
    anchor_leg_mm: float | None = None

    @property
    def code(self) -> str:
        """The short set-up code.

        Raises
        ------
        FormError
            If the anchor leg is given in place of the lean.
        """
        if self.anchor_leg_mm is not None:
            raise FormError("set_up.no_code")
        return codes.encode(WORD, FIELDS, self.values)

    @property
    def chain(self) -> Chain:
        """The chain of both legs."""
        standard, grade = CHAIN_GRADES[self.chosen("chain_grade")]
        return chain(standard=standard, grade=grade, size=self.chosen("chain_size"))

    @property
    def wanted(self) -> Array:
        """Unit vector of the wanted line, shape (3,)."""
        return direction(
            side_angle=self.si("wanted_side_angle_deg"), rise=self.si("wanted_rise_deg")
        )

    def rig(self, *, stroke: float | None = None) -> Rig:
        """Return the rig, at its stroke or at another [m]."""
        ram = pick(shop().rams, self.chosen("ram"))
        leg = self.anchor_leg_mm
        return lay_out(
            clamp=[
                self.si("clamp_forward_mm"),
                self.si("clamp_left_mm"),
                self.si("clamp_height_mm"),
            ],
            chain_angle=self.si("chain_angle_deg"),
            clamp_distance=self.si("clamp_distance_mm"),
            fork_distance=self.si("fork_distance_mm"),
            fork_offset=self.si("fork_offset_mm"),
            closed_length=ram.closed_length,
            extension=self.si("extension_mm"),
            stroke=self.si("stroke_mm") if stroke is None else stroke,
            full_stroke=ram.full_stroke,
            swivel=ram.swivel_limit_from_vertical,
            lean=self.si("lean_deg") if leg is None else None,
            anchor_leg=None if leg is None else si(ANCHOR_LEG, leg),
        )

    def solved(self) -> SolvedPull:
        """Solve the set-up.

        Raises
        ------
        WorkbookError
            If the rig does not stand, or the pull cannot be had.
        """
        rig, at_head = self.rig(), self.chosen("chain_at_head")
        if at_head == "free over the ram":
            free_running_chain(rig)
        if at_head == "over a fixed roller":
            pull = self._over_roller(rig)
        else:
            pull = solve_pull(rig, ram_force=self._ram_force(rig))
        return SolvedPull(setup=self, rig=rig, pull=pull)

    def _ram_force(self, rig: Rig) -> float:
        """Return the ram force that gives what is held fixed. [N]"""
        held = self.chosen("held")
        if held == "useful pull":
            useful = self.si("useful_pull_kn")
            force = ram_force_for_useful_pull(rig, useful_pull=useful, line=self.wanted)
            return float(force)
        if held == "chain tension":
            tension = self.si("chain_tension_kn")
            return float(ram_force_for_tension(rig, pull_tension=tension))
        return self.si("ram_force_kn")

    def _over_roller(self, rig: Rig) -> Pull:
        """Put a fixed roller where the head is; its load stands for the ram force."""
        pull = solve_pull(rig, ram_force=1.0)
        to_fork = unit(rig.anchor - pull.head)
        turned = redirect(1.0, run_a=-pull.direction, run_b=to_fork)
        force = self._ram_force(rig)
        by_load = self.chosen("held") in {"ram force", "ram stroke"}
        tension = force / (turned.anchor_load if by_load else pull.travel_ratio)
        return replace(
            pull,
            ram_force=tension * turned.anchor_load,
            pull_tension=tension,
            anchor_tension=tension,
            force_on_clamp=tension * pull.direction,
            base_on_bench=tension * turned.anchor_force,
            anchor_on_bench=-tension * to_fork,
            travel_ratio=np.asarray(1.0),
        )


@dataclass(frozen=True, kw_only=True)
class SolvedPull:
    """A set-up with what it does; the rest is worked out when asked for."""

    setup: Setup
    rig: Rig
    pull: Pull

    @cached_property
    def pressure(self) -> float:
        """Gauge pressure for the ram force. [Pa]"""
        ram = pick(shop().rams, self.setup.chosen("ram"))
        return float(ram.pressure_for(self.pull.ram_force))

    @cached_property
    def along(self) -> float:
        """Part of the pull along the wanted line. [N]"""
        return float(dot(self.pull.force_on_clamp, self.setup.wanted))

    @cached_property
    def across(self) -> float:
        """Part of the pull across the wanted line. [N]"""
        rest = self.pull.force_on_clamp - self.along * self.setup.wanted
        return float(norm(rest))

    @cached_property
    def steer(self) -> float:
        """How far the pull is turned off the set-out line, plus left. [rad]"""
        return float(self.pull.side_angle) - self.setup.si("chain_angle_deg")

    @cached_property
    def head_shift(self) -> float:
        """Head to the left of the set-out line. [m]"""
        angle = self.setup.si("chain_angle_deg")
        left = np.array([-np.sin(angle), np.cos(angle), 0.0])
        return float(dot(self.pull.head - self.rig.base, left))

    @cached_property
    def side_lean(self) -> float:
        """Ram from the vertical seen along the set-out line, plus left. [rad]"""
        up = float(self.pull.head[2] - self.rig.base[2])
        return float(np.arctan2(self.head_shift, up))

    @cached_property
    def weight_per_length(self) -> float:
        """Weight of the chain. [N/m]"""
        return self.setup.chain.mass_per_length * reference("gravity").value

    @cached_property
    def at_take_up(self) -> HangingChain | None:
        """The pull leg as it hangs at take-up, see `hanging`."""
        return self.hanging(self.setup.si("take_up_kn"))

    def hanging(self, tension: float) -> HangingChain | None:
        """Return the pull leg hung with a tension [N] at its upper end.

        ``None`` where that tension cannot hold the chain's own weight.
        """
        between = self.pull.head - self.rig.clamp
        try:
            return from_tension(
                tension,
                span=float(np.hypot(between[0], between[1])),
                rise=float(between[2]),
                weight_per_length=self.weight_per_length,
            )
        except WorkbookError:
            return None

    @property
    def roller(self) -> bool:
        """Whether the chain runs over a fixed roller in place of the ram's head."""
        return self.setup.chosen("chain_at_head") == "over a fixed roller"

    @cached_property
    def amounts(self) -> dict[str, tuple[float, str]]:
        """The numbers of the pull, most telling first: SI value and kind."""
        pull = self.pull
        forward, sideways, upward = map(float, pull.force_on_clamp)
        loaded = self.hanging(float(pull.pull_tension))
        sags = {
            "chain sag at take-up": self.at_take_up,
            "chain sag under load": loaded,
        }
        return {
            "pull: side angle": (float(pull.side_angle), "angle"),
            "pull: rise": (float(pull.rise), "angle"),
            "pull leg": (float(pull.pull_tension), "force"),
            "anchor leg": (float(pull.anchor_tension), "force"),
            "roller load" if self.roller else "ram force": (
                float(pull.ram_force),
                "force",
            ),
            **({} if self.roller else {"gauge pressure": (self.pressure, "pressure")}),
            "forward": (forward, "force"),
            "to the left": (sideways, "force"),
            "upward": (upward, "force"),
            "along the wanted line": (self.along, "force"),
            "across the wanted line": (self.across, "force"),
            **{n: (float(c.sag), "small length") for n, c in sags.items() if c},
            "head moved to the left": (self.head_shift, "length"),
            "ram leans to the left": (self.side_lean, "angle"),
            "hook travel per stroke": (float(pull.travel_ratio), "ratio"),
        }

    @cached_property
    def load_path(self) -> LoadPath:
        """The share of its own rating that each part uses."""
        setup, parts = self.setup, shop()
        return load_path(
            ram_force=self.pull.ram_force,
            pull_tension=self.pull.pull_tension,
            anchor_tension=self.pull.anchor_tension,
            ram=pick(parts.rams, setup.chosen("ram")),
            head=pick(parts.heads, setup.chosen("head")),
            pull_chain=setup.chain,
            clamp=pick(parts.clamps, setup.chosen("clamp")),
            anchor_chain=setup.chain,
            fork=pick(parts.forks, setup.chosen("fork")),
        )

    @cached_property
    def path(self) -> StrokePath:
        """The pull from take-up to the end of the stroke, the clamp following."""
        return stroke_path(
            self.setup.rig(stroke=0.0),
            ram_force=float(self.pull.ram_force),
            points=9,
            substeps=1,
        )


def from_code(code: str) -> Setup:
    """Return the set-up of a code.

    Raises
    ------
    FormError
        If the code is no set-up code of a pull, or was mistyped.
    """
    return Setup(values=codes.decode(WORD, FIELDS, code))
