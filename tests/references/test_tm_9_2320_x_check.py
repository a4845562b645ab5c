"""Diagonal checks of US Army frame inspections."""

import numpy as np
import pytest

from workbook.mechanics.survey.tapes import (
    Diagonals,
    diagonals_of_points,
    diagonals_of_skew,
    skew_of_diagonals,
)

INCH = 0.0254


def test_quarter_inch_of_diagonals_is_a_small_skew_of_the_rails():
    # US Army TM 9-2320-280-34, para. 21-4 (c)(1): rails are skewed if two diagonals
    # differ by more than 1/4 in (6 mm). For four measuring points 60 in along and
    # 30 in across (invented), hand calculation with d = 67.08 in: the difference is
    # 2 a s/d, so s = 0.25 * 67.08/(2 * 60) = 0.1398 in. First order in s/a: 1e-3.
    at_limit = Diagonals(
        from_left_front=np.asarray((67.0820 - 0.125) * INCH),
        from_right_front=np.asarray((67.0820 + 0.125) * INCH),
    )

    skew = skew_of_diagonals(at_limit, length=60 * INCH)

    assert at_limit.difference == pytest.approx(0.25 * INCH, rel=1e-12)
    assert skew / INCH == pytest.approx(0.1398, rel=1e-3)


def test_half_an_inch_out_of_square_fails_the_quarter_inch_diagonal_check():
    # The same manual, (c)(2): 1/2 in (12.7 mm) out of square by string and square
    # makes the vehicle track sideways. Its other check must not pass that frame.
    corners = {
        "left_front": [59.5 * INCH, 30 * INCH, 0],
        "left_rear": [-0.5 * INCH, 30 * INCH, 0],
        "right_front": [60 * INCH, 0, 0],
        "right_rear": [0, 0, 0],
    }

    pair = diagonals_of_points(**corners)

    assert pair.difference > 0.25 * INCH
    assert skew_of_diagonals(pair, length=60 * INCH) == pytest.approx(0.5 * INCH)


def test_three_millimetres_a_point_allow_more_than_five_between_diagonals():
    # US Army TM 9-2320-289-34, para. 9-3 b: frame measurements within 3 mm, diagonals
    # alike within 5 mm. A skew that moves each corner by the full 3 mm (6 mm between
    # the sides) on 1400 x 1100 mm (invented) is caught by the diagonals alone.
    pair = diagonals_of_skew(0.006, length=1.4, width=1.1)

    assert pair.difference == pytest.approx(2 * 1.4 * 0.006 / 1.7804, rel=1e-3)
    assert pair.difference > 0.005
