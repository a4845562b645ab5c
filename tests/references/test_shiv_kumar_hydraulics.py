"""Presses, cylinders and intensifiers against Kumar, Fluid Systems.

Shiv Kumar, Fluid Mechanics and Fluid Machines (Fluid Systems), chapter 16, hydraulic
power and its transmission; data as in the open textbook-companion scripts, which
print two decimals of what the book's formulas give.
"""

import pytest

from workbook.mechanics.hydraulics.pressure import (
    air_pressure,
    bore_from_area,
    force_from_pressure,
    oil_pressure,
    piston_area,
    pressure_from_force,
    pump_ratio,
    stroke_from_volume,
)

SOURCE = "Kumar, Fluid Systems"
MM, LITRE, BAR = 1e-3, 1e-3, 1e5

# Ram, plunger, stroke of the plunger (mm), weight on the ram (N), its travel (m), then
# force on the plunger (N) and number of its strokes.
PRESSES = {
    "16.14": (180, 36, 300, 7000, 0.9, 280.0, 75),
    "16.15": (165, 33, 250, 5500, 1.2, 220.0, 120),
}
BOTH = pytest.mark.parametrize(
    ("ram", "plunger", "stroke", "weight", "travel", "force", "strokes"),
    PRESSES.values(),
    ids=PRESSES,
)


@pytest.mark.kind(
    "pressure_from_force + force_from_pressure", "force on a press's plunger", SOURCE
)
@BOTH
def test_a_small_plunger_holds_the_weight_on_the_ram(
    ram, plunger, stroke, weight, travel, force, strokes
):
    pressure = pressure_from_force(weight, piston_area=piston_area(ram * MM))

    held = force_from_pressure(pressure, piston_area=piston_area(plunger * MM))

    assert held == pytest.approx(force, abs=5e-3)


@pytest.mark.kind("stroke_from_volume", "strokes of a plunger for one travel", SOURCE)
@BOTH
def test_a_plunger_strokes_many_times_for_one_travel_of_the_ram(
    ram, plunger, stroke, weight, travel, force, strokes
):
    volume = piston_area(plunger * MM) * stroke * MM

    one = stroke_from_volume(volume, piston_area=piston_area(ram * MM))

    assert travel / one == pytest.approx(strokes, abs=1e-6)


@pytest.mark.kind("bore_from_area", "bore for a force at a pressure", SOURCE)
def test_bore_of_a_cylinder_that_gives_a_force():
    # Example 16.13: 400 N at 4000 kPa; the script gives 11.28 mm.
    assert bore_from_area(400 / 4000e3) / MM == pytest.approx(11.28, abs=5e-3)


@pytest.mark.kind("pump_ratio + oil_pressure", "high side of an intensifier", SOURCE)
def test_an_intensifier_raises_the_pressure_by_its_areas():
    # Example 16.11: 50 bar raised to 150 bar; 32 litres in a stroke of 1.5 m need a
    # fixed ram of 164.81 mm, and the sliding cylinder 285.46 mm (two decimals each, so
    # the ratio of areas is known to 1e-4).
    small = bore_from_area(32 * LITRE / 1.5)
    assert small / MM == pytest.approx(164.81, abs=5e-3)
    ratio = pump_ratio(air_area=piston_area(285.46 * MM), oil_area=piston_area(small))

    high = oil_pressure(50 * BAR, pump_ratio=ratio)

    assert high / BAR == pytest.approx(150, rel=1e-4)


@pytest.mark.kind("pump_ratio + air_pressure", "low side of an intensifier", SOURCE)
def test_an_intensifier_needs_the_low_pressure_of_its_areas():
    # The same example from its high side: 150 bar needs 50 bar.
    ratio = pump_ratio(
        air_area=piston_area(285.46 * MM), oil_area=piston_area(164.81 * MM)
    )

    low = air_pressure(150 * BAR, pump_ratio=ratio)

    assert low / BAR == pytest.approx(50, rel=1e-4)
