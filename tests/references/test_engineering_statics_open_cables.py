"""A camera on three cables, from Engineering Statics: Open and Interactive."""

import numpy as np
import pytest

from workbook.mechanics.pull.rigging import bridle_in_space
from workbook.mechanics.vectors import direction

SOURCE = "Engineering Statics: Open and Interactive"
WEIGHT = [0, 0, -20 * 9.81]
CABLES = direction(side_angle=np.radians([0, 150, -90]), rise=np.radians([35, 15, 20]))


@pytest.mark.kind(
    "solve_pull",
    "three forces that hold a weight in space",
    SOURCE,
)
def test_a_camera_hangs_on_three_cables(three_cables):
    # D. Baker and W. Haynes, Engineering Statics: Open and Interactive, equilibrium
    # of a particle in space, camera over a field: 20 kg (g = 9.81); cable A rises 35
    # degrees along one axis, C 20 degrees along the other, B rises 15 degrees and
    # lies 30 degrees off the line of A carried on. Printed 196.4, 192.2 and 98.5 N
    # with coefficients rounded to three digits: 0.4 %.
    tensions = three_cables(WEIGHT, *CABLES)

    assert tensions == pytest.approx([196.4, 192.2, 98.5], rel=4e-3)


@pytest.mark.kind("bridle_in_space", "three legs under a load", SOURCE)
def test_a_camera_hangs_on_a_bridle_of_three_legs():
    # The same camera.
    legs = bridle_in_space(WEIGHT, ring=[0, 0, 0], clamps=CABLES)

    assert legs == pytest.approx([196.4, 192.2, 98.5], rel=4e-3)
