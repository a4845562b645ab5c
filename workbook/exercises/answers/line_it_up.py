"""Answers that are a pull line: judged by how it runs to the correction of a point."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, ClassVar

import numpy as np

from workbook.exercises.answers.quantity import CLOSE_MARKS, EDGE, FULL_MARKS, GUARD
from workbook.exercises.answers.set_up_text import SetTo, SetUpText
from workbook.exercises.declaration import Finding, Judgement, Known, Numbers
from workbook.mechanics.vectors import angle_between, direction
from workbook.quantities.units import METRIC, factor
from workbook.scenes import codes
from workbook.scenes.lines import FIELDS, WORD, LineGiven, SolvedLine

if TYPE_CHECKING:
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem
    from workbook.scenes.fields import Value

NO_MATTER = frozenset({"pull_height_mm", "hold_height_mm"})
TOLERANCE = np.radians(1.0)  # full marks within it, most of them within twice that


@dataclass(frozen=True)
class LineMistake(Known):
    """A known way to turn a pull wrong: the side angle and the rise it leads to. [rad]

    It is switched off where that runs near the correction.
    """

    leads: Callable[[Numbers], tuple[float, float]]

    def way(self, given: Numbers) -> Any:
        """Return the direction it leads to, (3,)."""
        side, rise = self.leads(given)
        return direction(side_angle=side, rise=rise)


@dataclass(frozen=True, kw_only=True)
class LineItUp(SetUpText):
    """A kind of answer: bearing and rise of a pull that runs along the correction.

    Parameters
    ----------
    rig, free
        See `SetUpText`.
    """

    FIELDS = FIELDS
    WORD = WORD
    NO_MATTER = NO_MATTER
    ALWAYS: ClassVar[Mapping[str, Value]] = {"bearing_deg": 0.0, "rise_deg": 0.0}
    free: tuple[str, ...] = ("bearing_deg", "rise_deg")
    says: str = field(default="line_it_up", init=False)
    also: tuple[str, ...] = field(default=(), init=False)

    def in_place(self, made: SetTo) -> SetTo:
        """Return what was set: a pull can run anywhere."""
        return made

    def solved(self, given: Numbers, made: SetTo) -> SolvedLine:
        """Return the question's point with a pull turned otherwise."""
        return LineGiven(values={**self.start(given), **made}).solved()

    def solve(self, given: Numbers, /) -> SetTo:
        """Return the pull in whole steps that runs nearest the correction."""
        line = self.solved(given, {})
        angles = (float(line.wanted_side), float(line.wanted_rise))
        return {
            name: float(round(angle / factor("deg")))
            for name, angle in zip(self.free, angles, strict=True)
        }

    # What it is worth -----------------------------------------------------------

    def judge(self, made: SetTo, variant: Variant) -> Judgement:
        """Judge a pull by its angle to the correction, in space."""
        line = self.solved(variant.given, made)
        off = float(line.off)
        away = off / TOLERANCE
        findings = tuple(self._findings(line))
        if away <= 2 + EDGE:
            right = away <= 1 + EDGE
            name, score = ("right", FULL_MARKS) if right else ("close", CLOSE_MARKS)
            return Judgement(name=name, score=score, findings=findings)
        names = tuple(
            m.name
            for m in self.armed(variant)
            if angle_between(line.way, m.way(variant.given)) <= TOLERANCE
        )
        several = "two_fit" if names else "none_of_these"
        return Judgement(
            name=names[0] if len(names) == 1 else several,
            score=0.0,
            choices=(*names, "none_of_these") if names else (),
            findings=findings,
        )

    def _findings(self, line: SolvedLine) -> list[Finding]:
        """Return what the engine says: how far off, and what goes along and across."""
        against = float(line.along) < 0
        shares = {
            name: abs(float(getattr(line, name) / line.tension))
            for name in ("along", "across")
        }
        runs = Finding("against" if against else "runs", {"off": float(line.off)})
        return [runs, Finding("parts_against" if against else "parts", shares)]

    def armed(self, variant: Variant) -> list[LineMistake]:
        """Return the mistakes that lead clearly away from the correction."""
        wanted = self.solved(variant.given, {}).wanted
        known = (m for m in variant.exercise.mistakes if isinstance(m, LineMistake))
        return [
            m
            for m in known
            if angle_between(wanted, m.way(variant.given)) >= GUARD * TOLERANCE
        ]

    # What is said of it ----------------------------------------------------------

    def places(
        self, variant: Variant, *, system: UnitSystem = METRIC
    ) -> dict[str, str]:
        """Return the code of the question's point, and how near the pull has to be."""
        near = system.show(TOLERANCE, "angle").replace(".0", "")
        return {
            "code": codes.encode(WORD, FIELDS, self.whole(variant.given)),
            "near": near,
        }

    def separated(self, variant: Variant) -> bool:
        """Tell whether the pull as it stands is no answer."""
        start = self.solved(variant.given, {})
        return bool(start.off >= GUARD * TOLERANCE)

    def apart(self, made: SetTo, variant: Variant) -> bool:
        """Tell whether another question's pull is wrong here."""
        return self.judge(made, variant).name not in {"right", "close"}
