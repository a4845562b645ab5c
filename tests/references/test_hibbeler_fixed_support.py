"""A fixed support, which takes a moment too, against Hibbeler, Statics."""

from math import radians

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.holding.wrenches import net_wrench


@pytest.mark.kind(
    "share_load", "a fixed support takes a moment", "Hibbeler, Engineering Mechanics"
)
def test_hibbeler_cantilever_with_a_bent_end():
    # R. C. Hibbeler, S. C. Fan, K. B. Yap and P. Schiavone, Statics: Mechanics for
    # Engineers, Pearson, 2013 (problem as solved at questionsolutions.com): 6 kN down
    # at 1.5 m, and at the end of a 1.5 m arm that rises at 30 degrees from 3 m, 4 kN
    # at 30 degrees below the level. A_x = 3.46 kN back, A_y = 8 kN up, M_A = 20.2 kN m.
    rise = radians(30)
    tip = [3 + 1.5 * np.cos(rise), 1.5 * np.sin(rise), 0]
    end = [4e3 * np.cos(rise), -4e3 * np.sin(rise), 0]
    load = net_wrench([[0, -6e3, 0], end], points=[[1.5, 0, 0], tip])
    wall = Clamps(positions=[[0, 0, 0]], stiffness=1e9, turning_stiffness=1e8)

    held = share_load(load, clamps=wall)

    assert held.clamp_forces[0] == pytest.approx([-3464, 8000, 0], abs=0.5)
    assert held.clamp_moments[0] == pytest.approx([0, 0, 20_196], abs=0.5)
