"""Predict first: an explorer's controls are held until a prediction is locked."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import ipywidgets as ipw

from widgets.controls import alert
from workbook.course.predictions import explained, options, outcome_of
from workbook.language import entries, say
from workbook.reader.record import Line, Record, record_here
from workbook.reader.settings import unit_system

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbook.course.predictions import Prediction


class PredictionLock:
    """Asks, locks the answer, keeps it in sight, then asks what was seen.

    A part that an explorer takes: it shows ``widget``, holds its controls while
    ``answer`` is ``None`` and puts what lets them go in ``on_lock``.

    ``answer`` is the locked text, ``outcome`` what it stands for, ``seen`` what
    the reader typed after looking; each is ``None`` until then. A prediction
    found in the reader's record is locked from the start.

    Parameters
    ----------
    prediction : Prediction
        What is asked.
    record : Record, optional
        The reader's record; by default the one in the present folder.

    Attributes
    ----------
    on_lock : callable
        Called once a prediction is locked, or came back with its reader.
    agrees : callable
        ``agrees(typed)`` tells whether the explorer shows what was typed;
        ``None`` where that cannot be said.
    """

    def __init__(self, prediction: Prediction, *, record: Record | None = None) -> None:
        self.prediction = prediction
        self.record = record or record_here()
        self.answer: str | None = None
        self.outcome: str | None = None
        self.seen: str | None = None
        self.on_lock: Callable[[], None] = lambda: None
        self.agrees: Callable[[str], bool | None] = lambda _typed: None
        self._build()
        self._offer()
        self._restore()
        self.record.watch(self._told)

    def lock(self) -> None:
        """Lock what is chosen; without a choice, say what is missing."""
        chosen, own = self.choice.value, self.own.value.strip()
        if chosen is None or (chosen == self.other and not own):
            self.note.value = alert(say("prediction", "choose"))
            return
        if chosen == self.other:  # typed, but maybe what a choice stands for
            self.answer, self.outcome = own, outcome_of(self.prediction, own)
        else:
            self.answer, self.outcome = chosen, self.outcomes[chosen]
        self._keep("prediction", choice=self.answer, outcome=self.outcome)
        self._show()
        self.on_lock()

    def _build(self) -> None:
        self.other = say("prediction", "own")
        self.choice = ipw.RadioButtons(layout=ipw.Layout(width="auto"))
        self.own = ipw.Text(
            placeholder=say("prediction", "own_place"), continuous_update=False
        )
        self.button = ipw.Button(description=say("prediction", "lock"))
        self.button.on_click(lambda _button: self.lock())
        self.note = ipw.HTML()
        self.look = ipw.Text(
            placeholder=say("prediction", "look"),
            continuous_update=False,
            layout=ipw.Layout(width="520px", max_width="100%"),
        )
        self.look.observe(self._looked, names="value")
        first, question = say("prediction", "first"), self.prediction.question
        asked = ipw.HTML(f"<b>{escape(first)}</b> {escape(question)}")
        self.own.layout.display = "none"
        self.choice.observe(self._chosen, names="value")
        parts = [asked.add_class("pw-asked"), self.choice, self.own, self.button]
        self.widget = ipw.VBox([*parts, self.note]).add_class("pw-predict")

    def _offer(self) -> None:
        """Offer the choices in this reader's order: a letter tells nothing."""
        reader = self.record.reader
        offered = options(
            self.prediction,
            class_key=reader.class_key,
            student=reader.student,
            system=unit_system(),
        )[:-1]
        self.outcomes = {option.text: option.name for option in offered}
        self.choice.options = [*self.outcomes, self.other]
        self.choice.index = None

    def _restore(self) -> None:
        """Lock again what this reader locked before."""
        locked = self._lines("prediction", "choice")
        if not locked:
            return
        self.answer = locked[-1]["choice"]
        self.outcome = str(locked[-1].get("outcome"))
        self._show()
        seen = self._lines("observation", "typed")
        if seen:
            self.look.value = seen[-1]["typed"]

    def _lines(self, kind: str, text: str) -> list[Line]:
        lines = self.record.mine(kind)
        return [x for x in lines if isinstance(x.get(text), str) and self._is_of(x)]

    def _is_of(self, line: Line) -> bool:
        """Tell whether a line is about this prediction.

        Lines of the first versions name no explorer: their question tells. What was
        read off elsewhere in the lesson has a box of its own.
        """
        if "reading" in line:
            return False
        asked = self.prediction
        if "explorer" in line:
            return (line.get("lesson"), line["explorer"]) == (
                asked.lesson,
                asked.explorer,
            )
        said = entries()["lesson"][asked.lesson]["explorer"][asked.explorer]
        of_lesson = str(line.get("lesson")).split(" ")[0] == asked.lesson
        return of_lesson and line.get("question") == said["predict"]

    def _told(self, line: Line) -> None:
        """Give a new reader the choices in their order, or their own prediction."""
        if line["kind"] == "identity" and self.answer is None:
            self._offer()
            self._restore()
            if self.answer is not None:
                self.on_lock()

    def _chosen(self, _change: object) -> None:
        self.own.layout.display = None if self.choice.value == self.other else "none"

    def _show(self) -> None:
        yours, question = say("prediction", "yours"), self.prediction.question
        locked = ipw.HTML(
            f"<b>{escape(yours)}</b> {escape(self.answer or '')} "
            f"<i>({escape(question)})</i>"
        )
        self.note.value = ""
        self.widget.children = [locked, self.look, self.note]

    def _looked(self, _change: object) -> None:
        typed = self.look.value.strip()
        if not typed:
            return
        self.seen = typed
        kept = self._lines("observation", "typed")
        if not kept or kept[-1]["typed"] != typed:
            self._keep("observation", typed=typed)
        self.note.value = self._explained(typed)

    def _explained(self, typed: str) -> str:
        """Say, once something was seen, what the prediction came from."""
        agrees = self.agrees(typed)
        lines = [
            say("prediction", "kept"),
            *([] if agrees is None else [say("prediction", _SEEN[agrees])]),
            *explained(self.prediction, self.outcome or ""),
        ]
        paragraphs = "".join(f"<p>{escape(line)}</p>" for line in lines)
        return f'<div role="status">{paragraphs}</div>'

    def _keep(self, kind: str, **values: object) -> None:
        asked = self.prediction
        about = {"lesson": asked.lesson, "explorer": asked.explorer}
        self.record.append(kind, **about, question=asked.question, **values)
        if self.record.told:
            self.note.value = alert(self.record.told)


_SEEN = {True: "seen", False: "not_seen"}
