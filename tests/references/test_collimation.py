"""A line of sight that tilts: readings taken out of true by it, against a peg test."""

from math import atan

import pytest

from workbook.mechanics.survey.tilt import height_without_tilt


@pytest.mark.kind(
    "height_without_tilt", "readings on a tilted line", "curioustab.com, question 66998"
)
def test_two_pegs_are_as_far_apart_in_height_as_the_level_between_them_says():
    # curioustab.com, question 66998: from one place a level reads 2.232 m on a peg at
    # 25 m and 2.847 m on one at 50 m. Half-way it had found 0.630 m between them. Its
    # line falls by 0.060 m in 100 m, printed.
    fall = -0.060 / 100

    near, far = height_without_tilt(
        [2.232, 2.847], x=[25.0, 50.0], nose_up=[atan(fall)] * 2
    )

    assert far - near == pytest.approx(0.630, abs=5e-7)
    assert near == pytest.approx(2.247)
