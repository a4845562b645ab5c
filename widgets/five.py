"""Today's five: old questions, mixed, with new numbers."""

from __future__ import annotations

from datetime import date
from html import escape
from typing import TYPE_CHECKING

import ipywidgets as ipw

from widgets.question import ExerciseCard
from workbook.exercises import EXERCISES, exercise
from workbook.exercises.sets import REVIEW
from workbook.language import say
from workbook.reader.record import Record, record_here
from workbook.reader.record_lines import Line
from workbook.reader.works import works_of

if TYPE_CHECKING:
    from collections.abc import Mapping


class TodaysFive:
    """Five old questions, mixed: new numbers for what went wrong or is long ago.

    They are chosen from the exercises answered before today, so that they stay
    the same all day and go on where they were.

    Parameters
    ----------
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    def __init__(self, *, record: Record | None = None) -> None:
        self.record = record or record_here()
        self.summary = ipw.HTML()
        self.cards: list[ExerciseCard] = []
        self.box = ipw.VBox()
        self._choose()
        self.record.watch(self._told)

    def _choose(self) -> None:
        before = self._answered_before(date.today().isoformat())
        self.cards = [
            ExerciseCard(id, set=REVIEW, attempt=before[id][1] + 1, record=self.record)
            for id in five_of(before)
        ]
        self.box.children = [self.summary, *self.cards]
        self._sum_up()

    def _answered_before(self, day: str) -> dict[str, tuple[bool, int]]:
        """Return the exercises answered before a day, longest ago first.

        Each with whether it came right at last, and its last attempt in review.
        """
        found: dict[str, tuple[bool, int]] = {}
        for line in works_of(self.record).answers():
            id = line["exercise"]
            one = EXERCISES.get((id, line["version"]))
            # A later part would wait for its earlier one, which is asked instead.
            if one and not one.carry and str(line.get("time"))[:10] < day:
                reviewed = line["attempt"] if line.get("set") == REVIEW else 0
                highest = max(found.pop(id, (False, 0))[1], reviewed)
                found[id] = line.get("outcome") == "right", highest
        return found

    def _told(self, line: Line) -> None:
        if line["kind"] == "identity":
            self._choose()
        self._sum_up()

    def _sum_up(self) -> None:
        if not self.cards:
            words = say("five", "none_yet")
        else:
            done = [card for card in self.cards if card.task.work.history.tries]
            right = sum(card.task.work.solved for card in done)
            words = say("five", "so_far", count=len(done), right=right)
            if len(done) == len(self.cards):
                words += " " + self._look_at()
        self.summary.value = f'<p role="status">{escape(words)}</p>'

    def _look_at(self) -> str:
        """Name the one idea to look at again."""
        wrong = [card.first for card in self.cards if not card.task.work.solved]
        if not wrong:
            return say("five", "all_right")
        return say("five", "look_at", lesson=wrong[0].lesson[1:], id=wrong[0].id)

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        plain = say("card", "run_all", what=say("five", "plain"))
        return {**self.box._repr_mimebundle_(**kwargs), "text/plain": plain}


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
