"""The reader's work, kept: every line of the record is taken in once.

Cards, today's five and whatever else shows work ask here, so that an answer is
marked when it is given, and not again each time something is shown.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, TypeGuard

from workbook.exercises import EXERCISES
from workbook.exercises.replay import WORKED_ON, Work, variant_of
from workbook.exercises.seeds import plain
from workbook.exercises.sets import BEFORE_SETS, SETS, is_marked, passes

if TYPE_CHECKING:
    from workbook.exercises.declaration import Exercise
    from workbook.reader.record import Record
    from workbook.reader.record_lines import Line, Reader

Which = tuple[str, int, str, int]  # exercise, version, set, attempt


@cache
def works_of(record: Record) -> Works:
    """Return the one `Works` of a record."""
    return Works(record)


class Works:
    """What the present reader of a record has done, exercise by exercise."""

    def __init__(self, record: Record) -> None:
        self._record = record
        self._kept: list[Line] = []  # of which as many as taken lie on the shelves
        self._taken = 0
        self._loose: list[Line] = []
        self._shelves: dict[tuple[str, str], _Shelf] = defaultdict(_Shelf)
        self._foreseen: tuple[Work, Line, Work] | None = None

    def on(self, one: Exercise, *, set: str, attempt: int) -> Work:
        """Return the work in a set, on the numbers of one attempt."""
        shelf, which = self._mine(), (one.id, one.version, set, attempt)
        lines = shelf.lines[which]
        if which not in shelf.works:
            shelf.works[which] = 0, self._new(one, set, attempt)
        taken, work = shelf.works[which]
        for line in lines[taken:]:
            work = self._after(work, line)
        shelf.works[which] = len(lines), work
        return work

    def foresee(self, work: Work, line: Line) -> Work:
        """Return what some work comes to if a line is added to the record.

        When the line is there, it need not be marked again.
        """
        self._foreseen = work, line, work.after(line)
        return self._foreseen[2]

    def last_attempt(self, one: Exercise, *, set: str) -> int:
        """Return the highest attempt there is work on in a set, or 0."""
        return self._mine().attempts[one.id, one.version, set]

    def answers(self) -> list[Line]:
        """Return the reader's answers that were marked, oldest first."""
        return self._mine().answers

    def at_home(self, lesson: str) -> bool:
        """Tell whether a lesson's last two answers were right at once, unhinted."""
        lines = [line for line in self.answers() if line.get("lesson") == lesson]
        at_once = [
            x.get("outcome") == "right" and x.get("try") == 1 and x.get("hints") == 0
            for x in lines[-2:]
        ]
        return len(at_once) == 2 and all(at_once)

    def passed(self, id: str) -> bool:
        """Tell whether an exercise was passed, on any numbers and in any version."""
        kept = [which for which in self._mine().lines if which[0] == id]
        return any(
            self.on(one, set=str(set), attempt=int(str(attempt))).passed
            for _, version, set, attempt in kept
            if passes(str(set)) and (one := EXERCISES.get((id, version)))
        )

    def _mine(self) -> _Shelf:
        """Return the present reader's shelf, new lines put on it."""
        kept, loose = self._record.kept_and_loose()
        # What is not yet in the file may come to stand behind other lines in it.
        grown = kept is self._kept and not (self._loose and len(kept) > self._taken)
        if not grown or loose[: len(self._loose)] != self._loose:
            self._kept, self._taken, self._loose = kept, 0, []
            self._shelves.clear()
        for line in (*kept[self._taken :], *loose[len(self._loose) :]):
            self._put(line)
        self._taken, self._loose = len(kept), loose
        return self._shelves[_who(self._record.reader)]

    def _put(self, line: Line) -> None:
        codes = line.get("student"), line.get("class_key")
        if line["kind"] not in WORKED_ON or not all(isinstance(c, str) for c in codes):
            return
        shelf = self._shelves[plain(str(codes[0])), plain(str(codes[1]))]
        id, version, attempt = (line.get(k) for k in ("exercise", "version", "attempt"))
        if not (isinstance(id, str) and type(version) is int and _counts(attempt)):
            return
        set = line.get("set", BEFORE_SETS)
        if set not in (BEFORE_SETS, *SETS):
            return
        shelf.lines[id, version, set, attempt].append(line)
        highest = shelf.attempts[id, version, set]
        shelf.attempts[id, version, set] = max(highest, attempt)
        if line["kind"] == "answer" and line.get("held") is False:
            shelf.answers.append(line)

    def _new(self, one: Exercise, set: str, attempt: int) -> Work:
        reader = self._record.reader
        variant = variant_of(
            one,
            class_key=reader.class_key,
            student=reader.student,
            set=set,
            attempt=attempt,
        )
        return Work(variant=variant, marked_set=is_marked(set))

    def _after(self, work: Work, line: Line) -> Work:
        if self._foreseen:
            before, seen, after = self._foreseen
            said = ("kind", "typed", "carried")
            if before is work and all(line.get(k) == seen.get(k) for k in said):
                return after
        return work.after(line)


@dataclass
class _Shelf:
    """The lines of one reader, and the work they came to so far."""

    lines: dict[Which, list[Line]] = field(default_factory=lambda: defaultdict(list))
    answers: list[Line] = field(default_factory=list)
    attempts: dict[tuple[object, object, object], int] = field(
        default_factory=lambda: defaultdict(int)
    )
    works: dict[Which, tuple[int, Work]] = field(default_factory=dict)


def _who(reader: Reader) -> tuple[str, str]:
    return plain(reader.student), plain(reader.class_key)


def _counts(attempt: object) -> TypeGuard[int]:
    """Tell whether a value from the record can be the number of an attempt."""
    return type(attempt) is int and 1 <= attempt < 10**6
