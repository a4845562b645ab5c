"""Two pulls whose sum must run along a given line, against worked statics problems."""

import numpy as np
import pytest

from workbook.mechanics.pull.rigging import bridle
from workbook.mechanics.vectors import direction, norm, side_angle_of
from workbook.quantities.units import factor

BEER = "Beer & Johnston, Vector Mechanics for Engineers: Statics"
HIBBELER = "Hibbeler, Statics (SI)"


@pytest.mark.kind("bridle", "two ropes whose sum runs along an axis", BEER)
def test_two_tugboats_pull_a_barge_along_its_axis():
    # Beer, Johnston et al., Sample Problem 2.2 (a), worked at holooly.com/?p=1847515: a
    # resultant of 5000 lb along the barge, ropes at 30 and 45 degrees from it on both
    # sides; printed 3660 and 2590 lb, hence half of the third figure.
    pound = factor("lbf")

    ropes = bridle(5000 * pound, angle_left=np.radians(30), angle_right=np.radians(45))

    assert ropes.left / pound == pytest.approx(3660, abs=5)
    assert ropes.right / pound == pytest.approx(2590, abs=5)


@pytest.mark.kind("bridle", "direction in which a second pull is least", BEER)
def test_the_second_rope_pulls_least_square_to_the_first():
    # Part (b): the second rope carries least, 2500 lb, at 60 degrees from the axis,
    # square to the first; printed without rounding.
    pound, angles = factor("lbf"), np.arange(20.0, 90.5, 0.5)

    ropes = bridle(
        5000 * pound, angle_left=np.radians(30), angle_right=np.radians(angles)
    )

    assert angles[ropes.right.argmin()] == 60.0
    assert ropes.right.min() / pound == pytest.approx(2500, rel=1e-9)


@pytest.mark.kind("side_angle_of", "a sum that must point along a line", HIBBELER)
def test_two_forces_on_a_screw_eye_add_up_straight_ahead():
    # Hibbeler, Statics, SI, 13th ed., problem 2-23, worked at questionsolutions.com,
    # "forces act screw eye": 600 N at 30 degrees from the wanted line, 500 N at 36.87
    # on its other side; printed 919.61 N along it. The angle is given to 0.005.
    first = 600 * direction(side_angle=np.radians(30), rise=0.0)
    second = 500 * direction(side_angle=-np.radians(36.87), rise=0.0)

    both = first + second

    assert np.degrees(side_angle_of(both)) == pytest.approx(0.0, abs=0.005)
    assert norm(both) == pytest.approx(919.61, abs=0.03)
