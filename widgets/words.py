"""The words of the trade: a picture with its names, and what every word means."""

from __future__ import annotations

from html import escape

import ipywidgets as ipw

from workbook.figures.drawing.svg import render, style_sheet
from workbook.figures.sketches.named import PICTURED
from workbook.figures.sketches.sketches import scene
from workbook.language import glossary, say

STYLE = """
.pw-word-list { max-width: 1100px; font-size: 15px; line-height: 1.5; }
.pw-word-list .pw-named { display: flex; flex-wrap: wrap; gap: 8px 28px; }
.pw-word-list .pw-named > div { flex: 3 1 340px; min-width: 0; }
.pw-word-list svg { display: block; width: 100%; max-width: 660px; height: auto; }
.pw-word-list ul { flex: 1 1 220px; list-style: none; margin: 0; padding: 0;
  display: grid; grid-template-columns: repeat(auto-fill, minmax(130px, 1fr));
  align-content: start; gap: 2px 16px; }
.pw-word-list li { line-height: 28px; }
.pw-word-list :is(dt, dd) { float: none; width: auto; margin: 0; padding: 0; }
.pw-word-list dd { margin: 0 0 6px 16px; }"""


class WordList:
    """A picture of one pull by name, the words beside it, and a fold of what they mean.

    The page of a lesson lets each word tell its meaning; the fold does without it.
    """

    def __init__(self) -> None:
        words = glossary()
        named = {one.name: one.word for one in words if one.name in PICTURED}
        said = {name: say("words", name) for name in ("side", "above", "text")}
        picture = render(scene("named_parts", named | said))
        items = "".join(f"<li>{escape(named[name])}</li>" for name in PICTURED)
        rows = "".join(
            f"<dt><b>{escape(one.word)}</b></dt><dd>{escape(one.meaning)}</dd>"
            for one in words
        )
        fold = f"<summary>{escape(say('words', 'all'))}</summary><dl>{rows}</dl>"
        self.box = ipw.HTML(
            f"<style>{style_sheet()}{STYLE}</style>"
            f'<div class="pw-word-list"><div class="pw-named"><div>{picture}</div>'
            f'<ul class="pw-parts">{items}</ul></div><details>{fold}</details></div>'
        )

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        plain = say("card", "run_all", what=say("words", "plain"))
        return {**self.box._repr_mimebundle_(**kwargs), "text/plain": plain}
