"""Edges of mechanics: the last value that passes, and the first that does not."""

import numpy as np
import pytest

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.holding.holding_pulls import (
    hold_downs,
    pull_that_balances_moment,
    pull_that_relieves,
    pull_that_stops,
)
from workbook.mechanics.holding.stiffness_centre import stiffness_centre
from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.holding.wrenches import (
    central_axis,
    direction_of,
    moved_wrench,
    net_wrench,
)
from workbook.mechanics.metal.bending import springback_ratio
from workbook.mechanics.pull.catenary import from_horizontal_tension
from workbook.mechanics.pull.linkage import solve_pull
from workbook.mechanics.pull.rigging import bridle, bridle_in_space, redirect
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.pull.wanted_force import ram_force_for_useful_pull

# Holding.


@pytest.mark.parametrize(("at", "pulls"), [(-1.5, [0, 8e3]), (0.5, [8e3, 0])])
def test_a_push_over_one_hold_down_is_carried_by_it_alone(at, pulls):
    ends = {"first": [0.5, 0, 0], "second": [-1.5, 0, 0]}

    assert hold_downs([0, 0, 8e3], at=[at, 0, 0], **ends) == pytest.approx(pulls)


def test_a_push_beside_its_hold_downs_passes_to_the_tolerance_and_no_farther():
    ends = {"first": [1.0, 0, 0], "second": [-1.0, 0, 0]}

    for tolerance in (1e-3, 0.05):
        near, far = (tolerance * 2 * by for by in (0.999, 1.001))
        how = {"tolerance": tolerance} if tolerance != 1e-3 else {}
        shared = hold_downs([0, 0, 8e3], at=[0, near, 0], **ends, **how)
        assert shared == pytest.approx([4e3, 4e3])
        with pytest.raises(OutOfRangeError, match="between its hold-downs"):
            hold_downs([0, 0, 8e3], at=[0, far, 0], **ends, **how)


def test_a_push_as_far_beside_as_the_tolerance_passes():
    # Halves and quarters, which doubles hold exactly: 0.5 m of 2 m are a quarter.
    ends = {"first": [1.0, 0, 0], "second": [-1.0, 0, 0]}

    shared = hold_downs([0, 0, 8e3], at=[0, 0.5, 0], tolerance=0.25, **ends)

    assert shared == pytest.approx([4e3, 4e3])


def test_one_rated_clamp_is_enough_to_ask_for_relief():
    corners = [[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]]
    clamps = Clamps(
        positions=corners, stiffness=2e7, ratings=[20e3, np.inf, np.inf, np.inf]
    )
    pull = net_wrench([[24e3, 0, 0]], points=[[2, 0.4, 0]])

    tie = pull_that_relieves(
        pull, clamps=clamps, hook=[-1, 0.4, 0], direction=[-1, 0, 0], chain_limit=15e3
    )

    assert tie.tension > 0


def test_a_pull_that_balances_a_moment_never_pushes():
    # 0.5 N m about z, and an arm of 1 m: 0.5 N one way, and a push the other.
    how = {"hook": [0, 1.0, 0], "point": [0, 0, 0], "axis": [0, 0, 1]}
    load = [0, 0, 0, 0, 0, 0.5]

    tension = pull_that_balances_moment(load, direction=[1, 0, 0], **how)

    assert tension == pytest.approx(0.5)
    with pytest.raises(OutOfRangeError) as refusal:
        pull_that_balances_moment(load, direction=[-1, 0, 0], **how)
    assert refusal.value.values == {"push": pytest.approx(0.5)}


@pytest.mark.parametrize("hook", [[0, 0, 0], [0, 0, 2.0], [2.0, 0, 0]])
def test_a_pull_through_the_turning_line_has_no_arm(hook):
    # At its point, further along it, and straight toward it.
    with pytest.raises(OutOfRangeError) as refusal:
        pull_that_balances_moment(
            [0, 0, 0, 0, 0, 50.0],
            hook=hook,
            direction=[1, 0, 0],
            point=[0, 0, 0],
            axis=[0, 0, 1],
        )
    assert refusal.value.reason == "holding.no_arm"


