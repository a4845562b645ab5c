"""Answers that are a set-up of one pull: judged by what the rig does.

A set-up is typed as its code, or as named numbers with their units; what is not named
stays as the question has it. The engine says how the pull runs, what every part carries
and how much stroke is left.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, ClassVar, Literal

import numpy as np

from workbook.equipment import pick, shop
from workbook.errors import FormError, WorkbookError
from workbook.exercises.answers.quantity import CLOSE_MARKS, EDGE, FULL_MARKS
from workbook.exercises.answers.set_up_text import SetTo, SetUpText
from workbook.exercises.declaration import Finding, Judgement, Known, Numbers
from workbook.language import say
from workbook.quantities.units import METRIC, factor
from workbook.scenes.setups import FIELDS, WORD, Setup, SolvedPull

if TYPE_CHECKING:
    from workbook.exercises.engine import Variant
    from workbook.mechanics.vectors import Array
    from workbook.quantities.units import UnitSystem

SHORT_OF_STROKE_MARKS = 0.6
CLEAR = 0.02  # of tolerance and rating that a printed answer keeps from the limits
MANY = 10_000  # more steps than any field has
# What may differ in a code, as no pull with a given ram force depends on it.
NO_MATTER = frozenset({
    "useful_pull_kn", "chain_tension_kn", "take_up_kn", "clamp_forward_mm",
    "clamp_left_mm", "wanted_side_angle_deg", "wanted_rise_deg",
})  # fmt: skip


@dataclass(frozen=True)
class SetUpMistake(Known):
    """A known way to set a rig out wrong, told from what it does.

    ``shows`` (numbers, what the rig does) is true where it was made; it is asked only
    of set-ups (...) whose pull runs off the wanted angle.
    """

    shows: Callable[[Numbers, SolvedPull], Any]


@dataclass(frozen=True, kw_only=True)
class SetItOut(SetUpText):
    """A kind of answer: a set-up whose pull runs as wanted, with nothing past a margin.

    Parameters
    ----------
    rig, free
        See `SetUpText`.
    amount : {"rise", "side_angle", "pull_tension"}
        Which angle of the pull is wanted, or that it pulls so hard at least.
    wanted : str
        Name of the given number that it is to be.
    tolerance : float
        Full marks within it, most of them within twice that. [deg, kN]
    margin, stroke_left : str
        Names of the given numbers: the share of its rating that no part may pass, and
        the stroke that must be left.
    slots : str
        The field that is set in steps of the fork's slots, if there is one.
    search : mapping of str to array
        Values of the free fields among which a right answer is looked for.
    """

    FIELDS = FIELDS
    WORD = WORD
    NO_MATTER = NO_MATTER
    ALWAYS: ClassVar[Mapping[str, str]] = {"held": "ram force"}
    amount: Literal["rise", "side_angle", "pull_tension"]
    wanted: str
    margin: str
    search: Mapping[str, Array]
    tolerance: float = 1.0
    stroke_left: str = ""
    slots: str = ""
    says: str = field(default="set_it_out", init=False)

    @property
    def also(self) -> tuple[str, ...]:
        """Names of mistakes that no exercise has to declare."""
        stroke = ("short_of_stroke",) if self.stroke_left else ()
        return ("past_the_margin", "does_not_stand", *stroke)

    # What stands in the question -------------------------------------------------

    def solved(self, given: Numbers, made: SetTo) -> SolvedPull:
        """Return what the question's rig does with some fields set otherwise."""
        return Setup(values={**self.start(given), **made}).solved()

    def places(
        self, variant: Variant, *, system: UnitSystem = METRIC
    ) -> dict[str, str]:
        """Return the code of the question's rig, and what else is told of it."""
        start = self.start(variant.given)
        setup = Setup(values=start)
        ram = pick(shop().rams, setup.chosen("ram"))
        ratings = [
            say(
                "outcome",
                self.says,
                "rating",
                place=f"place.{p.place}",
                rating=p.rating,
                show=system.show,
            )
            for p in setup.solved().load_path.parts
        ]
        return {
            "code": setup.code,
            "ratings": ", ".join(ratings),
            "closed_length": system.show(ram.closed_length, "length"),
            "full_stroke": system.show(ram.full_stroke, "length"),
            "fork_distance": self.value_text(
                "fork_distance_mm", setup.values["fork_distance_mm"], system
            ),
        }

    # An answer that is right ----------------------------------------------------

    def solve(self, given: Numbers, /) -> SetTo | None:
        """Return the right set-up that changes the least, or None if there is none.

        Fewest fields, then fewest of their steps: whole numbers, so that every machine
        finds the same.
        """
        start = Setup(values=self.start(given)).values
        names = [*self.search]
        grid = np.meshgrid(*(self.search[name] for name in names), indexing="ij")
        tried = dict(zip(names, grid, strict=True))
        does = self.solved(given, tried)
        off = np.abs(self.off(does, given)) / self.within
        inside = does.load_path.largest_share <= self._margin(given) - CLEAR
        right = (off <= 1 - CLEAR) & inside & (self.left(does, given) >= -EDGE)
        if not right.any():
            return None
        away = [np.abs(v - start[n]) / self.number(n).step for n, v in tried.items()]
        steps = np.rint(np.where(right, sum(away), MANY))
        fields = sum(np.rint(way) > 0 for way in away)
        least = np.argmin(np.where(right, MANY * fields + steps, MANY**2))
        at = np.unravel_index(least, right.shape)
        found = {name: float(values[at]) for name, values in tried.items()}
        return {n: v for n, v in found.items() if v != start[n]}

    def in_place(self, made: SetTo) -> SetTo:
        """Return a set-up, unless it hooks the anchor leg where there is no slot."""
        if not self.slots or self.slots not in made:
            return made
        offsets = _slots(str(self.rig.get("fork", FIELDS["fork"].start)))
        offset = made[self.slots]
        if np.abs(offsets - offset).min() > EDGE:
            slots = [self.value_text(self.slots, value) for value in offsets]
            said = self.value_text(self.slots, offset)
            raise FormError("exercise.no_slot", value=said, slots=slots)
        return made

    # What it is worth -----------------------------------------------------------

    def judge(self, made: SetTo, variant: Variant) -> Judgement:
        """Judge a set-up by what the engine makes of it: what is past a limit first."""
        given = variant.given
        try:
            does = self.solved(given, made)
        except WorkbookError as refusal:
            finding = Finding("refused", {"refusal": refusal})
            return Judgement(name="does_not_stand", score=0.0, findings=(finding,))
        findings = tuple(self._findings(does, given))
        if self.past(does, given):
            return Judgement(name="past_the_margin", score=0.0, findings=findings)
        away = abs(self.off(does, given)) / self.within
        if away > 2 + EDGE:
            return self._wrong(does, variant, findings)
        if self.left(does, given) < -EDGE:
            name, score = "short_of_stroke", SHORT_OF_STROKE_MARKS
        elif away > 1 + EDGE:
            name, score = "close", CLOSE_MARKS
        else:
            name, score = "right", FULL_MARKS
        return Judgement(name=name, score=score, findings=findings)

    def _wrong(
        self, does: SolvedPull, variant: Variant, findings: tuple[Finding, ...]
    ) -> Judgement:
        known = [m for m in variant.exercise.mistakes if isinstance(m, SetUpMistake)]
        names = tuple(m.name for m in known if bool(m.shows(variant.given, does)))
        several = "two_fit" if len(names) > 1 else "none_of_these"
        return Judgement(
            name=names[0] if len(names) == 1 else several,
            score=0.0,
            choices=(*names, "none_of_these") if names else (),
            findings=findings,
        )

    def off(self, does: SolvedPull, given: Numbers) -> Any:
        """Return how far a pull is off what is wanted, and which way. [SI]"""
        off = getattr(does.pull, self.amount) - getattr(given, self.wanted)
        return np.minimum(off, 0.0) if self.amount == "pull_tension" else off

    @property
    def within(self) -> float:
        """How far off still earns full marks. [SI]"""
        unit = "kN" if self.amount == "pull_tension" else "deg"
        return self.tolerance * factor(unit)

    def past(self, does: SolvedPull, given: Numbers) -> Any:
        """Tell where a part is past the margin (...), or past its own rating."""
        return does.load_path.largest_share > self._margin(given) + EDGE

    def left(self, does: SolvedPull, given: Numbers) -> Any:
        """Return the stroke left beyond what is wanted (...). [m]"""
        wanted = getattr(given, self.stroke_left) if self.stroke_left else 0.0
        return _stroke_left(does) - wanted

    def _margin(self, given: Numbers) -> float:
        return min(1.0, float(getattr(given, self.margin)))

    def _findings(self, does: SolvedPull, given: Numbers) -> list[Finding]:
        """Return what the engine says: what governs, how the pull runs, stroke left."""
        path, off = does.load_path, float(self.off(does, given))
        part = next(p for p in path.parts if p.place == str(path.governing))
        found = [
            Finding(
                "past" if self.past(does, given) else "governs",
                {
                    "place": f"place.{part.place}",
                    "share": float(part.share),
                    "margin": self._margin(given),
                },
            )
        ]
        within = abs(off) <= (1 + EDGE) * self.within
        side = "within" if within else "more" if off > 0 else "less"
        runs = float(getattr(does.pull, self.amount))
        found.append(Finding(f"{self.amount}_{side}", {"runs": runs, "off": abs(off)}))
        if self.stroke_left:
            values = {
                "left": _stroke_left(does),
                "wanted": getattr(given, self.stroke_left),
            }
            short = self.left(does, given) < -EDGE
            found.append(Finding("stroke_short" if short else "stroke_left", values))
        return found

    # What is said of it --------------------------------------------------------

    def separated(self, variant: Variant) -> bool:
        """Tell whether there is a right set-up, and the question's own is none."""
        off = self.off(self.solved(variant.given, {}), variant.given)
        far = round(float(abs(off)) / self.within, 6) >= 3
        return far and variant.answer is not None

    def apart(self, made: SetTo, variant: Variant) -> bool:
        """Tell whether another question's set-up is wrong here."""
        return self.judge(made, variant).name not in {"right", "close"}


def _slots(fork: str) -> Any:
    """Return where the slots of a fork are, from right to left. [mm]"""
    return pick(shop().forks, fork).slot_offsets / factor("mm")


def _stroke_left(does: SolvedPull) -> Any:
    """Return the stroke that the ram has left (...). [m]"""
    ram = pick(shop().rams, does.setup.chosen("ram"))
    return ram.full_stroke - does.setup.array("stroke_mm")
