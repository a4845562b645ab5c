"""What must hold for any rams on one supply."""

import numpy as np
import pytest
from scipy.optimize import brentq

from workbook.errors import OutOfRangeError
from workbook.mechanics.hydraulics.supply import (
    Rams,
    extend_rams,
    first_limit,
    greatest_forces,
    moving_pressures,
    order_of_movement,
)


def random_rams(rng, count=5, *, constant=0):
    """Springs against most rams, constant forces against the first few."""
    stiffness = rng.uniform(1e4, 1e6, count)
    stiffness[:constant] = 0
    return Rams(
        areas=rng.uniform(5e-4, 2e-3, count),
        resistances=rng.uniform(0, 2e4, count),
        stiffness=stiffness,
        strokes=rng.uniform(0.02, 0.2, count),
        valves_open=rng.uniform(size=count) < 0.8,
    )


@pytest.mark.parametrize("constant", [0, 2])
@pytest.mark.parametrize("seed", range(20))
def test_all_the_oil_pumped_is_in_the_rams(seed, constant):
    rams = random_rams(np.random.default_rng(seed), constant=constant)

    run = extend_rams(rams, flow=20e-6, supply_pressure=400e5)

    assert run.strokes @ rams.areas == pytest.approx(20e-6 * run.times, abs=1e-15)
    assert run.flows.sum(axis=1) == pytest.approx(np.full(len(run.flows), 20e-6))
    assert np.all(run.strokes[:, ~rams.valves_open] == 0)


@pytest.mark.parametrize("constant", [0, 2])
@pytest.mark.parametrize("seed", range(20))
def test_work_of_the_oil_is_work_against_the_resistances(seed, constant):
    rams = random_rams(np.random.default_rng(seed), constant=constant)

    run = extend_rams(rams, flow=20e-6, supply_pressure=400e5)

    middle = (run.pressures[1:] + run.pressures[:-1]) / 2
    oil = middle @ (20e-6 * np.diff(run.times))
    out = run.strokes[-1]
    metal = np.sum(rams.resistances * out + rams.stiffness * out**2 / 2)
    assert oil == pytest.approx(metal, rel=1e-9)


