"""A bolt group in eccentric shear against Shigley: the clamp analogue."""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.stiffness_centre import stiffness_centre
from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.holding.wrenches import moved_wrench, net_wrench
from workbook.mechanics.vectors import norm

# R. G. Budynas and J. K. Nisbett, Shigley's Mechanical Engineering Design, 9th ed.,
# McGraw-Hill, example 8-7 (pp. 457-458): 16 kN, 425 mm from the centroid of four
# M16 bolts at (+-75, +-60) mm.
BOLTS = np.array([[75, 60, 0], [75, -60, 0], [-75, 60, 0], [-75, -60, 0]]) / 1e3
LOAD = net_wrench([[0, -16e3, 0]], points=[[0.425, 0, 0]])


@pytest.mark.kind(
    "moved_wrench", "moment on a bolt group", "Shigley, Mechanical Engineering Design"
)
def test_the_moment_on_the_bolt_group():
    assert moved_wrench(LOAD, to_point=[0, 0, 0])[5] == pytest.approx(-6800)


@pytest.mark.kind(
    "share_load",
    "bolt forces in eccentric shear",
    "Shigley, Mechanical Engineering Design",
)
def test_bolt_forces_of_example_8_7_follow_from_equal_stiffness():
    # Printed: 21.0 kN on the near pair and 14.8 kN on the far pair, three figures
    # (unrounded 20.97 and 14.79). A bolt group takes equal bolts to be equal
    # springs in their plane; the springs across it carry nothing here.
    group = Clamps(positions=BOLTS, stiffness=1e8)

    forces = norm(share_load(LOAD, clamps=group).clamp_forces)

    assert forces[:2] == pytest.approx([21.0e3] * 2, rel=3e-3)
    assert forces[2:] == pytest.approx([14.8e3] * 2, rel=3e-3)


@pytest.mark.kind(
    "share_load",
    "force alone and couple alone, in one batch",
    "Shigley, Mechanical Engineering Design",
)
def test_direct_and_turning_parts_of_example_8_7():
    # Printed: 4 kN direct on each bolt and 17.7 kN from the turning (three figures).
    group = Clamps(positions=BOLTS, stiffness=1e8)
    force_alone, couple_alone = np.diag([0, -16e3, 0, 0, 0, -6800.0])[[1, 5]]

    direct, turning = norm(
        share_load([force_alone, couple_alone], clamps=group).clamp_forces
    )

    assert direct == pytest.approx([4e3] * 4, rel=1e-9)
    assert turning == pytest.approx([17.7e3] * 4, rel=3e-3)


@pytest.mark.kind(
    "share_load",
    "share of a rating, and which governs",
    "Shigley, Mechanical Engineering Design",
)
def test_greatest_shear_stress_of_example_8_7():
    # Printed: 146 MPa on the bolt's 144 mm2 (three figures).
    group = Clamps(positions=BOLTS, stiffness=1e8, ratings=144e-6 * 146e6)

    held = share_load(LOAD, clamps=group)

    assert held.shares.max() == pytest.approx(1, abs=4e-3)
    assert int(held.governing) in {0, 1}


@pytest.mark.kind(
    "stiffness_centre",
    "a torque shared by equal bolts",
    "Shigley, Mechanical Engineering Design",
)
def test_bolts_around_their_centre_share_a_torque():
    # Same book, Example 3-1, p. 75: a torque of 720 lbf in on four equal bolts at the
    # corners of 4 in x 5 in: centre of rotation in the middle, 3.202 in from each,
    # 56.22 lbf each, across the line to it.
    places = np.array([[0, 0, 0], [4, 0, 0], [4, 5, 0], [0, 5, 0]])
    bolts = Clamps(positions=places, stiffness=1e3)

    centre = stiffness_centre(bolts, normal=[0, 0, 1])
    away = norm(places - centre.point)

    assert centre.point == pytest.approx([2, 2.5, 0])
    assert away == pytest.approx([3.202] * 4, abs=5e-4)
    each = 720 * 1e3 * away / centre.turning_stiffness
    assert each == pytest.approx([56.22] * 4, abs=0.01)
