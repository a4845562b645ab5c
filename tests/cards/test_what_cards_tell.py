"""No card shows what another one asks, at the same numbers."""

import json
import re
from itertools import permutations

import pytest
from on_card import press, typed_for, wrong_texts

from widgets import ExerciseCard
from workbook.exercises import EXERCISES, exercise, exercises_of, source_of
from workbook.exercises.answers.picked import Choose
from workbook.exercises.sets import ENTRY, SETS
from workbook.exercises.wording import hint_count
from workbook.quantities.units import factor
from workbook.reader.record import record_here

LESSONS = sorted({one.lesson for one in EXERCISES.values()})
PARTS = [
    (source_of(exercise(one.id)), one)
    for one in EXERCISES.values()
    if one.carry and exercise(one.id) is one
]
SIGNS = {"deg": "°|deg", "1": "times|x|×"}


def told(card, clock):
    """Return everything that a card says, hints and what is said to each answer too."""
    seen = [card.frame]
    for _ in range(hint_count(card.task.exercise)):
        clock.seconds += 10
        press(card, "hint")
    press(card, "worked")
    for typed in wrong_texts(card)[:2]:
        card.answer(typed)
        seen.append(card.frame)
        if card.task.work.asked_for_thinking:
            card.think("none_of_these")
    return json.dumps([*seen, card.frame], ensure_ascii=False)


def says(text, variant):
    """Tell whether a text has the right answer in it, as near as it is marked."""
    answer = variant.exercise.answer
    if isinstance(answer, Choose):  # what is told of the item, its numbers at least
        item = dict(answer.rows(variant))[variant.answer[0]]
        return all(number in text for number in re.findall(r"\d+ ?(?:kN|°|mm)", item))
    unit = SIGNS.get(answer.unit, re.escape(answer.unit))
    found = re.findall(rf"(-?[0-9]+(?:\.[0-9]+)?) ?(?:{unit})(?![a-z0-9])", text)
    near = variant.tolerance / factor(answer.unit) / 2
    return any(
        abs(float(x) - variant.answer / factor(answer.unit)) < near for x in found
    )


def test_the_ruler_finds_an_answer_where_there_is_one():
    card = ExerciseCard("7.6a")
    text = f"it rises at {typed_for(card)}, as said"

    assert says(text, card.task.variant)
    assert says(text.replace(" deg", "°"), card.task.variant)
    assert not says("it rises at 2 deg", card.task.variant)


@pytest.mark.parametrize("set", [set for set in SETS if set != ENTRY])  # asks no parts
@pytest.mark.parametrize(("first", "later"), PARTS, ids=lambda one: one.id)
@pytest.mark.parametrize("student", ["K7", "K8", "K9"])
def test_a_part_and_the_part_before_it_do_not_tell_each_other(
    first, later, set, student, clock
):
    record_here().sign_in(student=student, class_key="oak")
    cards = [ExerciseCard(one.id, set=set) for one in (first, later)]
    before = [card.task.variant for card in cards]

    waiting = told(cards[1], clock)
    earlier = told(cards[0], clock)
    cards[0].show()
    cards[1].show()
    after = told(cards[1], clock)

    assert cards[0].task.work.solved is False
    assert not says(waiting + after, before[0])
    assert not says(earlier, before[1])


@pytest.mark.parametrize("lesson", LESSONS)
def test_no_two_exercises_of_a_lesson_have_the_same_numbers_but_parts(lesson):
    record_here().sign_in(student="K7", class_key="oak")
    cards = [ExerciseCard(one.id, set="exit") for one in exercises_of(lesson)]

    for one, two in permutations(cards, 2):
        if source_of(two.task.exercise) is not one.task.exercise:
            its = one.task.variant.numbers.items()
            assert not its <= two.task.variant.numbers.items()


def test_there_are_parts_to_look_at():
    assert [(one.id, two.id) for one, two in PARTS] == [
        ("3.5a", "3.5b"),
        ("6.6a", "6.6b"),
        ("7.6a", "7.6b"),
        ("10.4", "10.6"),
        ("12.2", "12.6"),
        ("14.5a", "14.5b"),
    ]
