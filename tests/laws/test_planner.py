"""What must hold for any ranking of set-ups, and referees that look one by one."""

from collections import Counter
from dataclasses import replace
from itertools import product
from math import acos, cos, floor, radians

import numpy as np
import pytest
from floors import SEEDS, any_floor, any_job

from workbook.errors import WorkbookError
from workbook.mechanics.planner.candidates import PARTS, Limit
from workbook.mechanics.planner.one_ram import Plan, Steps, plan_pull
from workbook.mechanics.pull.linkage import Refusal, Rig, solve_pull
from workbook.mechanics.pull.stroke import stroke_path


def clipped(start, end, box):
    """Clip a segment to a box, axis by axis (Liang and Barsky); touching counts."""
    near, far = 0.0, 1.0
    for p, q, low, high in zip(start, end, *box, strict=True):
        if p == q:
            if not low <= p <= high:
                return False
            continue
        enter, leave = sorted([(low - p) / (q - p), (high - p) / (q - p)])
        near, far = max(near, enter), min(far, leave)
    return near <= far


def one_by_one(job, shop, steps):
    """Solve and judge every choice alone, by plain arithmetic."""
    passed, refused = [], Counter()
    for choice in product(*map(range, shop.shape)):
        socket, slot, tube, ram, chain, links = choice
        rig = Rig(
            clamp=job.clamp,
            base=shop.sockets[socket],
            anchor=shop.slots[slot],
            closed_length=shop.closed_lengths[ram],
            extension=shop.extensions[tube],
            stroke=job.slack,
            full_stroke=shop.full_strokes[ram],
            anchor_leg=shop.links[links] * shop.chain_pitches[chain],
            swivel=shop.swivels[ram],
        )
        try:
            pull = solve_pull(rig, ram_force=1.0)
        except WorkbookError as refusal:
            refused[str(refusal).split(":")[0][:12]] += 1
            continue
        ends = (rig.base, rig.anchor, rig.clamp)
        if any(clipped(pull.head, e, b) for e in ends for b in shop.keep_out):
            refused[Limit.KEEP_OUT] += 1
            continue
        error = acos(min(1.0, float(pull.direction @ job.line)))
        if error > job.direction_limit:
            refused[Limit.OFF_THE_LINE] += 1
            continue
        tension = job.useful_pull / cos(error)
        ram_force = tension / float(pull.pull_tension)
        anchor = ram_force * float(pull.anchor_tension)
        left = shop.full_strokes[ram] - job.slack
        left -= job.distance * float(pull.pull_tension)
        if left < 0:
            refused[Limit.STROKE] += 1
            continue
        shares = [
            ram_force / shop.ram_ratings[ram],
            ram_force / shop.head_ratings[ram],
            tension / shop.chain_ratings[chain],
            tension / job.clamp_rating,
            anchor / shop.chain_ratings[chain],
            anchor / shop.slot_ratings[slot],
        ]
        worst = max(shares)
        if worst > job.rating_margin:
            refused[Limit.RAM_RATING + shares.index(worst)] += 1
            continue
        key = (
            floor(error / steps.direction),
            floor(worst / steps.share),
            -floor(left / steps.stroke),
            error,
        )
        passed.append((key, choice, PARTS[shares.index(worst)]))
    return sorted(passed), refused


@pytest.mark.parametrize("seed", [0, 2, 3, 4])
def test_the_ranking_is_that_of_looking_at_each_set_up_alone(seed):
    shop, steps = any_floor(seed), Steps(direction=radians(2))
    job = any_job(seed, direction_limit=radians(25))

    plan = plan_pull(job, floor=shop, steps=steps, keep=1000, chunk=97)

    passed, refused = one_by_one(job, shop, steps)
    limits = {r: n for r, n in plan.refused.items() if isinstance(r, Limit)}
    unfit = sum(n for r, n in plan.refused.items() if isinstance(r, Refusal))
    assert len(passed) > 10
    assert len(limits) > 3
    assert plan.passed == len(passed)
    assert [tuple(c) for c in plan.choices.tolist()] == [c for _, c, _ in passed]
    assert plan.worst_part.tolist() == [part for _, _, part in passed]
    assert limits == {r: n for r, n in refused.items() if not isinstance(r, str)}
    assert unfit == sum(n for r, n in refused.items() if isinstance(r, str))