def test_a_short_arm_is_one_all_the_same():
    # 0.1 mm at 2 m: 50 N m need 500 kN.
    tension = pull_that_balances_moment(
        [0, 0, 0, 0, 0, 50.0],
        hook=[2.0, 1e-4, 0],
        direction=[1, 0, 0],
        point=[0, 0, 0],
        axis=[0, 0, 1],
    )

    assert tension == pytest.approx(500e3)


def test_a_soft_way_is_held_as_long_as_it_is_held_at_all():
    ends = [[0, 0, 0], [3.0, 0, 0]]
    soft = Clamps(positions=ends, stiffness=[[1e9, 1.0, 1e9]])
    none = Clamps(positions=ends, stiffness=[[1e9, 0.0, 1e9]])

    centre = stiffness_centre(soft, normal=[0, 0, 1])

    assert centre.point == pytest.approx([1.5, 0, 0])
    with pytest.raises(MechanismError):
        stiffness_centre(none, normal=[0, 0, 1])


def test_a_load_that_moves_the_hook_no_way_needs_no_tension():
    # 24 kN straight down through the middle; a thousandth of a newton toward the
    # hook, and the chain would have to push that much.
    corners = [[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]]
    how = {
        "clamps": Clamps(positions=corners, stiffness=2e7),
        "hook": [-1, 0, 0],
        "direction": [-1, 0, 0],
    }

    assert pull_that_stops([0, 0, -24e3, 0, 0, 0], **how).tension == 0
    ahead = pull_that_stops([1e-3, 0, -24e3, 0, 0, 0], **how)
    assert ahead.tension == pytest.approx(1e-3)
    with pytest.raises(OutOfRangeError) as refusal:
        pull_that_stops([-1e-3, 0, -24e3, 0, 0, 0], **how)
    assert refusal.value.values["push"] == pytest.approx(1e-3)


def test_one_direction_of_no_length_among_many_is_refused():
    with pytest.raises(OutOfRangeError, match="has no direction"):
        direction_of([[1, 0, 0], [0, 0, 0]], name="pull")


@pytest.mark.parametrize(("forces", "points"), [((3,), (2, 3)), ((2, 3), (3,))])
def test_forces_and_their_points_are_lists(forces, points):
    with pytest.raises(OutOfRangeError) as refusal:
        net_wrench(np.ones(forces), points=np.ones(points))
    assert refusal.value.reason == "wrenches.one_list"


def test_wrenches_and_points_that_do_not_go_together_are_named():
    with pytest.raises(OutOfRangeError, match=r"of shape \(3,\)"):
        moved_wrench(np.ones((2, 6)), to_point=np.ones((3, 3)))


def test_a_moment_with_too_long_an_arm_is_a_couple():
    assert central_axis([1, 0, 0, 0, 0, 0.999e6]).point[1] == pytest.approx(-0.999e6)
    with pytest.raises(OutOfRangeError, match="a couple of"):
        central_axis([1, 0, 0, 0, 0, 1.001e6])


# Rigging.


def test_a_chain_without_tension_loads_nothing():
    slack = redirect(0.0, run_a=[1, 0, 0], run_b=[0, 0, 1])
    legs = bridle(0.0, angle_left=0.5, angle_right=0.5)

    assert slack.anchor_load == 0
    assert (legs.left, legs.right) == (0, 0)
    assert bridle_in_space(
        [0, 0, 0], ring=[0, 0, 0], clamps=[[1, 0, 0], [0, 1, 0]]
    ) == pytest.approx([0, 0])
    with pytest.raises(OutOfRangeError):
        redirect(-1e-9, run_a=[1, 0, 0], run_b=[0, 0, 1])
    with pytest.raises(OutOfRangeError):
        bridle(-1e-9, angle_left=0.5, angle_right=0.5)


def test_a_bridle_in_space_may_have_one_leg_to_three():
    ways = [[1, 0, 0], [0, 1, 0], [0, 0, 1], [1, 1, 1]]

    for count in (1, 2, 3):
        pull = -1e3 * np.sum(ways[:count], axis=0)
        legs = bridle_in_space(pull, ring=[0, 0, 0], clamps=ways[:count])
        assert legs == pytest.approx(np.full(count, 1e3))
    with pytest.raises(OutOfRangeError) as refusal:
        bridle_in_space([-1e3] * 3, ring=[0, 0, 0], clamps=ways)
    assert refusal.value.values == {"count": 4}


