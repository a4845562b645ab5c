"""Exercises whose answer is the load of a pull: judged by what stays, let go."""

import pytest

from workbook.exercises import EXERCISES, exercise
from workbook.exercises.answers.straighten_it import StraightenIt
from workbook.exercises.engine import variant_for, variant_from
from workbook.exercises.marking import History, mark
from workbook.exercises.wording import feedback, question
from workbook.scenes import codes
from workbook.scenes.straightening import FIELDS, WORD

STRAIGHTENED = [o for o in EXERCISES.values() if isinstance(o.answer, StraightenIt)]
every = pytest.mark.parametrize("one", STRAIGHTENED, ids=lambda one: one.key)
RAIL = variant_from(exercise("15.8"), exercise("15.8").by_hand.numbers)
SEEDS = 12


@every
def test_the_right_load_leaves_what_is_needed_and_its_code_answers_too(one):
    for n in range(SEEDS):
        variant = variant_for(one, class_key="oak", student=f"K{n}")
        asked = one.answer.places(variant)["code"]
        values = {**codes.decode(WORD, FIELDS, asked), **variant.answer}
        under_load = {**values, "stage": "under load"}

        rail = one.answer.solved(variant.given, variant.answer)
        assert abs(rail.off) <= 1e-3
        assert asked in question(variant)
        assert mark(variant, one.answer.typed(variant.answer)).name == "right"
        assert mark(variant, codes.encode(WORD, FIELDS, under_load)).name == "right"
        assert mark(variant, asked).score == 0.0


@pytest.mark.parametrize(
    ("load", "name"),
    # By its curve, the rail keeps 14 mm after 20.68 kN, 3.9 mm more for each kN.
    [
        (20.68, "right"),
        (20.45, "right"),
        (20.9, "right"),
        (20.98, "close"),
        (20.3, "close"),
        (21.3, "none_of_these"),
        (20.1, "none_of_these"),
    ],
)
def test_full_marks_end_at_one_millimetre_and_most_of_them_at_two(load, name):
    assert mark(RAIL, f"load {load} kN").name == name


def test_a_load_at_which_two_mistakes_stop_asks_which_it_was():
    # 14.0 and 15.4 mm under load lie within what a load can be told apart by.
    outcome = mark(RAIL, "load 19.55 kN")

    assert outcome.name == "two_fit"
    assert outcome.choices == (
        "M30_no_springback",
        "always_ten_per_cent",
        "none_of_these",
    )


def test_what_the_rail_does_is_told():
    told = " ".join(feedback(mark(RAIL, "load 18 kN"), RAIL, History(hints=1)))

    # 18 ÷ 3.9 = 4.6 go back.
    assert "It springs back 4.6 mm" in told
    assert "are missing" in told


def test_a_load_that_bends_the_rail_to_scrap_is_told_so():
    thin = variant_from(exercise("15.8"), {"needed": 14, "wall": 2, "load": 5})
    outcome = mark(thin, "load 30 kN")

    told = " ".join(feedback(outcome, thin, History(hints=1)))
    assert outcome.name == "does_not_stand"
    assert "moves further than 150 mm" in told


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Nothing is set"),
        ("wall 3 mm", "sets nothing here"),
        ("load 3 deg", "load"),
        ("load 90 kN", "36"),
        ("SPRING1-AAAA", "code"),
    ],
)
def test_what_cannot_be_read_is_asked_back(typed, says):
    outcome = mark(RAIL, typed)

    assert outcome.held
    assert says in " ".join(feedback(outcome, RAIL, History()))


def test_a_code_of_another_rail_is_refused_with_what_is_other():
    values = {**RAIL.exercise.answer.whole(RAIL.given), "wall_mm": 3}

    outcome = mark(RAIL, codes.encode(WORD, FIELDS, values))

    assert outcome.held
    assert "3 mm" in outcome.trouble.sentence
