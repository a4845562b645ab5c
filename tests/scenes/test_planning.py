"""The invented shop as a planner's floor, and a plan in the shop's words."""

from dataclasses import replace

import numpy as np
import pytest

from workbook.equipment import PLACES, shop
from workbook.errors import FormError, OutOfRangeError
from workbook.language import entries, set_language
from workbook.mechanics.planner.candidates import AXES, PARTS
from workbook.mechanics.planner.one_ram import Advantage, plan_pull
from workbook.quantities.units import INCH
from workbook.scenes.planning import PlacedFork, amounts, job, setup, shop_floor, why
from workbook.scenes.set_up_files import from_toml, to_toml
from workbook.scenes.setups import Setup

FORK = PlacedFork(name="long fork", middle=[1.8, 1.2, 0], looking_out=np.radians(36))
SOCKETS = [[1.0, 0.6, 0], [1.1, 0.7, 0], [1.1, 0.8, 0]]


def floor(**changes):
    asked = {
        "sockets": SOCKETS,
        "forks": [FORK],
        "rams": ["ram 42"],
        "extensions": ["extension 300", "extension 450"],
        "chains": ["10 mm chain, grade 8, EN 818-2"],
        "links": range(20, 40),
    }
    return shop_floor(**{**asked, **changes})


def tip(**changes):
    """Return what is wanted of the left rail tip of the Kestrin 5."""
    asked = {
        "clamp": [0, 0, 0.31],
        "movement": [0.026, 0.019, 0.008],
        "useful_pull": 15e3,
        "rating_margin": 0.8,
    }
    return job(**{**asked, **changes})


@pytest.fixture(scope="module")
def plan():
    return plan_pull(tip(), floor=floor(), keep=30)


def test_the_planner_and_the_load_path_name_the_same_parts():
    assert PARTS == PLACES


def test_slots_lie_across_the_look_over_the_fork():
    slots = FORK.slots

    step = np.diff(slots, axis=0)
    out = [np.cos(FORK.looking_out), np.sin(FORK.looking_out), 0]
    assert len(slots) == 11
    assert slots[5].tolist() == [1.8, 1.2, 0]
    assert np.linalg.norm(step, axis=1) == pytest.approx(np.full(10, 0.05))
    assert step @ out == pytest.approx(np.zeros(10), abs=1e-12)
    assert step[0, 1] > 0  # from right to left
    assert FORK.slot_names[0] == "long fork, slot -250 mm"


def test_all_of_the_shop_is_on_the_floor_unless_named():
    whole = shop_floor(sockets=SOCKETS, forks=[FORK], links=[20])

    parts = shop()
    assert whole.shape == (3, 11, 7, 3, 5, 1)
    assert whole.extensions.tolist() == [0, 0.075, 0.15, 0.225, 0.3, 0.45, 0.6]
    assert whole.ram_ratings.tolist() == [r.rated_force for r in parts.rams]
    assert whole.chain_ratings.tolist() == [c.rating for c in parts.chains]
    assert whole.slot_ratings.tolist() == [40e3] * 11
    assert whole.named([0, 5, 0, 1, 1, 0]) == {
        "socket": "socket 1",
        "slot": "long fork, slot +0 mm",
        "extension": "no extension",
        "ram": "ram 42",
        "chain": "10 mm chain, grade 8, EN 818-2",
        "links": "20 links",
    }


def test_an_anchor_leg_is_a_whole_number_of_pitches(plan):
    pitch = shop().chains[1].pitch

    links = plan.rig.anchor_leg / pitch

    assert pitch == 0.030
    assert links == pytest.approx(np.round(links))


@pytest.mark.parametrize("at", [0, 7, 29])
def test_a_planned_set_up_pulls_alike_as_a_set_up_file(plan, at):
    made = setup(plan, at, title="first rough pull")

    solved = from_toml(to_toml(made)).solved()
    # A set-up file keeps tenths of a millimetre and of a degree.
    assert solved.pull.head == pytest.approx(plan.pull.head[at], abs=3e-3)
    assert solved.load_path.largest_share == pytest.approx(
        plan.worst_share[at], rel=5e-3
    )
    assert str(solved.load_path.governing) == plan.worst_part[at]
    assert solved.along == pytest.approx(15e3, rel=1e-6)
    assert made.values["chain_size"] == "10 mm"
    assert made.values["ram"] == "ram 42"


