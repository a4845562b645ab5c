"""A forklift that stands, and one that is about to tip, against Wickert and Lewis.

J. Wickert and K. Lewis, An Introduction to Mechanical Engineering, edition not known,
section 4.5, p. 157: 3500 lb at 42 in behind the front wheels, 800 lb at 24 in ahead of
them. That the rear wheels stand 30 in further back is from memory; what is printed
fits no other distance.
"""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import net_wrench

SOURCE = "Wickert and Lewis, An Introduction to Mechanical Engineering"
# Inches and pounds; two front wheels, then two rear ones.
WHEELS = np.array([[0, 20, 0], [0, -20, 0], [-72, 20, 0], [-72, -20, 0]])


def standing(load, *, springs=None):
    """Stand a forklift with a load on its wheels, kept from sliding by guides."""
    guides = springs or Clamps(
        positions=[[0, 0, 0], [1, 0, 0]], stiffness=[[1e3, 1e3, 0], [0, 1e3, 0]]
    )
    weights = net_wrench(
        [[0, 0, -3500], [0, 0, -load]], points=[[-42, 0, 0], [24, 0, 0]]
    )
    return share_load(
        weights, clamps=guides, stands=Stands(positions=WHEELS, stiffness=1e6)
    )


@pytest.mark.kind("share_load", "four wheels under a load ahead of them", SOURCE)
def test_wheels_under_a_load_ahead_of_them():
    # Printed: 1262 lb on each front wheel and 888 lb on each rear one, whole pounds
    # (F comes from R as printed, so 1 lb).
    pushes = standing(800).stand_pushes

    assert pushes[:2] == pytest.approx([1262, 1262], abs=1)
    assert pushes[2:] == pytest.approx([888, 888], abs=0.6)


@pytest.mark.kind("share_load", "rear wheels lift at the load that tips", SOURCE)
def test_the_load_that_tips_takes_all_off_the_rear_wheels():
    # Printed: w = 6125 lb leaves R = 0. A weak spring behind holds on to what is more.
    behind = Clamps(
        positions=[[0, 0, 0], [1, 0, 0], [-72, 0, 0]],
        stiffness=[[1e3, 1e3, 0], [0, 1e3, 0], [0, 0, 1.0]],
    )

    just, more = (standing(w, springs=behind).stand_pushes for w in (6125, 6200))

    assert just[2:] == pytest.approx([0, 0], abs=0.1)
    assert just[:2].sum() == pytest.approx(9625, abs=0.1)
    assert more[2:].tolist() == [0, 0]
