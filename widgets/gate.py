"""The safety gate: a stop-and-think question before what could hurt someone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

from widgets.card import RIGHT, WRONG, Card
from workbook.exercises.seeds import Stream, seed_for
from workbook.language import say
from workbook.reader.record import Line, Record, lesson_name

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

Verdict = Literal["right", "wrong", "go"]


class SafetyGate(Card):
    """A stop-and-think question: a wrong "go" scores nothing, and is explained.

    To stop, with a reason, is always offered and always right. There is no clock.

    Parameters
    ----------
    question : str
        What is happening, and what is asked.
    options : sequence of (text, verdict, explanation)
        ``right``; ``wrong``; or ``go``, which goes on where it must not.
    lesson : str
        Lesson in the record, such as ``"07"``.
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    def __init__(
        self,
        question: str,
        options: Sequence[tuple[str, Verdict, str]],
        *,
        lesson: str,
        record: Record | None = None,
    ) -> None:
        self.question, self.options = question, options
        self.lesson = lesson_name(lesson)
        self.plain = say("gate", "plain")
        super().__init__(record=record)

    @property
    def passed(self) -> bool:
        """Whether the last choice was right."""
        chosen = self._chosen()
        return bool(chosen) and self._verdict(chosen[-1]) == "right"

    @property
    def score(self) -> float:
        """One for a right choice, nothing once a wrong "go" was chosen."""
        verdicts = [self._verdict(line) for line in self._chosen()]
        return float("right" in verdicts and "go" not in verdicts)

    def choose(self, choice: str | None, *, reason: str = "") -> None:
        """Choose an option by its text, or ``stop`` with a reason."""
        self.note = ""
        if choice == "stop" and not reason.strip():
            self.note = say("gate", "reason_missing")
        elif choice != "stop" and choice not in self._texts():
            self.note = say("card", "choose")
        else:
            self._keep(choice, reason)
        self.show()

    def _keep(self, choice: str, reason: str) -> None:
        line = {"choice": choice, "reason": reason.strip()}
        verdict = self._verdict(line)
        self.record.append(
            "gate", lesson=self.lesson, question=self.question, outcome=verdict, **line
        )

    def _texts(self) -> list[str]:
        return [text for text, _, _ in self.options]

    def _chosen(self) -> list[Line]:
        lines = self.record.mine("gate", lesson=self.lesson, question=self.question)
        return [x for x in lines if x.get("choice") in {"stop", *self._texts()}]

    def _verdict(self, line: Line) -> str:
        verdicts = {text: verdict for text, verdict, _ in self.options}
        return verdicts.get(line["choice"], "right")

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the reader can do."""
        return {
            "choose": lambda sent: self.choose(
                sent.get("choice"), reason=str(sent["typed"]["reason"])
            )
        }

    def parts(self) -> dict[str, Any]:
        """Return question, options in this reader's order, and what was chosen."""
        reader = self.record.reader
        seed = seed_for(
            class_key=reader.class_key,
            student=reader.student,
            exercise=f"gate {self.lesson} {self.question}",
            version=1,
            attempt=1,
        )
        texts = Stream(seed).shuffled(self._texts())
        stop = ["stop", say("gate", "stop")]
        return {
            "title": say("gate", "title"),
            "intro": [self.question],
            "form": {
                "act": "choose",
                "legend": say("gate", "legend"),
                "choices": [*([text, text] for text in texts), stop],
                "fields": [{"name": "reason", "label": say("gate", "reason")}],
                "submit": say("gate", "submit"),
            },
            "result": self._result(),
        }

    def _result(self) -> dict[str, Any] | None:
        chosen = self._chosen()
        if not chosen:
            return None
        choice, reason = chosen[-1]["choice"], str(chosen[-1].get("reason", ""))
        verdict = self._verdict(chosen[-1])
        why = {text: explanation for text, _, explanation in self.options}
        shown = say("gate", "stop") if choice == "stop" else choice
        lines = [
            say("gate", "chosen", choice=shown),
            *([reason] if choice == "stop" else []),
            say("gate", verdict),
            *([why[choice]] if choice in why else []),
        ]
        return {"sign": RIGHT if verdict == "right" else WRONG, "lines": lines}
