"""What stands on one student's paper, as the lines of a hand-in.

The lines are those that the screen would have kept, worked out by the same marking,
so that a hand-in from paper is marked as any other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from workbook.course import lessons
from workbook.course.predictions import Option
from workbook.exercises import exercise, source_of, wording
from workbook.exercises.declaration import Exercise
from workbook.exercises.engine import Variant
from workbook.exercises.replay import Work, replay, seed_of, variant_of
from workbook.exercises.sets import MARKED_ATTEMPT, ON_PAPER
from workbook.language import harmless
from workbook.reader.chain import START, TIP, Tip, check_sum
from workbook.reader.hand_in import hand_in_text
from workbook.reader.record_lines import FORMAT, Line, Reader, line_text

PAPER = "paper"  # a line was typed from paper: it says nothing of how long it took


@dataclass(kw_only=True)
class Paper:
    """One student's answers and choices.

    Attributes
    ----------
    answers : dict of str to str
        What was written, by exercise.
    predictions : dict of str to Option
        What was chosen first, by lesson.
    time : str
        When it was handed in, empty where nobody knows.
    """

    answers: dict[str, str] = field(default_factory=dict)
    predictions: dict[str, Option] = field(default_factory=dict)
    time: str = ""

    @property
    def anything(self) -> bool:
        """Whether there is anything to be handed in."""
        return bool(self.answers or self.predictions)


@dataclass(frozen=True, kw_only=True)
class _Answer:
    """One answer with what it comes to."""

    one: Exercise
    variant: Variant
    said: Mapping[str, Any]
    work: Work


def trouble_of(
    paper: Paper, *, student: str, class_key: str
) -> Iterator[tuple[str, str]]:
    """Yield each exercise whose answer cannot be marked as it stands, and why."""
    for answer in _worked(paper, student, class_key):
        outcome = answer.work.outcomes[-1]
        if outcome.held:
            lines = wording.feedback(outcome, answer.variant, answer.work.history)
            why = outcome.trouble.sentence if outcome.trouble else lines[0]
            yield answer.one.id, harmless(why)


def hand_in_of(paper: Paper, *, student: str, class_key: str) -> bytes:
    """Return a paper as a hand-in file.

    It begins where every hand-in of this student's papers does, so that the same
    grid gives the same file.
    """
    random = "".join(check_sum(PAPER, part, student, class_key) for part in "ab")
    common = {"time": paper.time, "student": student, "class_key": class_key}
    rows: list[Line] = [
        {"format": FORMAT, "kind": START, "time": paper.time, "random": random}
    ]
    tip = Tip().after(rows[0], line_text(rows[0]).encode())
    for line in _lines(paper, student, class_key):
        row = {"format": FORMAT, **line, **common, PAPER: True, "prev": tip.link}
        rows.append(row)
        tip = tip.after(row, line_text(row).encode())
    rows.append({"format": FORMAT, "kind": TIP, "prev": tip.link})
    return hand_in_text(
        rows, reader=Reader(student=student, class_key=class_key)
    ).encode()


def _lines(paper: Paper, student: str, class_key: str) -> Iterator[Line]:
    for lesson, option in paper.predictions.items():
        asked = lessons()[lesson].prediction
        assert asked is not None  # it had this option
        yield {
            "kind": "prediction",
            "lesson": lesson,
            "explorer": asked.explorer,
            "question": asked.question,
            "choice": option.text,
            "outcome": option.name,
        }
    for answer in _worked(paper, student, class_key):
        one, outcome = answer.one, answer.work.outcomes[-1]
        seed = seed_of(
            one,
            class_key=class_key,
            student=student,
            set=ON_PAPER,
            attempt=MARKED_ATTEMPT,
        )
        yield {
            "kind": "answer",
            "lesson": one.lesson,
            "exercise": one.id,
            "version": one.version,
            "set": ON_PAPER,
            "attempt": MARKED_ATTEMPT,
            "seed": seed.hex(),
            "value": outcome.value,
            "unit": outcome.unit,
            "outcome": outcome.name,
            "score": outcome.score,
            "held": outcome.held,
            "hints": 0,
            "seconds": None,
            "try": answer.work.history.tries,
            **answer.said,
        }


def _worked(paper: Paper, student: str, class_key: str) -> Iterator[_Answer]:
    """Yield the answers, an earlier part before the one that goes on from it."""
    values: dict[str, float] = {}
    asked = [exercise(id) for id in paper.answers]
    for one in sorted(asked, key=lambda one: one.carry is not None):
        variant = variant_of(one, class_key=class_key, student=student, set=ON_PAPER)
        source = source_of(one)
        carried = values.get(source.id) if source else None
        said: dict[str, Any] = {"kind": "answer", "typed": paper.answers[one.id]}
        said |= {} if carried is None else {"carried": carried}
        work = replay(variant, [said], marked_set=True)
        outcome = work.outcomes[-1]
        if outcome.value is not None and not outcome.held:
            values[one.id] = outcome.value
        yield _Answer(one=one, variant=variant, said=said, work=work)
