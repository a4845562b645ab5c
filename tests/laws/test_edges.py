"""Edges of mechanics: the last value that passes, and the first that does not."""

import numpy as np
import pytest
from front_ends import ROUGH_REPAIR, one_rail, rail, two_rails
from scipy.optimize import minimize_scalar

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
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import RailStage
from workbook.mechanics.metal.sections import springback_ratio
from workbook.mechanics.planner.candidates import Job, ShopFloor
from workbook.mechanics.planner.keep_out import boxes
from workbook.mechanics.planner.least_cross_force import Singles, best_forces
from workbook.mechanics.planner.one_ram import Steps, plan_pull
from workbook.mechanics.planner.two_rams import plan_two_rams
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


# Metal.


def test_a_strip_bent_too_little_is_told_how_far_to_bend_it():
    with pytest.raises(OutOfRangeError) as refusal:
        springback_ratio(
            bend_radius=9.0, thickness=0.002, youngs_modulus=210e9, yield_stress=260e6
        )

    assert refusal.value.values["limit"] == pytest.approx(0.5 * 210e9 * 0.002 / 260e6)


@pytest.mark.parametrize("length", [0.0, -0.5])
def test_a_rail_has_a_length(length):
    with pytest.raises(OutOfRangeError, match="length"):
        rail(length=length)


def test_progress_runs_from_the_start_of_every_stage_to_its_end():
    history = follow(two_rails(), stages=ROUGH_REPAIR)

    assert history.stage[0] == -1
    for stage in range(len(ROUGH_REPAIR)):
        along = history.progress[history.stage == stage]
        assert np.all(np.diff(along) > 0)
        assert along[0] > 0
        assert along[-1] == 1


def test_a_driven_force_grows_in_step_with_the_stage():
    stage = RailStage(name="pull", forces={"left": 3e3})

    history = follow(one_rail(), stages=[stage])

    at = history.stage == 0
    pull = history.pulls.index("left")
    assert history.force[at, pull] == pytest.approx(3e3 * history.progress[at])


def test_a_finer_tolerance_takes_more_steps():
    stages = [RailStage(name="crash", travels={"hit": 0.04})]

    rough, fine = (
        len(follow(two_rails(), stages=stages, tolerance=tolerance).progress)
        for tolerance in (1e-2, 1e-6)
    )

    assert fine > 2 * rough


# Planner.

FLOOR = {
    "sockets": [[1.0, 0.5, 0], [1.0, -0.5, 0]],
    "slots": [[1.6, 0.8, 0], [1.6, -0.8, 0]],
    "slot_ratings": 40e3,
    "extensions": [0.0],
    "closed_lengths": [0.45, 0.45],
    "full_strokes": 0.2,
    "swivels": np.radians(45),
    "ram_ratings": 60e3,
    "head_ratings": 70e3,
    "chain_pitches": [0.03],
    "chain_ratings": 31e3,
    "links": [24],
}
JOB = {
    "clamp": [0, 0, 0.31],
    "direction": [1, 0, 0.1],
    "useful_pull": 20e3,
    "clamp_rating": 45e3,
}


def test_parts_are_numbered_from_one():
    told = ShopFloor(**FLOOR).told([1, 0, 0, 0, 0, 0])

    assert [part.values.get("number") for part in told[:2]] == [2, 1]


@pytest.mark.parametrize("name", ["direction", "movement"])
def test_a_wanted_line_is_read_when_the_job_is_made(name):
    job = Job(**{**JOB, "direction": None, name: [3, 0, 4]})
    assert isinstance(getattr(job, name), np.ndarray)
    assert job.line == pytest.approx([0.6, 0, 0.8])

    with pytest.raises(OutOfRangeError, match="has no direction"):
        Job(**{**JOB, "direction": None, name: [0, 0, 0]})


