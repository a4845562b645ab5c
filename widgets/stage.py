"""The stage of an explorer: one picture, its numbers and its words.

The kernel sends all three in one message; the browser lays them out, tells a
screen reader once the controls rest, and passes single keys back.
"""

from __future__ import annotations

from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

import anywidget
import traitlets

from workbook.figures.drawing.svg import render, style_sheet
from workbook.language import say, text

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from workbook.figures.drawing.marks import Sheet

HERE = Path(__file__).parent


class Stage(anywidget.AnyWidget):
    """Shows a result, or the reason of a refusal and no picture.

    ``frame`` is what the browser shows: SVG, an HTML table, HTML words, and the
    words to be spoken; ``says`` what the page itself says round it; ``projector``
    whether it fills the screen.
    """

    _esm = HERE / "stage.js"
    _css = style_sheet() + (HERE / "stage.css").read_text("utf-8")
    frame = traitlets.Dict().tag(sync=True)
    says = traitlets.Dict().tag(sync=True)
    projector = traitlets.Bool(False).tag(sync=True)

    def __init__(self, on_key: Callable[[str], None]) -> None:
        self._count = 0
        says = text("explorer", "page")
        super().__init__(frame=self._frame("", "", "", ""), says=says)
        self.on_msg(lambda _widget, content, _buffers: on_key(content["key"]))

    def show(
        self, sheets: Sequence[Sheet], *, numbers: Sequence[tuple[str, str]], words: str
    ) -> None:
        """Show pictures with a table of named numbers and a few sentences."""
        rows = "".join(
            f"<tr><td>{escape(name)}</td><td>{escape(value)}</td></tr>"
            for name, value in numbers
        )
        picture = "".join(render(sheet) for sheet in sheets)
        self.frame = self._frame(
            picture, f"<table>{rows}</table>", escape(words), words
        )

    def refuse(self, reason: str) -> None:
        """Show the reason why there is nothing to show."""
        words = say("explorer", "refused", reason=reason)
        shown = f'<p class="pw-refusal">{escape(words)}</p>'
        self.frame = self._frame("", "", shown, words)

    def _frame(
        self, picture: str, numbers: str, words: str, spoken: str
    ) -> dict[str, object]:
        self._count += 1
        return {
            "picture": picture,
            "numbers": numbers,
            "words": words,
            "spoken": spoken,
            "count": self._count,
        }
