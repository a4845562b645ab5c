"""Edges of the practice rail: the last value that passes, ties, what is quoted."""

from dataclasses import replace

import numpy as np
import pytest
from front_ends import ROUGH_REPAIR, TIP, one_rail, rail, two_rails

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    Rail,
    RailClamp,
    RailPull,
    RailStage,
    Spring,
)
from workbook.mechanics.metal.sections import BoxSection

SLENDER = BoxSection(width=0.010, depth=0.014, thickness=0.002)


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


@pytest.mark.parametrize(
    "how",
    [
        {"tolerance": 0.99e-9}, {"tolerance": 1.001}, {"tolerance": np.nan},
        {"tolerance": "fine"}, {"tolerance": [1e-3, 1e-3]}, {"tolerance": -1.0},
        {"largest_step": 1e-6}, {"largest_step": 1.001}, {"largest_step": 0.0},
    ],
)  # fmt: skip
def test_steps_of_a_rail_have_an_accuracy_that_can_be_kept(how):
    for edge in ({"tolerance": 1e-9}, {"tolerance": 1.0, "largest_step": 1.0}):
        assert len(follow(one_rail(), [], **edge).progress) == 1

    with pytest.raises(OutOfRangeError):
        follow(one_rail(), [], **how)


def test_a_stage_ends_at_its_end_however_small_the_rest_of_it_is():
    # Two steps of this length leave four ten-millionths: they belong to the second.
    stage = RailStage(name="pull", forces={"left": 1e3})

    history = follow(one_rail(), [stage], tolerance=1.0, largest_step=0.4999998)

    assert history.progress == pytest.approx([1, 0.25, 0.5, 0.75, 1], abs=1e-6)
    assert history.progress[[0, -1]].tolist() == [1, 1]
    assert history.force[-1].tolist() == [1e3, 0]


def elastic_hinge():
    """Return one hinge that never yields, 0.5 m from its tip."""
    link = Rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        link_length=[0.5],
        stiffness=[[1e5, 1e5, 1e13]],
        yield_load=np.full((1, 3), np.inf),
        hardening_ratio=0.0,
    )
    ways = {"left": (0, 1, 0), "right": (0, -1, 0), "up": (0, 0, 1), "down": (0, 0, -1)}
    pulls = {name: RailPull(clamp="tip", direction=way) for name, way in ways.items()}
    return FrontEnd(rails=[link], clamps={"tip": RailClamp(node=(0, 1))}, pulls=pulls)


@pytest.mark.parametrize("way", ["left", "right", "up", "down"])
def test_a_hinge_may_be_bent_as_far_as_the_limit_whichever_way(way):
    for bend, told in ((1.29, False), (1.31, True)):
        stage = RailStage(name="bend", travels={way: 0.5 * np.sin(bend)})
        if not told:
            end = follow(elastic_hinge(), [stage]).end
            assert np.abs(end.deformation).max() == pytest.approx(bend)
            continue
        with pytest.raises(OutOfRangeError) as refusal:
            follow(elastic_hinge(), [stage])
        assert refusal.value.reason == "rail.bent_too_far"
        assert refusal.value.values["bend"] == pytest.approx(bend)
        assert refusal.value.values["most"] == 1.3
        assert refusal.value.values["left"] == pytest.approx(1.0)


@pytest.mark.parametrize(
    "stage",
    [
        {"travels": {"left": np.nan}}, {"travels": {"left": np.inf}},
        {"forces": {"left": np.inf}}, {"forces": {"left": -1e-9}},
        {"forces": {"left": 0.0}, "travels": {"left": 0.0}},
        {"travels": {"up": 0.01}}, {"take_out": ["wall"]},
    ],
)  # fmt: skip
def test_a_stage_drives_pulls_there_are_one_way_each(stage):
    follow(one_rail(), [RailStage(name="off", forces={"left": 0.0})])
    follow(one_rail(), [RailStage(name="in", travels={"left": -1e-3})])

    with pytest.raises(OutOfRangeError):
        follow(one_rail(), [RailStage(name="try", **stage)])


