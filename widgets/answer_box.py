"""Where an answer is written: one box, or a way to write the same text in parts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from workbook.exercises.answers.counted import Count
from workbook.exercises.answers.draw_it import MOST, DrawIt
from workbook.exercises.answers.picked import Choose, Match, Order, Picked
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.answers.set_up_text import SetUpText, short
from workbook.figures.sketches.boards import board
from workbook.language import say, text
from workbook.quantities.table import UNITS
from workbook.quantities.units import factor
from workbook.scenes.fields import Number

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
    if isinstance(answer, Picked):
        return {"name": name, **_picking(variant, answer, system)}
    if isinstance(answer, SetUpText):
        return {"name": name, **_set_out(variant, answer, system)}
    if isinstance(answer, DrawIt):
        return {"name": name, **_drawing(variant, answer, system)}
    assert isinstance(answer, Quantity)
    if isinstance(answer, Count):
        return {"name": name, "label": say("card", "count_label", example="12")}
    example = "2.5" if answer.unit == "1" else f"12.4 {answer.unit}"
    return {"name": name, "label": say("card", "answer_label", example=example)}


def listed(variant: Variant, system: UnitSystem) -> list[str]:
    """Return the items that an answer picks from, for a card without its box."""
    answer = variant.exercise.answer
    if not isinstance(answer, Picked):
        return []
    rows = answer.rows(variant, system=system)
    if isinstance(answer, Match):
        rows += answer.numbered(variant)
    return [f"{letter}: {item}" for letter, item in rows]


def _picking(
    variant: Variant, answer: Picked[Any], system: UnitSystem
) -> dict[str, Any]:
    """Return the items with their letters, and the words of the controls."""
    kind, rows = answer.says, answer.rows(variant, system=system)
    pick: dict[str, Any] = {"kind": kind, "legend": say("card", "pick", kind, "legend")}
    pick["items"] = [{"letter": letter, "text": item} for letter, item in rows]
    own = ""
    if isinstance(answer, Choose):
        own = answer.own(dict(rows))
        pick["own"] = {"letter": own, "text": say("card", "pick", kind, "own")}
    elif isinstance(answer, Match):
        pick["places"] = answer.numbered(variant)
    elif isinstance(answer, Order):
        count = len(rows)
        for item in pick["items"]:
            for way in ("up", "down"):
                item[way] = say("card", "pick", kind, way, letter=item["letter"])
        pick["stands"] = [
            say("card", "pick", kind, "stands", number=n, count=count)
            for n in range(1, count + 1)
        ]
    return {"label": say("card", "pick", kind, "label", own=own), "pick": pick}


def _set_out(variant: Variant, answer: SetUpText, system: UnitSystem) -> dict[str, Any]:
    """Return a box for every number that may be set, and one for a code."""
    parts = []
    given = dict(answer.as_given(variant, system))
    for free in answer.free:
        field = answer.FIELDS[free]
        assert isinstance(field, Number)
        unit = system.unit[field.kind]
        label = say("explorer", "label", name=field.label, unit=unit)
        now = given[field.label]
        name = {"key": short(free), "name": field.label, "label": label}
        parts.append({**name, "unit": unit, "now": now})
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
