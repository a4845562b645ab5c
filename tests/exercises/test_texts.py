"""Texts of the exercises: all there, filled in, short, and without the numbers."""

import re

import pytest

from workbook.exercises import EXERCISES, exercise
from workbook.exercises.engine import variant_for, variant_from
from workbook.exercises.wording import (
    answer_text,
    hint,
    hint_count,
    question,
    refutation,
    rule,
    thought,
    title,
    worked_steps,
)
from workbook.language import entries
from workbook.quantities.units import INCH

every_exercise = pytest.mark.parametrize("one", EXERCISES.values(), ids=lambda e: e.key)


def variant_to(one):
    return variant_for(one, class_key="oak", student="K7")


def strings(entry):
    if isinstance(entry, str):
        return [entry]
    values = entry.values() if isinstance(entry, dict) else entry
    return [text for value in values for text in strings(value)]


def test_there_are_texts_of_just_the_exercises_there_are():
    told = {
        (lesson, key)
        for lesson, table in entries("en")["exercise"].items()
        for key in table
    }

    assert told == {(one.lesson, one.key) for one in EXERCISES.values()}


@every_exercise
def test_every_text_of_an_exercise_is_there_and_filled_in(one):
    variant = variant_to(one)
    texts = [title(one), question(variant), rule(one)]
    texts += [hint(variant, n + 1) for n in range(hint_count(one))]
    if one.carry:
        texts.append(question(variant, carried=True))

    assert hint_count(one) >= 3
    for text in texts:
        assert text
        assert "{" not in text


@every_exercise
def test_the_last_hint_is_a_worked_copy_with_other_numbers(one):
    for attempt in range(1, 9):
        variant = variant_for(one, class_key="oak", student="K7", attempt=attempt)
        copy = variant.worked_copy
        last = hint(variant, hint_count(one))

        assert copy.numbers != variant.numbers
        assert one.answer.apart(copy.answer, variant)
        assert answer_text(copy) in last


@every_exercise
def test_only_the_last_step_of_a_worked_example_gives_its_answer(one):
    variant = variant_to(one)
    answer = answer_text(variant.worked_copy)

    *steps, last = worked_steps(variant)

    assert answer in last
    assert steps[0].endswith(".")
    assert all(steps)
    assert f"= {answer}" not in " ".join(steps)


@every_exercise
def test_every_mistake_is_refuted_in_four_parts_and_every_slip_in_two(one):
    for name in [*(m.name for m in one.mistakes), *one.answer.also]:
        parts = refutation(one, name)

        assert len(parts) == (2 if name.startswith("slip_") else 4)
        assert thought(one, name).startswith(("I ", "My "))


def test_an_exercise_has_texts_of_its_own_for_its_own_mistakes_only():
    for one in EXERCISES.values():
        own = entries("en")["exercise"][one.lesson][one.key].get("mistake", {})

        own = {name for name in own if not name.startswith("slip_")}  # anywhere
        assert own <= {m.name for m in one.mistakes} | {*one.answer.also}


def test_no_refutation_holds_a_number():
    tables = [entries("en")["mistake"]]
    tables += [
        texts.get("mistake", {})
        for lesson in entries("en")["exercise"].values()
        for texts in lesson.values()
    ]

    assert [text for text in strings(tables) if re.search(r"\d", text)] == []


def test_a_reader_of_inches_sees_the_same_numbers_with_inches_behind():
    variant = variant_from(exercise("2.1"), {"tension": 20, "angle": 30})

    assert "20 kN (4496 lbf)" in question(variant, system=INCH)
    assert "20 kN." in question(variant)