@pytest.mark.parametrize("seed", range(20))
def test_strokes_are_those_of_one_pressure_that_holds_all_the_oil(seed):
    # A second route: at time t the one pressure p at which the rams, each at
    # (p A - R)/k within its stroke, hold the oil pumped so far; found by bracketing.
    rng = np.random.default_rng(seed)
    rams = random_rams(rng)

    def strokes(p):
        free = (p * rams.areas - rams.resistances) / rams.stiffness
        return np.clip(free, 0, rams.strokes) * rams.valves_open

    run = extend_rams(rams, flow=20e-6, supply_pressure=400e5)

    for time in rng.uniform(0, run.times[-1], 5):
        held = brentq(
            lambda p, oil=20e-6 * time: rams.areas @ strokes(p) - oil,
            0, 400e5, xtol=1e-3,
        )  # fmt: skip
        assert run.strokes_at(time) == pytest.approx(strokes(held), abs=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_constant_forces_are_the_limit_of_very_soft_springs(seed):
    rams = random_rams(np.random.default_rng(seed), constant=5)
    soft = Rams(
        areas=rams.areas,
        resistances=rams.resistances,
        stiffness=1e-3,
        strokes=rams.strokes,
        valves_open=rams.valves_open,
    )

    stiff_run = extend_rams(rams, flow=20e-6, supply_pressure=400e5)
    soft_run = extend_rams(soft, flow=20e-6, supply_pressure=400e5)

    times = np.linspace(0, stiff_run.times[-1], 50)
    assert soft_run.strokes_at(times) == (
        pytest.approx(stiff_run.strokes_at(times), abs=1e-6)
    )


def test_pressure_never_falls_and_ends_at_the_supply():
    rams = random_rams(np.random.default_rng(3), constant=2)

    run = extend_rams(rams, flow=20e-6, supply_pressure=150e5)

    assert np.all(np.diff(run.pressures) >= 0)
    assert np.all(np.diff(run.times) >= 0)
    assert run.pressures[-1] == 150e5


def test_the_ram_that_needs_least_pressure_moves_first_not_the_biggest():
    # Resistance over area: 200, 120 and 150 bar.
    rams = Rams(areas=[2e-3, 0.5e-3, 1e-3], resistances=[40e3, 6e3, 15e3], strokes=0.1)

    assert order_of_movement(rams).tolist() == [1, 2, 0]
    assert order_of_movement(rams, supply_pressure=200e5).tolist() == [1, 2]
    starts = [
        int(np.argmax(travel > 0))
        for travel in extend_rams(rams, flow=1e-5, supply_pressure=250e5).strokes.T
    ]
    assert np.argsort(starts).tolist() == [1, 2, 0]


def test_opening_two_more_equal_rams_leaves_the_force_and_trebles_the_time():
    one = Rams(areas=[1e-3], resistances=10e3, strokes=0.15)
    three = Rams(areas=[1e-3] * 3, resistances=10e3, strokes=0.15)

    alone = extend_rams(one, flow=20e-6, supply_pressure=300e5)
    together = extend_rams(three, flow=20e-6, supply_pressure=300e5)

    assert greatest_forces(300e5, rams=three) == pytest.approx([30e3] * 3)
    assert alone.times[-1] == pytest.approx(7.5)
    assert together.times[-1] == pytest.approx(22.5)
    assert together.flows[0] == pytest.approx([20e-6 / 3] * 3)


def test_rams_that_need_the_same_pressure_but_for_rounding_share_the_flow():
    # 3.3 kN on 3 cm2 and 1.1 kN on 1 cm2 are both 110 bar; in doubles they differ.
    rams = Rams(areas=[0.0003, 0.0001], resistances=[3300.0, 1100.0], strokes=0.1)
    assert moving_pressures(rams)[0] > moving_pressures(rams)[1]

    run = extend_rams(rams, flow=20e-6, supply_pressure=200e5)

    assert run.flows[0] == pytest.approx([10e-6, 10e-6])


def test_a_closed_valve_leaves_its_ram_without_force_or_travel():
    rams = Rams(
        areas=[1e-3, 1e-3], resistances=5e3, strokes=0.1, valves_open=[True, False]
    )

    run = extend_rams(rams, flow=10e-6, supply_pressure=200e5)

    assert greatest_forces([100e5, 200e5], rams=rams).tolist() == [
        [10e3, 0],
        [20e3, 0],
    ]
    assert order_of_movement(rams).tolist() == [0]
    assert run.strokes[-1].tolist() == [0.1, 0]
    assert run.fully_out.tolist() == [True, False]


def test_the_pump_stalls_against_a_spring_where_the_forces_meet():
    # 200 bar on 10 cm2 is 20 kN = 5 kN + 100 kN/m x 0.15 m.
    ram = Rams(areas=[1e-3], resistances=5e3, stiffness=1e5)

    run = extend_rams(ram, flow=10e-6, supply_pressure=200e5)

    assert run.strokes[-1] == pytest.approx([0.15])
    assert run.times[-1] == pytest.approx(15)
    assert not run.fully_out[0]
    assert run.time_to_stroke(0, stroke=0.05) == pytest.approx(5)


def test_a_pump_too_weak_for_every_ram_moves_none():
    rams = Rams(areas=[1e-3, 1e-3], resistances=50e3, strokes=0.1)

    run = extend_rams(rams, flow=10e-6, supply_pressure=300e5)

    assert run.times.tolist() == [0]
    assert run.flows.shape == (0, 2)
    assert run.strokes_at([0, 5]).tolist() == [[0, 0], [0, 0]]
    assert order_of_movement(rams, supply_pressure=300e5).tolist() == []
    with pytest.raises(OutOfRangeError, match=r"never stands at 0\.01 m"):
        run.time_to_stroke(0, stroke=0.01)


def test_a_ram_with_a_constant_force_holds_back_a_spring_at_its_pressure():
    # The spring rises from 50 to 100 bar in 0.05 m, waits while the constant ram at
    # 100 bar goes out, then goes on.
    rams = Rams(
        areas=[1e-3, 1e-3], resistances=[5e3, 10e3], stiffness=[1e5, 0],
        strokes=[0.1, 0.2],
    )  # fmt: skip

    run = extend_rams(rams, flow=10e-6, supply_pressure=300e5)

    assert run.strokes_at([5, 15, 25, 30]) == (
        pytest.approx(np.array([[0.05, 0], [0.05, 0.1], [0.05, 0.2], [0.1, 0.2]]))
    )
    assert run.time_to_stroke(1, stroke=0.1) == pytest.approx(15)
    assert run.time_to_stroke(0, stroke=0) == 0


def test_the_first_limit_is_that_of_the_pressure_where_a_share_is_one():
    rng = np.random.default_rng(8)
    factors, ratings = rng.uniform(0.3, 1.8, (3, 4)), rng.uniform(2e4, 8e4, (3, 4))
    areas = rng.uniform(5e-4, 2e-3, 3)

    limit = first_limit(factors, ratings=ratings, areas=areas)

    forces = greatest_forces(limit.pressure, rams=Rams(areas=areas, resistances=0))
    shares = factors * forces[:, None] / ratings
    assert shares.max() == pytest.approx(1)
    assert shares[limit.ram, limit.part] == pytest.approx(1)
    assert limit.ram_force == pytest.approx(forces[limit.ram])
    assert limit.pressures.shape == (3, 4)


def test_the_lowest_rating_need_not_be_the_first_limit():
    # The second part has the lowest rating and the smallest load.
    limit = first_limit([[1.1, 0.3]], ratings=[40e3, 30e3], areas=[1e-3])

    assert limit.part == 0
    assert limit.pressures[0, 1] == pytest.approx(1000e5)


def test_a_part_that_carries_nothing_never_limits():
    limit = first_limit([[0, 0.5]], ratings=10e3, areas=[1e-3])

    assert limit.part == 1
    assert limit.pressures[0, 0] == np.inf


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"areas": [1e-3, 0]}, "piston area 0 m"),
        ({"areas": 1e-3}, "give a row, one a ram"),
        ({"resistances": -5.0}, "resistance -5 N must not be negative"),
        ({"resistances": [1, 2, 3]}, "do not fit 2 rams"),
        ({"stiffness": -1.0}, "stiffness -1 N/m must not be negative"),
        ({"strokes": 0.0}, "stroke 0 m must be more than zero"),
        ({"strokes": np.nan}, "stroke nan m must be more than zero"),
    ],
)
def test_rams_that_cannot_be_are_refused(wrong, words):
    right = {"areas": [1e-3, 1e-3], "resistances": 5e3}

    with pytest.raises(OutOfRangeError, match=words):
        Rams(**right | wrong)


