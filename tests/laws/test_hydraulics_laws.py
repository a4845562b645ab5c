"""Laws of one ram on a pump."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.errors import OutOfRangeError
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

SIZE = st.floats(1e-6, 1e9)


def test_area_is_the_sum_of_many_thin_rings():
    # Referee: circumference times thickness of each.
    middle = (np.arange(1000) + 0.5) / 1000 * 0.020

    area = np.sum(2 * np.pi * middle * 0.020 / 1000)

    assert piston_area(0.040) == pytest.approx(area, rel=1e-12, abs=0)


def test_rod_takes_its_own_area_from_the_piston():
    assert piston_area(0.050, rod=0.020) == pytest.approx(
        piston_area(0.050) - piston_area(0.020), rel=1e-14, abs=0
    )


def test_thin_ring_keeps_its_figures():
    # A gap of a picometre, in binary fractions so that it is exact. A difference
    # of two squares would keep five figures of it.
    gap = 2.0**-40

    ring = piston_area(2.0**-5, rod=2.0**-5 - gap)

    assert ring / (np.pi / 4 * gap * (2.0**-4 - gap)) == pytest.approx(1, rel=1e-14)


@given(pressure=SIZE, bore=st.floats(1e-3, 10.0))
def test_force_leads_back_to_its_pressure_and_area_to_its_bore(pressure, bore):
    area = piston_area(bore)

    force = force_from_pressure(pressure, piston_area=area)

    assert pressure_from_force(force, piston_area=area) == pytest.approx(
        pressure, rel=1e-14, abs=0
    )
    assert bore_from_area(area) == pytest.approx(bore, rel=1e-14, abs=0)


def test_twice_the_bore_is_four_times_the_force():
    single, double = force_from_pressure(
        400e5, piston_area=piston_area(np.array([0.025, 0.050]))
    )

    assert double == pytest.approx(4 * single, rel=1e-14, abs=0)


@given(air=SIZE, air_area=st.floats(1e-5, 1.0), oil_area=st.floats(1e-5, 1.0))
def test_pump_pistons_push_on_each_other_with_equal_force(air, air_area, oil_area):
    ratio = pump_ratio(air_area=air_area, oil_area=oil_area)

    oil = oil_pressure(air, pump_ratio=ratio)

    assert force_from_pressure(oil, piston_area=oil_area) == pytest.approx(
        force_from_pressure(air, piston_area=air_area), rel=1e-14, abs=0
    )
    assert air_pressure(oil, pump_ratio=ratio) == pytest.approx(air, rel=1e-14, abs=0)


@given(pressure=SIZE, volume=st.floats(1e-9, 1.0), bore=st.floats(1e-3, 10.0))
def test_work_of_the_ram_is_work_of_the_oil(pressure, volume, bore):
    area = piston_area(bore)

    work = force_from_pressure(pressure, piston_area=area) * stroke_from_volume(
        volume, piston_area=area
    )

    assert work == pytest.approx(pressure * volume, rel=1e-14, abs=0)


def test_no_pressure_is_no_force_and_no_oil_is_no_travel():
    area = piston_area(0.040)

    assert force_from_pressure(0.0, piston_area=area) == 0.0
    assert pressure_from_force(0.0, piston_area=area) == 0.0
    assert stroke_from_volume(0.0, piston_area=area) == 0.0
    assert oil_pressure(0.0, pump_ratio=70.0) == air_pressure(0.0, pump_ratio=70.0) == 0


def test_arrays_of_pressures_and_rams_give_a_table_of_forces():
    pressure = np.array([100e5, 400e5, 700e5])
    area = piston_area(np.array([[0.025], [0.040]]))

    force = force_from_pressure(pressure, piston_area=area)

    assert force.shape == (2, 3)
    assert force[1, 2] == pytest.approx(
        force_from_pressure(700e5, piston_area=piston_area(0.040)), rel=1e-15, abs=0
    )


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: piston_area(0.0), "bore 0 m must be more than zero"),
        (lambda: piston_area(0.04, rod=-0.01), "rod -0.01 m must not be negative"),
        (lambda: piston_area(0.04, rod=0.04), "must be thinner than the bore"),
        (lambda: bore_from_area(-1.0), r"piston area -1 m\^2 must be more than zero"),
        (
            lambda: force_from_pressure(-1e5, piston_area=1e-3),
            "pressure -100000 Pa must not be negative",
        ),
        (
            lambda: force_from_pressure(np.nan, piston_area=1e-3),
            "pressure nan Pa must be a finite number",
        ),
        (
            lambda: force_from_pressure(1e5, piston_area=0.0),
            r"piston area 0 m\^2 must be more than zero",
        ),
        (
            lambda: pressure_from_force(-1.0, piston_area=1e-3),
            "ram force -1 N must not be negative",
        ),
        (
            lambda: pressure_from_force(1.0, piston_area=0.0),
            r"piston area 0 m\^2 must be more than zero",
        ),
        (
            lambda: pump_ratio(air_area=0.0, oil_area=1e-4),
            r"air area 0 m\^2 must be more than zero",
        ),
        (
            lambda: pump_ratio(air_area=1e-2, oil_area=0.0),
            r"oil area 0 m\^2 must be more than zero",
        ),
        (
            lambda: oil_pressure(-1.0, pump_ratio=70),
            "air pressure -1 Pa must not be negative",
        ),
        (lambda: oil_pressure(7e5, pump_ratio=0), "pump ratio 0 must be more"),
        (
            lambda: air_pressure(-1.0, pump_ratio=70),
            "oil pressure -1 Pa must not be negative",
        ),
        (lambda: air_pressure(7e7, pump_ratio=0), "pump ratio 0 must be more"),
        (
            lambda: stroke_from_volume(-1.0, piston_area=1e-3),
            r"volume -1 m\^3 must not be negative",
        ),
        (
            lambda: stroke_from_volume(1e-4, piston_area=-1e-3),
            r"piston area -0.001 m\^2 must be more than zero",
        ),
    ],
)
def test_what_no_cylinder_can_be_is_refused_with_the_reason(call, reason):
    with pytest.raises(OutOfRangeError, match=reason):
        call()


def test_refusal_in_an_array_names_the_ram():
    with pytest.raises(OutOfRangeError, match=r"bore -0.03 m .* \(at index 2\)"):
        piston_area([0.025, 0.040, -0.030])
