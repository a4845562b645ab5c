"""Who works here: a student code and a class key, or practice without."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from widgets.card import Card
from workbook.errors import FormError
from workbook.language import say
from workbook.reader.record import Record

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


class SignIn(Card):
    """Asks for a student code and a class key, and for nothing else.

    Nobody has to: without them, all exercises are there for practice.

    Parameters
    ----------
    record : Record, optional
        The reader's record; by default the one in the present folder.
    """

    def __init__(self, *, record: Record | None = None) -> None:
        self.plain = say("sign_in", "plain")
        super().__init__(record=record)

    def sign_in(self, *, student: str, class_key: str, pair: str = "") -> None:
        """Begin, or go on with, the work of a student."""
        self.note = ""
        try:
            self.record.sign_in(student=student, class_key=class_key, pair=pair)
        except FormError as error:
            self.note = str(error)
        self.show()

    def practise(self) -> None:
        """Begin work without a student code."""
        self.note = ""
        self.record.practise()

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the reader can do."""
        return {
            "sign_in": lambda sent: self.sign_in(**sent["typed"]),
            "practise": lambda _: self.practise(),
        }

    def parts(self) -> dict[str, Any]:
        """Return the three fields, who works now, and where the work is kept."""
        names = ("student", "class_key", "pair")
        fields = [{"name": n, "label": say("sign_in", n)} for n in names]
        practise = {"act": "practise", "text": say("sign_in", "practise")}
        sign_in = {"fields": fields, "submit": say("sign_in", "submit")}
        return {
            "title": say("sign_in", "title"),
            "intro": [say("sign_in", "intro")],
            "form": {"act": "sign_in", **sign_in},
            "result": {"lines": [say("sign_in", "now", reader=self.called)]},
            "tools": [
                *filter(None, [self.swapping()]),
                *([practise] if self.record.reader.signed_in else []),
            ],
            "foot": [say("sign_in", "kept", file=self.record.path.name)],
        }
