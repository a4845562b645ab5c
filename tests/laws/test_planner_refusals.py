"""What no plan comes of: what refused the most, and how near the nearest came."""

from dataclasses import replace
from math import radians

import numpy as np
import pytest
from floors import alone, capstone
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.errors import MechanismError, OutOfRangeError, WorkbookError
from workbook.mechanics.planner.candidates import Job, ShopFloor
from workbook.mechanics.planner.one_ram import Steps, plan_pull


@pytest.mark.parametrize(
    ("changes", "kind", "words"),
    [
        ({"links": [9]}, MechanismError, "ram and anchor leg that do not meet"),
        ({"swivels": 0.1}, OutOfRangeError, r"swivel refused 1.* stand 25\.0°"),
        ({"slack": 0.3}, OutOfRangeError, r"slack past the ram's stroke.* 0\.3 m"),
        ({"direction": [0, 1, 0.1]}, OutOfRangeError, r"88\.\d° off the wanted line"),
        ({"direction": [-1, 0, 0]}, OutOfRangeError, r"166\.0° off .* limit is 90\.0°"),
        (
            {"movement": [0.3, 0, 0.075], "direction": None},
            OutOfRangeError,
            r"ram is 0\.1\d* m of stroke short",
        ),
        ({"ram_ratings": 9e3}, OutOfRangeError, "its ram would carry 110 % "),
        ({"head_ratings": 9e3}, OutOfRangeError, "its head would carry 110 % "),
        ({"chain_ratings": 5e3}, OutOfRangeError, "its pull leg would carry 200 % "),
        ({"clamp_rating": 5e3}, OutOfRangeError, "its clamp would carry 200 % "),
        ({"slot_ratings": 5e3}, OutOfRangeError, "its fork slot would carry 172 % "),
        ({"keep_out": [[[0.5, -1, 0], [0.6, 1, 2]]]}, OutOfRangeError, "box refused 1"),
    ],
)
def test_where_nothing_passes_the_limit_and_the_nearest_miss_are_named(
    changes, kind, words
):
    if "direction" in changes and changes["direction"] == [0, 1, 0.1]:
        changes = {**changes, "direction_limit": radians(60)}
    job, shop = alone(**changes)

    with pytest.raises(kind, match=words):
        plan_pull(job, floor=shop)


@pytest.mark.parametrize("chunk", [1, 4, 100])
def test_the_nearest_miss_is_the_one_that_gets_furthest_and_is_least_over(chunk):
    job, shop = capstone(useful_pull=10e3)
    slots = np.repeat(shop.slots, 3, axis=0)
    shop = replace(
        shop,
        slots=slots,
        slot_ratings=[2e3, 8e3, 4e3],
        links=[1, 9],
        names={"slot": ["weak", "less weak {1}", "in between"]},
    )

    with pytest.raises(OutOfRangeError, match=r"None of 6 set-ups .*less weak \{1\}, "):
        plan_pull(job, floor=shop, chunk=chunk)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"sockets": []}, "sockets"),
        ({"sockets": [0, 0, 0]}, "sockets have the shape"),
        ({"links": []}, "links have the shape"),
        ({"links": [1.5]}, "1.5 links are not a whole number"),
        ({"links": [0]}, "links 0 must be more than zero"),
        ({"extensions": [-0.1]}, "extension -0.1 m must not be negative"),
        ({"chain_ratings": [1e3, 2e3]}, "chain ratings of shape"),
        ({"swivels": np.nan}, "swivels nan rad must be a finite number"),
        ({"names": {"slot": ["one", "two"]}}, "2 names do not fit 1 of slot"),
        ({"keep_out": [[[0, 0, 0], [1, -1, 1]]]}, "low corner beyond its high corner"),
        ({"keep_out": [[0, 0, 0], [1, 1, 1]]}, "give a low and a high corner"),
        ({"rating_margin": 1.2}, "no part goes past its rating"),
        ({"rating_margin": 0.0}, "rating margin 0 must be more than 0"),
        ({"direction_limit": 2.0}, "at most a right angle"),
        ({"slack": -0.01}, "slack -0.01 m must be zero or more"),
        ({"slack": np.nan}, "slack nan m"),
        ({"useful_pull": -1.0}, "useful pull -1 N must be more than zero"),
        ({"direction": [0, 0, 0]}, "has no direction"),
        ({"movement": [0.01, 0, 0]}, "either the wanted movement or a wanted"),
        ({"direction": None}, "either the wanted movement or a wanted direction"),
        ({"clamp": [[0, 0, 0.3]]}, "give one point"),
        ({"keep_out": [[[-1, -1, 0], [0, 1, 1]]]}, "draw the box clear of it"),
    ],
)
def test_input_that_no_shop_can_have_is_refused_in_one_sentence(changes, words):
    with pytest.raises(OutOfRangeError, match=words):
        plan_pull(*alone(**changes)[:1], floor=alone(**changes)[1])


