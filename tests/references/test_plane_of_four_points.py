"""The plane that lies best among four points, against a worked exercise."""

from math import tan

import pytest

from workbook.mechanics.survey.tilt import tilt_of_points


@pytest.mark.kind(
    "tilt_of_points", "two heights over one place", "solvely.ai, exercise 177330107"
)
def test_the_plane_among_four_points_has_the_printed_slopes():
    # solvely.ai, homework 177330107: z = Ax + By + C through (0, 1, 1), (0, 1, 0),
    # (1, 1, -1) and (-1, -1, 0) by least squares: A = -1.5, B = 1, C = -0.5. Two of the
    # points lie over each other.
    tilt = tilt_of_points([[0, 1, 1], [0, 1, 0], [1, 1, -1], [-1, -1, 0]])

    assert tan(tilt.nose_up) == pytest.approx(-1.5)
    assert tan(tilt.left_up) == pytest.approx(1.0)
