"""Hydraulics against Esposito, Fluid Power with Applications.

Examples 3-4 and 6-1, data and results read in a public companion notebook.
"""

import pytest

from workbook.mechanics.hydraulics.pressure import (
    force_from_pressure,
    piston_area,
    pressure_from_force,
    stroke_from_volume,
)

INCH, LBF = 0.0254, 4.4482216152605
PSI = LBF / INCH**2


@pytest.mark.kind(
    "pressure_from_force + force_from_pressure",
    "force of one piston carried to another",
    "Esposito, Fluid Power",
)
def test_esposito_3_4_force_grows_as_the_area():
    # 100 lb on 2 in^2 drives 20 in^2: 1000 lb.
    pressure = pressure_from_force(100 * LBF, piston_area=2 * INCH**2)

    force = force_from_pressure(pressure, piston_area=20 * INCH**2)

    assert force / LBF == pytest.approx(1000, rel=1e-12)


@pytest.mark.kind(
    "stroke_from_volume",
    "travel of one piston carried to another",
    "Esposito, Fluid Power",
)
def test_esposito_3_4_travel_shrinks_as_the_area():
    # 1 in of travel of 2 in^2 moves 20 in^2 by 0.1 in.
    travel = stroke_from_volume(2 * INCH**3, piston_area=20 * INCH**2)

    assert travel / INCH == pytest.approx(0.1, rel=1e-12)


@pytest.mark.kind("piston_area", "pressure on the rod side", "Esposito, Fluid Power")
def test_esposito_6_1_pressures_of_a_cylinder_with_a_rod():
    # 1000 lb, 2 in bore, 1 in rod. Printed 318 psi to extend, half of its last
    # place, and 425 psi to retract, rounded up from 424.4: hence one whole unit.
    extend = pressure_from_force(1000 * LBF, piston_area=piston_area(2 * INCH))
    ring = piston_area(2 * INCH, rod=1 * INCH)
    retract = pressure_from_force(1000 * LBF, piston_area=ring)

    assert extend / PSI == pytest.approx(318, abs=0.5)
    assert retract / PSI == pytest.approx(425, abs=1)