def test_a_fork_is_found_by_its_slot_in_every_language(tmp_path, monkeypatch):
    folder = tmp_path / "slots"
    folder.mkdir()
    (folder / "language.toml").write_text('plurals = "en"', "utf-8")
    (folder / "planning.toml").write_text('slot = "{offset} mm an {fork}"', "utf-8")
    monkeypatch.setenv("PULLWRIGHT_LANGUAGES", str(tmp_path))
    set_language("slots")
    try:
        there = plan_pull(tip(), floor=floor(), keep=1)
        slot = there.floor.named(there.choices[0])["slot"]

        assert slot.endswith(" mm an long fork")
        assert setup(there).values["fork"] == "long fork"
    finally:
        set_language("en")


def test_a_slot_of_another_shop_is_refused_by_its_name(plan):
    names = {**plan.floor.names, "slot": [f"hole {k}" for k in range(11)]}
    elsewhere = replace(plan, floor=replace(plan.floor, names=names))

    with pytest.raises(FormError, match=r"fork must be one of .*, not 'hole"):
        setup(elsewhere)


def test_amounts_say_what_the_set_up_is(plan):
    told = amounts(plan, 3)

    assert told["anchor leg"][0] == plan.rig.anchor_leg[3]
    assert told["head height"][0] == plan.pull.head[3, 2]
    assert told["off the wanted line"] == (plan.direction_error[3], "angle")
    assert told["stroke needed"][0] + told["stroke left"][0] == pytest.approx(0.2)
    assert all(np.isfinite(value) for value, _ in told.values())
    assert told.keys() <= entries()["amount"].keys()
    assert list(plan.floor.named(plan.choices[3])) == list(AXES)


def test_a_base_behind_the_clamp_is_a_list_and_no_set_up():
    behind = shop_floor(
        sockets=[[-1.1, 0.2, 0]],
        forks=[
            PlacedFork(name="short fork", middle=[-1.9, 0.35, 0], looking_out=np.pi)
        ],
        links=range(20, 40),
    )
    plan = plan_pull(tip(movement=None, direction=[-1, 0.1, 0.3]), floor=behind)

    with pytest.raises(FormError, match=r"chain_angle_deg = 169.* outside -90 to 90"):
        setup(plan)

    assert amounts(plan)["base, forward"][0] == -1.1


def test_a_bench_above_the_floor_is_no_set_up():
    raised = floor(sockets=np.add(SOCKETS, [0, 0, 0.02]))

    plan = plan_pull(tip(), floor=raised)

    with pytest.raises(FormError, match=r"slot at 0 mm, not at 20\.0 mm"):
        setup(plan)


def test_a_set_up_that_its_file_would_turn_too_far_is_refused(plan):
    with pytest.raises(FormError, match="would turn by"):
        setup(plan, tolerance=1e-12)


def test_a_clamp_that_is_not_the_shop_s_is_no_set_up(plan):
    other = replace(plan, job=replace(plan.job, clamp_rating=41e3))

    with pytest.raises(FormError, match="no clamp rated 41 kN"):
        setup(other)


def test_a_set_up_of_a_plan_is_a_set_up(plan):
    assert isinstance(setup(plan), Setup)


@pytest.mark.parametrize(
    ("advantage", "words"),
    [
        (None, "only one"),
        (
            Advantage(key="order in the lists", best=1, runner_up=2),
            "first in the lists",
        ),
        (
            Advantage(key="direction error", best=0.02, runner_up=0.05),
            "direction error: 1.1° against 2.9°, 1.7° better",
        ),
        (
            Advantage(key="worst share", best=0.5, runner_up=0.75),
            "50% against 75%, 25%",
        ),
        (Advantage(key="parts moved", best=1, runner_up=3), "1 against 3, 2 better"),
        (Advantage(key="stroke left", best=0.1, runner_up=0.05), "3.94 in against"),
    ],
)
def test_the_reason_why_is_a_sentence_in_the_reader_s_units(advantage, words):
    assert words in why(advantage, show=INCH.show)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"forks": []}, "no chain fork on the bench"),
        ({"rams": ["ram 99"]}, "there is no 'ram 99'"),
        ({"chains": ["string"]}, "there is no 'string'"),
        ({"head": "no head"}, "there is no 'no head'"),
    ],
)
def test_parts_that_the_shop_has_not_are_refused(changes, words):
    with pytest.raises(OutOfRangeError, match=words):
        floor(**changes)


def test_the_school_s_margin_must_be_given():
    with pytest.raises(TypeError, match="rating_margin"):
        job(clamp=[0, 0, 0.3], direction=[1, 0, 0], useful_pull=1e3)
