"""Laws of the practice rail: what must hold whatever the numbers."""

from dataclasses import replace

import numpy as np
import pytest
from front_ends import LINKS, ROUGH_REPAIR, TIP, one_rail, rail, two_rails

from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    Rail,
    RailClamp,
    RailPull,
    RailStage,
    Relief,
    pull_hold_release,
)

# -- one hinge, in closed form ------------------------------------------------


@pytest.fixture(name="one_hinge")
def fixture_one_hinge():
    link = Rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        link_length=[0.5],
        stiffness=[[1e5, 1e5, 1e13]],
        yield_load=[[4e3, 4e3, 1e13]],
        hardening_ratio=0.05,
    )
    return FrontEnd(
        rails=[link],
        clamps={"tip": RailClamp(node=(0, 1))},
        pulls={
            "left": RailPull(clamp="tip", direction=(0, 1, 0)),
            "right": RailPull(clamp="tip", direction=(0, -1, 0)),
        },
    )


def test_one_hinge_springs_back_by_moment_over_stiffness(one_hinge):
    history = follow(one_hinge, pull_hold_release("left", force=9e3))

    turn = history.deformation[:, 0, 0, 1]
    loaded = turn[history.stage == 0][-1]
    moment = 9e3 * 0.5 * np.cos(loaded)
    assert history.load[history.stage == 0][-1, 0, 0, 1] == pytest.approx(moment)
    assert loaded - turn[-1] == pytest.approx(moment / 1e5)


def test_one_hinge_keeps_the_bilinear_residual_turn(one_hinge):
    history = follow(one_hinge, pull_hold_release("left", force=9e3))

    # Slope past yield 0.05 k, so the plastic part is (M - My)(1/0.05k - 1/k).
    loaded = history.deformation[history.stage == 0][-1, 0, 0, 1]
    beyond = 9e3 * 0.5 * np.cos(loaded) - 4e3
    assert history.deformation[-1, 0, 0, 1] == pytest.approx(
        beyond * (1 / 5e3 - 1 / 1e5), rel=1e-6
    )


def test_perfectly_plastic_hinge_turns_until_the_arm_is_short_enough(one_hinge):
    link = replace(one_hinge.rails[0], hardening_ratio=0.0)
    soft = replace(one_hinge, rails=[link])

    history = follow(soft, [RailStage(name="pull", forces={"left": 8.4e3})])

    # The moment stays at My = 8.4 kN * 0.5 m * cos(turn).
    turn = history.deformation[-1, 0, 0, 1]
    assert np.cos(turn) == pytest.approx(4e3 / (8.4e3 * 0.5), rel=1e-6)


# -- elastic range and yield --------------------------------------------------


def test_a_closed_cycle_inside_yield_leaves_nothing():
    cycle = [
        RailStage(name="left", forces={"left": 5e3}),
        RailStage(name="right", forces={"left": 0.0, "right": 5e3}),
        RailStage(name="off", forces={"right": 0.0}),
    ]

    history = follow(one_rail(), cycle)

    assert np.ptp(history.nodes[:, 0, LINKS, 1]) > 0.005
    assert history.movement(TIP) == pytest.approx([0, 0, 0], abs=1e-12)
    assert history.energies[-1].dissipated == 0


def test_small_pulls_superpose():
    pulls = {"left": (0, 1, 0), "up": (0.2, 0, 1)}

    def tip(**forces):
        stage = RailStage(name="load", forces=forces)
        return follow(one_rail(**pulls), [stage]).movement(TIP)

    # 0.1 N moves the tip by micrometres: what large turns add is of that order again.
    both = tip(left=0.1, up=0.1)

    assert both == pytest.approx(tip(left=0.1) + tip(up=0.1), rel=1e-6, abs=1e-13)
    assert abs(both[1]) > 1e-8


def test_unloading_is_elastic():
    history = follow(one_rail(), pull_hold_release("left", force=13e3))

    release = history.plastic[history.stage == 2]
    held = history.plastic[history.stage == 1][-1]
    assert np.abs(held).max() > 1e-3
    assert np.abs(release - held).max() < 1e-12


