"""What must hold for two rams whose pulls add up along one line."""

from dataclasses import replace
from itertools import combinations, product
from math import floor

import numpy as np
import pytest
from scipy.optimize import linprog, minimize_scalar

from workbook.errors import MechanismError, OutOfRangeError, WorkbookError
from workbook.mechanics.planner.candidates import Job, Limit, ShopFloor, rig_of
from workbook.mechanics.planner.one_ram import plan_pull
from workbook.mechanics.planner.two_rams import plan_two_rams
from workbook.mechanics.pull.linkage import solve_pull


def bay(seed=0, **changes):
    """Draw a floor with places to the left and right of a line straight ahead."""
    draw = np.random.default_rng(seed).uniform
    lists = {
        "sockets": [[1.0, 0.4, 0], [0.9, -0.4, 0], [1.1, draw(-0.1, 0.1), 0]],
        "slots": [[1.7, 0.7, 0], [1.7, -0.8, 0], [1.8, draw(-0.1, 0.1), 0]],
        "slot_ratings": draw(12e3, 30e3, 3),
        "extensions": [0.1],
        "closed_lengths": draw(0.45, 0.55, 2),
        "full_strokes": 0.2,
        "swivels": 0.75,
        "ram_ratings": draw(14e3, 30e3, 2),
        "head_ratings": 70e3,
        "chain_pitches": [0.05],
        "chain_ratings": 31e3,
        "links": [14, 16, 18],
    }
    return ShopFloor(**{**lists, **changes})


def wanted(**changes):
    job = {
        "clamp": [0, 0, 0.35],
        "movement": [0.03, 0.004, 0.008],
        "useful_pull": 16e3,
        "clamp_rating": 45e3,
        "rating_margin": 0.9,
    }
    return Job(**{**job, **changes})


def singles(job, shop):
    """Return (choice, direction, greatest share per newton, stroke left) by hand."""
    found = []
    for choice in product(*map(range, shop.shape)):
        rig = rig_of(job, floor=shop, choices=np.array(choice))
        try:
            pull = solve_pull(rig, ram_force=1.0)
        except WorkbookError:
            continue
        T, Ta = float(pull.pull_tension), float(pull.anchor_tension)
        _, slot, _, ram, chain, _ = choice
        shares = [
            1 / T / shop.ram_ratings[ram],
            1 / T / shop.head_ratings[ram],
            1 / shop.chain_ratings[chain],
            Ta / T / shop.chain_ratings[chain],
            Ta / T / shop.slot_ratings[slot],
        ]
        drawn = max(0.0, float(pull.direction @ job.line)) * job.distance
        left = float(shop.full_strokes[ram]) - job.slack - drawn * T
        found.append((choice, pull.direction, max(shares), left))
    return found


def by_scipy(job, one, two):
    """Divide the pull by a bounded search along what a linear program leaves."""
    (_, d1, u1, _), (_, d2, u2, _) = one, two
    a = [float(d1 @ job.line), float(d2 @ job.line)]
    bounds = [(0, job.rating_margin / u) for u in (u1, u2)]
    ends = [
        linprog([sign, 0], A_eq=[a], b_eq=[job.useful_pull], bounds=bounds)
        for sign in (1, -1)
    ]
    if ends[0].status == 2:
        return None
    low, high = ends[0].x[0], ends[1].x[0]

    def cross(x):
        both = x * d1 + (job.useful_pull - a[0] * x) / a[1] * d2
        return np.linalg.norm(both - (both @ job.line) * job.line)

    found = minimize_scalar(
        cross, bounds=(low, max(high, low + 1e-9)), options={"xatol": 1e-7}
    )
    x = min((low, high, float(found.x)), key=cross)
    return np.array([x, (job.useful_pull - a[0] * x) / a[1]])


