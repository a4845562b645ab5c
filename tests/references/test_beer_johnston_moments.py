"""Moments and reactions against Beer and Johnston, Vector Mechanics: Statics."""

import numpy as np
import pytest

from workbook.mechanics.holding.wrenches import moment_about_line, net_wrench
from workbook.mechanics.vectors import unit


@pytest.mark.kind(
    "net_wrench", "moment of one force about a point", "Beer & Johnston, Statics"
)
def test_moment_of_a_wire_about_a_plate_corner_as_in_sample_3_4():
    # F. P. Beer and E. R. Johnston, Vector Mechanics for Engineers: Statics,
    # sample problem 3.4: 200 N along (-0.3, 0.24, -0.32) m, acting at
    # (0.3, 0, 0.08) m from A; M_A = (-7.68, 28.8, 28.8) N m. The direction is
    # 0.5 m long, so the printed figures are exact.
    pull = 200 * unit([-0.3, 0.24, -0.32])

    moment = net_wrench([pull], points=[[0.3, 0, 0.08]])[3:]

    assert moment == pytest.approx([-7.68, 28.8, 28.8], rel=1e-9)


@pytest.mark.kind(
    "net_wrench", "force and moment of a fixed support", "Beer & Johnston, Statics"
)
def test_a_fixed_support_holds_a_roof_frame_as_in_sample_4_4():
    # Same book, sample problem 4.4 (from memory; its three equations are exact): 20 kN
    # down at 1.8, 3.6, 5.4 and 7.2 m left of the fixed foot, and a cable of 150 kN that
    # pulls down to the right, 4.5 m right of it, at 6 up to 4.5 across. The foot holds
    # with -90.0 kN, 200 kN and 180.0 kN m.
    roof = [[0, 0, -20e3]] * 4
    cable = 150e3 * np.array([4.5, 0, -6]) / 7.5
    places = [[-1.8, 0, 0], [-3.6, 0, 0], [-5.4, 0, 0], [-7.2, 0, 0], [4.5, 0, 0]]

    held = -net_wrench([*roof, cable], points=places)

    assert held[[0, 2]] == pytest.approx([-90e3, 200e3])
    # Counted as in the book, anticlockwise as seen with x to the right and z up.
    assert -held[4] == pytest.approx(180e3)


@pytest.mark.kind(
    "moment_about_line", "moment about edge and diagonal", "Beer & Johnston, Statics"
)
def test_moments_of_a_force_about_the_lines_of_a_cube_as_in_sample_3_5():
    # Same book, sample problem 3.5 (from memory; exact): P along (0, 1, -1) through a
    # point (a, -a, 0) from the corner A of a cube has the moment a P / sqrt 2 about the
    # edge along x and -a P / sqrt 6 about the diagonal along (1, -1, -1).
    a, force = 0.4, 500.0
    pull = net_wrench([force * unit([0, 1, -1])], points=[[a, -a, 0]])

    edge = moment_about_line(pull, point=[0, 0, 0], direction=[1, 0, 0])
    diagonal = moment_about_line(pull, point=[0, 0, 0], direction=[1, -1, -1])

    assert edge == pytest.approx(a * force / 2**0.5)
    assert diagonal == pytest.approx(-a * force / 6**0.5)
