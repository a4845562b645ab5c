"""One chain hung between two ends, C and H: what is given of it, and what follows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, SupportsFloat

import numpy as np

from workbook.equipment import Chain, reference
from workbook.errors import OutOfRangeError
from workbook.mechanics.pull.catenary import HangingChain
from workbook.mechanics.pull.parabola import (
    parabola_from_sag,
    parabola_sag_from_slack,
    parabola_slack,
)
from workbook.mechanics.pull.stored_energy import stored_energy
from workbook.mechanics.pull.tension_length_sag import (
    from_sag,
    from_slack,
    least_tension,
)
from workbook.quantities.units import UnitSystem, factor
from workbook.scenes.chains import Ends, graded_chain, hang_where, masked
from workbook.scenes.fields import Given, read_fields

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import ArrayLike, NDArray

    from workbook.mechanics.vectors import Array

WORD = "SAG1"
FIELDS = read_fields("chain_sag")
LINKS = "straight legs of the links"
# Stiffness of one metre of chain: tension over strain [N]. Invented for teaching;
# `LINKS` takes it from the steel of the chain instead.
STIFFNESS: Mapping[str, float] = {
    "10 kN/mm for one metre": 10e6,
    "13 kN/mm for one metre": 13e6,
    "20 kN/mm for one metre": 20e6,
}


class FineUnits(UnitSystem):
    """Units for a chain that only hangs, whose tension may be a few newtons.

    Examples
    --------
    >>> from workbook.quantities.units import METRIC
    >>> fine = fine_units(METRIC)
    >>> fine.show(72.4, "force"), fine.show(15e3, "force")
    ('72 N', '15.0 kN')
    """

    def show(self, value: SupportsFloat, kind: str) -> str:
        """Return a value as text, a force below 1 kN to the newton."""
        small = kind == "force" and abs(float(value)) < factor("kN")
        return super().show(value, "small force" if small else kind)


def fine_units(system: UnitSystem) -> FineUnits:
    """Return a system of units that shows small forces finely."""
    return FineUnits(system.name, unit=system.unit, digits=system.digits)


@dataclass(frozen=True, kw_only=True)
class Hanging(Given):
    """What is given of a hung chain; ``values`` holds a value per field."""

    FIELDS = FIELDS

    @property
    def chain(self) -> Chain:
        """The chain that hangs."""
        return graded_chain(self.chosen("chain_grade"), self.chosen("chain_size"))

    def solved(self) -> HungChain:
        """Hang the chain, or every one of many at once.

        Returns
        -------
        HungChain
            Of many, with nan where no chain hangs so.

        Raises
        ------
        OutOfRangeError
            If a single chain does not hang so: nothing is given to hang it by, or
            its tension does not carry its weight.
        """
        ends = Ends(
            span=self.array("span_mm"),
            rise=self.array("rise_mm"),
            weight_per_length=self.chain.mass_per_length * reference("gravity").value,
        )
        held = self.chosen("set_by")
        if held == "chain tension":
            return HungChain(given=self, hung=self._by_tension(ends))
        name, reason, hang = {
            "chain sag": ("sag_mm", "scene.no_sag", from_sag),
            "slack": ("slack_mm", "scene.no_slack", from_slack),
        }[held]
        amount = self.array(name)
        some = np.asarray(amount > 0)
        if some.ndim == 0 and not some:
            raise OutOfRangeError(reason, amount=float(amount))
        hung = hang(np.where(some, amount, 1.0), **ends)
        return HungChain(given=self, hung=masked(hung, some))

    def _by_tension(self, ends: Ends) -> HangingChain:
        tension = self.array("take_up_kn")
        hung = hang_where(tension, ends)
        if np.ndim(hung.sag) == 0 and np.isnan(hung.sag):
            least = float(least_tension(**ends))
            raise OutOfRangeError(
                "scene.least_tension", tension=float(tension), least=least
            )
        return hung


@dataclass(frozen=True, kw_only=True)
class HungChain:
    """A hung chain with what its sag and its tension tell.

    Every number is an array over set-ups (...), nan where no chain hangs so.
    """

    given: Hanging
    hung: HangingChain

    @cached_property
    def stands(self) -> NDArray[np.bool_]:
        """Mask of the chains that hang as they are asked to, shape (...)."""
        return np.isfinite(self.hung.sag)

    @cached_property
    def _gone(self) -> Array:
        """Nought to add where a chain hangs, and nan where it does not."""
        return np.where(self.stands, 0.0, np.nan)

    def _filled(self, amount: Array) -> Array:
        """Return an amount with some number in place of nan, for who takes none."""
        return np.where(self.stands, amount, 1.0)

    @cached_property
    def far_end(self) -> Array:
        """Point H from C, whether a chain hangs there or not, (..., 2). [m]"""
        ends = self.given.array("span_mm"), self.given.array("rise_mm")
        return np.stack(np.broadcast_arrays(*ends), axis=-1)

    @cached_property
    def chord(self) -> Array:
        """Straight distance between the ends. [m]"""
        return np.hypot(self.hung.span, self.hung.rise)

    @cached_property
    def sag_by_parabola(self) -> Array:
        """Chain sag that the tight-chain rule gives for the slack. [m]

        The rule is for level ends. Turned along the chord, its sag is square to
        the chord, and the straight drop is longer by chord over span.
        """
        slack, chord = self._filled(self.hung.slack), self._filled(self.chord)
        square = parabola_sag_from_slack(slack, span=chord)
        return square * self.chord / self.hung.span

    @cached_property
    def slack_by_parabola(self) -> Array:
        """Slack that the tight-chain rule gives for the chain sag. [m]"""
        square = self._filled(self.hung.sag * self.hung.span / self.chord)
        return parabola_slack(square, span=self._filled(self.chord)) + self._gone

    @cached_property
    def tension_by_parabola(self) -> Array:
        """Horizontal tension that the tight-chain rule gives for the chain sag. [N]"""
        hung = self.hung
        parabola = parabola_from_sag(
            self._filled(hung.sag),
            span=self._filled(hung.span),
            rise=self._filled(hung.rise),
            weight_per_span=self._filled(
                hung.weight_per_length * self.chord / hung.span
            ),
        )
        return parabola.horizontal_tension + self._gone

    @property
    def axial_stiffness(self) -> float:
        """Tension over strain, the stiffness of one metre. [N]"""
        basis = self.given.chosen("stiffness")
        return STIFFNESS.get(basis) or self.given.chain.axial_stiffness

    def energy(self, tension: ArrayLike) -> Array:
        """Return the energy stored in the chain at a tension (...) [N]. [J]"""
        length = self._filled(self.hung.length)
        stored = stored_energy(
            self._filled(np.asarray(tension)),
            length=length,
            axial_stiffness=self.axial_stiffness,
        )
        return stored + self._gone