@pytest.mark.parametrize("seed", SEEDS)
def test_every_set_up_is_either_ranked_or_refused_for_one_reason(seed):
    shop, job = any_floor(seed), any_job(seed)

    plan = plan_pull(job, floor=shop, keep=10_000)

    assert plan.considered == 3 * 3 * 3 * 2 * 2 * 5
    assert plan.passed == len(plan.choices)
    assert plan.passed + sum(plan.refused.values()) == plan.considered


@pytest.mark.parametrize("seed", SEEDS)
def test_every_ranked_set_up_keeps_every_limit(seed):
    shop, job = any_floor(seed), any_job(seed, direction_limit=radians(30))

    plan = plan_pull(job, floor=shop, keep=10_000)

    pull, at = plan.pull, plan.choices.T
    fork = pull.anchor_tension / shop.slot_ratings[at[1]]
    push = pull.ram_force / np.minimum(shop.ram_ratings, shop.head_ratings)[at[3]]
    tightest = np.maximum(pull.pull_tension, pull.anchor_tension)
    useful = pull.force_on_clamp @ job.line
    samples = np.linspace(0, 1, 400)[:, None, None]
    ends = (plan.rig.base, plan.rig.anchor, plan.rig.clamp)
    points = np.stack([pull.head + samples * (e - pull.head) for e in ends])
    inside = [(points >= b[0]) & (points <= b[1]) for b in shop.keep_out]
    assert pull.stands.all()
    assert (pull.tilt <= shop.swivels[at[3]] + 1e-9).all()
    assert (plan.direction_error <= job.direction_limit).all()
    assert (plan.stroke_left >= 0).all()
    assert plan.stroke_left + plan.stroke_needed == pytest.approx(
        shop.full_strokes[at[3]]
    )
    assert useful == pytest.approx(np.full(len(useful), job.useful_pull))
    for share in (
        fork,
        push,
        tightest / shop.chain_ratings[at[4]],
        pull.pull_tension / job.clamp_rating,
    ):
        assert (share <= job.rating_margin + 1e-12).all()
        assert (share <= plan.worst_share + 1e-12).all()
    assert not np.any([np.all(box, axis=-1) for box in inside])


@pytest.mark.parametrize("seed", SEEDS)
def test_a_mirrored_shop_gives_the_mirrored_ranking(seed):
    shop, job = any_floor(seed), any_job(seed)
    over = np.array([1, -1, 1])
    mirrored = replace(
        shop,
        sockets=shop.sockets * over,
        slots=shop.slots * over,
        keep_out=np.sort(shop.keep_out * over, axis=1),
    )

    here = plan_pull(job, floor=shop, keep=50)
    there = plan_pull(
        replace(job, movement=job.movement * over), floor=mirrored, keep=50
    )

    assert there.choices.tolist() == here.choices.tolist()
    assert there.refused == here.refused
    assert there.pull.head == pytest.approx(here.pull.head * over)
    assert there.worst_share == pytest.approx(here.worst_share)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_of_the_lists_does_not_change_the_best(seed):
    shop, job = any_floor(seed), any_job(seed)
    turned = replace(
        shop,
        sockets=shop.sockets[::-1],
        slots=shop.slots[[2, 0, 1]],
        slot_ratings=shop.slot_ratings[[2, 0, 1]],
        extensions=shop.extensions[::-1],
        **{
            name: getattr(shop, name)[::-1]
            for name in (
                "closed_lengths",
                "full_strokes",
                "swivels",
                "ram_ratings",
                "head_ratings",
                "chain_pitches",
                "chain_ratings",
                "links",
            )
        },
    )

    here, there = (plan_pull(job, floor=f, keep=5) for f in (shop, turned))

    assert there.refused == here.refused
    assert there.pull.head == pytest.approx(here.pull.head)
    assert there.rig.base.tolist() == here.rig.base.tolist()
    assert there.rig.anchor_leg.tolist() == here.rig.anchor_leg.tolist()


