"""Forces and reactions in a plane against Tayal, Engineering Mechanics.

A. K. Tayal, Engineering Mechanics: Statics and Dynamics, chapters 2 and 3; data and
results as in the open textbook-companion notebooks, which print what the book's
formulas give.
"""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.holding_pulls import hold_downs
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import line_of_action, net_wrench
from workbook.mechanics.pull.rigging import bridle, redirect
from workbook.mechanics.vectors import direction

SOURCE = "Tayal, Engineering Mechanics"
# A guide far from all loads keeps a body from moving out of the book's plane, and
# has nothing to do there.
STIFF = 1e8


@pytest.mark.kind("redirect", "load of two equal pulls on one bolt", SOURCE)
def test_two_equal_pulls_load_a_bolt_by_half_their_angle():
    # Example 2.2-4 (p. 19): 3.5 kN each, 20 degrees over one side of the level and 50
    # degrees over the other; printed 4.0 kN at 75.0 degrees. Half of the last place.
    runs = direction(side_angle=[np.pi, 0.0], rise=np.radians([20, 50]))

    turned = redirect(3.5e3, run_a=runs[0], run_b=runs[1])

    assert turned.anchor_load == pytest.approx(4.0e3, abs=50)
    x, _, z = turned.anchor_force
    assert np.degrees(np.arctan2(z, -x)) == pytest.approx(75.0, abs=0.05)


@pytest.mark.kind("bridle", "two forces that balance a third", SOURCE)
def test_two_forces_balance_a_third():
    # Example 2.2-10 (p. 30): 500 N held by forces at 40 and 60 degrees from its line,
    # 80 degrees between the two triangles' sides; printed 439.7 and 326.4 N.
    legs = bridle(500, angle_left=np.radians(40), angle_right=np.radians(60))

    assert (float(legs.left), float(legs.right)) == (
        pytest.approx((439.7, 326.4), abs=0.05)
    )


def beam(length):
    """Hold a beam by a pin at its start, a roller at its end and a guide above."""
    return Clamps(
        positions=[[0, 0, 0], [length, 0, 0], [0, 0, 1]],
        stiffness=[[STIFF] * 3, [0, STIFF, STIFF], [0, STIFF, 0]],
    )


# Length of the beam in metres; forces and points; couples about y; what the pin gives
# along the beam and upward and the roller upward; half of the last printed place.
BEAMS = {
    # Example 2.2-11 (p. 31): 5 m, 5000 N at 30 degrees on its middle; the reactions
    # are 4506.8 and 1250 N, the first with a rise of 1.443 m in 5 m.
    "2.2-11": (
        5, [[-4330.127, 0, -2500]], [2.5], 0, (4330.1, 1250, 1250), 0.5,
    ),
    # Example 3.3-2 (p. 64): 1000 N at 0.25 m past the roller of 1 m.
    "3.3-2": (1, [[0, 0, -1000]], [1.25], 0, (0, -250, 1250), 1e-6),
    # Example 3.3-13 (p. 78): 8 m with an overhang; 10 kN at 2 m, a couple of 25 kN m,
    # 20 kN spread about 6 m, 15 kN about 9 m and 20 kN at 30 degrees at 11 m.
    "3.3-13": (
        8,
        [[0, 0, -10e3], [0, 0, -20e3], [0, 0, -15e3], [-17320.508, 0, -10e3]],
        [2, 6, 9, 11], -25e3, (17.32e3, 10e3, 45e3), 500,
    ),
}  # fmt: skip


@pytest.mark.kind("share_load", "reactions of a pin and a roller", SOURCE)
@pytest.mark.parametrize(
    ("length", "forces", "at", "couple", "printed", "digit"), BEAMS.values(), ids=BEAMS
)
def test_pin_and_roller_hold_a_beam(length, forces, at, couple, printed, digit):
    load = net_wrench(forces, points=[[x, 0, 0] for x in at])
    load[4] += couple

    pin, roller, guide = share_load(load, clamps=beam(length)).clamp_forces

    assert (pin[0], pin[2], roller[2]) == pytest.approx(printed, abs=digit)
    assert guide == pytest.approx(np.zeros(3), abs=1e-6)


