"""The set-up code: shown for what stands now, and typed to bring another set-up."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import ipywidgets as ipw

from widgets.controls import alert, mark_held
from workbook.errors import FormError
from workbook.language import say
from workbook.scenes import codes

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbook.figures.subject import Subject, Values


class CodeBox:
    """A box with the code of the present set-up; a mistyped one is told beside it."""

    def __init__(
        self, subject: Subject[Any], *, on_code: Callable[[Values], None]
    ) -> None:
        self.subject = subject
        self.box = ipw.Text(
            description=say("explorer", "code"),
            continuous_update=False,
            layout=ipw.Layout(width="auto"),
        )
        self.note = ipw.HTML()
        made = ipw.HBox([self.box, self.note])
        self.widget = made.add_class("pw-code").add_class("pw-quiet")
        self._shown = ""
        self._held = False
        self._on_code = on_code
        self.box.observe(self._typed, names="value")

    def encoded(self, values: Values) -> str:
        """Return the code of values."""
        return codes.encode(self.subject.word, self.subject.fields, values)

    def decoded(self, code: str) -> Values:
        """Return the values of a code."""
        return codes.decode(self.subject.word, self.subject.fields, code)

    def show(self, values: Values) -> None:
        """Show the code of values."""
        self._shown = self.encoded(values)
        self.box.value = self._shown

    def hold(self, held: bool) -> None:
        """Hold it still, or let it go."""
        self._held = held
        mark_held(self.widget, held)

    def _typed(self, _change: object) -> None:
        self.note.value = ""
        if self._held:
            self.box.value = self._shown
        if self.box.value == self._shown:
            return
        try:
            self._on_code(self.decoded(self.box.value))
        except FormError as error:
            self.note.value = alert(str(error))
