"""Mistakes of a class by name, over all variants, most common first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from workbook.classroom import accepted
from workbook.classroom.keys import numbers_text
from workbook.exercises import wording
from workbook.exercises.engine import Variant
from workbook.language import shown, text
from workbook.quantities.typed import LONGEST

if TYPE_CHECKING:
    from workbook.classroom.kept import KeptAnswer
    from workbook.exercises.declaration import Exercise

NO_MISTAKE = {"right", "close", accepted.NAME}


@dataclass(frozen=True, kw_only=True)
class Sample:
    """One typed answer, with the numbers it was typed to."""

    exercise: Exercise
    given: Mapping[str, float]
    typed: str
    right: str

    @property
    def variant(self) -> Variant:
        """The question with its numbers."""
        return Variant(self.exercise, self.given)

    @property
    def numbers(self) -> str:
        """The numbers with their names and units."""
        return numbers_text(self.variant)


@dataclass(frozen=True, kw_only=True)
class MistakeCount:
    """A mistake of a class: who made it, how often, one sample, what to say.

    ``refutation`` is empty for what is no known mistake; ``held`` is what is asked
    back and not marked, at least the first time.
    """

    name: str
    codes: tuple[str, ...]
    answers: int
    exercises: tuple[str, ...]
    sample: Sample
    refutation: tuple[str, ...]
    held: bool

    @property
    def students(self) -> int:
        """How many made it."""
        return len(self.codes)


def mistakes_in(answers: Iterable[KeptAnswer]) -> list[MistakeCount]:
    """Return the mistakes of a class, most common first.

    Parameters
    ----------
    answers : iterable of KeptAnswer
        As a `workbook.classroom.kept.Kept` has them.

    Returns
    -------
    list of MistakeCount
        In the order of how many students made them, then how often; known
        mistakes stand before what was not recognised, and that before what was held.
    """
    found: dict[str, list[KeptAnswer]] = defaultdict(list)
    for answer in answers:
        for name in answer.names:
            if name not in NO_MISTAKE:
                found[name].append(answer)
    mistakes = [_mistake(name, cases) for name, cases in found.items()]
    return sorted(
        mistakes,
        key=lambda m: (m.held, not m.refutation, -m.students, -m.answers, m.name),
    )


def _mistake(name: str, cases: Sequence[KeptAnswer]) -> MistakeCount:
    ids = sorted({answer.exercise.id for answer in cases}, key=in_order)
    # The sample is the same whoever handed in first.
    one = min(cases, key=lambda a: (in_order(a.exercise.id), a.code))
    sample = Sample(
        exercise=one.exercise,
        given=one.numbers,
        typed=shown(one.typed[:LONGEST]),
        right=one.right,
    )
    known = "did" in text("mistake").get(name, {})
    return MistakeCount(
        name=name,
        codes=tuple(dict.fromkeys(answer.code for answer in cases)),
        answers=len(cases),
        exercises=tuple(ids),
        sample=sample,
        refutation=wording.refutation(one.exercise, name) if known else (),
        held=any(answer.held for answer in cases),
    )


def in_order(id: str) -> tuple[int, str]:
    """Return what to sort exercises by."""
    lesson, _, rest = id.partition(".")
    return int(lesson), rest
