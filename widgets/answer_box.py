"""Where an answer is written: one box, or a way to write the same text in parts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from workbook.exercises.answers.draw_it import MOST, DrawIt
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.answers.set_it_out import SetItOut, short
from workbook.figures.sketches.boards import board
from workbook.language import say, text
from workbook.quantities.table import UNITS
from workbook.quantities.units import factor
from workbook.scenes.fields import Number
from workbook.scenes.setups import FIELDS

if TYPE_CHECKING:
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem

NUMBERED = ("arrow", "turn", "remove")  # what is said of each arrow


def answer_box(variant: Variant, name: str, system: UnitSystem) -> dict[str, Any]:
    """Return the field of a card in which an exercise is answered.

    Parameters
    ----------
    variant : Variant
        The exercise with its numbers.
    name : str
        Of the text in the card.
    system : UnitSystem
        The reader's units.
    """
    answer = variant.exercise.answer
    if isinstance(answer, SetItOut):
        return {"name": name, **_set_out(variant, answer, system)}
    if isinstance(answer, DrawIt):
        return {"name": name, **_drawing(variant, answer, system)}
    assert isinstance(answer, Quantity)
    example = "2.5" if answer.unit == "1" else f"12.4 {answer.unit}"
    return {"name": name, "label": say("card", "answer_label", example=example)}


def _set_out(variant: Variant, answer: SetItOut, system: UnitSystem) -> dict[str, Any]:
    """Return a box for every number that may be set, and one for a code."""
    parts = []
    given = dict(answer.as_given(variant, system))
    for free in answer.free:
        field = FIELDS[free]
        assert isinstance(field, Number)
        unit = system.unit[field.kind]
        label = say("explorer", "label", name=field.label, unit=unit)
        now = given[field.label]
        parts.append({"key": short(free), "label": label, "unit": unit, "now": now})
    return {
        "parts": parts,
        "legend": say("card", "set_out"),
        "code": say("card", "or_code"),
    }


def _drawing(variant: Variant, answer: DrawIt, system: UnitSystem) -> dict[str, Any]:
    """Return where arrows can be drawn on the sketch, and the words beside them."""
    on, unit = board(variant), system.unit["force"]
    places = [
        {"name": letter, "x": round(on.places[letter][0], 1),
         "y": round(on.places[letter][1], 1)}
        for letter in answer.hooks
    ]  # fmt: skip
    words = {
        name: [say("card", "draw", name, number=n) for n in range(1, MOST + 1)]
        if name in NUMBERED
        else said
        for name, said in text("card", "draw").items()
    }
    return {
        "board": {"places": places, "scale": on.scale * factor(unit)},
        "unit": unit,
        "step": UNITS[unit].step,
        "words": words,
        "size": say("explorer", "label", name=say("card", "draw", "size"), unit=unit),
    }
