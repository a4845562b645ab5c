"""Exercises whose answer is a pull line: judged by its angle to the correction."""

import numpy as np
import pytest

from workbook.exercises import EXERCISES, exercise
from workbook.exercises.answers.line_it_up import LineItUp
from workbook.exercises.engine import variant_for, variant_from
from workbook.exercises.marking import History, mark
from workbook.exercises.wording import feedback, question
from workbook.scenes import codes
from workbook.scenes.lines import FIELDS, WORD, LineGiven

LINED = [one for one in EXERCISES.values() if isinstance(one.answer, LineItUp)]
every = pytest.mark.parametrize("one", LINED, ids=lambda one: one.key)
LINE = variant_from(exercise("6.8"), exercise("6.8").by_hand.numbers)
SEEDS = 60


def drawn(one):
    return [variant_for(one, class_key="oak", student=f"K{n}") for n in range(SEEDS)]


@every
def test_the_right_pull_undoes_the_error_to_the_nearest_step(one):
    for variant in drawn(one):
        g, made = variant.given, variant.answer

        outcome = mark(variant, one.answer.typed(made))

        side = np.degrees(np.arctan2(-g.width, g.length))
        rise = np.degrees(np.arctan2(g.height, np.hypot(g.length, g.width)))
        assert (outcome.name, outcome.score) == ("right", 1.0)
        assert made["bearing_deg"] == pytest.approx(side, abs=0.501)
        assert made["rise_deg"] == pytest.approx(rise, abs=0.501)


@every
def test_the_code_of_the_question_opens_its_point_and_a_set_up_of_it_answers(one):
    for variant in drawn(one)[:10]:
        asked = one.answer.places(variant)["code"]
        values = {**codes.decode(WORD, FIELDS, asked), **variant.answer}

        assert asked in question(variant)
        assert LineGiven(values=codes.decode(WORD, FIELDS, asked)).solved().off > 0.05
        assert mark(variant, codes.encode(WORD, FIELDS, values)).name == "right"
        assert mark(variant, asked).score == 0.0


@every
def test_every_mistake_is_found_for_somebody_and_earns_nothing(one):
    seen = set()
    for variant in drawn(one):
        for mistake in one.answer.armed(variant):
            side, rise = np.degrees(mistake.leads(variant.given))
            outcome = mark(variant, f"bearing {side:.2f} deg; rise {rise:.2f} deg")
            assert outcome.score == 0
            assert mistake.name in {outcome.name, *outcome.choices}
            seen.add(mistake.name)

    assert seen == {mistake.name for mistake in one.mistakes}


@pytest.mark.parametrize(
    ("rise", "name"),
    [
        (18.43, "right"),
        (19.4, "right"),
        (17.5, "right"),
        (19.5, "close"),
        (20.4, "close"),
        (20.5, "none_of_these"),
    ],
)
def test_full_marks_end_at_one_degree_and_most_of_them_at_two(rise, name):
    assert mark(LINE, f"bearing -36.87 deg; rise {rise} deg").name == name


def test_what_is_not_set_stays_as_it_is():
    assert mark(LINE, "bearing -37 deg").name == "none_of_these"  # still level


def test_how_far_off_and_what_goes_across_is_told():
    outcome = mark(LINE, "bearing -37 deg")

    told = " ".join(feedback(outcome, LINE, History(hints=1)))
    # Level, 18.43° below the correction: cos 0.949, sin 0.316.
    assert "The pull runs 18.4° off the correction." in told
    assert "works 95% of the pull, across it 32%." in told


def test_a_pull_against_the_correction_is_told_so():
    far = variant_from(exercise("6.8"), {"length": 10, "width": 40, "height": 5})
    outcome = mark(far, "bearing 76 deg")

    assert "works against it" in " ".join(feedback(outcome, far, History(hints=1)))


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Nothing is set"),
        ("lean 3 deg", "sets nothing here"),
        ("bearing 3 kN", "bearing"),
        ("bearing 200 deg", "90"),
        ("bearing 1 deg; bearing 2 deg", "twice"),
        ("LINE1-AAAA", "code"),
        ("PULL1-2F4D-V5TG-MQ3A-1GMR-SWG0-07R8", "sets nothing here"),
    ],
)
def test_what_cannot_be_read_is_asked_back(typed, says):
    outcome = mark(LINE, typed)

    assert outcome.held
    assert says in " ".join(feedback(outcome, LINE, History()))


def test_a_code_of_another_point_is_refused_with_what_is_other():
    values = {**LINE.exercise.answer.whole(LINE.given), "left_mm": 20}

    outcome = mark(LINE, codes.encode(WORD, FIELDS, values))

    assert outcome.held
    assert "20 mm" in outcome.trouble.sentence
