"""What was answered after it was due, as a file.

The times are those of the student's own computer, which may be wrong or set.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from workbook.classroom.files import csv_bytes
from workbook.exercises import EXERCISES
from workbook.exercises.sets import counts
from workbook.language import say, text

if TYPE_CHECKING:
    from workbook.classroom.marks import Marking
    from workbook.classroom.roll import ClassList
    from workbook.course.session import Session

LATE = "late.csv"


@dataclass(frozen=True, kw_only=True)
class Late:
    """A student's answers to a lesson that came after they were due.

    ``late`` of ``answers`` that make the mark did, the last of them at ``last``.
    """

    code: str
    lesson: str
    due: datetime
    last: datetime
    late: int
    answers: int

    @property
    def by(self) -> timedelta:
        """How late the last of them was."""
        return self.last - self.due


def late_of(marking: Marking, session: Session) -> Iterator[Late]:
    """Yield what a student answered late, lesson by lesson.

    Looked at is every answer that can make a mark, in all of the student's records.
    An answer without a time that can be read is not known to be late.
    """
    times: dict[str, list[datetime | None]] = {}
    for marked in (one for record in marking.records for one in record):
        step = marked.step
        lesson = EXERCISES[step.exercise, step.version].lesson
        in_time = session.due(lesson) is None or marked.outcome is None
        if in_time or step.exercise not in session.counts(lesson):
            continue
        if counts(step.set, step.attempt):
            times.setdefault(lesson, []).append(_time(step.time))
    for lesson, answered in times.items():
        due = session.due(lesson)
        assert due is not None
        late = [time for time in answered if time is not None and time > due]
        if late:
            yield Late(
                code=marking.code,
                lesson=lesson,
                due=due,
                last=max(late),
                late=len(late),
                answers=len(answered),
            )


def late_file(late: Iterable[Late], class_list: ClassList) -> bytes:
    """Return all that came late as a table, the names beside the codes."""
    rows = sorted(late, key=lambda one: (one.lesson, -one.by.total_seconds()))
    return csv_bytes(_rows(rows, {one.code: one.name for one in class_list.students}))


def _rows(rows: Sequence[Late], names: dict[str, str]) -> Iterator[Sequence[object]]:
    yield [*text("classroom", "late", "head").values()]
    for one in rows:
        yield (
            names[one.code],
            one.code,
            one.lesson,
            one.due.isoformat(" ", "minutes"),
            one.last.astimezone(one.due.tzinfo).isoformat(" ", "minutes"),
            how_long(one.by),
            one.late,
            one.answers,
        )


def how_long(span: timedelta) -> str:
    """Say a span in days, hours and minutes, without those that are nothing.

    Examples
    --------
    >>> how_long(timedelta(days=1, minutes=90)), how_long(timedelta(seconds=20))
    ('1 d 1 h 30 min', '1 min')
    """
    minutes = max(1, round(span.total_seconds() / 60))
    hours, minutes = divmod(minutes, 60)
    days, hours = divmod(hours, 24)
    parts = {"days": days, "hours": hours, "minutes": minutes}
    said = [say("classroom", "late", k, count=n) for k, n in parts.items() if n]
    return " ".join(said)


def _time(written: str) -> datetime | None:
    try:
        time = datetime.fromisoformat(written)
    except ValueError:
        return None
    return time.astimezone() if time.tzinfo is None else time
