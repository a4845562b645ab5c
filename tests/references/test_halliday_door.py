"""A door on two hinges against Halliday, Resnick and Walker."""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.holding.wrenches import net_wrench


@pytest.mark.kind(
    "share_load",
    "force and turning of a weight on two hinges",
    "Halliday, Resnick and Walker, Fundamentals of Physics",
)
def test_two_hinges_share_a_door():
    # D. Halliday, R. Resnick and J. Walker, Fundamentals of Physics, chapter 12,
    # problem 31 (solution as at coursehero.com/file/6255194): 27 kg, 0.91 m wide,
    # 2.1 m high,
    # hinges 0.30 m from either end. Printed: 1.3e2 N upward on each, 80 N level,
    # away from the door above and toward it below. Two figures.
    hinges = np.array([[0, 0, 2.1 - 0.30], [0, 0, 0.30], [0.91, 0, 1.0]])
    # A guide at the latch keeps the door from swinging, and has nothing to do.
    stiffness = [[1e7, 1e7, 1e7]] * 2 + [[0, 1e7, 0]]
    weight = net_wrench([[0, 0, -27 * 9.8]], points=[[0.91 / 2, 0, 1.05]])

    held = share_load(weight, clamps=Clamps(positions=hinges, stiffness=stiffness))

    upper, lower, latch = held.clamp_forces
    assert upper == pytest.approx([-80, 0, 130], abs=5)
    assert lower == pytest.approx([80, 0, 130], abs=5)
    assert abs(upper[0]) == pytest.approx(27 * 9.8 * 0.455 / 1.5, rel=1e-9)
    assert latch == pytest.approx(np.zeros(3), abs=1e-9)
