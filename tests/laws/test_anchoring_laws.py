"""What must hold for any body on clamps and stands."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.optimize import nnls
from scipy.spatial.transform import Rotation

from workbook.errors import MechanismError, WorkbookError
from workbook.mechanics.holding.anchoring import bench_balance, share_load
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import moved_wrench, net_wrench
from workbook.mechanics.pull.linkage import Rig, solve_pull

CORNERS = np.array([[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]])


def random_clamps(rng, count=5):
    return Clamps(
        positions=rng.uniform(-2, 2, (count, 3)),
        stiffness=rng.uniform(1e6, 1e8, (count, 3)),
        axes=Rotation.random(count, random_state=rng).as_matrix(),
        ratings=rng.uniform(1e4, 5e4, count),
        slip_limits=rng.uniform(5e3, 5e4, count),
    )


def random_stands(rng, count=4):
    return Stands(
        positions=rng.uniform(-2, 2, (count, 3)),
        normals=rng.normal(size=(count, 3)),
        stiffness=rng.uniform(1e6, 1e8, count),
        ratings=rng.uniform(1e4, 5e4, count),
    )


def left_over(held, wrench, clamps, stands=None):
    """Return load and supports together, about the origin (held there)."""
    total = wrench + net_wrench(held.clamp_forces, points=clamps.positions)
    if stands is not None:
        total = total + net_wrench(held.stand_forces, points=stands.positions)
    return total


def plain_springs(clamps, stands):
    """Lay out all springs without any scaling: directions (s, 6), rates, one-way."""
    lines = np.concatenate([clamps.axes.reshape(-1, 3), stands.normals])
    points = np.concatenate([np.repeat(clamps.positions, 3, axis=0), stands.positions])
    rates = np.concatenate([clamps.stiffness.ravel(), stands.stiffness])
    screws = np.concatenate([lines, np.cross(points, lines)], axis=1)
    return screws, rates, np.arange(len(rates)) >= clamps.stiffness.size


def by_trying_every_set(clamps, stands, wrench):
    """Return the stand pushes of the one consistent contact set, or None."""
    screws, rates, one_way = plain_springs(clamps, stands)
    for contact in product([True, False], repeat=int(one_way.sum())):
        k = rates.copy()
        k[one_way] *= contact
        stiffness = screws.T @ (k[:, None] * screws)
        if np.linalg.matrix_rank(stiffness, tol=1e-9 * np.abs(stiffness).max()) < 6:
            continue
        travel = screws[one_way] @ np.linalg.solve(stiffness, wrench)
        closed = np.array(contact)
        if np.all(travel[closed] <= 1e-15) and np.all(travel[~closed] >= -1e-15):
            return np.where(closed, -k[one_way] * travel, 0)
    return None


@pytest.mark.parametrize("seed", range(20))
def test_clamps_balance_any_load(seed):
    rng = np.random.default_rng(seed)
    clamps, wrench = random_clamps(rng), rng.uniform(-1e4, 1e4, 6)

    held = share_load(wrench, clamps=clamps)

    assert left_over(held, wrench, clamps) == pytest.approx(np.zeros(6), abs=1e-6)


@pytest.mark.parametrize("seed", range(20))
def test_clamps_and_stands_balance_any_load_and_no_stand_pulls(seed):
    rng = np.random.default_rng(seed)
    clamps, stands = random_clamps(rng, 3), random_stands(rng)
    wrench = rng.uniform(-1e4, 1e4, 6)

    held = share_load(wrench, clamps=clamps, stands=stands)

    assert left_over(held, wrench, clamps, stands) == (
        pytest.approx(np.zeros(6), abs=1e-6)
    )
    assert np.all(held.stand_pushes >= 0)


@pytest.mark.parametrize("seed", range(60))
def test_lift_off_agrees_with_trying_every_set_of_stands(seed):
    rng = np.random.default_rng(seed)
    clamps, stands = random_clamps(rng, 3), random_stands(rng, 5)
    wrench = rng.uniform(-1e4, 1e4, 6)

    held = share_load(wrench, clamps=clamps, stands=stands)

    expected = by_trying_every_set(clamps, stands, wrench)
    assert held.stand_pushes == pytest.approx(expected, rel=1e-7, abs=1e-4)


@pytest.mark.parametrize("seed", range(60))
def test_a_body_that_needs_its_stands_is_shared_right_or_refused(seed):
    # One clamp pins a point; only stands stop the body turning about it.
    rng = np.random.default_rng(1000 + seed)
    clamps, stands = random_clamps(rng, 1), random_stands(rng, 6)
    wrench = rng.uniform(-1e4, 1e4, 6)
    expected = by_trying_every_set(clamps, stands, wrench)

    try:
        pushes = share_load(wrench, clamps=clamps, stands=stands).stand_pushes
    except MechanismError as refusal:
        pushes = None
        reason = str(refusal)

    if expected is None:
        assert pushes is None
        assert "lifts the body off stand" in reason
    else:
        assert pushes == pytest.approx(expected, rel=1e-6, abs=1e-3)


def test_the_seeds_of_the_stand_dependent_body_show_both_outcomes():
    outcomes = set()
    for seed in range(60):
        rng = np.random.default_rng(1000 + seed)
        clamps, stands = random_clamps(rng, 1), random_stands(rng, 6)
        wrench = rng.uniform(-1e4, 1e4, 6)
        outcomes.add(by_trying_every_set(clamps, stands, wrench) is None)

    assert outcomes == {True, False}


@pytest.mark.parametrize("seed", range(10))
def test_pushes_of_smooth_stands_are_those_of_nonnegative_least_squares(seed):
    # With next to no stiffness in the clamps' way, the pushes that balance a
    # press on more than three stands are the least-energy ones; scipy's nnls
    # finds them from the balance equations weighed heavily against the energy.
    rng = np.random.default_rng(seed)
    feet = np.column_stack([rng.uniform(-1, 1, (5, 2)), np.zeros(5)])
    stands = Stands(positions=feet, stiffness=rng.uniform(1e6, 1e7, 5))
    guide = Clamps(positions=[[0, 0, 0], [1, 0, 0]], stiffness=[[1e7, 1e7, 0]] * 2)
    spot = feet.T @ rng.dirichlet(np.ones(5))
    press = net_wrench([[0, 0, -8e3]], points=[spot])

    held = share_load(press, clamps=guide, stands=stands)

    balance = np.array([np.ones(5), feet[:, 1], -feet[:, 0]])
    heavy = 1e5
    rates = np.sqrt(stands.stiffness / stands.stiffness.max())
    scaled = np.concatenate([heavy * balance * rates, np.eye(5)])
    target = np.concatenate([-heavy * press[[2, 3, 4]], np.zeros(5)])
    expected = nnls(scaled, target)[0] * rates
    assert held.stand_pushes == pytest.approx(expected, rel=1e-4, abs=0.5)


def test_the_answer_does_not_depend_on_the_moment_point():
    rng = np.random.default_rng(4)
    clamps, stands = random_clamps(rng, 3), random_stands(rng)
    wrench, there = rng.uniform(-1e4, 1e4, 6), np.array([3.0, -1.0, 0.5])

    here = share_load(wrench, clamps=clamps, stands=stands)
    moved = moved_wrench(wrench, to_point=there)
    seen = share_load(moved, clamps=clamps, stands=stands, about=there)

    assert seen.clamp_forces == pytest.approx(here.clamp_forces, rel=1e-9)
    assert seen.stand_pushes == pytest.approx(here.stand_pushes, rel=1e-9)
    points = rng.normal(size=(4, 3))
    assert seen.movement_at(points) == pytest.approx(here.movement_at(points))


@pytest.mark.parametrize("seed", range(5))
def test_turn_the_axes_and_the_answer_turns(seed):
    rng = np.random.default_rng(seed)
    clamps, stands = random_clamps(rng, 3), random_stands(rng)
    force, moment = rng.uniform(-1e4, 1e4, (2, 3))
    turn = Rotation.random(random_state=rng).as_matrix()

    straight = share_load([*force, *moment], clamps=clamps, stands=stands)
    turned = share_load(
        [*turn @ force, *turn @ moment],
        clamps=Clamps(
            positions=clamps.positions @ turn.T,
            stiffness=clamps.stiffness,
            axes=clamps.axes @ turn.T,
        ),
        stands=Stands(
            positions=stands.positions @ turn.T,
            normals=stands.normals @ turn.T,
            stiffness=stands.stiffness,
        ),
    )

    assert turned.clamp_forces == pytest.approx(straight.clamp_forces @ turn.T)
    assert turned.stand_pushes == pytest.approx(straight.stand_pushes, abs=1e-6)


def test_mirror_the_layout_and_the_answer_mirrors():
    rng = np.random.default_rng(9)
    positions, stiffness = rng.uniform(-2, 2, (4, 3)), rng.uniform(1e6, 1e8, (4, 3))
    pull, hook = rng.uniform(-1e4, 1e4, 3), rng.uniform(-2, 2, 3)
    left_right = np.array([1, -1, 1])

    one = share_load(
        net_wrench([pull], points=[hook]),
        clamps=Clamps(positions=positions, stiffness=stiffness),
    )
    other = share_load(
        net_wrench([pull * left_right], points=[hook * left_right]),
        clamps=Clamps(positions=positions * left_right, stiffness=stiffness),
    )

    assert other.clamp_forces == pytest.approx(one.clamp_forces * left_right)


def test_effects_of_two_loads_add_when_clamps_alone_hold():
    rng = np.random.default_rng(2)
    clamps = random_clamps(rng)
    first, second = rng.uniform(-1e4, 1e4, (2, 6))

    apart = share_load([first, second], clamps=clamps)
    together = share_load(first + 2 * second, clamps=clamps)

    assert together.clamp_forces == (
        pytest.approx(apart.clamp_forces[0] + 2 * apart.clamp_forces[1])
    )


def test_movement_at_one_point_by_a_pull_at_another_is_the_same_both_ways():
    # Maxwell's reciprocal theorem.
    rng = np.random.default_rng(11)
    clamps = random_clamps(rng)
    (p, q), (along_p, along_q) = rng.normal(size=(2, 2, 3))

    by_p = share_load(net_wrench([along_p], points=[p]), clamps=clamps)
    by_q = share_load(net_wrench([along_q], points=[q]), clamps=clamps)

    assert by_p.movement_at(q)[0] @ along_q == (
        pytest.approx(by_q.movement_at(p)[0] @ along_p)
    )


def test_each_clamp_answers_its_own_movement_with_its_stiffness():
    rng = np.random.default_rng(12)
    clamps = random_clamps(rng)

    held = share_load(rng.uniform(-1e4, 1e4, 6), clamps=clamps, about=[1, 2, 3])

    local = np.einsum("nij,nj->ni", clamps.axes, held.movement_at(clamps.positions))
    springs = np.einsum("nij,ni->nj", clamps.axes, -clamps.stiffness * local)
    assert held.clamp_forces == pytest.approx(springs, rel=1e-7)


def test_equal_clamps_share_a_central_pull_equally():
    four = Clamps(positions=CORNERS, stiffness=3e7, ratings=20e3)

    held = share_load([24e3, 0, 0, 0, 0, 0], clamps=four)

    assert held.clamp_forces[:, 0] == pytest.approx([-6e3] * 4)
    assert held.shares == pytest.approx([0.3] * 4)
    assert float(held.lead) == pytest.approx(1)


def test_one_very_stiff_clamp_takes_all_of_a_pull_through_it():
    stiffness = np.full((4, 3), 1e6)
    stiffness[2] = 1e14
    clamps = Clamps(positions=CORNERS, stiffness=stiffness, ratings=20e3)

    held = share_load(net_wrench([[5e3, 4e3, 3e3]], points=[CORNERS[2]]), clamps=clamps)

    assert held.clamp_forces[2] == pytest.approx([-5e3, -4e3, -3e3], rel=1e-6)
    assert int(held.governing) == 2
    assert float(held.lead) > 1e5


def test_a_stand_under_a_press_takes_it_and_lets_go_of_a_lift():
    stands = Stands(positions=[[0, 0, 0]], stiffness=1e14, ratings=10e3)
    clamps = Clamps(positions=CORNERS, stiffness=1e6, ratings=20e3)
    loads = [[0, 0, -8e3, 0, 0, 0], [0, 0, 8e3, 0, 0, 0]]

    pressed, lifted = share_load(loads, clamps=clamps, stands=stands).stand_pushes[:, 0]

    assert pressed == pytest.approx(8e3, rel=1e-6)
    assert lifted == 0


def test_a_batch_with_some_lift_off_equals_its_members():
    rng = np.random.default_rng(21)
    clamps, stands = random_clamps(rng, 3), random_stands(rng)
    loads = rng.uniform(-1e4, 1e4, (3, 4, 6))

    batch = share_load(loads, clamps=clamps, stands=stands)

    assert batch.clamp_forces.shape == (3, 4, 3, 3)
    assert batch.shares.shape == (3, 4, 7)
    assert np.any(batch.stand_pushes == 0)
    assert np.any(batch.stand_pushes > 0)
    for place in np.ndindex(3, 4):
        one = share_load(loads[place], clamps=clamps, stands=stands)
        assert batch.clamp_forces[place] == pytest.approx(one.clamp_forces)
        assert batch.stand_pushes[place] == pytest.approx(one.stand_pushes)
        assert batch.displacement[place] == pytest.approx(one.displacement)
        assert batch.governing[place] == one.governing
        assert batch.lead[place] == pytest.approx(float(one.lead))


def test_no_load_no_force():
    stands = Stands(positions=CORNERS - [0, 0, 1], stiffness=1e7)
    clamps = Clamps(positions=CORNERS, stiffness=1e7, ratings=20e3)

    held = share_load(np.zeros(6), clamps=clamps, stands=stands)

    assert np.all(held.clamp_forces == 0)
    assert np.all(held.stand_pushes == 0)
    assert float(held.lead) == 1


def test_the_greatest_share_governs_not_the_greatest_force():
    clamps = Clamps(
        positions=[[0, 1, 0], [0, -1, 0], [1, 0, 0]],
        stiffness=[[1e7, 1e7, 1e7]] * 3,
        ratings=[40e3, 8e3, 40e3],
    )

    held = share_load(net_wrench([[12e3, 0, 0]], points=[[0, 0.3, 0]]), clamps=clamps)

    forces = np.linalg.norm(held.clamp_forces, axis=1)
    assert np.argmax(forces) == 0
    assert int(held.governing) == 1
    assert float(held.lead) == pytest.approx(forces[1] / 8e3 / (forces[0] / 40e3))


def test_slip_counts_the_force_in_the_flange_and_not_the_squeeze():
    clamps = Clamps(positions=CORNERS, stiffness=1e7, slip_limits=2e3)

    held = share_load([[4e3, 0, 3e3, 0, 0, 0], [0, 9e3, 0, 0, 0, 0]], clamps=clamps)

    assert held.slip_shares[0] == pytest.approx([1.25e3 / 2e3] * 4)
    assert held.slip_shares[1] == pytest.approx([0] * 4, abs=1e-12)


def test_slip_follows_the_flange_when_the_clamp_is_turned():
    # Jaws that squeeze along x: now a pull along x cannot slip them.
    across = [[0, 1, 0], [1, 0, 0], [0, 0, 1]]
    clamps = Clamps(positions=CORNERS, stiffness=1e7, axes=across, slip_limits=2e3)

    held = share_load([[4e3, 0, 0, 0, 0, 0], [0, 4e3, 0, 0, 0, 0]], clamps=clamps)

    assert held.slip_shares[0] == pytest.approx([0] * 4, abs=1e-12)
    assert held.slip_shares[1] == pytest.approx([0.5] * 4)


def test_stands_are_measured_by_their_own_rating():
    stands = Stands(positions=CORNERS, stiffness=1e7, ratings=[4e3, 8e3, 8e3, 8e3])
    guide = Clamps(positions=CORNERS, stiffness=[1e7, 1e7, 0], ratings=20e3)

    held = share_load([0, 0, -8e3, 0, 0, 0], clamps=guide, stands=stands)

    assert held.shares[4:] == pytest.approx([0.5, 0.25, 0.25, 0.25])
    assert int(held.governing) == 4
    assert float(held.lead) == pytest.approx(2)


def test_what_does_not_close_on_the_bench_goes_to_the_floor():
    loads = [([0, 0, 5.0], [1, 0, 0]), ([[0, 3.0, 0]], [[0, 0, 2]])]

    left = bench_balance(loads, about=[1, 0, 0])

    assert left == pytest.approx([0, 3, 5, -6, 0, -3])


def test_the_bench_feels_nothing_when_pull_and_clamps_stand_on_it():
    rig = Rig(
        clamp=[2.0, 0.3, 0.35],
        base=[3.1, 0.3, 0.0],
        anchor=[3.6, 0.42, 0.0],
        closed_length=0.55,
        extension=0.3,
        stroke=0.0,
        full_stroke=0.25,
        anchor_leg=1.0,
        swivel=np.radians(45),
    )
    pull = solve_pull(rig, ram_force=30e3)
    clamps = Clamps(positions=CORNERS, stiffness=2e7)
    load = net_wrench([pull.force_on_clamp], points=[rig.clamp])

    held = share_load(load, clamps=clamps)

    left = bench_balance(
        [
            (pull.base_on_bench, rig.base),
            (pull.anchor_on_bench, rig.anchor),
            (-held.clamp_forces, clamps.positions),
        ]
    )
    assert np.linalg.norm(pull.force_on_clamp) > 1e3
    assert left == pytest.approx(np.zeros(6), abs=1e-7)


GRID = st.sampled_from([-1.0, -0.5, 0.0, 0.5, 1.0])


@settings(max_examples=150, deadline=None)
@given(
    arrays(float, (3, 3), elements=GRID),
    arrays(float, (3, 3), elements=st.sampled_from([0.0, 1e5, 1e7])),
    arrays(float, (3, 3), elements=GRID),
    arrays(float, 6, elements=st.sampled_from([-2e3, 0.0, 700.0, 9e3])),
)
def test_any_layout_is_balanced_or_refused_and_never_nan(
    positions, stiffness, feet, wrench
):
    clamps = Clamps(positions=positions, stiffness=stiffness)
    stands = Stands(positions=feet, stiffness=1e6)

    try:
        held = share_load(wrench, clamps=clamps, stands=stands)
    except WorkbookError as refusal:
        held = None
        reason = str(refusal)

    if held is None:
        assert "nan" not in reason
        assert "free" in reason or "lifts" in reason or "stiffness" in reason
    else:
        assert left_over(held, wrench, clamps, stands) == (
            pytest.approx(np.zeros(6), abs=1e-4)
        )
        assert np.all(np.isfinite(held.displacement))
        assert np.all(held.stand_pushes >= 0)


@pytest.mark.parametrize("size", [2.0**-24, 2.0**24])
def test_supports_of_another_size_carry_the_same(size):
    # All lengths times a power of two, forces as they were; moments grow with the
    # size, turning springs with its square, and turns are less by the size.
    def held(size):
        clamps = Clamps(
            positions=size * np.array([[1, 0.75, 0], [1, -0.5, 0.1], [-1, 0.6, 0]]),
            stiffness=[[2e7, 1e7, 3e7], [1e7, 1e7, 1e7], [2e7, 4e7, 1e7]],
            turning_stiffness=size**2 * 1e6,
        )
        load = np.array([24e3, 3e3, -2e3, size * 1e3, size * 5e3, -size * 2e3])
        return share_load(load, clamps=clamps)

    ours, theirs = held(1.0), held(size)

    assert theirs.clamp_forces == pytest.approx(ours.clamp_forces, rel=1e-9, abs=1e-6)
    assert theirs.clamp_moments == pytest.approx(
        ours.clamp_moments * size, rel=1e-9, abs=1e-6 * size
    )
    assert theirs.displacement[:3] == pytest.approx(ours.displacement[:3], rel=1e-9)
