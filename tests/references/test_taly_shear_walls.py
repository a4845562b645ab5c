"""The stiffness centre of unlike walls against Taly: the clamp analogue."""

import pytest

from workbook.mechanics.holding.stiffness_centre import stiffness_centre
from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.holding.wrenches import net_wrench

SOURCE = "Taly, Design of Reinforced Masonry Structures"


def walls(*, length, width, west, east, south, north):
    """Return a roof on four walls, each stiff along itself; feet, as printed."""
    return Clamps(
        positions=[
            [0, width / 2, 0],
            [length, width / 2, 0],
            [length / 2, 0, 0],
            [length / 2, width, 0],
        ],
        stiffness=[[0, west, 0], [0, east, 0], [south, 0, 0], [north, 0, 0]],
    )


@pytest.mark.kind("stiffness_centre", "centre and turning stiffness", SOURCE)
def test_taly_example_7_12_centre_of_rigidity():
    # N. Taly, Design of Reinforced Masonry Structures, 2nd ed., McGraw-Hill, Example
    # 7.12, p. 7.71: walls of relative rigidity 4.5 and 5.5 at 90 ft, 4 and 4 at 60 ft:
    # x = 49.5 ft, y = 30 ft, J = 27 248 (five figures).
    roof = walls(length=90, width=60, west=4.5, east=5.5, south=4, north=4)

    centre = stiffness_centre(roof, normal=[0, 0, 1])

    assert centre.point == pytest.approx([49.5, 30, 0], abs=1e-9)
    assert centre.turning_stiffness == pytest.approx(27_248, abs=1)


@pytest.mark.kind("stiffness_centre", "torque of a pull off the centre", SOURCE)
def test_taly_example_7_12_eccentricity_of_the_load():
    # Same example: 100 kips north through the middle of the roof at 45 ft, so 4.5 ft
    # to the west of the centre of rigidity, which turns the roof clockwise.
    roof = walls(length=90, width=60, west=4.5, east=5.5, south=4, north=4)
    load = net_wrench([[0, 100, 0]], points=[[45, 30, 0]])

    torque = stiffness_centre(roof, normal=[0, 0, 1]).torque(load)

    assert float(torque) == pytest.approx(-100 * 4.5)


def test_taly_example_7_13_centre_of_rigidity():
    # Same book, Example 7.13, p. 7.74: rigidities 6 and 4 at 60 ft: x = 24 ft.
    roof = walls(length=60, width=40, west=6, east=4, south=4, north=4)

    point = stiffness_centre(roof, normal=[0, 0, 1]).point

    assert point == pytest.approx([24, 20, 0], abs=1e-9)
