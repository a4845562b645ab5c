"""A table on three legs: stands alone, each of which can only push."""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.supports import Stands
from workbook.mechanics.holding.wrenches import net_wrench


@pytest.mark.kind(
    "share_load", "stands alone, three legs", "askanewquestion.com, question 1509729"
)
def test_a_workshop_table_on_three_legs():
    # askanewquestion.com/questions/1509729: an equilateral top, 900 mm a side, a leg
    # at each corner, 500 N at 325 mm from one leg and 625 mm from another. Answer:
    # Rc = 500 sqrt(74)/3^(7/2), Rb = (4375 3^(3/2) - 750 sqrt(74))/3^(9/2), Ra the
    # rest. Blocks at the edges, which the problem leaves out, touch and carry nothing.
    legs = np.array([[0, 0, 0], [0.9, 0, 0], [0.45, 0.45 * 3**0.5, 0]])
    blocks = [[0, 0, 0], [0.9, 0, 0], [0, 0.4, 0]]
    across = np.array([[0, 1, 0], [0, 1, 0], [1, 0, 0]])
    table = Stands(
        positions=[*legs, *blocks],
        normals=[*np.tile([0, 0, 1], (3, 1)), *across],
        stiffness=1e6,
    )
    place = [875 / 3e3, 50 * 74**0.5 / 3e3, 0]
    assert np.linalg.norm(place) == pytest.approx(0.325)

    pushes = share_load(net_wrench([[0, 0, -500]], points=[place]), stands=table)

    third = 500 * 74**0.5 / 3**3.5
    second = (4375 * 3**1.5 - 750 * 74**0.5) / 3**4.5
    assert pushes.stand_pushes == pytest.approx(
        [500 - second - third, second, third, 0, 0, 0], abs=1e-6
    )
