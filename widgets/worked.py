"""A worked example on its page: each step in words, beside its picture."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import ipywidgets as ipw

from workbook.figures.drawing.svg import render, style_sheet
from workbook.figures.sketches.sketches import scene
from workbook.language import STANDING, caution, say
from workbook.reader.school import school_rules

if TYPE_CHECKING:
    from workbook.course.worked import StepText, WorkedText

STYLE = """
.pw-steps { max-width: 980px; font-size: 15px; line-height: 1.5; }
.pw-steps ol > li { margin: 0 0 12px; }
.pw-steps ul > li { margin: 0 0 2px; }
.pw-steps p { margin: 0 0 4px; }
.pw-step { display: flex; flex-wrap: wrap; gap: 4px 24px; align-items: center; }
.pw-step > div:last-child { container-type: inline-size; }
.pw-step > div { flex: 1 1 330px; min-width: 0; overflow-wrap: anywhere; }
.pw-step svg { display: block; width: 100%; max-width: 420px; height: auto; }
@container (max-width: 340px) { .pw-step svg { --pw-text: 1.3; } }
.pw-step .pw-put { font-weight: 600; }"""


class WorkedExample:
    """A worked example: where each number comes from, then step by step.

    Parameters
    ----------
    worked : WorkedText
        What stands in it.
    folded : bool
        Whether it is folded away, for who needs none; one press opens it.
    """

    def __init__(self, worked: WorkedText, *, folded: bool = False) -> None:
        self.worked = worked
        given = "".join(f"<li>{escape(line)}</li>" for line in worked.given)
        steps = "".join(f"<li>{_step(step)}</li>" for step in worked.steps)
        standing = [*(caution(name) for name in STANDING["result"]), *school_rules()]
        foot = "".join(f"<p>{escape(line)}</p>" for line in standing)
        shown = f"<ul>{given}</ul><ol>{steps}</ol>{foot}"
        if folded:
            why = escape(say("card", "not_needed"))
            shown = f"<details><summary>{why}</summary>{shown}</details>"
        self.box = ipw.HTML(
            f'<style>{style_sheet()}{STYLE}</style><div class="pw-steps">{shown}</div>'
        )

    def __repr__(self) -> str:
        return str(self.worked)

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        plain = {"text/plain": str(self.worked)}
        return {**self.box._repr_mimebundle_(**kwargs), **plain}


def _step(step: StepText) -> str:
    put = f'<p class="pw-put">{escape(step.put)}</p>'
    lines = [f"<p>{escape(x)}</p>" for x in (step.do, step.rule, step.agrees) if x]
    words = "".join([*lines[:2], put, *lines[2:]])
    drawn = ""
    if step.scene:
        drawn = f"<div>{render(scene(step.scene, step.words, **step.numbers))}</div>"
    return f'<div class="pw-step"><div>{words}</div>{drawn}</div>'
