"""A cap on four piles that were driven out of place, against a published sheet."""

import numpy as np
import pytest

from workbook.mechanics.holding.wrenches import moved_wrench, net_wrench

# Design sheet for a four-pile cap, scribd.com/document/417790842: column load
# 1693 kN; surveyed offsets from the column 393, 437, 339, 385 mm one way and 376,
# 376, 370, 336 mm the other (signs as the corners of a cap).
PILES = np.array([[393, 376], [437, -376], [-339, -370], [-385, 336]]) / 1e3
SPOTS = np.column_stack([PILES, np.zeros(4)])
COLUMN = net_wrench([[0, 0, -1693e3]], points=[[0, 0, 0]])


@pytest.mark.kind(
    "moved_wrench", "moments about the middle of four places", "pile-cap design sheet"
)
def test_moments_about_the_middle_of_the_piles():
    # Printed: 14.39 and 44.86 kN m, two decimals.
    moments = moved_wrench(COLUMN, to_point=SPOTS.mean(axis=0))[3:]

    assert np.sort(np.abs(moments)) == pytest.approx([0, 14.39e3, 44.86e3], abs=6)
