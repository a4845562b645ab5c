"""Edges of the planner: the last value that passes, ties, and what is quoted."""

from dataclasses import replace

import numpy as np
import pytest
from floors import alone, any_floor, any_job
from public_calls import FLOOR, JOB
from scipy.optimize import minimize_scalar

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.planner.candidates import Job, ShopFloor
from workbook.mechanics.planner.keep_out import boxes, crosses
from workbook.mechanics.planner.least_cross_force import Singles, across_of, best_forces
from workbook.mechanics.planner.one_ram import Steps, plan_pull
from workbook.mechanics.planner.two_rams import PairLimit, plan_two_rams


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


def quoted(*args, **how):
    """Return the values of the refusal that a plan ends in."""
    with pytest.raises((OutOfRangeError, MechanismError)) as refusal:
        plan_pull(*args, **how)
    return refusal.value.values


def test_unless_told_otherwise_nothing_is_held_back():
    job = Job(**JOB)

    assert (job.slack, job.rating_margin, job.direction_limit) == (0, 1, np.pi / 2)
    assert Steps() == Steps(direction=np.radians(1), share=0.01, stroke=0.001)
    assert ShopFloor(**FLOOR).keep_out.shape == (0, 2, 3)


@pytest.mark.parametrize(("swivels", "nearest"), [((0.1, 0.3), 1), ((0.3, 0.1), 0)])
def test_of_two_rams_that_lean_alike_the_one_that_swivels_further_is_nearest(
    swivels, nearest
):
    job, shop = alone()
    length = float(shop.closed_lengths[0])
    shop = replace(shop, closed_lengths=[length, length], swivels=swivels)

    values = quoted(job, floor=shop)

    assert values["limit"] == "limit.past_swivel"
    assert values["parts"][3].values["number"] == nearest + 1


@pytest.mark.parametrize("chunk", [1, 2, 8])
def test_of_misses_alike_the_first_in_the_lists_is_told(chunk):
    job, shop = alone(ram_ratings=9e3)
    shop = replace(shop, sockets=np.repeat(shop.sockets, 4, axis=0))

    values = quoted(job, floor=shop, chunk=chunk)

    assert (values["count"], values["most"]) == (4, 4)
    assert values["parts"][0].values["number"] == 1
    near = values["near"]
    assert near.reason == "planner.near.rating"
    assert near.values["percent"] > near.values["allowed"] == 100


def test_a_box_round_the_clamp_is_told_by_its_number_and_the_place():
    away, there = [[2, 2, 2], [3, 3, 3]], [[-1, -1, 0], [0.1, 1, 1]]
    job, shop = alone(keep_out=[away, there, there])

    values = quoted(job, floor=shop)

    x, y, z = job.clamp
    assert values == {"number": 2, "x": x, "y": y, "z": z}


def test_what_was_refused_comes_in_the_order_of_the_limits():
    # Longest chains first, so that the reasons are not met in this order.
    shop = any_floor(2, links=[16, 14, 12, 10, 8])

    plan = plan_pull(any_job(2), floor=shop, chunk=1)

    codes = [int(reason) for reason in plan.refused]
    assert len(codes) > 3
    assert codes == sorted(codes)


def test_set_ups_out_alone_come_in_the_order_of_the_limits():
    floor = ShopFloor(**FLOOR | {"links": [24, 70, 6], "swivels": [0.05, np.pi / 4]})

    plan = plan_two_rams(Job(**JOB), floor=floor, used_once=["socket"])

    codes = [int(reason) for reason in plan.refused_alone]
    assert len(codes) > 1
    assert codes == sorted(codes)
    assert all(plan.refused_alone.values())


def test_only_limits_that_refused_a_pair_are_told():
    plan = plan_two_rams(Job(**JOB), floor=ShopFloor(**FLOOR))

    assert dict(plan.refused) == {PairLimit.SHARED_PART: plan.considered - plan.passed}


def test_one_set_up_alone_makes_no_pair():
    one = {name: FLOOR[name][:1] for name in ("sockets", "slots", "closed_lengths")}

    with pytest.raises(OutOfRangeError) as refusal:
        plan_two_rams(Job(**JOB), floor=ShopFloor(**FLOOR | one))
    assert refusal.value.reason == "planner.one_set_up"


def test_too_few_to_pair_tells_what_refused_the_most():
    # Slack past the stroke goes before what else is wrong.
    floor = ShopFloor(**FLOOR | {"links": [6, 5, 24]})
    job = Job(**JOB, slack=0.3)

    with pytest.raises(OutOfRangeError) as refusal:
        plan_two_rams(job, floor=floor)

    assert refusal.value.reason == "planner.no_two_fit"
    assert refusal.value.values == {"limit": "limit.past_stroke", "count": floor.count}


