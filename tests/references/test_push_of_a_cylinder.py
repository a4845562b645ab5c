"""Push, pull and pressure of single cylinders against worked exercises."""

import pytest

from workbook.mechanics.hydraulics.pressure import (
    force_from_pressure,
    piston_area,
    pressure_from_force,
)

MM = 1e-3


@pytest.mark.kind(
    "force_from_pressure", "push and pull by bore and rod", "qammunity.org, 12221952"
)
def test_a_cylinder_pushes_with_its_bore_and_pulls_with_less():
    # qammunity.org/12221952: bore 75 mm, rod 14 mm, 5 MPa. Areas are rounded to a
    # square millimetre there, 4418 and 4264, so that forces are good to 2.5 N.
    push = force_from_pressure(5e6, piston_area=piston_area(75 * MM))
    pull = force_from_pressure(5e6, piston_area=piston_area(75 * MM, rod=14 * MM))

    assert push == pytest.approx(22_090, abs=2.5)
    assert pull == pytest.approx(21_320, abs=2.5)


@pytest.mark.kind(
    "pressure_from_force",
    "pressure for a push and a bore",
    "Mott, Applied Fluid Mechanics",
)
def test_the_pressure_that_a_push_needs():
    # R. L. Mott, Applied Fluid Mechanics, problem 1.52, as solved at
    # kdusling.github.io/teaching/Applied-Fluids/examples/1_52.html: 30 kN at 15.0 MPa
    # need a bore of 50.5 mm. Three figures of each, hence half a per cent.
    pressure = pressure_from_force(30e3, piston_area=piston_area(50.5 * MM))

    assert pressure == pytest.approx(15.0e6, rel=5e-3)
