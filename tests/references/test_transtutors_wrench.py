"""Reduction to a wrench against a solved example on a public tutoring page."""

import numpy as np
import pytest

from workbook.mechanics.holding.wrenches import central_axis, net_wrench
from workbook.mechanics.vectors import unit


@pytest.mark.kind(
    "central_axis", "force, couple and place of a wrench", "transtutors.com"
)
def test_three_forces_on_a_box_reduce_to_one_wrench():
    # transtutors.com, civil engineering, resultant of force systems, 'Wrench
    # resultant: solved examples': 20 kN from (0, 0, 0) along (8, 4, 4) m, 10 kN
    # along y at (8, 0, 0) and 30 kN along z at (0, 4, 0). Printed: 45.3122 kN,
    # couple 110.581 kN m (unrounded 110.628: the page rounds its direction
    # cosines to four figures, hence rel=1e-3), and the axis crosses z = 0 at
    # x = 1.162, y = 2.100 m.
    forces = [20 * unit([8, 4, 4]), [0, 10, 0], [0, 0, 30]]

    axis = central_axis(net_wrench(forces, points=[[0, 0, 0], [8, 0, 0], [0, 4, 0]]))

    assert float(axis.force) == pytest.approx(45.3122, abs=6e-4)
    assert float(axis.couple) == pytest.approx(110.581, rel=1e-3)
    assert axis.direction == pytest.approx([0.3604, 0.4009, 0.8423], abs=1e-4)
    crossing = axis.crossing(point=[0, 0, 0], normal=[0, 0, 1])
    assert crossing == pytest.approx([1.162, 2.100, 0], abs=1e-3)
    assert np.linalg.norm(np.cross(axis.point, axis.direction)) > 1
