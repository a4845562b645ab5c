"""Predict first: an explorer's controls are held until a prediction is locked."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

import ipywidgets as ipw

from widgets.controls import alert

if TYPE_CHECKING:
    from collections.abc import Callable

OTHER = "none of these: my answer is"


@dataclass(frozen=True, kw_only=True)
class Prediction:
    """A question to be answered before the controls move.

    ``options`` are (text, outcome) pairs: each wrong one stands for a mistake
    people make. ``lesson`` names the lesson in the reader's record.
    """

    lesson: str
    question: str
    options: tuple[tuple[str, str], ...]


class PredictionLock:
    """Asks, locks the answer, keeps it in sight, then asks what was seen.

    ``answer`` is the locked text, ``outcome`` what it stands for, ``seen`` what
    the reader typed after looking; each is ``None`` until then.
    """

    def __init__(
        self,
        prediction: Prediction,
        *,
        on_lock: Callable[[], None],
        record: Callable[..., None] | None = None,
    ) -> None:
        self.prediction = prediction
        self.answer: str | None = None
        self.outcome: str | None = None
        self.seen: str | None = None
        self._on_lock, self._record = on_lock, record
        texts = [text for text, _ in prediction.options]
        self.choice = ipw.RadioButtons(
            options=[*texts, OTHER], index=None, layout=ipw.Layout(width="auto")
        )
        self.own = ipw.Text(placeholder="type your own answer", continuous_update=False)
        self.button = ipw.Button(description="lock my prediction")
        self.button.on_click(lambda _button: self.lock())
        self.note = ipw.HTML()
        self.look = ipw.Text(
            placeholder="now move the controls; type what you saw, then Enter",
            continuous_update=False,
            layout=ipw.Layout(width="520px"),
        )
        self.look.observe(self._looked, names="value")
        question = ipw.HTML(f"<b>Predict first.</b> {escape(prediction.question)}")
        self.own.layout.display = "none"
        self.choice.observe(self._chosen, names="value")
        self.widget = ipw.VBox(
            [question, self.choice, self.own, self.button, self.note]
        )

    def _chosen(self, _change: object) -> None:
        self.own.layout.display = None if self.choice.value == OTHER else "none"

    def lock(self) -> None:
        """Lock what is chosen; without a choice, say what is missing."""
        own = self.own.value.strip()
        if self.choice.value is None or (self.choice.value == OTHER and not own):
            self.note.value = alert("Choose one, or type your own. A guess is welcome.")
            return
        self.answer = own if self.choice.value == OTHER else self.choice.value
        self.outcome = dict(self.prediction.options).get(self.answer, "none_of_these")
        self._keep("prediction", answer=self.answer, outcome=self.outcome)
        self._show()
        self._on_lock()

    def _show(self) -> None:
        locked = ipw.HTML(
            f"<b>Your prediction:</b> {escape(self.answer or '')} "
            f"<i>({escape(self.prediction.question)})</i>"
        )
        self.note.value = ""
        self.widget.children = [locked, self.look, self.note]

    def _looked(self, _change: object) -> None:
        self.seen = self.look.value.strip()
        if self.seen:
            self._keep("observation", typed=self.seen)
            self.note.value = "Kept. Does it agree with your prediction? Why?"

    def _keep(self, kind: str, **values: object) -> None:
        if self._record is not None:
            self._record(kind, lesson=self.prediction.lesson, **values)
