"""What a reader's lines in the record amount to: worked out again from what was typed.

Screen, key and marks all use `variant_of`, so that they agree on the numbers, and
`Work`, so that they agree on tries, hints and scores.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import Any

from workbook.exercises import source_of, wording
from workbook.exercises.declaration import Exercise
from workbook.exercises.engine import Variant, continued, variant_for
from workbook.exercises.marking import (
    CEILINGS,
    FRESH,
    History,
    Outcome,
    best_score,
    mark,
    settle,
)
from workbook.exercises.seeds import seed_for
from workbook.exercises.sets import BEFORE_SETS

WORKED_ON = ("answer", "hint", "thinking", "numbers", "given_up")
"""Kinds of lines that are work on an exercise."""

Said = Mapping[str, Any]


def variant_of(
    one: Exercise, *, class_key: str, student: str, set: str, attempt: int = 1
) -> Variant:
    """Return one student's numbers; a later part goes on with the earlier one's.

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> whose = {"class_key": "oak", "student": "K7", "set": "exit"}
    >>> one = variant_of(exercise("7.6a"), **whose)
    >>> two = variant_of(exercise("7.6b"), **whose)
    >>> one.numbers["extension"] == two.numbers["extension"]
    True
    """
    first = source_of(one) or one
    drawn = variant_for(
        first, class_key=class_key, student=student, set=set, attempt=attempt
    )
    numbers = continued(one, drawn) if one.carry else drawn
    return replace(numbers, before_sets=set == BEFORE_SETS)


def seed_of(
    one: Exercise, *, class_key: str, student: str, set: str, attempt: int = 1
) -> bytes:
    """Return the seed that `variant_of` draws from."""
    first = source_of(one) or one
    return seed_for(
        class_key=class_key,
        student=student,
        exercise=first.id,
        version=first.version,
        attempt=attempt,
        set=set,
    )


@dataclass(frozen=True, kw_only=True)
class Work:
    """One reader's work on one exercise with one set of numbers.

    It is never changed: `after` returns what it comes to with one line more.

    Attributes
    ----------
    variant : Variant
        The numbers.
    marked_set : bool
        Three tries with ceilings; else practice.
    outcomes : tuple of Outcome
        Of each answer, held ones included.
    history : History
        Tries, unit reminders and hints so far.
    typed : str
        What was typed last.
    thought : str or None
        What the learner says the thinking behind the last answer was.
    given_up : bool
        Whether the learner asked for the answer; what comes after earns nothing.
    """

    variant: Variant
    marked_set: bool = False
    outcomes: tuple[Outcome, ...] = ()
    history: History = FRESH
    typed: str = ""
    thought: str | None = None
    given_up: bool = False

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
    def passed(self) -> bool:
        """Whether an answer was right before the answer was shown, or given up."""
        unaided = takewhile(lambda outcome: not outcome.answer_shown, self.outcomes)
        return any(one.name == "right" and one.score > 0 for one in unaided)

    @property
    def over(self) -> bool:
        """Whether no more answers are taken on these numbers."""
        used_up = self.history.tries >= len(CEILINGS)
        return self.given_up or (self.marked_set and (self.solved or used_up))

    @property
    def best(self) -> float:
        """The score that counts."""
        return best_score(self.outcomes)

    @property
    def value(self) -> float | None:
        """The value of the last answer that was marked, unless given up. [SI]"""
        if self.given_up:
            return None
        marked = (o.value for o in reversed(self.outcomes) if not o.held)
        return next((value for value in marked if value is not None), None)

    def after(self, line: Said) -> Work:
        """Return the work with one more line of the record in it.

        Lines of kinds ``answer``, ``hint``, ``thinking`` and ``given_up`` count. Only
        ``typed``, ``carried``, ``number`` and ``choice`` are looked at; a line without
        what it needs is skipped.
        """
        if line.get("kind") == "answer":
            return self._answered(line.get("typed"), line.get("carried"))
        if line.get("kind") == "hint":
            return self._hinted(line.get("number"))
        if line.get("kind") == "thinking":
            return self._told(line.get("choice"))
        if line.get("kind") == "given_up":
            return replace(self, given_up=True)
        return self

    def _answered(self, typed: object, carried: object) -> Work:
        if not isinstance(typed, str):
            return self
        own = carried if isinstance(carried, float | int) else None
        outcome = mark(
            self.variant,
            typed,
            history=self.history,
            marked_set=self.marked_set,
            carried=own if own is not None and abs(own) < 1e12 else None,
        )
        if self.given_up:
            outcome = replace(outcome, score=0.0)
        history = self.history.after(outcome)
        if outcome.shows_hint:
            history = replace(history, hints=max(history.hints, 1))
        outcomes = (*self.outcomes, outcome)
        return replace(
            self, outcomes=outcomes, history=history, typed=typed, thought=None
        )

    def _hinted(self, number: object) -> Work:
        most = wording.hint_count(self.variant.exercise)
        if not isinstance(number, int) or number > most:
            return self
        hints = max(self.history.hints, number)
        return replace(self, history=replace(self.history, hints=hints))

    def _told(self, choice: object) -> Work:
        if self.last is None or choice not in self.last.choices:
            return self
        settled = settle(self.last, str(choice))
        outcomes = (*self.outcomes[:-1], settled)
        return replace(self, outcomes=outcomes, thought=str(choice))


def replay(
    variant: Variant, lines: Iterable[Said], *, marked_set: bool = False
) -> Work:
    """Work out again what lines of the record on these numbers come to.

    Parameters
    ----------
    variant : Variant
        The numbers the lines are about.
    lines : iterable of mapping
        As `Work.after` takes them, oldest first.
    marked_set : bool
        Three tries with ceilings; else practice.

    Returns
    -------
    Work

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> from workbook.exercises.engine import variant_from
    >>> pull = variant_from(exercise("2.1"), {"tension": 20.0, "angle": 30.0})
    >>> typed = [{"kind": "answer", "typed": t} for t in ("20 kN", "17.3 kN")]
    >>> work = replay(pull, typed, marked_set=True)
    >>> [outcome.name for outcome in work.outcomes], work.best
    (['M01_whole_tension', 'right'], 0.9)
    """
    # Only the last outcome bears on the next line. Taken along alone, it keeps a file
    # of many thousand answers linear.
    outcomes: list[Outcome] = []
    work = Work(variant=variant, marked_set=marked_set)
    for line in lines:
        after = work.after(line)
        outcomes[len(outcomes) - len(work.outcomes) :] = after.outcomes
        work = replace(after, outcomes=after.outcomes[-1:])
    return replace(work, outcomes=tuple(outcomes))