@pytest.mark.parametrize(
    "stage", [{"forces": {"left": 0.5}}, {"travels": {"left": 0.0}}]
)
def test_a_clamp_that_tore_out_can_be_pulled_no_way(stage):
    weak = replace(one_rail(), clamps={"tip": RailClamp(node=TIP, rating=4e3)})
    torn = follow(weak, [RailStage(name="pull", forces={"left": 5e3})])

    with pytest.raises(OutOfRangeError) as refusal:
        follow(weak, [RailStage(name="again", **stage)], start=torn)
    assert refusal.value.reason == "rail.tore_out"
    on = follow(weak, [RailStage(name="off", forces={"left": 0.0})], start=torn)
    assert on.torn == {"tip"}


@pytest.mark.parametrize("part", ["pulls", "springs", "rails"])
def test_a_history_goes_on_only_with_the_parts_it_had(part):
    other = two_rails()
    fewer = {
        "pulls": dict([*other.pulls.items()][:2]),
        "springs": {},
        "rails": [*other.rails, rail(0.8)],
    }

    with pytest.raises(OutOfRangeError) as refusal:
        follow(replace(other, **{part: fewer[part]}), [], start=follow(two_rails(), []))
    assert refusal.value.reason == "rail.other_start"


def test_the_pulls_that_fold_a_rail_are_told_and_no_others():
    # Euler again: this one folds at some 51 N end on, and 1 N aside keeps it so.
    thin = rail(upright=SLENDER, sideways=SLENDER)
    push = {"push": RailPull(clamp="tip", direction=(-1, 0, 0))}
    idle = {"idle": RailPull(clamp="tip", direction=(0, 0, 1))}
    front_end = FrontEnd(
        rails=[thin], clamps={"tip": RailClamp(node=TIP)}, pulls={**idle, **push}
    )

    with pytest.raises(OutOfRangeError) as refusal:
        follow(front_end, [RailStage(name="push", forces={"push": 20e3})])

    assert refusal.value.reason == "rail.no_balance"
    [pulling] = refusal.value.values["pulling"]
    assert pulling.values["pull"] == "push"
    reached = refusal.value.values["progress"] * 20e3
    assert pulling.values["tension"] == pytest.approx(reached)


def test_only_the_clamp_that_is_overloaded_tears_and_locked_pulls_stay_locked():
    ends = two_rails()
    clamps = {
        "tip": RailClamp(node=TIP, rating=60e3),
        "root": RailClamp(node=(0, 1), rating=90e3),
        "side": RailClamp(node=(0, 4), rating=7e3),
    }
    pulls = {**ends.pulls, "side": RailPull(clamp="side", direction=(0, 1, 0))}
    pulls["idle"] = RailPull(clamp="root", direction=(0, 1, 0))
    lock = RailStage(name="lock", travels={"rough": 0.02})
    pull = RailStage(name="pull", forces={"side": 10e3})

    history = follow(replace(ends, clamps=clamps, pulls=pulls), [lock, pull])

    assert history.torn == {"side"}
    assert [(event.what, event.name) for event in history.events] == [("tore", "side")]
    at = history.stage == 1
    rough = history.pulls.index("rough")
    assert history.travel[at, rough] == pytest.approx(
        history.travel[history.stage == 0][-1, rough]
    )
    assert history.end.tension[rough] > 1e3
    assert history.end.locked.tolist() == [name == "rough" for name in history.pulls]
    assert np.all(np.diff(history.progress[at]) >= 0)
    assert history.progress[at][[0, -1]] == pytest.approx([0, 1], abs=0.3)
    assert history.progress[-1] == pytest.approx(1, rel=1e-15)


