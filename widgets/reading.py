"""A reading that a lesson asks for: a question, a box, what the explorer shows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from widgets.card import ASKED_BACK, CLOSE, RIGHT, WRONG, Card
from workbook.course.readings import compare
from workbook.language import say

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.course.lesson import Exploration
    from workbook.course.readings import Comparison
    from workbook.reader.record import Record
    from workbook.reader.record_lines import Line

SIGNS = {"there": RIGHT, "sign": CLOSE, "now": CLOSE, "beside": CLOSE, "another": WRONG}


class Reading(Card):
    """One number to be read off an explorer, typed and compared.

    What was typed is kept in the reader's record as an observation, whatever it is,
    and comes back when the lesson is opened again.

    Parameters
    ----------
    one : Exploration
        The explorer that is read.
    name : str
        Which of its readings.
    now : callable
        Returns what that explorer shows at present, if it is there.
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    def __init__(
        self,
        one: Exploration,
        name: str,
        *,
        now: Callable[[], Any] = lambda: None,
        record: Record | None = None,
    ) -> None:
        self.one, self.name, self.now = one, name, now
        self.plain = say("card", "readings")
        self.compared: Comparison | None = None
        super().__init__(record=record)
        self._come_back()

    @property
    def question(self) -> str:
        """What is to be read, and in which set-up."""
        return self.one.asks(self.name)

    def read(self, typed: str) -> None:
        """Compare what was typed with the explorer, and keep it."""
        if typed.strip():
            about = {"lesson": self.one.lesson, "explorer": self.one.name}
            about |= {"reading": self.name, "question": self.question}
            self.record.share("observation", **about, typed=typed.strip())
        self._compare(typed)

    def told(self, line: Line) -> None:
        """Give a new reader the own reading back, or an empty box."""
        if line["kind"] == "identity":
            self._come_back()

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the reader can do."""
        return {"read": lambda sent: self.read(str(sent["typed"][self._field]))}

    def parts(self) -> dict[str, Any]:
        """Return the question with its box, and what the reading comes to."""
        label = say("reading", "label", question=self.question)
        return {
            "title": say("reading", "title"),
            "form": {
                "act": "read",
                "fields": [{"name": self._field, "label": label}],
                "submit": say("reading", "check"),
            },
            "result": self.compared
            and {
                "sign": SIGNS.get(self.compared.told or "", ASKED_BACK),
                "lines": [self.compared.sentence],
            },
        }

    @property
    def _field(self) -> str:
        """Name of the box: each reader has one's own text in it."""
        return f"{self.record.reader.student}/{self.name}"

    def _compare(self, typed: str) -> None:
        observe = self.one.readings[self.name]
        self.compared = compare(typed, observe, self.one, now=self.now())
        self.show()

    def _come_back(self) -> None:
        """Put this reader's last reading into the box again, compared."""
        about = {"lesson": self.one.lesson, "explorer": self.one.name}
        kept = self.record.mine("observation", **about, reading=self.name)
        texts = [line["typed"] for line in kept if isinstance(line.get("typed"), str)]
        self.compared = None
        if texts:
            self.drafts = {**self.drafts, self._field: texts[-1]}
            return self._compare(texts[-1])
        self.show()
