"""One chain hung between two ends, C and H: what is given of it, and what follows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, TypedDict

import numpy as np

from workbook.equipment import Chain, chain, reference
from workbook.errors import OutOfRangeError
from workbook.language import say
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
    from_tension,
    least_tension,
)
from workbook.quantities.units import UnitSystem, factor
from workbook.scenes.fields import Given, read_fields
from workbook.scenes.setups import CHAIN_GRADES

if TYPE_CHECKING:
    from collections.abc import Mapping

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

    def show(self, value: float, kind: str) -> str:
        """Return a value as text, a force below 1 kN to the newton."""
        small = kind == "force" and abs(value) < factor("kN")
        return super().show(value, "small force" if small else kind)


def fine_units(system: UnitSystem) -> FineUnits:
    """Return a system of units that shows small forces finely."""
    return FineUnits(system.name, unit=system.unit, digits=system.digits)


class Ends(TypedDict):
    """What carries and weighs a chain: distances [m] and weight [N/m]."""

    span: float
    rise: float
    weight_per_length: float


@dataclass(frozen=True, kw_only=True)
class Hanging(Given):
    """What is given of a hung chain; ``values`` holds a value per field."""

    FIELDS = FIELDS

    @property
    def chain(self) -> Chain:
        """The chain that hangs."""
        standard, grade = CHAIN_GRADES[self.chosen("chain_grade")]
        return chain(standard=standard, grade=grade, size=self.chosen("chain_size"))

    def solved(self) -> HungChain:
        """Hang the chain.

        Raises
        ------
        OutOfRangeError
            If no chain hangs so: nothing is given to hang it by, or its tension
            does not carry its weight.
        """
        ends = Ends(
            span=self.si("span_mm"),
            rise=self.si("rise_mm"),
            weight_per_length=self.chain.mass_per_length * reference("gravity").value,
        )
        held = self.chosen("set_by")
        if held == "chain tension":
            hung = _from_tension(self.si("take_up_kn"), ends)
        elif held == "chain sag":
            hung = from_sag(_something(self.si("sag_mm"), "scene.no_sag"), **ends)
        else:
            hung = from_slack(_something(self.si("slack_mm"), "scene.no_slack"), **ends)
        return HungChain(given=self, hung=hung)


def _something(amount: float, reason: str) -> float:
    if amount > 0:
        return amount
    raise OutOfRangeError(reason, amount=amount)


def _from_tension(tension: float, ends: Ends) -> HangingChain:
    least = float(least_tension(**ends))
    if tension >= least:
        return from_tension(tension, **ends)
    raise OutOfRangeError("scene.least_tension", tension=tension, least=least)


@dataclass(frozen=True, kw_only=True)
class HungChain:
    """A hung chain with what its sag and its tension tell."""

    given: Hanging
    hung: HangingChain

    @property
    def chord(self) -> float:
        """Straight distance between the ends. [m]"""
        return float(np.hypot(self.hung.span, self.hung.rise))

    @cached_property
    def sag_by_parabola(self) -> float:
        """Chain sag that the tight-chain rule gives for the slack. [m]

        The rule is for level ends. Turned along the chord, its sag is square to
        the chord, and the straight drop is longer by chord over span.
        """
        square = parabola_sag_from_slack(self.hung.slack, span=self.chord)
        return float(square * self.chord / self.hung.span)

    @cached_property
    def slack_by_parabola(self) -> float:
        """Slack that the tight-chain rule gives for the chain sag. [m]"""
        square = self.hung.sag * self.hung.span / self.chord
        return float(parabola_slack(square, span=self.chord))

    @cached_property
    def tension_by_parabola(self) -> float:
        """Horizontal tension that the tight-chain rule gives for the chain sag. [N]"""
        hung = self.hung
        parabola = parabola_from_sag(
            hung.sag,
            span=hung.span,
            rise=hung.rise,
            weight_per_span=hung.weight_per_length * self.chord / hung.span,
        )
        return float(parabola.horizontal_tension)

    @property
    def axial_stiffness(self) -> float:
        """Tension over strain, the stiffness of one metre. [N]"""
        basis = self.given.chosen("stiffness")
        return STIFFNESS.get(basis) or self.given.chain.axial_stiffness

    @property
    def stiffness_words(self) -> str:
        """What the stored energy rests on."""
        from_steel = self.given.chosen("stiffness") == LINKS
        key = "stiffness_from_steel" if from_steel else "stiffness_invented"
        return say("scene", key, basis=self.given.shown("stiffness"))

    def energy(self, tension: float) -> float:
        """Return the energy stored in the chain at a tension [N]. [J]"""
        stored = stored_energy(
            tension, length=self.hung.length, axial_stiffness=self.axial_stiffness
        )
        return float(stored)
