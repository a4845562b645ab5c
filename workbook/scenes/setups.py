"""A set-up of one pull: what the shop chooses, as a code, a rig and what it does."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from workbook.equipment import Chain, LoadPath, load_path, pick, reference, shop
from workbook.errors import FormError
from workbook.mechanics.pull.linkage import (
    Pull,
    Refusal,
    Rig,
    solve_pull,
    solve_pulls,
)
from workbook.mechanics.pull.rigging import free_running_chain, redirect
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.pull.stroke import StrokePath, stroke_path
from workbook.mechanics.pull.wanted_force import (
    ram_force_for_tension,
    ram_force_for_useful_pull,
)
from workbook.mechanics.vectors import Array, direction, dot, norm, unit
from workbook.scenes import codes
from workbook.scenes.chains import Ends, apart, graded_chain, hang_where
from workbook.scenes.fields import Amounts, Given, Number, read_fields, si

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from workbook.mechanics.pull.catenary import HangingChain

WORD = "PULL1"
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
        return graded_chain(self.chosen("chain_grade"), self.chosen("chain_size"))

    @property
    def wanted(self) -> Array:
        """Unit vector of the wanted line, shape (..., 3)."""
        return direction(
            side_angle=self.array("wanted_side_angle_deg"),
            rise=self.array("wanted_rise_deg"),
        )

    @cached_property
    def clamp(self) -> Array:
        """Where the clamp is hooked on, shape (..., 3). [m]"""
        ways = ("forward", "left", "height")
        at = (self.array(f"clamp_{way}_mm") for way in ways)
        return np.stack(np.broadcast_arrays(*at), axis=-1)

    def rig(self, *, stroke: float | None = None) -> Rig:
        """Return the rigs, at their stroke or at another [m]."""
        ram = pick(shop().rams, self.chosen("ram"))
        leg, array = self.anchor_leg_mm, self.array
        return lay_out(
            clamp=self.clamp,
            chain_angle=array("chain_angle_deg"),
            clamp_distance=array("clamp_distance_mm"),
            fork_distance=array("fork_distance_mm"),
            fork_offset=array("fork_offset_mm"),
            closed_length=ram.closed_length,
            extension=array("extension_mm"),
            stroke=array("stroke_mm") if stroke is None else stroke,
            full_stroke=ram.full_stroke,
            swivel=ram.swivel_limit_from_vertical,
            lean=array("lean_deg") if leg is None else None,
            anchor_leg=None if leg is None else si(ANCHOR_LEG, leg),
        )

    def solved(self, rig: Rig | None = None) -> SolvedPull:
        """Solve the set-up, or every one of many at once.

        Parameters
        ----------
        rig : Rig, optional
            Rigs that stand elsewhere than where they were set out, as when a clamp
            has followed a stroke.

        Returns
        -------
        SolvedPull
            Of many, with nan and a `Refusal` where a rig does not stand; not finite
            is also a ram force that no wanted pull asks for.

        Raises
        ------
        WorkbookError
            If a single rig does not stand or its pull cannot be had, or if nothing
            stands with the chain as chosen.
        """
        rig, at_head = rig or self.rig(), self.chosen("chain_at_head")
        if at_head == "free over the ram":
            free_running_chain(rig)
        force = self._ram_force(rig)
        # Nan where no force gives the wanted pull: the rig's own reason comes first.
        whole = np.where(np.isfinite(force), force, 1.0)
        pull = solve_pulls(rig, ram_force=whole)
        if pull.refusal.ndim == 0 and not pull.stands:
            solve_pull(rig, ram_force=float(whole))  # says why
        if at_head == "over a fixed roller":
            pull = self._over_roller(rig, pull, force)
        pull = _without(pull, ~np.isfinite(force) & pull.stands)
        return SolvedPull(setup=self, rig=rig, pull=pull)

    def _ram_force(self, rig: Rig) -> Array:
        """Return the ram force that gives what is held fixed. [N]"""
        held = self.chosen("held")
        if held == "useful pull":
            useful = self.array("useful_pull_kn")
            return ram_force_for_useful_pull(rig, useful_pull=useful, line=self.wanted)
        if held == "chain tension":
            tension = self.array("chain_tension_kn")
            return ram_force_for_tension(rig, pull_tension=tension)
        return self.array("ram_force_kn")

    def _over_roller(self, rig: Rig, pull: Pull, force: Array) -> Pull:
        """Put a fixed roller where the head is; its load stands for the ram force."""
        gone = np.where(pull.stands, 0.0, np.nan)
        # Some direction where nothing stands, for the roller refuses none.
        back = np.where(pull.stands[..., None], -pull.direction, 1.0)
        to_fork = np.where(pull.stands[..., None], unit(rig.anchor - pull.head), 1.0)
        turned = redirect(1.0, run_a=back, run_b=to_fork)
        by_load = self.chosen("held") in {"ram force", "ram stroke"}
        share = turned.anchor_load if by_load else pull.travel_ratio
        tension = force / share + gone
        return replace(
            pull,
            ram_force=tension * turned.anchor_load,
            pull_tension=tension,
            anchor_tension=tension,
            force_on_clamp=tension[..., None] * pull.direction,
            base_on_bench=tension[..., None] * turned.anchor_force,
            anchor_on_bench=-tension[..., None] * to_fork,
            travel_ratio=1.0 + gone,
        )


def _without(pull: Pull, gone: NDArray[np.bool_]) -> Pull:
    """Return pulls of which more are refused, for a ram force that is no number."""
    if not gone.any():
        return pull
    parts = {field.name: getattr(pull, field.name) for field in fields(pull)}
    codes = np.where(gone, Refusal.NOT_FINITE, parts.pop("refusal")).astype(np.int8)
    for name, part in parts.items():
        where = gone if part.ndim == gone.ndim else gone[..., None]
        parts[name] = np.where(where, np.nan, part)
    return Pull(**parts, refusal=codes)


@dataclass(frozen=True, kw_only=True)
class SolvedPull:
    """A set-up with what it does; the rest is worked out when asked for.

    Every number is an array over set-ups (...), nan where one does not stand.
    """

    setup: Setup
    rig: Rig
    pull: Pull

    @cached_property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the set-ups that stand, shape (...)."""
        return self.pull.stands

    @cached_property
    def _gone(self) -> Array:
        """Nought to add where a set-up stands, and nan where it does not."""
        return np.where(self.stands, 0.0, np.nan)

    def _filled(self, amount: Array) -> Array:
        """Return an amount with some number in place of nan, for who takes none."""
        return np.where(self.stands, amount, 1.0)

    @cached_property
    def followed(self) -> Array:
        """How far the clamp has followed the pull from where it was hooked on. [m]"""
        return norm(self.rig.clamp - self.setup.clamp)

    @cached_property
    def pressure(self) -> Array:
        """Gauge pressure for the ram force. [Pa]"""
        ram = pick(shop().rams, self.setup.chosen("ram"))
        return ram.pressure_for(self._filled(self.pull.ram_force)) + self._gone

    @cached_property
    def along(self) -> Array:
        """Part of the pull along the wanted line. [N]"""
        return dot(self.pull.force_on_clamp, self.setup.wanted)

    @cached_property
    def across(self) -> Array:
        """Part of the pull across the wanted line. [N]"""
        along = self.along[..., None] * self.setup.wanted
        return norm(self.pull.force_on_clamp - along)

    @cached_property
    def steer(self) -> Array:
        """How far the pull is turned off the set-out line, plus left. [rad]"""
        return np.asarray(self.pull.side_angle - self.setup.array("chain_angle_deg"))

    @cached_property
    def head_shift(self) -> Array:
        """Head to the left of the set-out line. [m]"""
        angle = self.setup.array("chain_angle_deg")
        left = direction(side_angle=angle + np.pi / 2, rise=0.0)
        return dot(self.pull.head - self.rig.base, left)

    @cached_property
    def side_lean(self) -> Array:
        """Ram from the vertical seen along the set-out line, plus left. [rad]"""
        up = self.pull.head[..., 2] - self.rig.base[..., 2]
        return np.asarray(np.arctan2(self.head_shift, up))

    @cached_property
    def weight_per_length(self) -> float:
        """Weight of the chain. [N/m]"""
        return self.setup.chain.mass_per_length * reference("gravity").value

    @property
    def at_take_up(self) -> HangingChain:
        """The pull leg as it hangs at take-up, nan where it is too heavy for that."""
        return self._hung[0]

    @property
    def under_load(self) -> HangingChain:
        """The pull leg as it hangs under its tension, nan where it is too heavy."""
        return self._hung[1]

    @cached_property
    def _hung(self) -> tuple[HangingChain, HangingChain]:
        """The pull leg at take-up and under load, found in one call."""
        between = self.pull.head - self.rig.clamp
        ends = Ends(
            span=self._filled(np.hypot(between[..., 0], between[..., 1])),
            rise=self._filled(between[..., 2]),
            weight_per_length=self.weight_per_length,
        )
        take_up, load = self.setup.array("take_up_kn"), self.pull.pull_tension
        tension = np.stack(np.broadcast_arrays(take_up, load))
        both = hang_where(tension, ends, where=self.stands)
        return apart(both, 0), apart(both, 1)

    @property
    def roller(self) -> bool:
        """Whether the chain runs over a fixed roller in place of the ram's head."""
        return self.setup.chosen("chain_at_head") == "over a fixed roller"

    @cached_property
    def amounts(self) -> Amounts:
        """The numbers of the pull, most telling first: SI value and kind.

        One that there is none of is nan.
        """
        pull = self.pull
        forward, sideways, upward = np.moveaxis(pull.force_on_clamp, -1, 0)
        return {
            "pull: side angle": (pull.side_angle, "angle"),
            "pull: rise": (pull.rise, "angle"),
            "chain sag at take-up": (self.at_take_up.sag, "small length"),
            "pull leg": (pull.pull_tension, "force"),
            "anchor leg": (pull.anchor_tension, "force"),
            "roller load" if self.roller else "ram force": (pull.ram_force, "force"),
            **({} if self.roller else {"gauge pressure": (self.pressure, "pressure")}),
            "forward": (forward, "force"),
            "to the left": (sideways, "force"),
            "upward": (upward, "force"),
            "along the wanted line": (self.along, "force"),
            "across the wanted line": (self.across, "force"),
            "chain sag under load": (self.under_load.sag, "small length"),
            "head height": (pull.head[..., 2], "length"),
            "head moved to the left": (self.head_shift, "length"),
            "ram leans to the left": (self.side_lean, "angle"),
            "hook travel per stroke": (pull.travel_ratio, "ratio"),
        }

    @cached_property
    def load_path(self) -> LoadPath:
        """The share of its own rating that each part uses."""
        setup, parts, pull = self.setup, shop(), self.pull
        path = load_path(
            ram_force=self._filled(pull.ram_force),
            pull_tension=self._filled(pull.pull_tension),
            anchor_tension=self._filled(pull.anchor_tension),
            ram=pick(parts.rams, setup.chosen("ram")),
            head=pick(parts.heads, setup.chosen("head")),
            pull_chain=setup.chain,
            clamp=pick(parts.clamps, setup.chosen("clamp")),
            anchor_chain=setup.chain,
            fork=pick(parts.forks, setup.chosen("fork")),
        )
        gone = self._gone
        return replace(
            path,
            parts=tuple(
                replace(part, load=part.load + gone, share=part.share + gone)
                for part in path.parts
            ),
            largest_share=path.largest_share + gone,
            highest_ram_force=path.highest_ram_force + gone,
            highest_pressure=path.highest_pressure + gone,
        )

    @cached_property
    def path(self) -> StrokePath:
        """The pull from take-up to the end of the stroke, the clamp following."""
        at_take_up = replace(self.rig, clamp=self.setup.clamp, stroke=np.zeros(()))
        return stroke_path(
            at_take_up,
            ram_force=self.pull.ram_force,
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