def test_a_box_in_the_way_is_told_with_the_direction_there_would_be():
    job, shop = alone(keep_out=[[[0.5, -1, 0], [0.6, 1, 2]]])

    with pytest.raises(OutOfRangeError) as refusal:
        plan_pull(job, floor=shop)
    near = refusal.value.values["near"]
    assert near.reason == "planner.near.keep_out"
    assert near.values["over"] == pytest.approx(0, abs=1e-6)


def test_limits_of_a_job_may_be_all_that_they_can_be():
    for change in (
        {"slack": 0.0},
        {"rating_margin": 1.0},
        {"direction_limit": np.pi / 2},
        {"direction_limit": 1e-3},
    ):
        alone(**change)
    for change in (
        {"slack": np.inf},
        {"rating_margin": np.nan},
        {"direction_limit": 0.0},
        {"direction_limit": np.pi / 2 + 1e-9},
    ):
        with pytest.raises(OutOfRangeError):
            alone(**change)


@pytest.mark.parametrize("counts", [{"keep": 0}, {"chunk": 0}])
def test_a_ranking_keeps_at_least_one(counts):
    job, shop = alone()

    with pytest.raises(OutOfRangeError, match="must be at least 1"):
        plan_pull(job, floor=shop, **counts)


@pytest.mark.parametrize("step", [0.0, -1.0, np.nan])
def test_steps_are_more_than_nought(step):
    with pytest.raises(OutOfRangeError, match="must be more than zero"):
        Steps(share=step)


def points(*ranges):
    """Draw a point, to the centimetre, so that points often coincide or line up."""
    return st.tuples(*[st.floats(*r).map(lambda x: round(x, 2)) for r in ranges])


def planned_or_told(lists, wanted):
    """Return a plan, or the reason why there is none."""
    parts = {
        "slot_ratings": 40e3,
        "extensions": [0.0, 0.2],
        "full_strokes": 0.2,
        "swivels": 1.2,
        "ram_ratings": 60e3,
        "head_ratings": 70e3,
        "chain_pitches": [0.05],
        "chain_ratings": 30e3,
        "links": [6, 10, 15, 22],
    }
    try:
        shop = ShopFloor(**parts, **lists)
        job = Job(**wanted, useful_pull=5e3, clamp_rating=30e3)
        return plan_pull(job, floor=shop)
    except WorkbookError as refusal:
        return str(refusal)


SIDEWAYS, BENCH = (-0.5, 0.5), (0.0, 0.0)


@settings(max_examples=150, deadline=None)
@given(
    sockets=st.lists(points((0.0, 1.5), SIDEWAYS, BENCH), min_size=1, max_size=3),
    slots=st.lists(points((1.0, 2.5), SIDEWAYS, BENCH), min_size=1, max_size=3),
    lengths=st.lists(st.floats(0.3, 1.0), min_size=1, max_size=2),
    clamp=points((-0.3, 0.3), SIDEWAYS, (-0.1, 0.8)),
    movement=points((-0.05, 0.3), (-0.1, 0.1), (-0.1, 0.1)),
    box=st.tuples(points((-1, 3), (-2, 2), BENCH), points((0, 0.3), (0, 0.3), (0, 1))),
)
def test_a_plan_has_only_finite_numbers_or_there_is_a_reason(
    sockets, slots, lengths, clamp, movement, box
):
    low, size = np.array(box[0]), np.array(box[1])

    told = planned_or_told(
        {
            "sockets": sockets,
            "slots": slots,
            "closed_lengths": lengths,
            "keep_out": [[low, low + size]],
        },
        {"clamp": clamp, "movement": movement},
    )

    if isinstance(told, str):
        assert told
        assert "nan" not in told
        return
    for values in (
        told.direction_error,
        told.worst_share,
        told.stroke_left,
        told.pull.force_on_clamp,
        told.pull.anchor_tension,
    ):
        assert np.isfinite(values).all()
    assert told.passed + sum(told.refused.values()) == told.considered
