"""Our own worked examples of anchoring and holding, recomputed by hand."""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.holding_pulls import (
    hold_downs,
    pull_that_balances_moment,
)
from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.holding.wrenches import moved_wrench, net_wrench

# Lesson 'Anchor the vehicle': four clamps 1.5 m apart across the car that hold
# along it, and a stop at the middle that holds across.
PINCH_WELDS = [[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0], [0, 0, 0]]
ALONG_THE_CAR = Clamps(
    positions=PINCH_WELDS, stiffness=[[2e7, 0, 2e7]] * 4 + [[0, 2e7, 0]]
)


def test_a_pull_off_the_centre_line_loads_one_side_more():
    # By hand: 24/4 = 6.0 each; 24 x 400 / (2 x 1500) = 3.2 more on the left and
    # less on the right: 9.2 and 2.8 kN. Exact.
    pull = net_wrench([[24e3, 0, 0]], points=[[2, 0.4, 0]])

    along = -share_load(pull, clamps=ALONG_THE_CAR).clamp_forces[:4, 0]

    assert along == pytest.approx([9.2e3, 2.8e3, 9.2e3, 2.8e3])


def test_the_yaw_moment_of_a_pull_off_the_centre_line():
    # By hand: 24 kN x 0.4 m = 9.6 kN m; a pull forward on the left yaws the nose
    # to the right, clockwise from above, so minus about z.
    pull = net_wrench([[24e3, 0, 0]], points=[[2, 0.4, 0]])

    assert moved_wrench(pull, to_point=[0, 0, 0])[5] == pytest.approx(-9.6e3)


def test_clamps_that_also_hold_across_share_the_yaw_and_carry_less_along():
    # By hand: with equal stiffness both ways the yaw is spread over x and y like a
    # bolt group: 9.6 x 0.75 / (4 (0.75^2 + 1^2)) = 1.152 kN, not 3.2.
    clamps = Clamps(positions=PINCH_WELDS[:4], stiffness=2e7)
    pull = net_wrench([[24e3, 0, 0]], points=[[2, 0.4, 0]])

    along = -share_load(pull, clamps=clamps).clamp_forces[:, 0]

    assert along == pytest.approx([7.152e3, 4.848e3, 7.152e3, 4.848e3])


def test_a_rising_pull_ahead_of_the_clamps_lifts_the_front_pair_by_its_lever():
    # By hand: 20 kN rising 20 degrees, 0.8 m ahead of the front pair, pairs 2 m
    # apart: 20 sin 20 (0.8 + 2) / 2 = 9.577 kN down on the front pair together;
    # the rear pair is pressed with 20 sin 20 x 0.8 / 2 = 2.736 kN.
    rise = np.radians(20)
    pull = 20e3 * np.array([np.cos(rise), 0, np.sin(rise)])

    held = share_load(net_wrench([pull], points=[[1.8, 0, 0]]), clamps=ALONG_THE_CAR)

    front, rear = held.clamp_forces[:4, 2].reshape(2, 2).sum(axis=1)
    assert front == pytest.approx(-9.577e3, abs=0.5)
    assert rear == pytest.approx(2.736e3, abs=0.5)


def test_capstone_top_clamp():
    # By hand: 25/4 + 25 x 480 / (2 x 1460) = 10.36 kN.
    spots = np.array(PINCH_WELDS) * [0.975, 0.73 / 0.75, 1]
    clamps = Clamps(positions=spots, stiffness=ALONG_THE_CAR.stiffness)

    held = share_load(net_wrench([[25e3, 0, 0]], points=[[2, 0.48, 0]]), clamps=clamps)

    assert np.abs(held.clamp_forces[:, 0]).max() == pytest.approx(10.36e3, abs=5)


def test_a_holding_pull_by_its_moment_arm():
    # Lesson 'Holding pulls'. By hand: 18 x 900 / 1500 = 10.8 kN. Exact.
    pull = net_wrench([[18e3, 0, 0]], points=[[0, 0.9, 0]])

    hold = pull_that_balances_moment(
        pull, hook=[0, 1.5, 0], direction=[-1, 0, 0], point=[0, 0, 0], axis=[0, 0, 1]
    )

    assert hold == pytest.approx(10.8e3)


def test_the_nearer_hold_down_of_a_push_carries_more():
    # By hand: 20 kN, hold-downs 600 mm and 1400 mm away: 20 x 1400/2000 = 14 kN near,
    # 6 kN far.
    down = hold_downs(
        [0, 0, 20e3], at=[0, 0, 0], first=[0.6, 0, 0], second=[-1.4, 0, 0]
    )

    assert down == pytest.approx([14e3, 6e3])
