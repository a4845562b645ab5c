"""Bars that share a load, let go after yielding: Pytel & Kiusalaas."""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.holding.wrenches import net_wrench


@pytest.mark.kind(
    "share_load",
    "load shared by stiffness, and what stays after yielding",
    "Pytel & Kiusalaas, Mechanics of Materials",
)
def test_three_bars_keep_the_stress_of_their_unlike_stiffness():
    # A. Pytel and J. Kiusalaas, Mechanics of Materials, Example 13.2 (p. 467), as in
    # the open companion notebook: a steel bar (200 GPa, 900 mm2, 350 mm, yield 290 MPa)
    # between two of aluminium (70 GPa, 600 mm2, 250 mm, yield 330 MPa). Let go from
    # the limit load they keep 151.5 and -113.6 MPa; one decimal.
    area = np.array([600e-6, 900e-6, 600e-6])
    limit = area * [330e6, 290e6, 330e6]
    stiffness = [70e9, 200e9, 70e9] * area / [0.250, 0.350, 0.250]
    guide = [0, 1e8, 0]
    bars = Clamps(
        positions=[[-1, 0, 0], [0, 0, 0], [1, 0, 0], [0, 0, 1]],
        stiffness=[*([1e8, 1e8, k] for k in stiffness), guide],
    )

    held = share_load(
        net_wrench([[0, 0, -limit.sum()]], points=[[0, 0, 0]]), clamps=bars
    )

    left = (held.clamp_forces[:3, 2] - limit) / area / 1e6
    assert left == pytest.approx([-113.6, 151.5, -113.6], abs=0.05)
