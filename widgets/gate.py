"""The safety gate: a stop-and-think question before what could hurt someone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from widgets.card import RIGHT, WRONG, Card
from workbook.exercises.seeds import Stream, seed_for
from workbook.language import entries, say

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.course.lesson import Gate
    from workbook.reader.record import Record
    from workbook.reader.record_lines import Line

STOP = "stop"


class SafetyGate(Card):
    """A stop-and-think question: a wrong "go" scores nothing, and is explained.

    To stop, with a reason, is always offered and always right. There is no clock.

    Parameters
    ----------
    gate : Gate
        The question and its options.
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    projects = True

    def __init__(self, gate: Gate, *, record: Record | None = None) -> None:
        self.gate = gate
        self.plain = say("gate", "plain")
        super().__init__(record=record)

    @property
    def passed(self) -> bool:
        """Whether the last choice was right."""
        chosen = self._chosen()
        return bool(chosen) and self._verdict(chosen[-1][0]) == "right"

    @property
    def score(self) -> float:
        """One for a right choice, nothing once a wrong "go" was chosen."""
        verdicts = [self._verdict(name) for name, _ in self._chosen()]
        return float("right" in verdicts and "go" not in verdicts)

    def choose(self, name: str | None, *, reason: str = "") -> None:
        """Choose an option by its name, or ``stop`` with a reason."""
        self.note = ""
        if name == STOP and not reason.strip():
            self.note = say("gate", "reason_missing")
        elif name is None or not (name == STOP or name in self.gate.options):
            self.note = say("card", "choose")
        else:
            self._keep(name, reason.strip())
        self.show()

    def _keep(self, name: str, reason: str) -> None:
        self.record.append(
            "gate",
            lesson=self.gate.lesson,
            gate=self.gate.name,
            question=self.gate.question,
            outcome=self._verdict(name),
            option=name,
            choice=STOP if name == STOP else self.gate.option(name),
            reason=reason,
        )

    def _chosen(self) -> list[tuple[str, str]]:
        """Return what this reader chose, by name, each with the reason given."""
        lines = self.record.mine("gate", lesson=self.gate.lesson)
        named = [(self._option_of(line), str(line.get("reason", ""))) for line in lines]
        return [(n, r) for n, r in named if n == STOP or n in self.gate.options]

    def _option_of(self, line: Line) -> str:
        """Return the name of the option that a line has, if it is of this gate.

        Lines of the first versions have texts alone.
        """
        if "gate" in line:
            mine = line["gate"] == self.gate.name
            return str(line.get("option")) if mine else ""
        said = entries()["lesson"][self.gate.lesson]["gate"][self.gate.name]
        if line.get("question") != said["question"]:
            return ""
        names = {said[name]["text"]: name for name in self.gate.options}
        return str({STOP: STOP, **names}.get(str(line.get("choice")), ""))

    def _verdict(self, name: str) -> str:
        return "right" if name == STOP else self.gate.options[name]

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
            exercise=f"gate {self.gate.lesson} {self.gate.name}",
            version=1,
            attempt=1,
        )
        names = Stream(seed).shuffled([*self.gate.options])
        stop = [STOP, say("gate", "stop")]
        return {
            "title": say("gate", "title"),
            "intro": [self.gate.question],
            "form": {
                "act": "choose",
                "legend": say("gate", "legend"),
                "choices": [*([name, self.gate.option(name)] for name in names), stop],
                "fields": [{"name": "reason", "label": say("gate", "reason")}],
                "submit": say("gate", "submit"),
            },
            "result": self._result(),
        }

    def _result(self) -> dict[str, Any] | None:
        chosen = self._chosen()
        if not chosen:
            return None
        name, reason = chosen[-1]
        verdict = self._verdict(name)
        stopped = name == STOP
        lines = [
            say(
                "gate",
                "chosen",
                choice=say("gate", "stop") if stopped else self.gate.option(name),
            ),
            *([reason] if stopped else []),
            say("gate", verdict),
            *([] if stopped else [self.gate.why(name)]),
        ]
        return {"sign": RIGHT if verdict == "right" else WRONG, "lines": lines}
