"""Today's five: old questions, mixed, with new numbers."""

from __future__ import annotations

from datetime import date
from html import escape

import ipywidgets as ipw

from widgets.question import ExerciseCard
from workbook.exercises.sets import REVIEW
from workbook.language import say
from workbook.reader.mixed import answered_before, five_of
from workbook.reader.record import Record, record_here
from workbook.reader.record_lines import Line


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
        before = answered_before(self.record, date.today().isoformat())
        self.cards = [
            ExerciseCard(id, set=REVIEW, attempt=before[id][1] + 1, record=self.record)
            for id in five_of(before)
        ]
        self.box.children = [self.summary, *self.cards]
        self._sum_up()

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
