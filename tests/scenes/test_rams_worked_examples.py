"""Our own worked examples of rams on one supply, recomputed by hand."""

import pytest

from workbook.mechanics.hydraulics.pressure import oil_pressure, piston_area
from workbook.mechanics.hydraulics.supply import (
    Rams,
    extend_rams,
    first_limit,
    greatest_forces,
    moving_pressures,
    order_of_movement,
)

# Our own worked examples, recomputed by hand.


def test_worked_example_of_three_rams_on_one_air_line():
    # By hand: 200 bar on 42, 42 and 30 mm: 20 MPa x 1385.4 mm2 = 27.7 kN twice and
    # 20 x 706.9 = 14.1 kN. 24, 18 and 12 kN move at 173, 130 and 170 bar, so the
    # second moves first. Three figures.
    rams = Rams(
        areas=piston_area([0.042, 0.042, 0.030]), resistances=[24e3, 18e3, 12e3]
    )

    forces = greatest_forces(200e5, rams=rams)

    assert forces / 1e3 == pytest.approx([27.7, 27.7, 14.1], abs=0.05)
    assert moving_pressures(rams) / 1e5 == pytest.approx([173, 130, 170], abs=0.5)
    assert order_of_movement(rams, supply_pressure=200e5).tolist() == [1, 2, 0]


def test_worked_example_of_air_and_pump_ratio():
    # By hand: 7 bar of air through a pump of 60 to 1 is 420 bar of oil; on 36 mm
    # bore 42 MPa x 1017.9 mm2 = 42.75 kN.
    supply = oil_pressure(7e5, pump_ratio=60)
    ram = Rams(areas=[piston_area(0.036)], resistances=0)

    assert supply == pytest.approx(420e5)
    assert greatest_forces(supply, rams=ram) / 1e3 == pytest.approx([42.75], abs=5e-3)


def test_worked_example_of_equal_rams_sharing_the_flow():
    # By hand: 3 rams of 40 mm bore, 100 mm, 1.2 L/min: 3 x 1256.6 mm2 x 100 mm =
    # 376,991 mm3 at 20,000 mm3/s = 18.85 s.
    rams = Rams(areas=piston_area([0.040] * 3), resistances=10e3, strokes=0.1)

    run = extend_rams(rams, flow=1.2e-3 / 60, supply_pressure=200e5)

    assert run.time_to_stroke(2, stroke=0.1) == pytest.approx(18.85, abs=5e-3)


def test_worked_example_of_the_load_path():
    # By hand: chain 40/1.087 = 36.8, clamp 50/1.087 = 46.0, anchor 30/0.633 = 47.4 kN;
    # on 42 mm bore 36.8 kN is 265.6 bar.
    limit = first_limit(
        [[1.087, 1.087, 0.633]], ratings=[40e3, 50e3, 30e3], areas=[piston_area(0.042)]
    )

    forces = limit.pressures[0] * piston_area(0.042) / 1e3
    assert forces == pytest.approx([36.8, 46.0, 47.4], abs=0.05)
    assert limit.part == 0
    assert limit.pressure / 1e5 == pytest.approx(265.6, abs=0.1)