def test_a_ram_that_never_stops_is_refused():
    endless = Rams(areas=[1e-3], resistances=5e3)

    with pytest.raises(OutOfRangeError, match="goes on without end"):
        extend_rams(endless, flow=1e-5, supply_pressure=200e5)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        ({"factors": [[-1.0]]}, "load per ram force -1 must not be negative"),
        ({"factors": [[0.0]]}, "no part carries anything"),
        ({"ratings": 0.0}, "rating 0 N must be more than zero"),
        ({"areas": [1e-3, 2e-3]}, "do not fit"),
        ({"areas": 1e-3}, "do not fit"),
        ({"ratings": [1e4, 2e4]}, "do not fit"),
    ],
)
def test_load_paths_that_cannot_be_are_refused(call, words):
    right = {"factors": [[1.0]], "ratings": 10e3, "areas": [1e-3]} | call

    with pytest.raises(OutOfRangeError, match=words):
        first_limit(right.pop("factors"), **right)


@pytest.mark.parametrize(("apart", "together"), [(1e-8, False), (1e-14, True)])
def test_rams_share_the_oil_only_where_rounding_alone_parts_them(apart, together):
    rams = Rams(
        areas=[1e-3, 1e-3],
        resistances=[2e4, 2e4 * (1 + apart)],
        strokes=[0.1, 0.1],
    )

    run = extend_rams(rams, flow=20e-6, supply_pressure=400e5)

    assert (run.flows[0] > 0).tolist() == [True, together]
    assert run.strokes[-1].tolist() == [0.1, 0.1]
