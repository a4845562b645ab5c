"""Rivets and bolts under eccentric loads against Bhandari.

V. B. Bhandari, Design of Machine Elements; data and results as in the open
textbook-companion scripts (chapters 7 and 8), which print six decimals of what
the book's formulas give.
"""

import numpy as np
import pytest

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import net_wrench
from workbook.mechanics.vectors import norm


def round_bar(force, stress):
    """Diameter that carries a force at a stress, F = stress pi d^2 / 4."""
    return np.sqrt(4 * force / (np.pi * stress))


@pytest.mark.kind(
    "share_load", "worst of a group in eccentric shear", "Bhandari, Machine Elements"
)
def test_nine_rivets_of_example_8_27():
    # Example 8.27: 50 kN at 300 mm from the middle of 3 x 3 rivets 100 mm apart,
    # 60 N/mm2 in shear; printed d = 21.587293 mm.
    rows = np.array([-0.1, 0, 0.1])
    spots = np.array([[x, y, 0] for x in rows for y in rows])
    load = net_wrench([[0, -50e3, 0]], points=[[0.3, 0, 0]])

    held = share_load(load, clamps=Clamps(positions=spots, stiffness=1e8))

    worst = norm(held.clamp_forces).max()
    assert round_bar(worst, 60e6) == pytest.approx(21.587293e-3, rel=1e-7)


def test_four_rivets_of_example_8_26():
    # Example 8.26: 5 kN at 200 mm from the middle of four rivets on a circle of
    # 100 mm radius, one of them straight toward the load; 60 N/mm2; printed
    # d = 8.920621 mm.
    spots = [[0.1, 0, 0], [0, 0.1, 0], [-0.1, 0, 0], [0, -0.1, 0]]
    load = net_wrench([[0, -5e3, 0]], points=[[0.2, 0, 0]])

    held = share_load(load, clamps=Clamps(positions=spots, stiffness=1e8))

    worst = norm(held.clamp_forces).max()
    assert round_bar(worst, 60e6) == pytest.approx(8.920621e-3, rel=1e-7)


@pytest.mark.kind(
    "share_load", "bolts in one line beside a guide", "Bhandari, Machine Elements"
)
def test_three_bolts_in_line_of_example_7_4():
    # Example 7.4: 5 kN at 305 mm from the middle one of three bolts 75 mm apart in
    # line; shear strength half of 380 N/mm2 over 3; core diameter over 0.8 comes
    # to 19.28 mm, so M20. A guide off the line keeps the plate from turning about
    # it, and has nothing to do under this load.
    bolts = [[-0.075, 0, 0], [0, 0, 0], [0.075, 0, 0], [0, 0.1, 0]]
    stiffness = [[1e8, 1e8, 1e8]] * 3 + [[0, 0, 1e8]]
    load = net_wrench([[0, -5e3, 0]], points=[[0.305, 0, 0]])

    forces = share_load(
        load, clamps=Clamps(positions=bolts, stiffness=stiffness)
    ).clamp_forces

    worst = norm(forces).max()
    assert worst == pytest.approx(11_833, abs=0.5)
    assert round_bar(worst, 0.5 * 380e6 / 3) / 0.8 == pytest.approx(19.28e-3, abs=5e-6)
    assert norm(forces[3]) == pytest.approx(0, abs=1e-6)


def bracket(load, *, eccentricity, heights):
    """Tension and shear of the upper bolts of a bracket that tips about its foot.

    Two bolts at each height; the foot can only push the wall, and is a million
    times as stiff as a bolt (the book takes it to be rigid).
    """
    bolts = [[0, y, h] for h in heights for y in (-0.05, 0.05)]
    foot = Stands(
        positions=[[0, -0.05, 0], [0, 0.05, 0]], normals=[1, 0, 0], stiffness=1e14
    )
    held = share_load(
        net_wrench([[0, 0, -load]], points=[[eccentricity, 0, 0]]),
        clamps=Clamps(positions=bolts, stiffness=1e8),
        stands=foot,
    )
    assert np.all(held.stand_pushes > 0)
    return -held.clamp_forces[:2, 0], held.clamp_forces[:2, 2]


@pytest.mark.kind(
    "share_load", "bracket that tips about its foot", "Bhandari, Machine Elements"
)
def test_bracket_of_example_7_5_presses_its_foot_and_pulls_its_bolts():
    # Example 7.5: 25 kN at 100 mm, bolts 150 and 25 mm above the tipping edge,
    # shear strength half of 380 N/mm2 over 2.5; the greatest shear stress asks for
    # a core of 98.022213 mm2. The foot's stiffness leaves rel=1e-5.
    tension, shear = bracket(25e3, eccentricity=0.1, heights=[0.15, 0.025])

    core = np.hypot(tension / 2, shear) / (0.5 * 380e6 / 2.5)

    assert core == pytest.approx([98.022213e-6] * 2, rel=1e-5)


def test_bracket_of_example_7_6_presses_its_foot_and_pulls_its_bolts():
    # Example 7.6: 25 kN at 500 mm, bolts 550 and 50 mm above the edge, 35 N/mm2;
    # the greatest principal stress asks for a core of 401.446244 mm2.
    tension, shear = bracket(25e3, eccentricity=0.5, heights=[0.55, 0.05])

    core = (tension / 2 + np.hypot(tension / 2, shear)) / 35e6

    assert core == pytest.approx([401.446244e-6] * 2, rel=1e-5)