@pytest.mark.parametrize("seed", [0, 1])
def test_pairs_are_ranked_as_scipy_ranks_them_one_by_one(seed):
    shop, job = bay(seed), wanted(useful_pull=26e3)

    plan = plan_two_rams(job, floor=shop, keep=10_000, chunk=101)

    alone = singles(job, shop)
    refused, passed = dict.fromkeys((1, 2), 0), {}
    for one, two in combinations(alone, 2):
        if any(one[0][k] == two[0][k] for k in (0, 1, 3)):
            refused[1] += 1
            continue
        tension = by_scipy(job, one, two)
        if tension is None:
            refused[2] += 1
            continue
        passed[one[0] + two[0]] = tension
    assert len(passed) > 10
    assert min(refused.values()) > 3
    assert plan.refused == refused
    assert {tuple(c) for c in plan.choices.reshape(-1, 12).tolist()} == set(passed)
    for choice, tension, cross in zip(
        plan.choices.reshape(-1, 12).tolist(),
        plan.pull_tension,
        plan.cross_force,
        strict=True,
    ):
        # The search stops within about the root of the rounding of a square.
        assert tension == pytest.approx(passed[tuple(choice)], abs=0.05)
        assert cross >= 0


@pytest.mark.parametrize("seed", range(4))
def test_the_parts_along_the_line_add_up_and_no_rating_is_passed(seed):
    shop, job = bay(seed), wanted()

    plan = plan_two_rams(job, floor=shop, keep=10_000)

    at = np.moveaxis(plan.choices, -1, 0)
    along = plan.wrench[:, :3] @ job.line
    rest = plan.wrench[:, :3] - along[:, None] * job.line
    pull_share = plan.pull_tension / shop.chain_ratings[at[4]]
    push_share = plan.ram_force / shop.ram_ratings[at[3]]
    assert along == pytest.approx(np.full(len(along), job.useful_pull))
    assert np.linalg.norm(rest, axis=1) == pytest.approx(plan.cross_force, abs=1e-6)
    assert plan.wrench[:, 3:] == pytest.approx(np.zeros((len(along), 3)), abs=1e-6)
    assert (plan.pull_tension >= 0).all()
    assert plan.worst_share.max() <= job.rating_margin + 1e-9
    for share in (pull_share, push_share):
        assert (share <= plan.worst_share[:, None] + 1e-9).all()
    assert (plan.stroke_left >= 0).all()
    assert plan.passed + sum(plan.refused.values()) == plan.considered


@pytest.mark.parametrize("seed", range(4))
def test_pairs_come_by_cross_force_then_share_then_stroke(seed):
    job = wanted()

    plan = plan_two_rams(job, floor=bay(seed), keep=10_000)

    keys = [
        (floor(cross / job.useful_pull / 0.01), floor(share / 0.01), -min(left))
        for cross, share, left in zip(
            plan.cross_force, plan.worst_share, plan.stroke_left.tolist(), strict=True
        )
    ]
    assert keys == sorted(keys)
    assert keys[0][0] < keys[-1][0]


@pytest.mark.parametrize("seed", range(4))
def test_any_other_division_of_the_pull_leaves_more_across(seed):
    shop, job, push = bay(seed), wanted(), 50.0
    per_newton = {choice: share for choice, _, share, _ in singles(job, shop)}

    plan = plan_two_rams(job, floor=shop, keep=10_000)

    shares = np.array(
        [[per_newton[tuple(c)] for c in p] for p in plan.choices.tolist()]
    )
    a = plan.direction @ job.line
    for sign in (-1, 1):
        other = plan.pull_tension + sign * push * np.stack([a[:, 1], -a[:, 0]], axis=1)
        both = (other[..., None] * plan.direction).sum(axis=1)
        across = both - (both @ job.line)[:, None] * job.line
        held = other * shares <= job.rating_margin
        allowed = (other >= 0).all(axis=1) & held.all(axis=1)
        assert allowed.sum() > 3
        assert (
            np.linalg.norm(across, axis=1)[allowed] >= plan.cross_force[allowed] - 1e-9
        ).all()


@pytest.mark.parametrize("seed", range(3))
def test_mirrored_pairs_are_the_pairs_of_the_mirrored_bay(seed):
    over = np.array([1, -1, 1])
    shop, job = bay(seed), wanted()
    mirrored = replace(shop, sockets=shop.sockets * over, slots=shop.slots * over)

    here = plan_two_rams(job, floor=shop)
    there = plan_two_rams(
        replace(job, movement=job.movement * over), floor=mirrored, keep=20
    )

    assert there.choices.tolist() == here.choices.tolist()
    assert there.pull_tension == pytest.approx(here.pull_tension)
    assert there.direction == pytest.approx(here.direction * over)


