"""Forces in space and three-cable joints against Hibbeler, Statics."""

import numpy as np
import pytest

from workbook.mechanics.pull.rigging import bridle_in_space
from workbook.mechanics.vectors import (
    angle_between,
    direction,
    norm,
    rise_of,
    side_angle_of,
    unit,
)

AXES = np.eye(3)
DEG = np.pi / 180


def force_along(line, force):
    """Lay a force along a line by its two angles."""
    return force * direction(side_angle=side_angle_of(line), rise=rise_of(line))


def degrees_from_axes(vector):
    return np.degrees(angle_between(vector, AXES))


def test_problem_2_65_screw_eye():
    # R. C. Hibbeler, Engineering Mechanics: Statics, 14th ed., Problem 2-65: 300 N
    # rising 60 degrees, its level part 45 degrees from y toward -x; 500 N at 60, 45
    # and 120 degrees from the axes. Printed 482 N; 72.6, 17.4, 88.8 degrees.
    first = 300 * direction(side_angle=135 * DEG, rise=60 * DEG)
    second = force_along(np.cos(np.multiply([60, 45, 120], DEG)), 500)

    resultant = first + second

    assert float(norm(resultant)) == pytest.approx(482, abs=0.6)
    assert degrees_from_axes(resultant) == pytest.approx([72.6, 17.4, 88.8], abs=0.06)


# Same book, by problem: each cable's line and force, then magnitude and angles from
# the axes as printed (magnitude to its last digit, angles to 0.1 or 1 degree).
# 2-92: A (0, -0.75, 3), B (2 cos 40, 2 sin 40, 0), C (2, -1, 0) m, forces A to B and
# A to C.
A_TO_B = [2 * np.cos(40 * DEG), 2 * np.sin(40 * DEG) + 0.75, -3]
RESULTANTS = {
    "2-92": ([(A_TO_B, 250), ((2, -0.25, -3), 400)], 620.46, (59.1, 80.6, 147)),
    "2-93": ([((2, -3, -6), 560), ((3, 2, -6), 700)], 1174.56, (66.9, 92.0, 157)),
    "2-97": ([((-5, -2, 3), 400), ((-5, 2, 3), 400)], 757, (149, 90, 59)),
    "2-100": ([((2, 4, -3), 200), ((-3, -4, -3), 150)], 194.06, (90.9, 76.4, 166)),
    "2-101": ([((50, 10, -30), 200), ((50, 50, -30), 150)], 337.63, (37.8, 67.1, 118)),
}


@pytest.mark.kind("direction", "resultant of two forces in space", "Hibbeler, Statics")
@pytest.mark.parametrize(
    ("cables", "force", "angles"), RESULTANTS.values(), ids=RESULTANTS
)
def test_two_cables_add_up_to_the_printed_resultant(cables, force, angles):
    resultant = sum(force_along(line, pull) for line, pull in cables)

    digit = 6e-3 if force % 1 else 0.6
    assert float(norm(resultant)) == pytest.approx(force, abs=digit)
    for found, printed in zip(degrees_from_axes(resultant), angles, strict=True):
        assert found == pytest.approx(printed, abs=0.06 if printed % 1 else 0.6)


def test_problem_2_93_pulls_down_where_one_printed_sign_says_up():
    # Same book, 2-93. The stored solution prints R = 460 i - 40 j + 1080 k N; both
    # cables run down (k part -6) and its own 157 degrees from z need -1080.
    resultant = force_along([2, -3, -6], 560) + force_along([3, 2, -6], 700)

    assert resultant == pytest.approx([460, -40, -1080])


def test_example_3_6_one_force_holds_three():
    # Same book, Example 3.6: 400 N along y, 800 N down and 700 N along (-2, -3, 6)
    # are held by 300 N at 48.2, 109.5 and 48.2 degrees.
    others = [force_along([0, 1, 0], 400), force_along([0, 0, -1], 800)]
    others.append(force_along([-2, -3, 6], 700))

    held_by = -sum(others)

    assert float(norm(held_by)) == pytest.approx(300)
    assert degrees_from_axes(held_by) == pytest.approx([48.2, 109.5, 48.2], abs=0.06)


def test_example_3_7_two_even_cables_and_one_level(three_cables):
    # Same book, Example 3.7: a load of 40 on cables along (-3, -4, 8), (-3, 4, 8)
    # and x. Printed 23.6, 23.6 and 15.0.
    level, left, right = three_cables([0, 0, -40], [1, 0, 0], [-3, -4, 8], [-3, 4, 8])

    assert (left, right, level) == pytest.approx((23.6, 23.6, 15.0), abs=0.06)


@pytest.mark.kind(
    "solve_pull", "three forces that hold a weight in space", "Hibbeler, Statics"
)
def test_example_3_8_a_crate_on_three_cables(three_cables):
    # Same book, Example 3.8: 100 kg (g = 9.81) on cables along x, at 120, 135 and 60
    # degrees from the axes, and along (-1, 2, 2). The book (from memory) prints 694,
    # 813 and 862 N; a reader's solution with rounded directions 693.2, 812.7, 861.6.
    by_angles = np.cos(np.multiply([120, 135, 60], DEG))

    tensions = three_cables([0, 0, -981], [1, 0, 0], unit(by_angles), [-1, 2, 2])

    assert tensions == pytest.approx([694, 813, 862], abs=0.6)
    assert tensions == pytest.approx([693.2, 812.7, 861.6], abs=0.6)


@pytest.mark.kind("bridle_in_space", "three legs under a load", "Hibbeler, Statics")
def test_hibbeler_example_3_7_is_a_bridle_of_three_legs():
    # Example 3.7, printed 23.6, 23.6 and 15.0 for a load of 40; three figures.
    legs = bridle_in_space(
        [0, 0, -40.0], ring=[0, 0, 0], clamps=[[-3, -4, 8], [-3, 4, 8], [1, 0, 0]]
    )

    assert legs == pytest.approx([23.6, 23.6, 15.0], rel=5e-3)
