"""Frozen set-ups beside the present one: ghosts in the picture, and tables."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Generic, NamedTuple, TypeVar

import ipywidgets as ipw

from workbook.language import say, text

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from widgets.answer import Answer
    from workbook.figures.subject import Subject, Values
    from workbook.quantities.units import UnitSystem

    Amounts = Mapping[str, tuple[float, str]]

S = TypeVar("S")
# Not A, B, C: these are points of the rig.
GHOSTS = ("I", "II", "III")
TELLING = 3  # numbers of a result that stand big under the picture


class Frozen(NamedTuple, Generic[S]):
    """A set-up that stays in sight, with its letter."""

    letter: str
    values: Values
    result: S


class Compare(Generic[S]):
    """Keeps at most three set-ups, and shows their numbers and the present ones.

    ``widget`` stands beside the picture: the telling numbers, a row for each set-up,
    and the difference to the one that the reader chose, the last unless they did.

    Parameters
    ----------
    subject : Subject
        What is compared.
    on_choice : callable
        Called when another set-up was chosen to compare with.
    """

    def __init__(self, subject: Subject[S], *, on_choice: Callable[[], None]) -> None:
        self.subject = subject
        self.frozen: list[Frozen[S]] = []
        self.with_which = ipw.ToggleButtons(style={"button_width": "auto"})
        self.with_which.observe(self._chosen, names="value")
        self._on_choice, self._setting = on_choice, False
        self.table = ipw.HTML()
        asked = ipw.Label(say("explorer", "compared", "with"))
        self.choice = ipw.HBox([asked, self.with_which]).add_class("pw-with")
        self.widget = ipw.VBox().add_class("pw-compared")

    @property
    def ghosts(self) -> list[tuple[str, S]]:
        """The frozen results, each with its letter."""
        return [(frozen.letter, frozen.result) for frozen in self.frozen]

    def freeze(self, answer: Answer[S]) -> None:
        """Keep an answer, unless it is a refusal or there are three already."""
        if answer.result is not None and len(self.frozen) < len(GHOSTS):
            letter = GHOSTS[len(self.frozen)]
            self._keep([*self.frozen, Frozen(letter, answer.values, answer.result)])

    def clear(self) -> None:
        """Let go of all that was frozen."""
        self._keep([])

    def show(self, present: S | None, system: UnitSystem) -> None:
        """Show the frozen set-ups, the present one, and its difference to one."""
        shown = [self.table, *([self.choice] if len(self.frozen) > 1 else [])]
        self.widget.children = shown if self.frozen else ()
        if self.frozen:
            self.table.value = self._short(self._columns(present, system), system)

    def numbers(self, present: S, system: UnitSystem) -> list[tuple[str, ...]]:
        """Return every number as a row of text, the first row the heads of columns.

        Without a frozen set-up there are no heads, and only the present numbers.
        """
        if not self.frozen:
            return [
                (name, value) for name, value in self.subject.numbers(present, system)
            ]
        columns = self._columns(present, system)
        results = (self.frozen[0].result, present)
        then, now = (self.subject.texts(one, system) for one in results)
        names = then | now
        rows = [(text("amount", name), *_cells(columns, name)) for name in names]
        return [("", *columns), *rows]

    # ---------------------------------------------------------------------------

    def _keep(self, frozen: list[Frozen[S]]) -> None:
        self.frozen = frozen
        letters = [letter for letter, _ in self.ghosts]
        self._setting = True
        self.with_which.options = letters
        self.with_which.value = letters[-1] if letters else None
        self._setting = False

    def _chosen(self, _change: object) -> None:
        if not self._setting:
            self._on_choice()

    def _columns(
        self, present: S | None, system: UnitSystem
    ) -> dict[str, Mapping[str, str]]:
        """Return the shown numbers of each set-up and of the difference, by head."""
        letter = self.with_which.value
        then = self.subject.told(dict(self.ghosts)[letter])
        now = {} if present is None else self.subject.told(present)
        change = say("explorer", "compared", "difference", letter=letter)
        columns: dict[str, Mapping[str, str]] = {
            head: {} if result is None else self.subject.texts(result, system)
            for head, result in (
                *self.ghosts,
                (say("explorer", "compared", "now"), present),
            )
        }
        return {**columns, change: _changes(now, then, system)}

    def _short(
        self, columns: Mapping[str, Mapping[str, str]], system: UnitSystem
    ) -> str:
        names = [*self.subject.texts(self.frozen[0].result, system)][:TELLING]
        heads = "".join(f"<th>{escape(text('amount', name))}</th>" for name in names)
        rows = [
            _row(head, (column.get(name, "") for name in names))
            for head, column in columns.items()
        ]
        caption = escape(say("explorer", "compared", "caption"))
        return (
            f'<table class="pw-compare"><caption>{caption}</caption>'
            f"<tr><td></td>{heads}</tr>{''.join(rows)}</table>"
        )


def _changes(now: Amounts, then: Amounts, system: UnitSystem) -> dict[str, str]:
    """Return the differences from the numbers themselves, with their signs."""
    shown = {
        name: system.show(value - then[name][0], kind)
        for name, (value, kind) in now.items()
        if name in then
    }
    return {name: x if x.startswith("−") else f"+{x}" for name, x in shown.items()}


def _cells(columns: Mapping[str, Mapping[str, str]], name: str) -> Sequence[str]:
    return [column.get(name, "") for column in columns.values()]


def _row(head: str, texts: Iterable[str]) -> str:
    cells = "".join(f"<td>{escape(text)}</td>" for text in texts)
    return f"<tr><th>{escape(head)}</th>{cells}</tr>"