def even_bay(**changes):
    """Return two rams left and right of straight ahead, each with one place."""
    return bay(
        **{
            "sockets": [[1.0, 0.4, 0], [1.0, -0.4, 0]],
            "slots": [[1.7, 0.8, 0], [1.7, -0.8, 0]],
            "slot_ratings": 60e3,
            "closed_lengths": [0.5, 0.5],
            "ram_ratings": 60e3,
            "links": [18],
            **changes,
        }
    )


def test_even_pulls_share_evenly_as_in_a_bridle():
    # P / (2 cos(half the angle between)), the even bridle's rule.
    job = wanted(movement=None, direction=[1, 0, 0.27])

    plan = plan_two_rams(job, floor=even_bay())

    cosine = float(np.dot(*plan.direction[0]))
    # The two rise alike, so along their own bisector there is no force across.
    bisector = plan.direction[0].sum(axis=0)
    straight = plan_two_rams(
        replace(job, direction=bisector), floor=even_bay()
    ).pull_tension[0]
    assert plan.pull_tension[0, 0] == pytest.approx(plan.pull_tension[0, 1])
    assert straight == pytest.approx(
        np.full(2, job.useful_pull / (2 * np.cos(np.arccos(cosine) / 2)))
    )


def test_pulls_at_angles_to_the_line_divide_by_the_rule_of_sines():
    # Second pull: first x sine(wanted) / sine(rest).
    job = wanted(movement=None, direction=[1, 0, 0.27])
    directions = plan_two_rams(job, floor=even_bay()).direction[0]
    between = np.arccos(np.dot(*directions))
    from_first = 0.3 * between
    line = np.sin(between - from_first) * directions[0]
    line = line + np.sin(from_first) * directions[1]

    plan = plan_two_rams(replace(job, direction=line), floor=even_bay())

    first, second = plan.pull_tension[0]
    assert second / first == pytest.approx(
        np.sin(from_first) / np.sin(between - from_first)
    )
    assert plan.cross_force[0] == pytest.approx(0, abs=1e-6)


def test_a_weak_ram_gives_what_it_can_and_the_other_the_rest():
    # Free of its rating, the ram further off the line would push 5 kN.
    job = wanted(movement=None, direction=[1, 0, 0.27])
    one, two = plan_two_rams(job, floor=even_bay()).direction[0]
    line = 0.7 * one + 0.3 * two

    plan = plan_two_rams(
        replace(job, direction=line), floor=even_bay(ram_ratings=[60e3, 3e3])
    )

    weak_off_line = plan.choices[:, 1, 3] == 1
    assert weak_off_line.tolist().count(True) == 1
    assert plan.ram_force[weak_off_line, 1] == pytest.approx(0.9 * 3e3)
    assert plan.worst_share[weak_off_line] == pytest.approx(0.9)
    assert plan.cross_force[weak_off_line] > 500


def test_parallel_pulls_use_the_same_share():
    # Two clamps side by side, the same rig at each, chains of 31 kN and the ram of
    # the second half as strong.
    shop = even_bay(
        sockets=[[1.0, 0.4, 0], [1.0, -0.4, 0]],
        slots=[[1.7, 0.4, 0], [1.7, -0.4, 0]],
        ram_ratings=[30e3, 15e3],
        slot_ratings=90e3,
        head_ratings=90e3,
        chain_ratings=90e3,
    )
    job = wanted(clamp=[0, 0.4, 0.35], movement=None, direction=[1, 0, 0.27])

    plan = plan_two_rams(
        job, floor=shop, second_clamp=[0, -0.4, 0.35], keep=100, used_once=["socket"]
    )

    straight = [
        k
        for k in range(len(plan.choices))
        if np.allclose(plan.direction[k, 0], plan.direction[k, 1], atol=1e-12)
        and sorted(plan.choices[k, :, 3].tolist()) == [0, 1]
    ]
    assert straight
    for k in straight:
        share = plan.ram_force[k] / shop.ram_ratings[plan.choices[k, :, 3]]
        assert share[0] == pytest.approx(share[1])


