"""Predict first: an explorer's controls are held until a prediction is locked."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING, Any

import ipywidgets as ipw

from widgets.controls import alert
from workbook.course.predictions import PREDICTIONS, choices, judge
from workbook.exercises.marking import mark
from workbook.exercises.seeds import Stream, seed_for
from workbook.reader.record import Line, Record, lesson_name, record_here
from workbook.reader.settings import unit_system

if TYPE_CHECKING:
    from collections.abc import Callable

OTHER = "none of these: my answer is"


@dataclass(frozen=True, kw_only=True)
class Prediction:
    """A question to be answered before the controls move.

    ``options`` are (text, outcome) pairs: each wrong one stands for a mistake
    people make. ``lesson`` names the lesson in the reader's record; where that
    lesson has a predict-question of its own (`workbook.course.predictions`),
    its choices stand in the place of ``options``.
    """

    lesson: str
    question: str
    options: tuple[tuple[str, str], ...] = ()


class PredictionLock:
    """Asks, locks the answer, keeps it in sight, then asks what was seen.

    ``answer`` is the locked text, ``outcome`` what it stands for, ``seen`` what
    the reader typed after looking; each is ``None`` until then. A prediction
    found in the reader's record is locked from the start.
    """

    def __init__(
        self,
        prediction: Prediction,
        *,
        on_lock: Callable[[], None],
        record: Record | None = None,
    ) -> None:
        self.prediction = prediction
        self.lesson = lesson_name(prediction.lesson)
        self.known = PREDICTIONS.get(self.lesson)
        self.record = record or record_here()
        self.answer: str | None = None
        self.outcome: str | None = None
        self.seen: str | None = None
        self._on_lock = on_lock
        self._build()
        self._offer()
        self._restore()
        self.record.watch(self._told)

    def lock(self) -> None:
        """Lock what is chosen; without a choice, say what is missing."""
        own = self.own.value.strip()
        if self.choice.value is None or (self.choice.value == OTHER and not own):
            self.note.value = alert("Choose one, or type your own. A guess is welcome.")
            return
        self.answer = own if self.choice.value == OTHER else self.choice.value
        self.outcome = self._outcome_of(self.answer)
        self._keep("prediction", choice=self.answer, outcome=self.outcome)
        self._show()
        self._on_lock()

    def _build(self) -> None:
        self.choice = ipw.RadioButtons(
            options=[OTHER], index=None, layout=ipw.Layout(width="auto")
        )
        self.own = ipw.Text(placeholder="type your own answer", continuous_update=False)
        self.button = ipw.Button(description="lock my prediction")
        self.button.on_click(lambda _button: self.lock())
        self.note = ipw.HTML()
        self.look = ipw.Text(
            placeholder="now move the controls; type what you saw, then Enter",
            continuous_update=False,
            layout=ipw.Layout(width="520px", max_width="100%"),
        )
        self.look.observe(self._looked, names="value")
        question = escape(self.prediction.question)
        asked = ipw.HTML(f"<b>Predict first.</b> {question}").add_class("pw-asked")
        self.own.layout.display = "none"
        self.choice.observe(self._chosen, names="value")
        self.widget = ipw.VBox([asked, self.choice, self.own, self.button, self.note])
        self.widget.add_class("pw-predict")

    def _offer(self) -> None:
        """Offer the choices in this reader's order: a letter tells nothing."""
        reader = self.record.reader
        keys: Any = {"class_key": reader.class_key, "student": reader.student}
        if self.known:
            offered = choices(self.known, **keys, system=unit_system())[:-1]
            self.outcomes = {choice.text: choice.name for choice in offered}
        else:
            name = f"predict {self.prediction.lesson}"
            seed = seed_for(**keys, exercise=name, version=1, attempt=1)
            self.outcomes = dict(Stream(seed).shuffled(self.prediction.options))
        self.choice.options = [*self.outcomes, OTHER]
        self.choice.index = None

    def _outcome_of(self, answer: str) -> str:
        if answer in self.outcomes:
            return self.outcomes[answer]
        # Typed, but maybe what a choice stands for.
        marked = mark(self.known.variant, answer) if self.known else None
        return marked.name if marked and not marked.held else "none_of_these"

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
        lines = self.record.mine(
            kind, lesson=self.lesson, question=self.prediction.question
        )
        return [line for line in lines if isinstance(line.get(text), str)]

    def _told(self, line: Line) -> None:
        """Give a new reader the choices in their order, or their own prediction."""
        if line["kind"] == "identity" and self.answer is None:
            self._offer()
            self._restore()
            if self.answer is not None:
                self._on_lock()

    def _chosen(self, _change: object) -> None:
        self.own.layout.display = None if self.choice.value == OTHER else "none"

    def _show(self) -> None:
        locked = ipw.HTML(
            f"<b>Your prediction:</b> {escape(self.answer or '')} "
            f"<i>({escape(self.prediction.question)})</i>"
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
        self.note.value = self._explained()

    def _explained(self) -> str:
        """Say, once something was seen, what the prediction came from."""
        told = "Kept. Does it agree with your prediction? Why?"
        lines = judge(self.known, self.outcome or "").lines if self.known else ()
        paragraphs = "".join(f"<p>{escape(line)}</p>" for line in (told, *lines))
        return f'<div role="status">{paragraphs}</div>'

    def _keep(self, kind: str, **values: object) -> None:
        about = {"lesson": self.lesson, "question": self.prediction.question}
        self.record.append(kind, **about, **values)
        if self.record.trouble:
            self.note.value = alert(self.record.trouble)
