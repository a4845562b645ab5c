"""What must hold for built-in ends, for stands alone and for stiffness centres."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from workbook.errors import MechanismError
from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.stiffness_centre import stiffness_centre
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import net_wrench

CORNERS = np.array([[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]])


def test_a_clamp_that_resists_turning_is_a_star_of_clamps_that_do_not():
    # Six points at the ends of a star, k/6 each: 2/3 k h^2 about every axis.
    arm, rate = 0.3, 6e6
    star = arm * np.concatenate([np.eye(3), -np.eye(3)]) + [0.2, 0.1, 0.4]
    loose = Clamps(positions=star, stiffness=rate / 6)
    built_in = Clamps(
        positions=[[0.2, 0.1, 0.4]],
        stiffness=rate,
        axes=Rotation.from_euler("xyz", [0.3, 0.5, 0.7]).as_matrix(),
        turning_stiffness=2 / 3 * rate * arm**2,
    )
    load = [1e3, -2e3, 3e3, 400, 500, -600]

    many, one = (share_load(load, clamps=clamps) for clamps in (loose, built_in))

    assert one.displacement == pytest.approx(many.displacement, rel=1e-9)
    assert one.clamp_forces.sum(axis=0) == pytest.approx(
        many.clamp_forces.sum(axis=0), rel=1e-9
    )
    assert many.clamp_moments == pytest.approx(np.zeros((6, 3)), abs=0)


@pytest.mark.parametrize("seed", range(10))
def test_forces_and_moments_of_built_in_ends_balance_any_load(seed):
    rng = np.random.default_rng(seed)
    clamps = Clamps(
        positions=rng.uniform(-2, 2, (3, 3)),
        stiffness=rng.uniform(1e6, 1e8, (3, 3)),
        axes=Rotation.random(3, random_state=seed).as_matrix(),
        turning_stiffness=rng.uniform(0, 1e7, (3, 3)),
    )
    stands = Stands(positions=rng.uniform(-2, 2, (2, 3)), stiffness=1e7)
    load = rng.uniform(-1e4, 1e4, size=(4, 6))

    held = share_load(load, clamps=clamps, stands=stands, about=[0.1, 0.2, 0.3])

    about = {"about": [0.1, 0.2, 0.3]}
    answer = net_wrench(held.clamp_forces, points=clamps.positions, **about)
    answer += net_wrench(held.stand_forces, points=stands.positions, **about)
    answer[:, 3:] += held.clamp_moments.sum(axis=1)
    assert answer == pytest.approx(-load, rel=1e-9, abs=1e-6)
    # Each turns against its own spring.
    turned = np.einsum("nij,bj->bni", clamps.axes, held.displacement[:, 3:])
    own = np.einsum("nij,bnj->bni", clamps.axes, held.clamp_moments)
    assert own == pytest.approx(-turned * clamps.turning_stiffness, rel=1e-9, abs=1e-6)


def test_one_built_in_end_is_governed_by_nothing_else():
    post = Clamps(
        positions=[[0, 0, 0]], stiffness=1e7, turning_stiffness=1e6, ratings=10e3
    )

    held = share_load([5e3, 0, 0, 0, 0, 0], clamps=post)

    assert held.shares.tolist() == [0.5]
    assert (held.governing, held.lead) == (0, np.inf)


# Three legs, two blocks at one side and one ahead: a body that rests on stands.
LOCATED = Stands(
    positions=[[0, 0, 0], [2, 0, 0], [1, 1.5, 0], [0, 0, 1], [2, 0, 1], [0, 0.7, 1]],
    normals=[[0, 0, 1]] * 3 + [[0, 1, 0]] * 2 + [[1, 0, 0]],
    stiffness=[1e7, 2e7, 3e7, 4e6, 5e6, 6e6],
    ratings=[8e3, 8e3, 8e3, 5e3, 5e3, 5e3],
)


def test_stands_alone_carry_what_clamps_of_one_way_would_carry():
    springs = np.zeros((6, 3))
    springs[:, 1] = LOCATED.stiffness  # along the second axis of each
    axes = [[np.roll(n, 2), n, np.roll(n, 1)] for n in LOCATED.normals]
    axes = [np.array(a) * [[1], [1], [np.linalg.det(a)]] for a in axes]
    both_ways = Clamps(positions=LOCATED.positions, stiffness=springs, axes=axes)
    load = net_wrench(
        [[-500, -800, -12e3]], points=[[1.1, 0.5, 0.3]], about=[0.3, 0.2, 0.1]
    )

    alone = share_load(load, stands=LOCATED, about=[0.3, 0.2, 0.1])
    clamped = share_load(load, clamps=both_ways, about=[0.3, 0.2, 0.1])

    assert np.all(alone.stand_pushes > 0)
    assert alone.stand_forces == pytest.approx(clamped.clamp_forces, abs=1e-6)
    assert alone.displacement == pytest.approx(clamped.displacement, rel=1e-9)
    assert alone.clamp_forces.shape == (0, 3)
    assert alone.shares == pytest.approx(alone.stand_pushes / LOCATED.ratings)


def test_a_load_that_draws_away_from_a_stand_lifts_off_stands_alone():
    load = net_wrench([[-500, -800, -12e3]], points=[[-0.4, 0.5, 0.3]])

    with pytest.raises(MechanismError, match="lifts the body off stand 2 "):
        share_load(load, stands=LOCATED)


def test_nothing_that_holds_is_refused():
    with pytest.raises(MechanismError, match="no support has any stiffness"):
        share_load([1e3, 0, 0, 0, 0, 0])


@pytest.mark.parametrize("seed", range(10))
def test_a_force_through_the_stiffness_centre_turns_nothing_in_its_plane(seed):
    rng = np.random.default_rng(seed)
    turn = Rotation.random(random_state=seed).as_matrix()
    yaws = Rotation.from_euler("z", rng.uniform(0, 6, (5, 1))).as_matrix()
    places = np.column_stack([rng.uniform(-2, 2, (5, 2)), np.full(5, 0.4)])
    clamps = Clamps(
        positions=places @ turn.T,
        stiffness=rng.uniform(1e6, 1e8, (5, 3)),
        axes=yaws @ turn.T,
        turning_stiffness=rng.uniform(0, 1e7, (5, 3)),
    )
    force = turn @ [3e3, -5e3, 0]

    centre = stiffness_centre(clamps, normal=turn[:, 2] * 7)
    push = net_wrench([force], points=[centre.point])
    couple = np.concatenate([np.zeros(3), 700 * centre.normal])
    held = share_load([push, couple], clamps=clamps)

    turns = held.displacement[:, 3:] @ centre.normal
    assert turns[0] == pytest.approx(0, abs=1e-12)
    assert turns[1] == pytest.approx(700 / centre.turning_stiffness, rel=1e-9)
    assert centre.torque([push, couple]) == pytest.approx([0, 700], abs=1e-6)
    # A couple turns the body about the centre, which stays where it is.
    assert held.movement_at(centre.point)[1, 0] == pytest.approx(0, abs=1e-12)


def test_clamps_that_slide_all_one_way_have_no_stiffness_centre():
    rails = Clamps(positions=CORNERS, stiffness=[0, 1e7, 1e7])

    with pytest.raises(MechanismError, match="slide freely along a line"):
        stiffness_centre(rails, normal=[0, 0, 1])
    # Across the slide there is one.
    assert stiffness_centre(rails, normal=[1, 0, 0]).point == pytest.approx([0, 0, 0])