def test_pulls_straight_against_each_other_leave_it_to_the_one_ahead():
    shop = even_bay(
        sockets=[[1.0, 0.0, 0], [-1.0, 0.0, 0]], slots=[[1.7, 0.0, 0], [-1.7, 0.0, 0]]
    )
    job = wanted(clamp=[0, 0, 0.35], movement=None, direction=[1, 0, 0])

    plan = plan_two_rams(job, floor=shop, used_once=["socket"], keep=100)

    ahead = plan.direction[..., 0] > 0
    level = float(plan.direction[0, np.argmax(ahead[0]), 0])
    opposed = ahead.any(axis=1) & ~ahead.all(axis=1)
    assert opposed.any()
    # Both rise alike, so the one behind would only add to the force across.
    assert plan.pull_tension[opposed][~ahead[opposed]] == pytest.approx(0)
    assert plan.pull_tension[0].max() == pytest.approx(job.useful_pull / level)


def test_pairs_at_two_clamps_are_all_looked_at_with_each_clamps_own_rating():
    # By hand: each set-up at each clamp alone, its clamp one more part that carries.
    shop, job = bay(1), wanted(useful_pull=24e3, clamp_rating=14e3)
    second = np.array([0.0, -0.3, 0.35])
    there = replace(job, clamp=second)

    plan = plan_two_rams(job, floor=shop, second_clamp=second, keep=10_000)

    lists = [
        {c: (d, max(u, 1 / 14e3), left) for c, d, u, left in singles(at, shop)}
        for at in (job, there)
    ]
    shared = strong = 0
    for one, two in product(*lists):
        if any(one[k] == two[k] for k in (0, 1, 3)):
            shared += 1
            continue
        reach = [
            max(0.0, float(d @ job.line) * 0.9 / u)
            for d, u, _ in (lists[0][one], lists[1][two])
        ]
        strong += sum(reach) >= job.useful_pull
    assert plan.considered == len(lists[0]) * len(lists[1])
    assert plan.refused[1] == shared
    assert plan.passed == strong > 10
    assert plan.pull_tension.max() <= 0.9 * 14e3 * (1 + 1e-12)
    assert "clamp" in plan.worst_part
    assert "pull leg" not in plan.worst_part
    for pair, tension, share, ram, left in zip(
        plan.choices.tolist(),
        plan.pull_tension,
        plan.worst_share,
        plan.worst_ram,
        plan.stroke_left,
        strict=True,
    ):
        alone = [lists[k][tuple(choice)] for k, choice in enumerate(pair)]
        used = [t * u for t, (_, u, _) in zip(tension, alone, strict=True)]
        assert share == pytest.approx(max(used))
        assert used[ram] == pytest.approx(max(used))
        assert left == pytest.approx([spare for _, _, spare in alone])


def test_two_clamps_apart_leave_the_moment_of_their_pulls():
    job = wanted()
    second = np.array([0.0, -0.3, 0.35])

    plan = plan_two_rams(job, floor=bay(), second_clamp=second, keep=5)

    arm = second - job.clamp
    forces = plan.pull_tension[:, 1, None] * plan.direction[:, 1]
    assert plan.wrench[:, 3:] == pytest.approx(np.cross(arm, forces))
    assert np.abs(plan.wrench[:, 3:]).max() > 100
    assert plan.rig.clamp.shape == (2, 3)


def test_the_two_use_no_part_twice_that_there_is_once():
    job = wanted()

    once = plan_two_rams(job, floor=bay(), keep=10_000).choices
    free = plan_two_rams(job, floor=bay(), keep=10_000, used_once=[]).choices

    for axis in (0, 1, 3):
        assert (once[:, 0, axis] != once[:, 1, axis]).all()
        assert (free[:, 0, axis] == free[:, 1, axis]).any()


