"""A cap on four piles that were driven out of place, against a published sheet."""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.holding.wrenches import moved_wrench, net_wrench

# Design sheet for a four-pile cap, scribd.com/document/417790842: column load
# 1693 kN; surveyed offsets from the column 393, 437, 339, 385 mm one way and 376,
# 376, 370, 336 mm the other (signs as the corners of a cap).
PILES = np.array([[393, 376], [437, -376], [-339, -370], [-385, 336]]) / 1e3
SPOTS = np.column_stack([PILES, np.zeros(4)])
COLUMN = net_wrench([[0, 0, -1693e3]], points=[[0, 0, 0]])


def test_moments_about_the_middle_of_the_piles():
    # Printed: 14.39 and 44.86 kN m, two decimals.
    moments = moved_wrench(COLUMN, to_point=SPOTS.mean(axis=0))[3:]

    assert np.sort(np.abs(moments)) == pytest.approx([0, 14.39e3, 44.86e3], abs=6)


def test_pile_loads_of_equal_piles():
    # The sheet's method (printed sums 605,755 and 532,259 mm2, its pile loads are
    # not visible): W/4 + M x / sum x^2 + M y / sum y^2 leaves out the product of
    # inertia of the four places. It gives 406.5, 382.9, 440.5 and 463.0 kN; with
    # the product the loads differ by up to 0.4 %, hence rel=4e-3.
    away = PILES - PILES.mean(axis=0)
    assert np.sum(away**2, axis=0) * 1e6 == pytest.approx([605_755, 532_259], abs=0.5)
    guided = Clamps(positions=SPOTS, stiffness=1e8)

    pushes = share_load(COLUMN, clamps=guided).clamp_forces[:, 2]

    assert pushes == pytest.approx([406.5e3, 382.9e3, 440.5e3, 463.0e3], rel=4e-3)
    assert pushes.sum() == pytest.approx(1693e3)
