"""The way into a lesson that stands behind a gate: what is missing, who opened it.

A lesson opens once the exercises it stands behind were passed
(`workbook.exercises.sets.passes`), or an instructor opened it with a reason. That is a
line of the record, of kind ``opened``, and goes into the hand-in.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from workbook.reader.works import works_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbook.course import Lesson
    from workbook.reader.record import Record

OPENED = "opened"  # kind of a line of the record


@dataclass(frozen=True)
class WayIn:
    """The way into one lesson, for whoever works in a record now.

    ``on_change`` are called once it may have opened.
    """

    lesson: Lesson
    record: Record
    on_change: list[Callable[[], None]] = field(default_factory=list)

    @property
    def missing(self) -> tuple[str, ...]:
        """Ids of the exercises that have not been passed yet."""
        works = works_of(self.record)
        return tuple(id for id in self.lesson.behind if not works.passed(id))

    @property
    def reason(self) -> str:
        """Why an instructor opened it; empty where nobody did."""
        lines = self.record.mine(OPENED, lesson=self.lesson.id)
        reasons = [reason_of(line) for line in lines]
        return next(filter(None, reversed(reasons)), "")

    @property
    def shut(self) -> bool:
        """Whether the lesson is not open yet."""
        return bool(self.missing) and not self.reason

    def open_by_hand(self, reason: str) -> None:
        """Open it by hand, and keep why."""
        self.record.append(OPENED, lesson=self.lesson.id, reason=reason)
        self.look()

    def look(self) -> None:
        """Have everything that waits look again."""
        for changed in self.on_change:
            changed()


def reason_of(line: dict[str, object]) -> str:
    """Return the reason that a line of kind ``opened`` has.

    Examples
    --------
    >>> reason_of({"kind": "opened", "lesson": "L12", "reason": " shown by hand "})
    'shown by hand'
    """
    reason = line.get("reason")
    return reason.strip() if isinstance(reason, str) else ""
