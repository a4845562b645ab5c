"""Forces in space against Beer and Johnston, Vector Mechanics: Statics."""

import numpy as np
import pytest

from workbook.mechanics.pull.rigging import bridle_in_space
from workbook.mechanics.vectors import (
    angle_between,
    direction,
    norm,
    rise_of,
    side_angle_of,
)

AXES = np.eye(3)


def force_along(line, force):
    """Lay a force along a line by its two angles."""
    return force * direction(side_angle=side_angle_of(line), rise=rise_of(line))


def degrees_from_axes(vector):
    return np.degrees(angle_between(vector, AXES))


@pytest.mark.kind(
    "direction",
    "parts of one force along a line and its angles from the axes",
    "Beer & Johnston, Statics",
)
def test_a_tower_guy_pulls_along_its_line():
    # F. P. Beer and E. R. Johnston, Vector Mechanics for Engineers: Statics,
    # Sample Problem 2.7: guy AB = (-40, 80, 30) m, 2500 N. Printed to three figures
    # and to 0.1 degree.
    pull = force_along([-40, 80, 30], 2500)

    assert pull == pytest.approx([-1060, 2120, 795], rel=2e-3)
    assert degrees_from_axes(pull) == pytest.approx([115.1, 32.0, 71.5], abs=0.06)


@pytest.mark.kind(
    "direction", "resultant of two forces in space", "Beer & Johnston, Statics"
)
def test_two_cables_on_a_wall_add_up_in_space():
    # Same book, Sample Problem 2.8: 4200 N along (-5, 3, 4), 6000 N along
    # (-5, 3, -5) m. Components printed to 0.01 N, angles to 0.01 degree.
    resultant = force_along([-5, 3, 4], 4200) + force_along([-5, 3, -5], 6000)

    assert resultant == pytest.approx([-6875.52, 4125.31, -1529.79], abs=6e-3)
    assert degrees_from_axes(resultant) == pytest.approx(
        [147.38, 59.64, 100.80], abs=6e-3
    )


@pytest.mark.kind(
    "solve_pull", "three forces that hold a weight in space", "Beer & Johnston, Statics"
)
def test_two_cables_and_a_level_force_hold_a_hung_cylinder(three_cables):
    # Same book, Sample Problem 2.9: 200 kg (g = 9.81) on AB = (-1.2, 10, 8) and
    # AC = (-1.2, 10, -10) m, held off the wall by P along x; y is up. Geometry read,
    # answers from memory: P = 235 N, T_AB = 1402 N, T_AC = 1238 N. Whole newtons.
    weight = [0, -200 * 9.81, 0]

    tensions = three_cables(weight, [1, 0, 0], [-1.2, 10, 8], [-1.2, 10, -10])

    assert tensions == pytest.approx([235, 1402, 1238], abs=0.6)


@pytest.mark.kind(
    "bridle_in_space", "three legs under a load", "Beer & Johnston, Statics"
)
def test_two_cables_and_a_level_force_are_a_bridle_of_three_legs():
    # The same sample problem, 2.9.
    legs = bridle_in_space(
        [0, -200 * 9.81, 0],
        ring=[0, 0, 0],
        clamps=[[1, 0, 0], [-1.2, 10, 8], [-1.2, 10, -10]],
    )

    assert legs == pytest.approx([235, 1402, 1238], abs=0.6)


def test_a_guy_of_a_tower_by_its_length():
    # Same book, an older edition, Problem 2.85: 525 lb along (20, 100, -25) ft, a
    # line of 105 ft, is (100, 500, -125) lb. Exact.
    line = [20, 100, -25]

    pull = force_along(line, 525)

    assert float(norm(line)) == pytest.approx(105)
    assert pull == pytest.approx([100, 500, -125])


def test_two_cables_meet_at_a_hook():
    # Same book, an older edition, Problem 2.93: 425 lb along (40, -45, 60) and
    # 510 lb along (100, -45, 60) in. Printed 912.92 lb; 608, -408.6, 544.8 lb.
    resultant = force_along([40, -45, 60], 425) + force_along([100, -45, 60], 510)

    assert float(norm(resultant)) == pytest.approx(912.92, abs=6e-3)
    assert resultant == pytest.approx([608, -408.6, 544.8], abs=0.06)
