"""Diagonal checks of a US Army frame inspection."""

import pytest

from workbook.mechanics.survey.tapes import diagonals_of_points, skew_of_diagonals

INCH = 0.0254


@pytest.mark.kind(
    "diagonals_of_points + skew_of_diagonals",
    "two limits of one inspection side by side",
    "US Army TM 9-2320-280-34",
)
def test_half_an_inch_out_of_square_fails_the_quarter_inch_diagonal_check():
    # US Army TM 9-2320-280-34, para. 21-4 (c): (1) rails are skewed if two diagonals
    # differ by more than 1/4 in (6 mm); (2) 1/2 in (12.7 mm) out of square by string
    # and square makes the vehicle track sideways. The first check must not pass a
    # frame that fails the second. Measuring points 60 in by 30 in (invented).
    corners = {
        "left_front": [59.5 * INCH, 30 * INCH, 0],
        "left_rear": [-0.5 * INCH, 30 * INCH, 0],
        "right_front": [60 * INCH, 0, 0],
        "right_rear": [0, 0, 0],
    }

    pair = diagonals_of_points(**corners)

    assert pair.difference > 0.25 * INCH
    assert skew_of_diagonals(pair, length=60 * INCH) == pytest.approx(0.5 * INCH)