@pytest.mark.parametrize("chunk", [1, 50, 10_000])
def test_the_size_of_a_chunk_changes_no_pair(chunk):
    job = wanted()

    plan = plan_two_rams(job, floor=bay(2), chunk=chunk, keep=9)

    whole = plan_two_rams(job, floor=bay(2), keep=9)
    assert plan.choices.tolist() == whole.choices.tolist()
    assert plan.refused == whole.refused


def test_a_clamp_that_carries_both_is_judged_by_the_resultant():
    job = wanted(movement=None, direction=[1, 0, 0.27], useful_pull=20e3)
    plan = plan_two_rams(job, floor=even_bay())
    resultant = np.hypot(job.useful_pull, plan.cross_force[0])

    full = replace(job, clamp_rating=float(resultant) / 0.9)
    just = plan_two_rams(full, floor=even_bay())

    assert sum(plan.pull_tension[0]) > 1.01 * resultant
    assert just.worst_share[0] == pytest.approx(0.9)
    assert just.worst_part[0] == "clamp"
    with pytest.raises(
        OutOfRangeError, match=r"puts 2\.006e\+04 N on the clamp, and it"
    ):
        plan_two_rams(
            replace(full, clamp_rating=0.999 * full.clamp_rating), floor=even_bay()
        )


def test_two_rams_do_what_one_cannot():
    shop, job = bay(0), wanted(useful_pull=26e3)

    both = plan_two_rams(job, floor=shop)

    assert both.passed > 0
    with pytest.raises(OutOfRangeError, match="would carry"):
        plan_pull(job, floor=shop)


def test_unless_told_otherwise_twenty_pairs_are_kept_in_steps_of_a_hundredth():
    plan = plan_two_rams(wanted(), floor=bay(2))

    by_default = plan.choices.tolist()
    for cross_step, share_step, same in (
        (0.01, 0.01, True),
        (0.015, 0.01, False),
        (0.01, 0.015, False),
    ):
        steps = {"cross_step": cross_step, "share_step": share_step}
        told = plan_two_rams(wanted(), floor=bay(2), keep=20, **steps)
        assert (told.choices.tolist() == by_default) == same
    assert plan.passed > len(by_default) == 20


def test_set_ups_out_alone_are_counted_by_their_reason():
    shop = bay(keep_out=[[[0.5, 0.1, 0], [0.6, 1.0, 2.0]]])
    job = wanted(movement=[0.18, 0.02, 0.05])

    plan = plan_two_rams(job, floor=shop)

    assert plan.refused_alone[Limit.KEEP_OUT] > 0
    assert plan.refused_alone[Limit.STROKE] > 0
    fit = shop.count - sum(plan.refused_alone.values())
    assert plan.considered == fit * (fit - 1) // 2


@pytest.mark.parametrize(
    ("changes", "options", "words"),
    [
        ({"useful_pull": 90e3}, {}, r"ratings too low .* 90000|9e\+04 N is wanted"),
        ({}, {"most_pairs": 10}, "fit the bay, more than 10: leave out"),
        ({}, {"used_once": ["hook"]}, "there is no list of 'hook'"),
        ({}, {"keep": 0}, "keep 0 must be more than zero"),
        ({}, {"cross_step": 0.0}, "cross step 0 must be more than zero"),
        ({"slack": 0.5}, {}, "fewer than two set-ups fit the bay"),
        ({}, {"second_clamp": [0, 0]}, "clamp"),
    ],
)
def test_pairs_that_cannot_be_had_are_refused_with_the_reason(changes, options, words):
    with pytest.raises((OutOfRangeError, MechanismError), match=words):
        plan_two_rams(wanted(**changes), floor=bay(), **options)


def test_tightening_the_margin_never_lessens_the_cross_force():
    shop = bay(1)

    best = [
        plan_two_rams(
            wanted(useful_pull=26e3, rating_margin=m),
            floor=shop,
            keep=1,
            cross_step=1e-9,
        )
        for m in (1.0, 0.8, 0.65)
    ]

    cross = [float(plan.cross_force[0]) for plan in best]
    passed = [plan.passed for plan in best]
    assert cross == sorted(cross)
    assert passed == sorted(passed, reverse=True)
    assert passed[0] > passed[-1]
