"""The words of the trade: a picture with its letters, and what every word means."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import ipywidgets as ipw

from workbook.figures.drawing.svg import render, style_sheet
from workbook.language import glossary, say

if TYPE_CHECKING:
    from workbook.figures.drawing.marks import Sheet

STYLE = """.pw-word-list { max-width: 720px; font-size: 14px; line-height: 1.5; }
.pw-word-list dd { margin: 0 0 6px 16px; }"""
LETTERED = ("clamp_point", "head", "base", "anchor_point")  # in every picture of a pull


class WordList:
    """A picture of one pull, its letters, and under a fold the whole glossary."""

    def __init__(self, sheet: Sheet) -> None:
        words = {one.name: one for one in glossary()}
        letters = ", ".join(escape(words[name].word) for name in LETTERED)
        rows = "".join(
            f"<dt><b>{escape(one.word)}</b></dt><dd>{escape(one.meaning)}</dd>"
            for one in words.values()
        )
        fold = f"<summary>{escape(say('words', 'all'))}</summary><dl>{rows}</dl>"
        self.box = ipw.HTML(
            f"<style>{style_sheet()}{STYLE}</style>"
            f'<div class="pw-word-list">{render(sheet)}'
            f"<p>{letters}</p><details>{fold}</details></div>"
        )

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        plain = say("card", "run_all", what=say("words", "plain"))
        return {**self.box._repr_mimebundle_(**kwargs), "text/plain": plain}
