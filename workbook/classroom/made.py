"""Exercises whose answer is made, on paper: the question, and what to fill in."""

from __future__ import annotations

from dataclasses import replace
from math import radians
from typing import TYPE_CHECKING, Any

from workbook.classroom.press import svg_of
from workbook.classroom.protractor import protractor
from workbook.exercises import wording
from workbook.exercises.answers.draw_it import DrawIt
from workbook.exercises.answers.picked import Choose, Match, Picked
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.answers.set_up_text import SetUpText
from workbook.figures.drawing.marks import Drawing, Line, Panel, Sheet
from workbook.figures.drawing.named import arc
from workbook.figures.sketches.sketches import sketch
from workbook.language import text

if TYPE_CHECKING:
    from workbook.exercises.declaration import Exercise
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem

SCALE = "scale.svg"
WIDE = 300.0  # pixels of the scale
LETTERS = 1.2  # of a printed sketch: it is smaller than on a page


def is_made(one: Exercise) -> bool:
    """Tell whether an answer is made, and not one number.

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> is_made(exercise("7.7")), is_made(exercise("7.2"))
    (True, False)
    """
    return not isinstance(one.answer, Quantity)


def printed(variant: Variant, system: UnitSystem) -> dict[str, Any]:
    """Return title, question and an empty table for an answer, as a page has them.

    ``figure`` names the file with the scale that arrows are drawn on, if they are, and
    ``sketch`` is the question's own picture, where it is printed;
    ``picks`` says that letters are picked, which needs no room to work.
    """
    one = variant.exercise
    draws = isinstance(one.answer, DrawIt)
    question = wording.question(variant, system=system).split("\n")
    if isinstance(one.answer, Match):
        places = one.answer.numbered(variant)
        question.append(", ".join(f"{number} {place}" for number, place in places))
    return {
        "id": one.id,
        "title": wording.title(one),
        "question": question,
        "head": text("handout", "head", one.answer.says),
        "rows": _rows(variant, system),
        "picks": isinstance(one.answer, Picked),
        "figure": SCALE if draws else "",
        "sketch": _sketch(variant, system),
    }


def _sketch(variant: Variant, system: UnitSystem) -> dict[str, str]:
    """Return the sketch of a question as it is printed, and what it says; if it is."""
    declared = variant.exercise.sketch
    if declared is None or not declared.printed:
        return {}
    drawn = sketch(variant, system=system)
    assert drawn is not None
    large = replace(drawn, letters=LETTERS)
    return {"svg": svg_of(large).decode(), "says": str(drawn.text)}


def _rows(variant: Variant, system: UnitSystem) -> list[tuple[str, ...]]:
    answer = variant.exercise.answer
    if isinstance(answer, DrawIt):  # one more than there are, so that none is told
        return [(f"{n}", "", "", "") for n in range(1, len(variant.answer) + 2)]
    if isinstance(answer, Picked):
        rows = answer.rows(variant, system=system)
        if isinstance(answer, Choose):
            rows.append((answer.own(dict(rows)), text("handout", "own_answer")))
        return [(*row, "") for row in rows]
    assert isinstance(answer, SetUpText)
    return [(*named, "") for named in answer.as_given(variant, system)]


def scale() -> Sheet:
    """Return a point with degrees all round it, to draw arrows from."""
    middle = (0.0, 0.0)
    marks = [
        *(
            mark
            for start in range(0, 360, 45)
            for mark in (
                Line(arc(middle, 1.0, radians(start), radians(start + 45)), "angle"),
                *protractor(middle, 1.0, start=start, end=start + 40, zero=0),
            )
        ),
        Line([(-0.06, 0.0), (1.0, 0.0)], "reference"),
        Line([(0.0, -0.06), (0.0, 0.06)], "angle"),
    ]
    window = (-1.25, 1.25, -1.25, 1.25)
    drawing = Drawing(caption="", window=window, moving=marks)
    panel = Panel(drawing=drawing, left=0, top=0, width=WIDE, height=WIDE)
    words = text("handout", "scale")
    return Sheet(width=WIDE, height=WIDE, text=words, panels=(panel,))
