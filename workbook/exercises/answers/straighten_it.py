"""Answers that set a pull on a bent rail: judged by what stays once it is let go."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, ClassVar

from workbook.errors import WorkbookError
from workbook.exercises.answers.quantity import CLOSE_MARKS, EDGE, FULL_MARKS, GUARD
from workbook.exercises.answers.set_up_text import SetTo, SetUpText
from workbook.exercises.declaration import Finding, Judgement, Known, Numbers
from workbook.quantities.units import METRIC, factor
from workbook.scenes import codes
from workbook.scenes.straightening import (
    FIELDS,
    LET_GO,
    WORD,
    SpringGiven,
    load_that_leaves,
)

if TYPE_CHECKING:
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Value
    from workbook.scenes.straightening import Straightened

# An answer may be the code of any stage: the load alone tells what stays.
NO_MATTER = frozenset({"stage"})
TOLERANCE = 1e-3  # full marks within it, most of them within twice that [m]


@dataclass(frozen=True)
class StraightenMistake(Known):
    """A known way to stop at the wrong load: the loaded reading it stops at. [m]"""

    stops: Callable[[Numbers], float]


@dataclass(frozen=True, kw_only=True)
class StraightenIt(SetUpText):
    """A kind of answer: the load of a pull after which the needed change stays.

    Parameters
    ----------
    rig, free
        See `SetUpText`.
    """

    FIELDS = FIELDS
    WORD = WORD
    NO_MATTER = NO_MATTER
    ALWAYS: ClassVar[Mapping[str, Value]] = {"stage": LET_GO}
    free: tuple[str, ...] = ("load_kn",)
    says: str = field(default="straighten_it", init=False)
    also: tuple[str, ...] = field(default=("does_not_stand",), init=False)

    def in_place(self, made: SetTo) -> SetTo:
        """Return what was set: any load can be."""
        return made

    def solved(self, given: Numbers, made: SetTo) -> Straightened:
        """Return the question's rail, pulled as was set and let go."""
        return SpringGiven(values={**self.start(given), **made}).solved()

    def solve(self, given: Numbers, /) -> SetTo | None:
        """Return the load, to a tenth of a kilonewton, that leaves what is needed."""
        asked = SpringGiven(values=self.start(given))
        load = load_that_leaves(
            round(asked.si("wall_mm"), 9), round(asked.si("needed_mm"), 9)
        )
        made = {"load_kn": round(load / factor("kN"), 1)}
        return made if abs(float(self.solved(given, made).off)) <= TOLERANCE else None

    # What it is worth -----------------------------------------------------------

    def judge(self, made: SetTo, variant: Variant) -> Judgement:
        """Judge a load by how far the rail then is from its place, let go."""
        try:
            rail = self.solved(variant.given, made)
        except WorkbookError as refusal:
            finding = Finding("refused", {"refusal": refusal})
            return Judgement(name="does_not_stand", score=0.0, findings=(finding,))
        findings = tuple(self._findings(rail))
        away = abs(float(rail.off)) / TOLERANCE
        if away <= 2 + EDGE:
            right = away <= 1 + EDGE
            name, score = ("right", FULL_MARKS) if right else ("close", CLOSE_MARKS)
            return Judgement(name=name, score=score, findings=findings)
        reading = float(rail.loaded_movement)
        names = tuple(
            m.name
            for m in self.armed(variant)
            if abs(reading - m.stops(variant.given)) <= TOLERANCE
        )
        several = "two_fit" if names else "none_of_these"
        return Judgement(
            name=names[0] if len(names) == 1 else several,
            score=0.0,
            choices=(*names, "none_of_these") if names else (),
            findings=findings,
        )

    def _findings(self, rail: Straightened) -> list[Finding]:
        """Return what the rail does: the loaded reading, and what is left of it."""
        off = float(rail.off)
        side = "short" if off < 0 else "past"
        values = {
            "reading": float(rail.loaded_movement),
            "springback": float(rail.springback),
            "off": abs(off),
        }
        return [Finding(side, values)]

    def armed(self, variant: Variant) -> list[StraightenMistake]:
        """Return the mistakes that stop clearly elsewhere than where it is right."""
        mistakes = variant.exercise.mistakes
        known = (m for m in mistakes if isinstance(m, StraightenMistake))
        right = self.solved(variant.given, variant.answer or {}).loaded_movement
        return [
            m
            for m in known
            if abs(float(right) - m.stops(variant.given)) >= GUARD * TOLERANCE
        ]

    # What is said of it ----------------------------------------------------------

    def places(
        self, variant: Variant, *, system: UnitSystem = METRIC
    ) -> dict[str, str]:
        """Return the code of the question's rail, and how near it has to come."""
        return {
            "code": codes.encode(WORD, FIELDS, self.whole(variant.given)),
            "near": system.show(TOLERANCE, "small length"),
        }

    def separated(self, variant: Variant) -> bool:
        """Tell whether there is a right load, and the one it starts with is none."""
        off: Any = self.solved(variant.given, {}).off
        return variant.answer is not None and bool(abs(off) >= GUARD * TOLERANCE)

    def apart(self, made: SetTo, variant: Variant) -> bool:
        """Tell whether another question's load is wrong here."""
        return self.judge(made, variant).name not in {"right", "close"}