def rank(plan: Plan):
    """Return the three keys of the best."""
    return (
        floor(plan.direction_error[0] / plan.steps.direction),
        floor(plan.worst_share[0] / plan.steps.share),
        -floor(plan.stroke_left[0] / plan.steps.stroke),
    )


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("tighter", ["margin", "swivel", "slot", "box", "direction"])
def test_a_tighter_limit_never_improves_the_best(seed, tighter):
    shop, job = any_floor(seed), any_job(seed)
    loose = plan_pull(job, floor=shop)
    head = loose.pull.head[0]
    change = {
        "margin": (replace(job, rating_margin=0.999 * loose.worst_share[0]), shop),
        "swivel": (job, replace(shop, swivels=0.999 * loose.pull.tilt[0])),
        "slot": (job, replace(shop, slot_ratings=0.5 * shop.slot_ratings)),
        "box": (
            job,
            replace(shop, keep_out=[*shop.keep_out, [head - 0.01, head + 0.01]]),
        ),
        "direction": (
            replace(job, direction_limit=1.001 * loose.direction_error[0]),
            shop,
        ),
    }

    try:
        tight = plan_pull(change[tighter][0], floor=change[tighter][1])
    except WorkbookError:
        return

    assert tight.passed < loose.passed
    assert rank(tight) >= rank(loose)


def test_a_finer_step_in_direction_never_gives_a_worse_direction():
    shop, job = any_floor(12), any_job(12)

    plans = [
        plan_pull(job, floor=shop, steps=Steps(direction=radians(step)))
        for step in (20, 5, 1, 0.01)
    ]

    best = [plan.direction_error[0] for plan in plans]
    shares = [plan.worst_share[0] for plan in plans]
    assert best == sorted(best, reverse=True)
    assert best[0] > best[-1]
    assert shares[0] < shares[-1]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_key_that_decided_is_the_first_that_differs(seed):
    plan = plan_pull(any_job(seed), floor=any_floor(seed), keep=2)

    advantage = plan.advantage

    steps = plan.steps
    keys = {
        "direction error": (plan.direction_error, steps.direction, 1),
        "worst share": (plan.worst_share, steps.share, 1),
        "stroke left": (plan.stroke_left, steps.stroke, -1),
    }
    for name, (values, step, sign) in keys.items():
        first, second = np.floor(values / step) * sign
        assert first <= second
        if first < second:
            assert advantage.key == name
            break
    assert advantage.by == abs(keys[advantage.key][0][0] - keys[advantage.key][0][1])
    assert advantage.by > 0


def test_a_set_up_twice_in_the_lists_is_told_apart_by_its_place_alone():
    shop = any_floor(1)
    twice = replace(shop, sockets=np.repeat(shop.sockets, 2, axis=0))

    plan = plan_pull(any_job(1), floor=twice)

    assert plan.advantage.key == "order in the lists"
    assert (plan.advantage.best, plan.advantage.runner_up) == (1, 2)
    assert plan.choices[0, 0] + 1 == plan.choices[1, 0]


def test_a_set_up_alone_beats_nobody():
    plan = plan_pull(any_job(1), floor=any_floor(1), keep=1)

    assert plan.advantage is None


@pytest.mark.parametrize("chunk", [1, 7, 864, 10_000])
def test_the_size_of_a_chunk_changes_nothing(chunk):
    shop = any_floor(2, sockets=[[1.0, 0.3, 0]])

    plan = plan_pull(any_job(2), floor=shop, chunk=chunk, keep=7)

    whole = plan_pull(any_job(2), floor=shop, keep=7)
    assert plan.choices.tolist() == whole.choices.tolist()
    assert plan.refused == whole.refused


def test_the_planned_stroke_is_that_of_the_path_for_a_small_movement():
    # By virtual work, first order: half the movement, a quarter of the difference.
    first = plan_pull(any_job(0), floor=any_floor(0), keep=1)
    along = first.pull.direction[0]

    missed = []
    for distance in (0.02, 0.01, 0.005):
        job = any_job(0, movement=distance * along, slack=0.0)
        plan = plan_pull(job, floor=any_floor(0), keep=1)
        rig = Rig(
            **{
                name: getattr(plan.rig, name)
                if name in ("clamp", "stroke")
                else getattr(plan.rig, name)[0]
                for name in plan.rig.__dataclass_fields__
            }
        )
        path = stroke_path(
            replace(rig, full_stroke=1.5 * plan.stroke_needed[0]),
            ram_force=1.0,
            points=301,
        )
        way = np.linalg.norm(path.clamp - rig.clamp, axis=-1)
        missed.append(np.interp(distance, way, path.stroke) - plan.stroke_needed[0])

    assert abs(missed[0]) > 1e-5
    assert missed[0] / missed[1] == pytest.approx(4, rel=0.15)
    assert missed[1] / missed[2] == pytest.approx(4, rel=0.15)
    assert abs(missed[0]) < 0.03 * 0.02
