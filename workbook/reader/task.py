"""One exercise before its reader: whose numbers, what was done, what is kept of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.exercises import source_of, wording
from workbook.exercises.replay import seed_of
from workbook.exercises.sets import MARKED_ATTEMPT, PRACTICE, is_marked
from workbook.reader.works import works_of

if TYPE_CHECKING:
    from workbook.exercises.declaration import Exercise
    from workbook.exercises.engine import Variant
    from workbook.exercises.replay import Work
    from workbook.reader.record import Record


class Task:
    """One exercise with the numbers of whoever works in a record now.

    Parameters
    ----------
    record : Record
        Where everything is kept, and worked out from.
    one : Exercise
        What is asked.
    set : str
        One of `workbook.exercises.sets`. A marked set has three tries on one set of
        numbers, for a student who has signed in; else there are any number of tries,
        and new numbers.
    attempt : int, optional
        Which numbers; by default those worked on last.
    """

    def __init__(
        self,
        record: Record,
        one: Exercise,
        *,
        set: str = PRACTICE,
        attempt: int | None = None,
    ) -> None:
        self.record, self.exercise, self.set = record, one, set
        self.marked = is_marked(set)
        self._works = works_of(record)
        only = MARKED_ATTEMPT if self.marked else attempt
        self.attempt = only or self._last_attempt(one)

    @property
    def work(self) -> Work:
        """What the reader has done with these numbers."""
        return self._works.on(self.exercise, set=self.set, attempt=self.attempt)

    @property
    def variant(self) -> Variant:
        """The exercise with this reader's numbers."""
        return self.work.variant

    @property
    def carried(self) -> float | None:
        """The reader's own earlier answer that this exercise goes on from. [SI]"""
        earlier = self._earlier
        return earlier.value if earlier else None

    @property
    def waits(self) -> bool:
        """Whether an earlier part has to be answered first, or given up."""
        earlier = self._earlier
        return earlier is not None and not earlier.given_up and earlier.value is None

    @property
    def _earlier(self) -> Work | None:
        """The work on the part that this exercise goes on from."""
        source = source_of(self.exercise)
        if source is None:
            return None
        return self._works.on(source, set=self.set, attempt=self.attempt)

    @property
    def closed(self) -> bool:
        """Whether no more answers are taken."""
        nobody = self.marked and not self.record.reader.signed_in
        return nobody or self.waits or self.work.over

    @property
    def at_home(self) -> bool:
        """Whether the lesson's last two answers were right at once, without a hint."""
        return self._works.at_home(self.exercise.lesson)

    def answer(self, typed: str, *, seconds: float | None = None) -> None:
        """Check what was typed, and keep it with what it came to."""
        work, carried = self.work, self.carried
        own = {} if carried is None else {"carried": carried}
        line = {"kind": "answer", "typed": typed, **own}
        after = self._works.foresee(work, line)
        outcome = after.outcomes[-1]
        self._keep(
            "answer",
            self.exercise,
            seed=self._seed(),
            typed=typed,
            value=outcome.value,
            unit=outcome.unit,
            outcome=outcome.name,
            score=outcome.score,
            held=outcome.held,
            hints=work.history.hints,
            seconds=seconds,
            **{"try": after.history.tries},
            **own,
        )

    def think(self, choice: str) -> None:
        """Keep which thinking led to the last answer."""
        self._keep("thinking", self.exercise, choice=choice)

    def give_up_earlier(self) -> None:
        """Keep that the part before was given up: its answer may be seen then."""
        source = source_of(self.exercise)
        if source is not None and self.waits:
            self._keep("given_up", source)

    def give_up(self) -> None:
        """Keep that nothing is known here: the answer may be seen then."""
        self._keep("given_up", self.exercise)

    @property
    def next_hint(self) -> int | None:
        """Number of the hint that may be asked for next, if there is one."""
        if self.waits:
            return None
        number = self.work.history.hints + 1
        return number if number <= wording.hint_count(self.exercise) else None

    def hint(self, number: int) -> None:
        """Keep that a hint was seen."""
        self._keep("hint", self.exercise, number=number)

    def worked(self) -> None:
        """Keep that the worked example was asked for."""
        self._keep("worked", self.exercise)

    @property
    def renewable(self) -> bool:
        """Whether there are new numbers to be had here; a later part follows on."""
        return not self.marked and self.exercise.carry is None

    def new_numbers(self) -> None:
        """Go on with other numbers for the same question."""
        self.attempt += 1
        self.keep_numbers()

    def keep_numbers(self) -> None:
        """Keep which numbers are worked on from now."""
        self._keep("numbers", self.exercise)

    def _last_attempt(self, one: Exercise) -> int:
        """Return the attempt worked on last; a later part follows the earlier one."""
        first = source_of(one) or one
        return self._works.last_attempt(first, set=self.set) or 1

    def _seed(self) -> str:
        reader = self.record.reader
        return seed_of(
            self.exercise,
            class_key=reader.class_key,
            student=reader.student,
            set=self.set,
            attempt=self.attempt,
        ).hex()

    def _keep(self, kind: str, one: Exercise, /, **fields: object) -> None:
        about = {"lesson": one.lesson, "exercise": one.id, "version": one.version}
        numbers = {"set": self.set, "attempt": self.attempt}
        self.record.append(kind, **about, **numbers, **fields)
