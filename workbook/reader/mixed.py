"""A round of mixed questions, one reader's: which are asked, what each came to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from workbook.course.mixed import ENTRY as ENTRY_IDS
from workbook.course.mixed import REFRESH
from workbook.exercises import EXERCISES, exercise
from workbook.exercises.sets import ENTRY, REVIEW
from workbook.reader.task import Task
from workbook.reader.works import works_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from workbook.reader.record import Record

Came = Literal["", "right", "helped", "wrong", "unknown"]


class Round:
    """Some questions, asked one after the other, with one set of numbers each.

    Parameters
    ----------
    record : Record
        Where the answers are kept, and what they came to is read from.
    set : str
        One of `workbook.exercises.sets` that is not marked.
    asked : mapping of str to int
        Exercises in their order, each with the attempt of its first round.
    """

    def __init__(self, record: Record, *, set: str, asked: Mapping[str, int]) -> None:
        self.record, self.set, self._asked = record, set, asked
        id, first = next(iter(asked.items()))
        last = works_of(record).last_attempt(exercise(id), set=set)
        self._take(max(0, last - first))

    def _take(self, number: int) -> None:
        self._number = number
        self.tasks = [
            Task(self.record, exercise(id), set=self.set, attempt=first + number)
            for id, first in self._asked.items()
        ]

    def again(self) -> None:
        """Ask the same with other numbers."""
        self._take(self._number + 1)
        self.tasks[0].keep_numbers()

    def came_to(self, place: int) -> Came:
        """Tell what a question came to; empty while nothing was answered.

        The first answer is what counts: a close one shows that the way is known, a
        hint before it, or another try, that it is worth a look.
        """
        work = self.tasks[place].work
        marked = [outcome for outcome in work.outcomes if not outcome.held]
        if not marked:
            return "unknown" if work.given_up else ""
        if marked[0].name not in {"right", "close"}:
            return "wrong"
        return "helped" if work.history.hints else "right"

    @property
    def all(self) -> list[Came]:
        """What each question came to."""
        return [self.came_to(place) for place in range(len(self.tasks))]

    @property
    def open(self) -> list[int]:
        """Places of the questions that wait for an answer."""
        return [place for place, came in enumerate(self.all) if not came]

    @property
    def missed(self) -> list[int]:
        """Places of those that were answered, and not right at once without a hint."""
        return [p for p, came in enumerate(self.all) if came not in {"", "right"}]


def entry_round(record: Record) -> Round:
    """Return the eight questions of the entry check."""
    return Round(record, set=ENTRY, asked=dict.fromkeys(ENTRY_IDS, 1))


def refresh_round(record: Record, today: date) -> Round:
    """Return five questions: what went wrong before today, then what is new.

    They stay the same all day. Another day begins elsewhere among the new ones.
    """
    before = answered_before(record, today.isoformat())
    start = today.toordinal() * 5 % len(REFRESH)
    new = [id for id in (*REFRESH[start:], *REFRESH[:start]) if id not in before]
    asked = five_of({**dict.fromkeys(new, (True, 0)), **before})
    attempts = {id: before.get(id, (True, 0))[1] + 1 for id in asked}
    return Round(record, set=REVIEW, asked=attempts)


def answered_before(record: Record, day: str) -> dict[str, tuple[bool, int]]:
    """Return the exercises answered before a day, longest ago first.

    Each with whether it came right at last, and its last attempt in review.
    """
    found: dict[str, tuple[bool, int]] = {}
    for line in works_of(record).answers():
        id = line["exercise"]
        one = EXERCISES.get((id, line["version"]))
        # A later part would wait for its earlier one, which is asked instead.
        if one and not one.carry and str(line.get("time"))[:10] < day:
            reviewed = line["attempt"] if line.get("set") == REVIEW else 0
            highest = max(found.pop(id, (False, 0))[1], reviewed)
            found[id] = line.get("outcome") == "right", highest
    return found


def five_of(answered: Mapping[str, tuple[bool, int]]) -> list[str]:
    """Return at most five exercises to ask again, mixed over their lessons.

    What did not come right comes first, then what was answered longest ago; two
    of the same lesson follow each other only where there is no other.

    Examples
    --------
    >>> five_of({"2.1": (True, 1), "2.2": (True, 1), "7.1": (False, 1)})
    ['7.1', '2.1', '2.2']
    """
    due = sorted(answered, key=lambda id: answered[id][0])  # stable: oldest first
    asked: list[str] = []
    while due and len(asked) < 5:
        last = exercise(asked[-1]).lesson if asked else ""
        others = [id for id in due if exercise(id).lesson != last]
        asked.append((others or due)[0])
        due.remove(asked[-1])
    return asked
