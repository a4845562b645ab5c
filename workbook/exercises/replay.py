"""What a reader's lines in the record amount to: worked out again from what was typed.

Screen, key and marks all use `variant_of`, so that they agree on the numbers, and
`replay`, so that they agree on tries, hints and scores.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from workbook.exercises import exercise, wording
from workbook.exercises.engine import Exercise, Variant, continued, variant_for
from workbook.exercises.marking import (
    FRESH,
    History,
    Outcome,
    best_score,
    mark,
    settle,
)
from workbook.exercises.seeds import seed_for
from workbook.quantities.units import METRIC, UnitSystem


def variant_of(
    one: Exercise, *, class_key: str, student: str, attempt: int = 1
) -> Variant:
    """Return one student's numbers; a later part goes on with the earlier one's.

    Attempt 1 is the one that handouts print and that can be marked; new numbers,
    from attempt 2 on, are practice.

    Examples
    --------
    >>> one = variant_of(exercise("8.1"), class_key="oak", student="K7")
    >>> two = variant_of(exercise("8.2"), class_key="oak", student="K7")
    >>> one.numbers["offset"] == two.numbers["offset"]
    True
    """
    first = exercise(one.carry.source) if one.carry else one
    drawn = variant_for(first, class_key=class_key, student=student, attempt=attempt)
    return continued(one, drawn) if one.carry else drawn


def seed_of(one: Exercise, *, class_key: str, student: str, attempt: int = 1) -> bytes:
    """Return the seed that `variant_of` draws from."""
    first = exercise(one.carry.source) if one.carry else one
    return seed_for(
        class_key=class_key,
        student=student,
        exercise=first.id,
        version=first.version,
        attempt=attempt,
    )


@dataclass(frozen=True, kw_only=True)
class Work:
    """One reader's work on one exercise with one set of numbers.

    Attributes
    ----------
    outcomes : tuple of Outcome
        Of each answer, held ones included.
    history : History
        Tries, unit reminders and hints so far.
    typed : str
        What was typed last.
    thought : str or None
        What the learner says the thinking behind the last answer was.
    """

    outcomes: tuple[Outcome, ...] = ()
    history: History = FRESH
    typed: str = ""
    thought: str | None = None

    @property
    def last(self) -> Outcome | None:
        """The last outcome."""
        return self.outcomes[-1] if self.outcomes else None

    @property
    def asked_for_thinking(self) -> bool:
        """Whether the thinking has to be told before the next try."""
        return bool(self.last and self.last.choices) and self.thought is None

    @property
    def solved(self) -> bool:
        """Whether an answer was right."""
        return any(outcome.name == "right" for outcome in self.outcomes)

    @property
    def best(self) -> float:
        """The score that counts."""
        return best_score([*self.outcomes])

    @property
    def value(self) -> float | None:
        """The value of the last answer that was marked. [SI]"""
        marked = [o.value for o in self.outcomes if not o.held and o.value is not None]
        return marked[-1] if marked else None


def replay(
    variant: Variant,
    lines: Iterable[Mapping[str, Any]],
    *,
    marked_set: bool = False,
    system: UnitSystem = METRIC,
) -> Work:
    """Work out again what lines of the record on these numbers come to.

    Parameters
    ----------
    variant : Variant
        The numbers the lines are about.
    lines : iterable of mapping
        Lines of kinds ``answer``, ``hint`` and ``thinking``, oldest first. Only
        ``typed``, ``carried``, ``number`` and ``choice`` are looked at; a line
        without what it needs is skipped.
    marked_set : bool
        Three tries with ceilings; else practice.
    system : UnitSystem
        The reader's units, for the sentences.

    Returns
    -------
    Work

    Examples
    --------
    >>> from workbook.exercises.engine import variant_from
    >>> pull = variant_from(exercise("2.1"), {"tension": 20.0, "angle": 30.0})
    >>> typed = [{"kind": "answer", "typed": t} for t in ("20 kN", "17.3 kN")]
    >>> work = replay(pull, typed, marked_set=True)
    >>> [outcome.name for outcome in work.outcomes], work.best
    (['M01_whole_tension', 'right'], 0.9)
    """
    work = Work()
    for line in lines:
        if line.get("kind") == "answer":
            work = _answered(work, variant, line, marked_set, system)
        elif line.get("kind") == "hint":
            work = _hinted(work, variant, line.get("number"))
        elif line.get("kind") == "thinking":
            work = _told(work, line.get("choice"))
    return work


def _answered(
    work: Work,
    variant: Variant,
    line: Mapping[str, Any],
    marked_set: bool,
    system: UnitSystem,
) -> Work:
    typed, carried = line.get("typed"), line.get("carried")
    if not isinstance(typed, str):
        return work
    known = isinstance(carried, float | int) and abs(carried) < 1e12
    outcome = mark(
        variant,
        typed,
        history=work.history,
        marked_set=marked_set,
        carried=carried if known else None,
        system=system,
    )
    history = work.history.after(outcome)
    if outcome.name == "none_of_these":  # it showed the first hint
        history = replace(history, hints=max(history.hints, 1))
    outcomes = (*work.outcomes, outcome)
    return Work(outcomes=outcomes, history=history, typed=typed)


def _hinted(work: Work, variant: Variant, number: object) -> Work:
    if not isinstance(number, int) or number > wording.hint_count(variant.exercise):
        return work
    hints = max(work.history.hints, number)
    return replace(work, history=replace(work.history, hints=hints))


def _told(work: Work, choice: object) -> Work:
    if work.last is None or choice not in work.last.choices:
        return work
    settled = settle(work.last, str(choice))
    return replace(work, outcomes=(*work.outcomes[:-1], settled), thought=str(choice))