def test_a_chain_that_is_slack_stays_slack_where_another_clamp_tears():
    # Drawn toward the hold, its chain goes slack; the tear lets the rail spring back
    # to where the chain just hangs.
    ends = two_rails()
    clamps = {**ends.clamps, "side": RailClamp(node=(0, 4), rating=2e3)}
    pulls = {**ends.pulls, "side": RailPull(clamp="side", direction=(0, -1, 0))}
    lock = RailStage(name="lock", travels={"hold": 0.0})
    pull = RailStage(name="pull", forces={"side": 3e3})

    history = follow(replace(ends, clamps=clamps, pulls=pulls), [lock, pull])

    told = [(event.what, event.name) for event in history.events]
    assert told == [("slack", "hold"), ("tore", "side")]


def test_a_stand_fitted_where_it_is_is_a_stand_that_was_there():
    stand = Spring(node=TIP, stiffness=(1e6, 2e6, 3e6))
    pull = RailStage(name="pull", forces={"rough": 8e3})
    there = replace(two_rails(), springs={"stand": stand})
    later = replace(two_rails(), springs={"stand": replace(stand, in_place=False)})

    before = follow(there, [pull])
    fitted = follow(later, [RailStage(name="fit", fit=["stand"]), pull])

    assert fitted.end.nodes == pytest.approx(before.end.nodes, abs=1e-12)
    assert fitted.end.controls.presence.tolist() == [1.0]


def test_a_stand_fitted_and_taken_out_at_once_gives_nothing_up():
    stand = Spring(node=TIP, stiffness=(1e6, 2e6, 3e6), in_place=False)
    front_end = replace(two_rails(), springs={"stand": stand})
    pull = RailStage(name="pull", forces={"rough": 8e3})
    idle = RailStage(name="idle", fit=["stand"], take_out=["stand"])

    history = follow(front_end, [pull, idle])

    assert history.energies[-1].removed == pytest.approx(0, abs=1e-9)
    assert history.movement(TIP) == pytest.approx(
        history.movement(TIP, after_stage=0), abs=1e-9
    )


def test_a_chain_locked_without_load_is_taut_and_stays_so():
    # Nothing pulls, so rounding alone must make it neither slack nor taut again.
    stages = [
        RailStage(name="lock", travels={"hold": 0.0}),
        RailStage(name="wait"),
        RailStage(name="cut", take_out=["crossmember"]),
    ]

    history = follow(two_rails(), stages)

    assert history.events == ()
    hold = history.pulls.index("hold")
    assert history.end.locked[hold]
    assert not history.end.slack.any()


def test_a_rail_that_gives_way_stands_under_a_locked_pull():
    # A hinge past yield that no longer hardens, turned and then pushed end on: the push
    # that it bears, its moment over the height of the tip, falls as it folds.
    [link] = elastic_hinge().rails
    soft = replace(link, yield_load=[[4e3, 4e3, 1e13]], hardening_ratio=0.0)
    push = {"push": RailPull(clamp="tip", direction=(-1, 0, 0))}
    front_end = elastic_hinge()
    front_end = replace(front_end, rails=[soft], pulls={**front_end.pulls, **push})
    turn = RailStage(name="turn", travels={"left": 0.1})
    free = RailStage(name="free", forces={"left": 0.0})
    first = follow(front_end, [turn, free])

    ends = [
        follow(front_end, [RailStage(name="fold", travels={"push": far})], start=first)
        for far in (0.02, 0.1, 0.2)
    ]

    for end in ends:
        height = end.end.nodes[0, 1, 1]
        assert end.force[-1].max() == pytest.approx(4e3 / height, rel=1e-6)
    bears = 1.05 * 4e3 / first.end.nodes[0, 1, 1]
    by_force = RailStage(name="fold", forces={"push": bears})
    with pytest.raises(OutOfRangeError):
        follow(front_end, [by_force], start=first)