def test_one_flat_bridle_among_many_is_refused_with_its_angle():
    with pytest.raises(MechanismError) as refusal:
        bridle(1e3, angle_left=[0.5, 2.0], angle_right=[0.5, 1.5])

    assert refusal.value.values["both"] == pytest.approx(3.5)


def test_a_leg_along_the_pull_carries_it_and_the_other_nothing():
    ways = {"ring": [0, 0, 0], "clamps": [[1, 0, 0], [0, 1, 0]]}

    assert bridle_in_space([-1e3, 0, 0], **ways).tolist() == [1e3, 0]
    assert bridle_in_space([-1e3, 0.9e-3, 0], **ways).tolist() == [1e3, 0]
    with pytest.raises(MechanismError) as refusal:
        bridle_in_space([-1e3, 1.1e-3, 0], **ways)
    assert refusal.value.reason == "rigging.leg_pushed"
    assert refusal.value.values["push"] == pytest.approx(1.1e-3)
    with pytest.raises(MechanismError) as refusal:
        bridle_in_space([-1e3, 0, 1.1e-3], **ways)
    assert refusal.value.values["left"] == pytest.approx(1.1e-3)
    assert bridle_in_space([-1e3, 0, 0.9e-3], **ways) == pytest.approx([1e3, 0])


@pytest.mark.parametrize(("left", "right"), [(0.0, 0.5), (0.5, 0.0), (-0.1, 0.5)])
def test_both_legs_of_a_bridle_pull_to_their_own_side(left, right):
    with pytest.raises(MechanismError) as refusal:
        bridle(1e3, angle_left=[0.5, left], angle_right=[0.4, right])

    least = {"left": min(0.5, left), "right": min(0.4, right)}
    assert refusal.value.values == least


@pytest.mark.parametrize("runs", [([0, 0, 0], [1, 0, 0]), ([1, 0, 0], [0, 0, 0])])
def test_both_runs_of_a_chain_go_somewhere(runs):
    with pytest.raises(OutOfRangeError) as refusal:
        redirect(1e3, run_a=runs[0], run_b=runs[1])
    assert refusal.value.reason == "rigging.no_run"


# The hung chain.


def test_a_chain_may_turn_by_300_radians_from_end_to_end_and_no_more():
    # Half the turn is the weight over twice the tension: 32 x 300 / (2 x 32) = 150.
    loose = from_horizontal_tension(32.0, span=300.0, weight_per_length=32.0)
    assert loose.horizontal_tension == pytest.approx(32.0)

    with pytest.raises(OutOfRangeError) as refusal:
        from_horizontal_tension([32.0, 31.9], span=300.0, weight_per_length=32.0)
    refused = refusal.value.values["refusal"]
    assert refused.reason == "catenary.horizontal_tension_too_small"
    assert refused.values == {"tension": 31.9, "least": 32.0}


# One pull.


def test_one_bad_pull_or_line_among_many_is_refused():
    rig = lay_out(
        clamp=[0, 0, 0.3], chain_angle=0.0, clamp_distance=1.1, fork_distance=0.7,
        closed_length=0.8, full_stroke=0.2, swivel=np.pi / 2, lean=0.3,
    )  # fmt: skip

    with pytest.raises(OutOfRangeError) as refusal:
        ram_force_for_useful_pull(rig, useful_pull=[1e3, -2e3], line=[1, 0, 0])
    assert refusal.value.values["force"] == -2e3
    with pytest.raises(OutOfRangeError) as refusal:
        ram_force_for_useful_pull(rig, useful_pull=1e3, line=[[1, 0, 0], [0, 0, 0]])
    assert refusal.value.reason == "linkage.no_line"
    with pytest.raises(MechanismError) as refusal:
        ram_force_for_useful_pull(rig, useful_pull=1e3, line=[-1, 0, 0])
    rise = solve_pull(rig, ram_force=1.0).rise
    assert refusal.value.values["off"] == pytest.approx(np.pi - abs(rise))


# Metal.


def test_a_strip_bent_too_little_is_told_how_far_to_bend_it():
    with pytest.raises(OutOfRangeError) as refusal:
        springback_ratio(
            bend_radius=9.0, thickness=0.002, youngs_modulus=210e9, yield_stress=260e6
        )

    assert refusal.value.values["limit"] == pytest.approx(0.5 * 210e9 * 0.002 / 260e6)
