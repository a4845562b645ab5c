"""Exercises whose answer is made, on paper: the question, and what to fill in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from workbook.exercises import wording
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.answers.set_it_out import SetItOut
from workbook.language import text

if TYPE_CHECKING:
    from workbook.exercises.declaration import Exercise
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem


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
    """Return title, question and an empty table for an answer, as a page has them."""
    one = variant.exercise
    assert isinstance(one.answer, SetItOut)
    rows = [(label, value, "") for label, value in one.answer.as_given(variant, system)]
    return {
        "id": one.id,
        "title": wording.title(one),
        "question": wording.question(variant, system=system).split("\n"),
        "head": text("handout", "set_out_head"),
        "rows": rows,
    }