@pytest.mark.parametrize(("back", "flows"), [(0.98, False), (1.02, True)])
def test_a_kinked_place_yields_back_first(one_hinge, back, flows):
    # After flow at a moment M the elastic range runs from M - 2 My to M, so a pull
    # back yields at 2 My - M, below the My of a virgin hinge.
    kinked = follow(one_hinge, pull_hold_release("left", force=9e3))
    plastic = kinked.end.plastic[0, 0, 1]
    moment = kinked.load[kinked.stage == 1][-1, 0, 0, 1]
    limit = 2 * 4e3 - moment
    assert limit < 0.9 * 4e3
    arm = 0.5 * np.cos(plastic - limit / 1e5)
    pull_back = RailStage(name="back", forces={"right": back * limit / arm})

    history = follow(one_hinge, [pull_back], start=kinked)

    flowed = plastic - history.end.plastic[0, 0, 1]
    assert (flowed > 1e-6) == flows


def test_the_root_moment_is_force_times_arm_at_every_step():
    front_end = one_rail(left=(0.4, 1, 0))

    history = follow(front_end, pull_hold_release("left", force=14e3))

    way = np.array([0.4, 1, 0]) / np.hypot(0.4, 1)
    arms = history.nodes[:, 0, LINKS] - history.nodes[:, 0, 0]
    moments = np.cross(arms, history.force[:, :1] * way)[:, 2]
    assert np.abs(history.deformation).max() > 0.04
    assert history.load[:, 0, 0, 1] == pytest.approx(moments, rel=1e-7, abs=1e-4)


# -- symmetry -----------------------------------------------------------------


def turned(front_end, by):
    """Return a front end with every place and direction turned about the origin."""

    def at(vector):
        return None if vector is None else by @ np.asarray(vector, dtype=float)

    rails = [
        replace(r, root=at(r.root), along=at(r.along), upward=at(r.upward))
        for r in front_end.rails
    ]
    pulls = {
        name: replace(p, head=at(p.head), direction=at(p.direction))
        for name, p in front_end.pulls.items()
    }
    even = {
        name: replace(s, stiffness=(1e6, 1e6, 1e6))
        for name, s in front_end.springs.items()
    }
    return replace(front_end, rails=rails, pulls=pulls, springs=even)


@pytest.fixture(name="repaired", scope="module")
def fixture_repaired():
    """Return the rough repair of two rails whose springs are the same every way."""
    return follow(turned(two_rails(), np.eye(3)), ROUGH_REPAIR)


@pytest.mark.parametrize("seed", range(3))
def test_turn_the_axes_and_the_rail_turns(seed, repaired):
    rng = np.random.default_rng(seed)
    by = np.linalg.qr(rng.normal(size=(3, 3)))[0]
    by *= np.linalg.det(by)

    other = follow(turned(two_rails(), by), ROUGH_REPAIR)

    assert other.end.nodes == pytest.approx(repaired.end.nodes @ by.T, abs=1e-8)


def test_mirror_the_rails_and_the_damage_mirrors(repaired):
    flip = np.diag([1.0, -1.0, 1.0])

    mirrored = turned(two_rails(), flip)
    upright = [replace(r, upward=(0, 0, 1)) for r in mirrored.rails]
    other = follow(replace(mirrored, rails=upright), ROUGH_REPAIR)

    assert other.end.nodes == pytest.approx(repaired.end.nodes @ flip, abs=1e-8)


# -- energy and steps -----------------------------------------------------------


@pytest.mark.parametrize("tolerance", [1e-2, 1e-3, 1e-4])
def test_work_of_the_pulls_is_stored_dissipated_or_let_go(tolerance):
    history = follow(two_rails(), ROUGH_REPAIR, tolerance=tolerance)

    end = history.energies[-1]
    let_go = end.dissipated + end.relieved + end.removed
    accounted = end.elastic + end.hardening + let_go
    assert min(end.dissipated, end.relieved, end.removed, end.hardening) > 0.1
    assert end.work == pytest.approx(accounted, abs=tolerance * end.gross)