@pytest.mark.parametrize("size", [1e-9, 1.0, 1e9])
def test_a_rail_is_held_however_stiff_or_soft_it_is(size):
    [link] = elastic_hinge().rails
    held = replace(link, stiffness=size * np.array(link.stiffness))
    loose = replace(held, stiffness=np.array(held.stiffness) * [1, 0, 1])

    follow(replace(elastic_hinge(), rails=[held]), [])
    with pytest.raises(MechanismError):
        follow(replace(elastic_hinge(), rails=[loose]), [])


@pytest.mark.parametrize(
    "wrong",
    [
        {"hardening_ratio": -0.01}, {"hardening_ratio": 1.0},
        {"hardening_ratio": [0.1, 0.1, 1.0]}, {"hardening_ratio": np.nan},
        {"yield_load": [[4e3, 4e3, 0.0]]}, {"yield_load": [[4e3, 4e3]]},
        {"stiffness": [[1e5, 1e5, -1.0]]}, {"stiffness": [[1e5, 1e5]]},
        {"link_length": [0.0]}, {"link_length": [0.5, 0.5]},
        {"upward": (1, 0, 1e-7)},
    ],
)  # fmt: skip
def test_a_rail_has_links_of_some_length_that_harden_less_than_they_resist(wrong):
    [link] = elastic_hinge().rails
    follow(replace(elastic_hinge(), rails=[replace(link, hardening_ratio=0.99)]), [])
    tilted = replace(link, upward=(1, 0, 1e-5))
    follow(replace(elastic_hinge(), rails=[tilted]), [])

    with pytest.raises(OutOfRangeError):
        follow(replace(elastic_hinge(), rails=[replace(link, **wrong)]), [])


@pytest.mark.parametrize(
    "wrong",
    [
        {"links": 0}, {"links": 1.5}, {"links": np.inf}, {"links": np.nan},
        {"links": -1}, {"youngs_modulus": 0.0}, {"yield_stress": 0.0},
        {"yield_stress": np.inf}, {"length": np.inf},
    ],
)  # fmt: skip
def test_a_uniform_rail_has_a_whole_number_of_links(wrong):
    assert len(rail(links=1).link_length) == 1

    with pytest.raises(OutOfRangeError):
        rail(**wrong)


@pytest.mark.parametrize("node", [(-1, 0), (1, 0), (0, -1), (0, 7)])
def test_a_clamp_sits_on_a_node_there_is(node):
    for edge in ((0, 0), (0, 6)):
        follow(replace(one_rail(), clamps={"tip": RailClamp(node=edge)}), [])

    with pytest.raises(OutOfRangeError) as refusal:
        follow(replace(one_rail(), clamps={"tip": RailClamp(node=node)}), [])
    assert refusal.value.values == {
        "node": node[1],
        "rail": node[0],
        "last_rail": 0,
        "last_node": 6,
    }


@pytest.mark.parametrize("rating", [0.0, -1.0, np.nan])
def test_a_clamp_has_a_rating_of_more_than_nothing(rating):
    with pytest.raises(OutOfRangeError) as refusal:
        follow(
            replace(one_rail(), clamps={"tip": RailClamp(node=TIP, rating=rating)}), []
        )
    assert refusal.value.reason == "rail.rating"


@pytest.mark.parametrize("stiffness", [(1e6, -1.0, 1e6), (1e6, 1e6), 1e6])
def test_a_spring_resists_three_ways(stiffness):
    spring = Spring(node=TIP, stiffness=stiffness)

    with pytest.raises(OutOfRangeError):
        follow(replace(one_rail(), springs={"stand": spring}), [])


@pytest.mark.parametrize("far", [0.0, 0.9e-6, 1.1e-6])
def test_a_head_stands_clear_of_its_clamp(far):
    head = RailPull(clamp="tip", head=(0.6 + far, 0, 0))

    front_end = replace(one_rail(), pulls={"pull": head})
    if far > 1e-6:
        follow(front_end, [])
        return
    with pytest.raises(OutOfRangeError) as refusal:
        follow(front_end, [])
    assert refusal.value.values == {"pull": "pull"}
