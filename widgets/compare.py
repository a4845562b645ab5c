"""Frozen set-ups beside the present one: ghosts in the picture, and a table."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Generic, NamedTuple, TypeVar

import ipywidgets as ipw

from workbook.language import say, text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from widgets.answer import Answer
    from workbook.figures.subject import Subject, Values
    from workbook.quantities.units import UnitSystem

S = TypeVar("S")
# Not A, B, C: these are points of the rig.
GHOSTS = ("I", "II", "III")


class Frozen(NamedTuple, Generic[S]):
    """A set-up that stays in sight, with its letter."""

    letter: str
    values: Values
    result: S


class Compare(Generic[S]):
    """Keeps at most three set-ups, and shows their numbers and the present ones."""

    def __init__(self, subject: Subject[S]) -> None:
        self.subject = subject
        self.frozen: list[Frozen[S]] = []
        self.widget = ipw.HTML()

    @property
    def ghosts(self) -> list[tuple[str, S]]:
        """The frozen results, each with its letter."""
        return [(frozen.letter, frozen.result) for frozen in self.frozen]

    def freeze(self, answer: Answer[S]) -> None:
        """Keep an answer, unless it is a refusal or there are three already."""
        if answer.result is not None and len(self.frozen) < len(GHOSTS):
            letter = GHOSTS[len(self.frozen)]
            self.frozen.append(Frozen(letter, answer.values, answer.result))

    def show(self, present: S | None, system: UnitSystem) -> None:
        """Show the frozen set-ups, the present one, and its difference to the last."""
        self.widget.value = self._table(present, system) if self.frozen else ""

    def _table(self, present: S | None, system: UnitSystem) -> str:
        results = [result for _, result in self.ghosts]
        heads = [letter for letter, _ in self.ghosts]
        if present is not None:
            results.append(present)
            heads.append(say("explorer", "compared", "now"))
        columns = [self.subject.told(result) for result in results]
        last = self.frozen[-1]
        heads.append(say("explorer", "compared", "difference", letter=last.letter))
        now = {} if present is None else columns[-1]
        then = columns[len(self.frozen) - 1]
        rows = [_row("th", ["", *heads])]
        for name in columns[0]:
            cells = [_shown(column.get(name), system) for column in columns]
            change = _change(now.get(name), then.get(name), system)
            rows.append(_row("td", [text("amount", name), *cells, change]))
        caption = escape(say("explorer", "compared", "caption"))
        return (
            f'<table class="pw-compare"><caption>{caption}</caption>'
            f"{''.join(rows)}</table>"
        )


Amount = tuple[float, str]


def _shown(amount: Amount | None, system: UnitSystem) -> str:
    return "" if amount is None else system.show(*amount)


def _change(now: Amount | None, then: Amount | None, system: UnitSystem) -> str:
    """Return the difference from the numbers themselves, with its sign."""
    if now is None or then is None:
        return ""
    shown = system.show(now[0] - then[0], now[1])
    return shown if shown.startswith("−") else f"+{shown}"


def _row(cell: str, texts: Iterable[str]) -> str:
    cells = "".join(f"<{cell}>{escape(text)}</{cell}>" for text in texts)
    return f"<tr>{cells}</tr>"
