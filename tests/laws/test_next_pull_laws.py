"""What must hold for a pull planned near the set-up that stands there."""

from math import radians

import numpy as np
import pytest
from floors import SEEDS, alone, any_floor, any_job

from workbook.errors import OutOfRangeError
from workbook.mechanics.planner.candidates import Limit
from workbook.mechanics.planner.next_pull import replan
from workbook.mechanics.planner.one_ram import plan_pull


@pytest.mark.parametrize("seed", SEEDS)
def test_a_second_pull_for_the_same_job_moves_nothing(seed):
    first = plan_pull(any_job(seed), floor=any_floor(seed))

    second = replan(first, job=any_job(seed))

    assert second.unchanged is None
    assert second.plan.choices[0].tolist() == first.choices[0].tolist()
    assert not second.moved[0].any()
    assert second.least.parts_moved.tolist() == [0]
    assert second.line_turned == 0


@pytest.mark.parametrize("seed", SEEDS)
def test_parts_are_moved_only_for_a_better_direction(seed):
    shop = any_floor(seed)
    first = plan_pull(any_job(seed), floor=shop)
    left = any_job(seed, movement=[0.012, 0.006, 0.009], clamp=[0.02, 0.004, 0.405])

    second = replan(first, job=left, keep=1000)
    plain = plan_pull(left, floor=shop, keep=1000)

    plan = second.plan
    steps = np.floor(plan.direction_error / plan.steps.direction)
    pairs = [*zip(steps.tolist(), plan.parts_moved.tolist(), strict=True)]
    assert pairs == sorted(pairs)
    assert plan.passed == plain.passed
    assert steps[0] == np.floor(plain.direction_error[0] / plan.steps.direction)
    assert (plan.choices != first.choices[0]).sum(axis=1).tolist() == [
        moved for _, moved in pairs
    ]
    assert second.least.parts_moved[0] == plan.parts_moved.min()


def test_without_the_wish_for_few_moves_a_second_pull_is_ranked_like_a_first():
    first = plan_pull(any_job(2), floor=any_floor(2))
    left = any_job(2, movement=[0.012, 0.006, 0.009])

    second = replan(first, job=left, fewest_moved=False, keep=100)

    fresh = plan_pull(left, floor=any_floor(2), keep=100)
    assert second.plan.choices.tolist() == fresh.choices.tolist()


def test_a_set_up_that_no_longer_does_says_why():
    first = plan_pull(any_job(2), floor=any_floor(2))
    back = any_job(2, movement=[0.02, -0.005, 0.0], direction_limit=radians(20))

    second = replan(first, job=back)

    assert second.unchanged is Limit.OFF_THE_LINE
    assert second.least.parts_moved[0] > 0


@pytest.mark.parametrize("chosen", [-1, 1])
def test_only_a_set_up_of_the_plan_can_stand_there(chosen):
    job, shop = alone()

    with pytest.raises(OutOfRangeError, match="is not one of the 1 of the plan"):
        replan(plan_pull(job, floor=shop), job=job, chosen=chosen)


def test_unless_told_otherwise_the_best_set_up_stands_and_twenty_are_kept():
    first = plan_pull(any_job(1), floor=any_floor(1))
    second = replan(first, job=any_job(1))

    assert first.passed > 20
    assert len(first.choices) == len(second.plan.choices) == 20
    moved = second.plan.choices != first.choices[0]
    assert second.moved.tolist() == moved.tolist()
