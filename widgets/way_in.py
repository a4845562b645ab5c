"""The card at the head of a lesson behind a gate: what is missing, and who opens it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from widgets.card import Card
from workbook.exercises import exercise, wording
from workbook.language import say

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.reader.way_in import WayIn

SHUT, PASSED = "shut", "passed"
REASON = "reason"  # the box to type in


class WayInCard(Card):
    """Says whether a lesson is open, and lets an instructor open it with a reason.

    On the page it tells so in ``data-pw-state``: ``shut`` or ``passed``.

    Parameters
    ----------
    to : WayIn
        The way into the lesson.
    """

    def __init__(self, to: WayIn) -> None:
        self.to = to
        self.plain = say("way_in", "plain")
        super().__init__(record=to.record)
        to.on_change.append(self.show)

    def look(self) -> None:
        """See what the record has by now."""
        self.record.catch_up()
        self.to.look()
        if self.to.shut:
            self.note = say("way_in", "still_shut")
            self.show()

    def open_by_hand(self, reason: str) -> None:
        """Open the lesson by hand; without a reason it stays shut."""
        if reason.strip():
            return self.to.open_by_hand(reason.strip())
        self.note = say("way_in", "reason_missing")
        self.show()

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the reader can do, and the instructor."""
        return {
            "look": lambda _: self.look(),
            "open": lambda sent: self.open_by_hand(str(sent["typed"][REASON])),
        }

    def parts(self) -> dict[str, Any]:
        """Return what is missing; once it is open, why."""
        told = {"title": say("way_in", "title"), "whose": self.record.whose}
        if not self.to.shut:
            return {**told, "state": PASSED, "intro": [self._why_open()]}
        missing = [
            say("way_in", "missing", id=id, title=wording.title(exercise(id)))
            for id in self.to.missing
        ]
        return {
            **told,
            "state": SHUT,
            "intro": [say("way_in", "shut"), *missing],
            "form": {
                "act": "open",
                "fields": [{"name": REASON, "label": say("way_in", "reason")}],
                "submit": say("way_in", "open"),
                "beside": [{"act": "look", "text": say("way_in", "look")}],
            },
            "foot": [self.called],
        }

    def _why_open(self) -> str:
        if self.to.missing:
            return say("way_in", "by_hand", reason=self.to.reason)
        return say("way_in", "passed", ids=[*self.to.lesson.behind])
