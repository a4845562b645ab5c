"""The sketch on a card: that of its numbers, in the reader's units, nothing typed."""

import pytest
from on_card import press

from widgets import ExerciseCard
from widgets import card as card_module
from workbook.exercises import EXERCISES
from workbook.figures.drawing.styles import css_name
from workbook.figures.drawing.svg import render, style_sheet
from workbook.figures.sketches.sketches import sketch
from workbook.quantities.units import INCH, factor
from workbook.reader.record import record_here
from workbook.reader.settings import remember_units


@pytest.mark.parametrize("one", list(EXERCISES.values()), ids=lambda e: e.id)
def test_the_card_carries_its_sketch(one):
    card = ExerciseCard(one.id)
    press(card, "give_up")  # a later part waits for the one before

    drawn = sketch(card.task.variant)
    assert (drawn is None) == (one.sketch is None)
    assert card.frame["sketch"] == (drawn and render(drawn))


def test_the_looks_of_every_role_of_a_sketch_come_with_the_card():
    sheets = [sketch(ExerciseCard(id).task.variant) for id, _ in EXERCISES]
    drawings = [panel.drawing for sheet in sheets if sheet for panel in sheet.panels]
    roles = {mark.role for d in drawings for mark in (*d.still, *d.moving)}

    styles = str(ExerciseCard("2.1")._css)

    assert style_sheet() in styles
    assert (card_module.HERE / "card.css").read_text("utf-8") in styles
    assert all(f".pw-sheet .{css_name(role)}{{" in styles for role in roles)


def test_the_card_sketches_in_the_readers_units():
    remember_units(INCH)

    card = ExerciseCard("2.1")

    assert card.frame["sketch"] == render(sketch(card.task.variant, system=INCH))
    assert "lbf" in card.frame["sketch"]


def test_new_numbers_and_an_easier_exercise_bring_their_own_sketch():
    card = ExerciseCard("7.3")
    first = card.frame["sketch"]

    card.new_numbers()
    second = card.frame["sketch"]
    card.easier()

    assert len({first, second, card.frame["sketch"]}) == 3
    assert card.frame["sketch"] == render(sketch(card.task.variant))


def test_a_card_that_goes_on_from_the_readers_answer_leaves_it_out_of_the_picture():
    earlier = ExerciseCard("7.6a")
    later = ExerciseCard("7.6b")

    earlier.answer(f"{earlier.task.variant.answer / factor('deg') * 1.3:.4g} deg")

    assert later.task.carried is not None
    assert later.frame["sketch"] == render(sketch(later.task.variant, carried=True))
    assert "your angle" in later.frame["sketch"]


def test_nothing_a_reader_typed_is_in_the_picture():
    record_here().sign_in(student="<b>", class_key="<script>")
    card = ExerciseCard("7.2")

    card.answer("<img src=x> kN")

    assert "img src" not in card.frame["sketch"]
    assert card.frame["sketch"] == render(sketch(card.task.variant))
    assert "innerHTML" not in str(card._esm)
