"""A camera on three cables, from Engineering Statics: Open and Interactive."""

import numpy as np
import pytest

from workbook.mechanics.vectors import direction


@pytest.mark.kind(
    "solve_pull",
    "three forces that hold a weight in space",
    "Engineering Statics: Open and Interactive",
)
def test_a_camera_hangs_on_three_cables(three_cables):
    # D. Baker and W. Haynes, Engineering Statics: Open and Interactive, equilibrium
    # of a particle in space, camera over a field: 20 kg (g = 9.81); cable A rises 35
    # degrees along one axis, C 20 degrees along the other, B rises 15 degrees and
    # lies 30 degrees off the line of A carried on. Printed 196.4, 192.2 and 98.5 N
    # with coefficients rounded to three digits: 0.4 %.
    rising = {"A": (0, 35), "B": (150, 15), "C": (-90, 20)}
    a, b, c = (
        direction(side_angle=np.radians(side), rise=np.radians(rise))
        for side, rise in rising.values()
    )

    tensions = three_cables([0, 0, -20 * 9.81], a, b, c)

    assert tensions == pytest.approx([196.4, 192.2, 98.5], rel=4e-3)