def test_as_many_pairs_as_are_allowed_are_looked_at():
    floor, job = ShopFloor(**FLOOR), Job(**JOB)
    count = plan_two_rams(job, floor=floor).considered

    assert plan_two_rams(job, floor=floor, most_pairs=count).considered == count
    with pytest.raises(OutOfRangeError) as refusal:
        plan_two_rams(job, floor=floor, most_pairs=count - 1)
    assert refusal.value.values == {"count": count, "most": count - 1}


# The last value that passes.


def test_a_set_up_at_its_very_limits_passes():
    # A slack as long as the whole stroke, and the share and the angle that it has.
    job, shop = alone(slack=0.2)
    found = plan_pull(job, floor=shop)
    share = float(found.worst_share[0])
    aside = replace(job, direction=[1, 0.1, 0.25], movement=None)
    off = float(plan_pull(aside, floor=shop).direction_error[0])

    assert found.stroke_left.tolist() == [0.0]
    assert plan_pull(replace(job, rating_margin=share), floor=shop).passed == 1
    assert plan_pull(replace(aside, direction_limit=off), floor=shop).passed == 1
    for tight in (
        replace(job, rating_margin=np.nextafter(share, 0)),
        replace(aside, direction_limit=np.nextafter(off, 0)),
        replace(job, slack=np.nextafter(0.2, 1)),
    ):
        with pytest.raises(OutOfRangeError):
            plan_pull(tight, floor=shop)


def test_a_pull_straight_along_the_line_passes():
    job, shop = alone()
    straight = plan_pull(job, floor=shop).pull.direction[0]

    plan = plan_pull(replace(job, direction=straight), floor=shop)

    assert plan.direction_error[0] < 1e-12
    assert plan.pull.pull_tension == pytest.approx(job.useful_pull)


def test_a_pair_that_just_reaches_the_pull_passes():
    job, floor = Job(**JOB), ShopFloor(**FLOOR)

    with pytest.raises(OutOfRangeError) as refusal:
        plan_two_rams(replace(job, useful_pull=200e3), floor=floor)
    near = refusal.value.values["near"]
    strongest = near.values["strongest"]

    assert (near.reason, near.values["wanted"]) == ("planner.near.weak", 200e3)
    # Two chains of 31 kN, on either side of the line: both at their rating.
    both = replace(job, useful_pull=strongest, clamp_rating=200e3)
    plan = plan_two_rams(both, floor=floor)
    assert plan.worst_share == pytest.approx(1.0)
    more = replace(both, useful_pull=np.nextafter(strongest, 1e6))
    with pytest.raises(OutOfRangeError):
        plan_two_rams(more, floor=floor)


def test_pulls_that_all_go_the_other_way_reach_nothing():
    back = Job(**JOB | {"direction": [-1, 0, 0], "useful_pull": 0.5})

    with pytest.raises(OutOfRangeError) as refusal:
        plan_two_rams(back, floor=ShopFloor(**FLOOR))

    assert refusal.value.values["near"].values == {"strongest": 0.0, "wanted": 0.5}


def test_a_clamp_that_carries_both_is_quoted_with_what_it_may_carry():
    # The two go past its rating by a billionth: 20 kN along the line, less across.
    job, floor = Job(**JOB), ShopFloor(**FLOOR)
    carried = np.hypot(20e3, float(plan_two_rams(job, floor=floor).cross_force[0]))
    rating = carried / 0.8

    held = replace(job, clamp_rating=rating, rating_margin=0.8)
    assert plan_two_rams(held, floor=floor).worst_share[0] == pytest.approx(0.8)
    with pytest.raises(OutOfRangeError) as refusal:
        plan_two_rams(replace(held, clamp_rating=rating * (1 - 1e-9)), floor=floor)
    values = refusal.value.values["near"].values
    assert values["resultant"] == pytest.approx(carried)
    assert values["clamp"] == pytest.approx(0.8 * rating)


def test_two_stand_with_their_strokes_all_spent():
    job = Job(**JOB, slack=0.2)

    plan = plan_two_rams(job, floor=ShopFloor(**FLOOR))

    assert plan.stroke_left.tolist() == np.zeros_like(plan.stroke_left).tolist()


@pytest.mark.parametrize("name", ["keep", "cross_step", "share_step", "most_pairs"])
@pytest.mark.parametrize("value", [0, -1, np.inf, np.nan])
def test_an_option_of_a_pair_is_more_than_nought_and_finite(name, value):
    with pytest.raises(OutOfRangeError) as refusal:
        plan_two_rams(Job(**JOB), floor=ShopFloor(**FLOOR), **{name: value})
    assert refusal.value.values["name"] == f"option.{name}"


@pytest.mark.parametrize("name", ["useful_pull", "clamp_rating"])
@pytest.mark.parametrize("value", [0.0, -1.0, np.inf, [1e3, 2e3]])
def test_a_force_of_a_job_is_one_number_of_more_than_nought(name, value):
    with pytest.raises(OutOfRangeError):
        Job(**JOB | {name: value})


