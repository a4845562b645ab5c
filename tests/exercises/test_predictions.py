"""Predict first: every wrong choice means something, and letters tell nothing."""

import pytest

from workbook.course.predictions import PREDICTIONS, choices, judge
from workbook.language import entries


def texts(lesson, student="K7"):
    shown = choices(PREDICTIONS[lesson], class_key="oak", student=student)
    return [choice.text for choice in shown]


@pytest.mark.parametrize(
    ("lesson", "right", "wrong"),
    [
        # Worked by hand from the triangles and the rule of sines.
        ("L02", "18.8 kN", {"20 kN", "15.6 kN", "6.84 kN"}),
        ("L07", "43.5 kN", {"20 kN", "37.2 kN", "40 kN"}),
        ("L08", "225 mm", {"50 mm", "125 mm"}),
        ("L09", "150 mm", {"15 mm", "30 mm", "174 mm"}),
    ],
)
def test_the_choices_are_the_right_answer_and_the_known_mistakes(lesson, right, wrong):
    shown = choices(PREDICTIONS[lesson], class_key="oak", student="K7")

    assert {c.text for c in shown if c.name == "right"} == {right}
    assert {c.text for c in shown[:-1]} - {right} == wrong
    assert shown[-1].name == "none_of_these"


def test_students_see_the_choices_in_different_orders():
    orders = {tuple(texts("L02", f"student {n}")) for n in range(60)}

    assert len(orders) == 24


def test_one_student_always_sees_the_same_order():
    assert texts("L07") == texts("L07")


@pytest.mark.parametrize("prediction", PREDICTIONS.values(), ids=PREDICTIONS)
def test_a_wrong_choice_gets_the_refutation_of_its_mistake(prediction):
    for name in prediction.wrong:
        outcome = judge(prediction, name)

        assert outcome.score == 0.0
        assert outcome.lines[0] == entries("en")["mistake"][name]["did"]


def test_a_right_prediction_and_another_answer_get_a_line_each():
    right = judge(PREDICTIONS["L02"], "right")
    other = judge(PREDICTIONS["L02"], "none_of_these")

    assert (right.score, other.score) == (1.0, 0.0)
    assert right.lines != other.lines