def on_stands(weight, stands):
    """Stand a weight on stands, with guides that keep it from sliding."""
    guides = Clamps(
        positions=[[0, 0, 0], [1, 0, 0]],
        stiffness=[[1, STIFF, 0], [0, STIFF, 0]],
    )
    return share_load(weight, clamps=guides, stands=stands)


@pytest.mark.kind("share_load", "three wheels under two weights", SOURCE)
def test_three_wheels_share_a_scooter_and_its_driver():
    # Example 3.3-7 (p. 69): the axle of two wheels, the third 1 m ahead; 2 kN at 0.1 m
    # and a driver of 0.5 kN at 0.8 m ahead of the axle. Printed 0.95, 0.95 and 0.6 kN.
    wheels = Stands(positions=[[0, 0.4, 0], [0, -0.4, 0], [1, 0, 0]], stiffness=STIFF)
    weight = net_wrench([[0, 0, -2e3], [0, 0, -500]], points=[[0.1, 0, 0], [0.8, 0, 0]])

    held = on_stands(weight, wheels)

    assert held.stand_pushes == pytest.approx([950, 950, 600], abs=1e-3)


@pytest.mark.kind("share_load", "two smooth planes under a cylinder", SOURCE)
def test_two_smooth_planes_push_a_cylinder_across_themselves():
    # Example 2.2-17 (p. 37): 500 N between planes whose pushes stand 25 and 65 degrees
    # from the vertical; printed 453.2 and 211.3 N. One stand at each end of each plane.
    # The guide holds the slide along the axis and the turn about it, with springs of a
    # millionth of the planes'.
    lean = np.radians([25, 65, 25, 65])
    across = np.stack([0 * lean, np.sin(lean) * [1, -1, 1, -1], np.cos(lean)], axis=-1)
    ends = np.array([[-1, 0, 0], [-1, 0, 0], [1, 0, 0], [1, 0, 0]])
    planes = Stands(positions=ends, normals=across, stiffness=STIFF)
    guide = Clamps(
        positions=[[0, 0, 0.5], [0, 0, 0]], stiffness=[[0, 1e2, 0], [1e2, 0, 0]]
    )

    held = share_load(
        net_wrench([[0, 0, -500]], points=[[0, 0, 0]]), clamps=guide, stands=planes
    )

    pushes = held.stand_pushes[:2] + held.stand_pushes[2:]
    assert pushes == pytest.approx([453.2, 211.3], abs=0.05)


@pytest.mark.kind("line_of_action", "place of four parallel forces", SOURCE)
def test_four_parallel_forces_act_as_one():
    # Example 3.3-8 (p. 69): 15 N up at 0, 60 N down at 0.4 m, 10 N up at 0.7 m and
    # 25 N down at 1.2 m; printed 60 N down at 0.783 m.
    forces = [[0, 0, 15], [0, 0, -60], [0, 0, 10], [0, 0, -25]]
    places = [[0, 0, 0], [0.4, 0, 0], [0.7, 0, 0], [1.2, 0, 0]]

    line = line_of_action(net_wrench(forces, points=places))

    assert line.force == pytest.approx(60, abs=1e-9)
    assert line.direction == pytest.approx([0, 0, -1])
    assert line.point[0] == pytest.approx(0.783, abs=5e-4)


@pytest.mark.kind("hold_downs", "load between two men, on a slope", SOURCE)
def test_two_men_share_a_beam_that_they_carry_on_a_slope():
    # Example 3.3-1 (p. 64): 1000 N, 0.6 m from P along a 1 m beam that slopes at 60
    # degrees; P carries 400 N and Q 600 N whatever the slope.
    along = direction(side_angle=0.0, rise=np.radians(60))

    men = hold_downs([0, 0, -1000], at=0.6 * along, first=0 * along, second=1.0 * along)

    assert men == pytest.approx([400, 600])
