"""Moments and reductions of force systems against Hibbeler's Statics."""

import numpy as np
import pytest

from workbook.mechanics.holding.wrenches import central_axis, net_wrench
from workbook.mechanics.vectors import norm, unit

HIBBELER = "Hibbeler, Statics"


@pytest.mark.kind("net_wrench", "moment of several forces, and its angles", HIBBELER)
def test_moment_of_three_forces_about_the_origin_as_in_example_4_5():
    # R. C. Hibbeler, Engineering Mechanics: Statics, example 4.5 (data and result
    # as in the open textbook-companion notebook, chapter 4): the forces
    # (-60, 40, 20) and (0, 50, 0) N at (0, 5, 0) m and (80, 40, -30) N at
    # (4, 5, -2) m have M_O = (30, -40, 60) N m, at 67.4, 120.8 and 39.8 degrees
    # from the axes. Whole numbers, so exact; the angles have one decimal.
    forces = [[-60, 40, 20], [0, 50, 0], [80, 40, -30]]
    points = [[0, 5, 0], [0, 5, 0], [4, 5, -2]]

    moment = net_wrench(forces, points=points)[3:]

    assert moment == pytest.approx([30, -40, 60], abs=1e-12)
    angles = np.degrees(np.arccos(moment / norm(moment)))
    assert angles == pytest.approx([67.4, 120.8, 39.8], abs=0.05)


@pytest.mark.kind("net_wrench", "forces and a couple reduced to a point", HIBBELER)
def test_two_forces_and_a_couple_reduce_as_in_example_4_15():
    # Hibbeler, Statics, example 4.15 (data in the same notebook; result from
    # memory, recomputed (-166.4, -649.6, 300)): -800 N along z at (0, 0, 1) m,
    # 300 N along (-0.15, 0.1, 0) at (-0.15, 0.1, 1) m and a couple
    # (0, -400, 300) N m. The book prints whole N m after rounding the forces to
    # whole newtons, hence abs=0.6.
    tilted = 300 * unit([-0.15, 0.1, 0])
    couple = np.array([0, 0, 0, 0, -400, 300])

    wrench = (
        net_wrench([[0, 0, -800], tilted], points=[[0, 0, 1], [-0.15, 0.1, 1]]) + couple
    )

    assert wrench[:3] == pytest.approx([-249.6, 166.4, -800], abs=0.05)
    assert wrench[3:] == pytest.approx([-166, -650, 300], abs=0.6)


@pytest.mark.kind("central_axis", "where a wrench goes through a plate", HIBBELER)
def test_three_forces_on_a_plate_are_a_wrench_through_one_point_of_it():
    # Hibbeler, Statics, chapter 4, problem on three forces on a plate of 6 m by 4 m:
    # 500 N along x at (0, 0), 300 N along y at (6, 0) and 800 N along z at (0, 4) m.
    # The resultant 500 i + 300 j + 800 k is printed on a public homework sheet; 990 N,
    # 3.07 kN m and the point (1.16, 2.06) m from memory. Half of the last places.
    forces = [[500, 0, 0], [0, 300, 0], [0, 0, 800]]
    places = [[0, 0, 0], [6, 0, 0], [0, 4, 0]]

    axis = central_axis(net_wrench(forces, points=places))

    assert axis.force == pytest.approx(990, abs=0.5)
    assert axis.couple == pytest.approx(3.07e3, abs=5)
    through = axis.crossing(point=[0, 0, 0], normal=[0, 0, 1])
    assert through == pytest.approx([1.16, 2.06, 0], abs=5e-3)