@pytest.mark.parametrize("shape", [(2, 3), (1, 3, 3), (1, 1, 2, 3), (2, 1, 3)])
def test_boxes_have_two_corners_each(shape):
    with pytest.raises(OutOfRangeError, match="box"):
        boxes(np.ones(shape))


def test_the_worst_part_of_a_pair_is_the_clamp_only_where_it_carries_both():
    job = Job(**{**JOB, "clamp_rating": 1e9})

    plan = plan_two_rams(job, floor=ShopFloor(**FLOOR))

    assert len(plan.worst_part)
    assert "clamp" not in plan.worst_part
    tight = plan_two_rams(
        Job(**{**JOB, "clamp_rating": 21e3}), floor=ShopFloor(**FLOOR)
    )
    assert set(tight.worst_part) == {"clamp"}


@pytest.mark.parametrize(
    ("links", "near"), [([4, 6], 6), ([6, 4], 6), ([70, 90], 70), ([90, 70], 70)]
)
def test_the_nearest_miss_is_the_one_whose_chains_almost_close(links, near):
    # Ram 0.45 m, and 0.67 or 1.43 m from base to anchor: legs of less than 0.22 m do
    # not reach the head, and six links of 30 mm miss it by less than four. Legs of
    # more than 1.88 m are never taut, and 70 links are less too long than 90.
    floor = ShopFloor(**FLOOR | {"links": links})

    with pytest.raises((OutOfRangeError, MechanismError)) as refusal:
        plan_pull(Job(**JOB), floor=floor)

    told = [str(part) for part in refusal.value.values["parts"]]
    assert f"{near} links" in told


@pytest.mark.parametrize("seed", range(10))
def test_a_pull_against_the_line_is_divided_for_least_cross_force_too(seed):
    # A second route: the forces a minimizer finds, one pull with a part backward.
    rng = np.random.default_rng(seed)
    job = Job(**JOB)
    across = rng.uniform(-0.8, 0.8, (2, 2))
    along = np.array([-0.3, 0.7])
    singles = [
        Singles(
            choices=np.zeros((1, 6), dtype=np.intp),
            direction=np.zeros((1, 3)),
            along=along[[k]],
            across=across[[k]],
            ratio=np.ones(1),
            share=np.array([1 / 80e3]),
            worst=np.zeros(1, dtype=np.intp),
            cap=np.array([80e3]),
            stroke_left=np.ones(1),
        )
        for k in (0, 1)
    ]
    first = np.zeros(1, dtype=np.intp)

    def cross_at(backward):
        forward = (job.useful_pull - along[0] * backward) / along[1]
        return np.hypot(*(backward * across[0] + forward * across[1]))

    most = (0.7 * 80e3 - job.useful_pull) / 0.3
    least = minimize_scalar(
        cross_at, bounds=(0, min(most, 80e3)), method="bounded", options={"xatol": 1e-6}
    )
    found = best_forces(job, *singles, first, first)

    assert found.tension[0] @ along == pytest.approx(job.useful_pull)
    assert found.cross[0] == pytest.approx(least.fun, rel=1e-6, abs=1)


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


@pytest.mark.parametrize("low", [2.0, 3.0])
def test_the_first_box_upside_down_is_told_by_its_number(low):
    # A box may be flat: a wall. It is upside down where one low side is above its high.
    flat = [[0, 0, 0], [1, 0, 2]]
    wrong = [[0, 0, low + 0.001], [1, 1, low]]

    assert boxes([flat]).tolist() == [flat]
    with pytest.raises(OutOfRangeError) as refusal:
        boxes([flat, wrong, flat, wrong])
    assert refusal.value.values == {"number": 2}


@pytest.mark.parametrize("name", ["direction", "share", "stroke"])
@pytest.mark.parametrize("value", [0.0, np.inf, -1.0, np.nan])
def test_a_step_of_the_ranking_is_more_than_nought_and_finite(name, value):
    with pytest.raises(OutOfRangeError):
        Steps(**{name: value})
