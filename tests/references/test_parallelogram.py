"""Sides and diagonals of a parallelogram against a worked trigonometry problem."""

import numpy as np
import pytest

from workbook.mechanics.survey.tapes import (
    Diagonals,
    diagonals_of_skew,
    skew_of_diagonals,
)

SOURCE = "algebra.com, problem 972914"

# Algebra.com, problem 972914: sides of 7 and 9, one diagonal of 8; the other is 14,
# exactly. Drawn with the side of 7 from (0, 0) to (-3.667, 5.963), three decimals.
LENGTH, SIDE, SHORT, LONG = 9.0, 7.0, 8.0, 14.0
SKEW, WIDTH = 3.667, 5.963


@pytest.mark.kind("skew_of_diagonals", "skew of a parallelogram", SOURCE)
def test_two_diagonals_tell_the_skew():
    pair = Diagonals(
        from_left_front=np.asarray(SHORT), from_right_front=np.asarray(LONG)
    )

    skew = skew_of_diagonals(pair, length=LENGTH)

    assert skew == pytest.approx(SKEW, abs=5e-4)
    assert np.hypot(skew, WIDTH) == pytest.approx(SIDE, abs=5e-4)


@pytest.mark.kind("diagonals_of_skew", "diagonals of a parallelogram", SOURCE)
def test_a_skew_makes_one_diagonal_short_and_one_long():
    # The third decimal of the drawn corner shows in the third of the diagonals.
    pair = diagonals_of_skew(SKEW, length=LENGTH, width=WIDTH)

    assert pair.from_left_front == pytest.approx(SHORT, abs=1e-3)
    assert pair.from_right_front == pytest.approx(LONG, abs=1e-3)
