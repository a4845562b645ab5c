"""A load off both middles of four piers, one of which must pull: a forum's thread.

eng-tips.com, thread 400254, "Eccentrically loaded area supported on 4 piers": 100 tons
2 ft and 1 ft off the middles of an area of 6 ft by 4 ft, a pier under each corner.
"""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import net_wrench

SOURCE = "eng-tips thread on four piers"
# Feet and tons. Nothing across the piers has anything to do here.
PIERS = np.array([[3, 2, 0], [3, -2, 0], [-3, 2, 0], [-3, -2, 0]])
LOAD = net_wrench([[0, 0, -100]], points=[[2, 1, 0]])


@pytest.mark.kind("share_load", "one of four piers has to hold the load down", SOURCE)
def test_a_load_off_both_middles_of_four_piers():
    # Printed, by 25 +- My/(6 x 2) +- Mx/(4 x 2): 54, 29, -4 and 21 tons, whole ones.
    # It is the rule for clamps that hold one way only.
    forces = share_load(LOAD, clamps=Clamps(positions=PIERS, stiffness=1e6))

    up = forces.clamp_forces[:, 2]
    assert up[[0, 1, 3, 2]] == pytest.approx([54, 29, -4, 21], abs=0.5)


def test_piers_that_only_push_let_that_one_go():
    guides = Clamps(positions=[[0, 0, 0], [1, 0, 0]], stiffness=[[1, 1, 0], [0, 1, 0]])

    held = share_load(
        LOAD, clamps=guides, stands=Stands(positions=PIERS, stiffness=1e6)
    )

    # Three are left. Along, 3 - 6c = 2 leaves c = 1/6 on (-3, 2); across, a + b = 5/6
    # and a - b = 1/3 leave 7/12 on (3, 2) and 1/4 on (3, -2).
    assert held.stand_pushes == pytest.approx([100 * 7 / 12, 25, 100 / 6, 0], abs=1e-3)