def test_energies_follow_from_the_recorded_loads():
    history = follow(one_rail(), pull_hold_release("left", force=14e3))

    stiffness = np.asarray(rail().stiffness)
    hardening = stiffness * 0.03 / 0.97
    flow = np.abs(np.diff(history.plastic, axis=0))
    end, limit = history.energies[-1], np.asarray(rail().yield_load)
    assert end.dissipated == pytest.approx(np.sum(flow * limit))
    assert end.hardening == pytest.approx(
        np.sum(history.back_load[-1] ** 2 / hardening) / 2
    )
    loaded = np.flatnonzero(history.stage == 0)[-1]
    assert history.energies[loaded].elastic == pytest.approx(
        np.sum(history.load[loaded] ** 2 / stiffness) / 2
    )


def equal_steps(front_end, stages, count):
    return follow(front_end, stages, tolerance=1.0, largest_step=1 / count)


def slope(counts, errors):
    return -np.polyfit(np.log(counts), np.log(errors), 1)[0]


def test_energy_error_of_equal_elastic_steps_falls_with_their_square():
    counts = [2, 4, 8, 16]
    stages = [RailStage(name="pull", forces={"left": 11e3})]
    elastic = replace(
        one_rail(), rails=[replace(rail(), yield_load=np.full((LINKS, 3), np.inf))]
    )

    errors = [
        abs(equal_steps(elastic, stages, n).energies[-1].imbalance) for n in counts
    ]

    assert slope(counts, errors) == pytest.approx(2, abs=0.05)


def test_energy_error_of_equal_steps_past_yield_falls_with_their_square():
    # Where in a step a hinge begins to yield is chance, which scatters the errors
    # about the slope: hence 0.2.
    counts = [4, 8, 16, 32]
    stages = [*ROUGH_REPAIR[:3], ROUGH_REPAIR[4]]

    errors = [
        abs(equal_steps(two_rails(), stages, n).energies[-1].imbalance) for n in counts
    ]

    assert slope(counts, errors) == pytest.approx(2, abs=0.2)


def test_position_error_of_equal_hammering_steps_falls_with_their_square():
    counts = [2, 4, 8]
    best = equal_steps(two_rails(), ROUGH_REPAIR[:4], 64).end.nodes

    errors = [
        np.abs(equal_steps(two_rails(), ROUGH_REPAIR[:4], n).end.nodes - best).max()
        for n in counts
    ]

    assert slope(counts, errors) == pytest.approx(2, abs=0.05)


def test_positions_need_no_small_steps_while_no_hinge_turns_back_inside_one():
    # The return to yield is exact for flow in one sense.
    few = equal_steps(two_rails(), ROUGH_REPAIR[:3], 3).end.nodes
    many = equal_steps(two_rails(), ROUGH_REPAIR[:3], 30).end.nodes

    assert few == pytest.approx(many, abs=1e-10)


def test_the_tolerance_bounds_the_error():
    # Hammered nearly soft, a hinge begins to flow late in the stage and fast: steps
    # that only kept the energy would miss the place by three times the tolerance.
    soft = Relief(rail=0, hinges=[1, 3, 4], fraction=0.99)
    stages = [
        RailStage(name="pull", forces={"left": 9.4e3}),
        RailStage(name="ease", forces={"left": 0.7e3}),
        RailStage(name="hammer", relief=[soft]),
    ]
    fine = follow(one_rail(), stages, tolerance=1e-5)
    largest = np.abs(fine.nodes - fine.nodes[0]).max()

    for tolerance in (1e-2, 1e-3):
        rough = follow(one_rail(), stages, tolerance=tolerance)
        error = np.abs(rough.end.nodes - fine.end.nodes).max()

        assert error < tolerance * largest


def test_going_on_from_a_history_is_the_same_as_one_go():
    whole = follow(two_rails(), ROUGH_REPAIR)

    crash = follow(two_rails(), ROUGH_REPAIR[:2])
    rest = follow(two_rails(), ROUGH_REPAIR[2:], start=crash)

    assert rest.end.nodes == pytest.approx(whole.end.nodes, abs=1e-9)
    assert rest.end.energies.work == pytest.approx(whole.end.energies.work)
