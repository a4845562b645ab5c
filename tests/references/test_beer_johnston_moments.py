"""The moment of a force about a point against Beer and Johnston."""

import pytest

from workbook.mechanics.holding.wrenches import net_wrench
from workbook.mechanics.vectors import unit


@pytest.mark.kind(
    "net_wrench", "moment of one force about a point", "Beer & Johnston, Statics"
)
def test_moment_of_a_wire_about_a_plate_corner_as_in_sample_3_4():
    # F. P. Beer and E. R. Johnston, Vector Mechanics for Engineers: Statics,
    # sample problem 3.4: 200 N along (-0.3, 0.24, -0.32) m, acting at
    # (0.3, 0, 0.08) m from A; M_A = (-7.68, 28.8, 28.8) N m. The direction is
    # 0.5 m long, so the printed figures are exact.
    pull = 200 * unit([-0.3, 0.24, -0.32])

    moment = net_wrench([pull], points=[[0.3, 0, 0.08]])[3:]

    assert moment == pytest.approx([-7.68, 28.8, 28.8], rel=1e-9)