def test_numbers_of_a_job_are_read_when_it_is_made():
    job = Job(**JOB | {"useful_pull": 20_000, "clamp": [0, 0, 1]}, slack=0)

    assert isinstance(job.clamp, np.ndarray)
    assert isinstance(job.useful_pull, float)
    assert isinstance(job.slack, float)


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize("off", [0.0, 0.01])
def test_two_ways_across_any_line_are_square_to_it_and_each_other(sign, axis, off):
    line = np.full(3, off)
    line[axis] = sign
    line /= np.linalg.norm(line)

    all_three = np.column_stack([line, across_of(line)])

    assert all_three.T @ all_three == pytest.approx(np.eye(3), abs=1e-12)


@pytest.mark.parametrize("turn", range(3))
def test_a_part_that_touches_one_edge_of_a_box_touches_it(turn):
    # Past the edge at (1, 1) of a box from 0 to 1, and a little farther out.
    box = boxes([[[0, 0, 0], [1, 1, 1]]])

    for off, touches in ((0.0, True), (0.001, False), (-0.001, True)):
        start, end = np.array([0, 2 + off, 0.5]), np.array([2 + off, 0, 0.5])
        touched = crosses(np.roll(start, turn), np.roll(end, turn), keep_out=box)
        assert bool(touched) == touches


@pytest.mark.parametrize(
    ("given", "reason"),
    [
        ({"extensions": [[0.0]]}, "planner.row"),
        ({"closed_lengths": 0.45}, "planner.row"),
        ({"sockets": [1.0, 0.5, 0]}, "planner.points"),
        ({"sockets": np.ones((1, 2, 3))}, "planner.points"),
        ({"names": {"socket": ["one"]}}, "planner.names"),
        ({"ram_ratings": [1e3, 2e3, 3e3]}, "planner.one_each"),
    ],
)
def test_a_list_of_parts_is_refused_for_its_own_reason(given, reason):
    with pytest.raises(OutOfRangeError) as refusal:
        ShopFloor(**FLOOR | given)
    assert refusal.value.reason == reason


@pytest.mark.parametrize(
    ("given", "reason", "values"),
    [
        ({"links": [24, 23.5]}, "planner.part_of_a_link", {"count": 23.5}),
        ({"extensions": [0, -1e-9]}, "planner.extension", {"extension": -1e-9}),
    ],
)
def test_the_first_wrong_number_of_a_list_is_told(given, reason, values):
    with pytest.raises(OutOfRangeError) as refusal:
        ShopFloor(**FLOOR | given)
    assert refusal.value.values["place"] == [1]
    assert refusal.value.values["refusal"].reason == reason
    assert refusal.value.values["refusal"].values == values


def test_a_part_without_a_name_is_called_by_its_list_and_place():
    floor = ShopFloor(**FLOOR, names={"socket": ["left", "right"]})

    assert floor.named([1, 0, 0, 1, 0, 0]) == {
        "socket": "right",
        "slot": "slot 1",
        "extension": "extension 1",
        "ram": "ram 2",
        "chain": "chain 1",
        "links": "24 links",
    }


@pytest.mark.parametrize(("lengths", "near"), [((0.45, 0.40), 1), ((0.40, 0.45), 2)])
def test_of_two_rams_too_short_the_longer_one_is_nearest(lengths, near):
    floor = ShopFloor(**FLOOR | {"closed_lengths": lengths, "links": [4]})

    values = quoted(Job(**JOB), floor=floor)

    assert values["parts"][3].values["number"] == near


def test_strokes_in_one_step_are_equal_from_its_very_start():
    # 0.2 and 0.25 m are both two whole steps of 0.1 m: the lists decide.
    job, shop = alone()
    two = {"closed_lengths": np.repeat(shop.closed_lengths, 2), "swivels": 1.5}
    shop = replace(shop, **two, full_strokes=[0.2, 0.25])

    plan = plan_pull(job, floor=shop, steps=Steps(stroke=0.1))

    assert plan.stroke_left.tolist() == [0.2, 0.25]
    assert plan.advantage.key == "order in the lists"


def test_directions_in_one_step_are_equal_from_its_very_start():
    # The second slot is further off the line, and stronger. In steps as wide as the
    # angle of the first, both are one whole step off.
    job, shop = alone(slot_ratings=20e3)
    job = replace(job, direction=[1, 0.1, 0.25])
    aside = np.repeat(shop.slots, 2, axis=0) - [[0, 0, 0], [0, 0.03, 0]]
    shop = replace(shop, slots=aside, slot_ratings=[20e3, 30e3], links=[1])
    by_list = plan_pull(job, floor=shop, steps=Steps(direction=1e-6))
    [near, far] = by_list.direction_error.tolist()
    assert near < far < 2 * near

    plan = plan_pull(job, floor=shop, steps=Steps(direction=near))

    assert by_list.choices[:, 1].tolist() == [0, 1]
    assert plan.choices[:, 1].tolist() == [1, 0]
    assert plan.advantage.key == "worst share"
