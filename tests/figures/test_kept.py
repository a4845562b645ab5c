"""What stands still is made once; what would be large is not kept."""

import numpy as np

from workbook.figures.drawing.kept import MOST, kept


def counted():
    """Return a function that keeps its answers, and the arguments it was made for."""
    asked = []

    @kept
    def made(point, *, name="a"):
        asked.append((point, name))
        return asked[-1]

    return made, asked


def test_equal_arguments_get_the_answer_of_before():
    made, asked = counted()
    others = [np.ones(3), np.zeros(2), np.zeros((3, 1)), 0.0]

    first = made(np.zeros(3))

    assert made(np.zeros(3)) is first
    assert all(made(other) is not first for other in others)
    assert made(np.zeros(3), name="b") is not first
    assert len(asked) == 6


def test_of_many_set_ups_and_of_many_answers_none_is_kept():
    made, asked = counted()

    assert made(np.zeros((2, 3))) is not made(np.zeros((2, 3)))
    for number in range(MOST + 1):
        made(float(number))
    made(0.0)

    assert [one for one, _ in asked[2:]].count(0.0) == 2
