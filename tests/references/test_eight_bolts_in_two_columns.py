"""Eight bolts in two columns beside a bracket, against a published worked example.

steelcalculator.app/uk-bolt-group-design-example, "Bolt group design example", read in
2026: 180 kN at 250 mm from the middle of bolts at (+-45, +-37.5 and +-112.5) mm.
"""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.stiffness_centre import stiffness_centre
from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.holding.wrenches import net_wrench

SOURCE = "steelcalculator.app, bolt group"
ROWS = (0.1125, 0.0375, -0.0375, -0.1125)
BOLTS = np.array([[x, y, 0.0] for y in ROWS for x in (-0.045, 0.045)])
GROUP = Clamps(positions=BOLTS, stiffness=1e8)


@pytest.mark.kind("share_load", "parts on one bolt, direct against turning", SOURCE)
def test_direct_and_turning_part_work_against_each_other_on_the_far_side():
    # Printed for the upper bolt away from the load: 69.9 kN across and 28.0 - 22.5 =
    # 5.5 kN upward, 70.1 kN together (one decimal; the squares are cut off there).
    # The load hangs on the far side of the other column, so that one carries more.
    load = net_wrench([[0, -180e3, 0]], points=[[0.25, 0, 0]])

    forces = share_load(load, clamps=GROUP).clamp_forces

    across, up, _ = forces[0]
    assert abs(across) == pytest.approx(69.9e3, abs=60)
    assert abs(up) == pytest.approx(5.5e3, abs=60)
    assert np.hypot(across, up) == pytest.approx(70.1e3, abs=60)
    assert np.hypot(*forces[1, :2]) > 80e3


@pytest.mark.kind("stiffness_centre", "polar sum of a bolt group", SOURCE)
def test_the_polar_sum_of_the_group():
    # Printed: the sum of r^2 is 72 448 mm^2; each part is cut off to whole ones, four
    # of them, so within 4.
    centre = stiffness_centre(GROUP, normal=[0, 0, 1])

    assert centre.turning_stiffness / 1e8 * 1e6 == pytest.approx(72_448, abs=4)
