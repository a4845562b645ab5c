"""Rams on one supply against Esposito, Fluid Power with Applications.

Data and results as in the open textbook-companion scripts (chapters 3 and 6).
"""

import numpy as np
import pytest

from workbook.mechanics.hydraulics.pressure import oil_pressure, piston_area
from workbook.mechanics.hydraulics.supply import (
    Rams,
    extend_rams,
    greatest_forces,
    moving_pressures,
)

INCH, LBF = 0.0254, 4.4482216152605
PSI = LBF / INCH**2
GALLON = 231 * INCH**3
FOOT = 12 * INCH


@pytest.mark.kind(
    "moving_pressures", "pressures at which two rams move", "Esposito, Fluid Power"
)
def test_two_pistons_of_example_3_4_on_one_line():
    # Example 3-4: 100 lb on 2 in2 holds 1000 lb on 20 in2: both move at 50 psi.
    pair = Rams(areas=np.array([2, 20]) * INCH**2, resistances=[100 * LBF, 1000 * LBF])

    assert moving_pressures(pair) / PSI == pytest.approx([50, 50])


@pytest.mark.kind(
    "oil_pressure + greatest_forces",
    "force behind an air booster",
    "Esposito, Fluid Power",
)
def test_air_booster_of_example_3_6_and_its_ram():
    # Example 3-6: 100 psi of air on 20 in2 drives oil through 1 in2 to a load piston
    # of 25 in2: 50,000 lb. Exact.
    supply = oil_pressure(100 * PSI, pump_ratio=20)
    ram = Rams(areas=[25 * INCH**2], resistances=0)

    assert greatest_forces(supply, rams=ram) / LBF == pytest.approx([50_000])


@pytest.mark.kind(
    "extend_rams",
    "pressure and speed of a cylinder under a flow",
    "Esposito, Fluid Power",
)
@pytest.mark.parametrize(
    ("rod", "psi", "feet_a_second"), [(0, 318, 2.05), (1, 425, 2.73)]
)
def test_pressure_and_speed_of_example_6_1(rod, psi, feet_a_second):
    # Example 6-1: 20 gpm, 2 in bore, 1 in rod, 1000 lb both ways. Printed 318 psi and
    # 2.05 ft/s out, 425 psi and 2.73 ft/s back; the script rounds the speeds and
    # 425 up in the last place (unrounded 2.042, 2.723, 424.4), hence rel=5e-3.
    area = piston_area(2 * INCH, rod=rod * INCH)
    ram = Rams(areas=[area], resistances=1000 * LBF, strokes=1 * FOOT)

    run = extend_rams(ram, flow=20 * GALLON / 60, supply_pressure=1000 * PSI)

    assert run.pressures[0] / PSI == pytest.approx(psi, rel=5e-3)
    assert 1 / run.time_to_stroke(0, stroke=1 * FOOT) == (
        pytest.approx(feet_a_second, rel=5e-3)
    )
