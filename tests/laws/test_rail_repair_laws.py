"""Laws of a repair: hold, hammer, tear, take out; whatever the numbers."""

from dataclasses import replace

import numpy as np
import pytest
from front_ends import LINKS, ROUGH_REPAIR, TIP, one_rail, two_rails

from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    RailClamp,
    RailPull,
    RailStage,
    Relief,
    Spring,
    pull_hold_release,
)


def test_force_and_travel_drive_the_same_pull():
    by_force = follow(one_rail(), [RailStage(name="pull", forces={"left": 13e3})])
    far = by_force.travel[-1, 0] - by_force.travel[0, 0]

    by_travel = follow(one_rail(), [RailStage(name="pull", travels={"left": far})])

    assert by_travel.force[-1, 0] == pytest.approx(13e3, rel=1e-6)
    assert by_travel.end.nodes == pytest.approx(by_force.end.nodes, abs=1e-9)


@pytest.mark.parametrize("fraction", [0.2, 0.5])
def test_hammering_a_locked_pull_takes_springback_away(fraction):
    root = Relief(rail=0, hinges=[0, 1], fraction=fraction)
    pull = RailStage(name="pull", travels={"left": 0.05})
    hammer = RailStage(name="hammer", relief=[root])
    release = RailStage(name="release", forces={"left": 0.0})

    plain = follow(one_rail(), [pull, release])
    hammered = follow(one_rail(), [pull, hammer, release])

    loaded = hammered.movement(TIP, after_stage=0)[1]
    eased = hammered.force[hammered.stage == 1][-1, 0]
    before = loaded - plain.movement(TIP)[1]
    after = loaded - hammered.movement(TIP)[1]
    assert eased < (1 - 0.5 * fraction) * plain.force.max()
    assert 0 < after < before * (1 - 0.5 * fraction)


def test_hammering_under_a_held_force_lets_the_metal_come():
    root = Relief(rail=0, hinges=[0], fraction=0.3)
    pull = RailStage(name="pull", forces={"left": 12e3})

    history = follow(one_rail(), [pull, RailStage(name="hammer", relief=[root])])

    gained = history.movement(TIP)[1] - history.movement(TIP, after_stage=0)[1]
    assert gained > 0.005


def test_hammering_wears_down_the_locked_in_load_and_the_yield_limit_comes_back():
    root = Relief(rail=0, hinges=[0], fraction=0.5)
    bent = follow(one_rail(), pull_hold_release("left", force=13e3))

    hammered = follow(
        one_rail(),
        [RailStage(name="hammer", relief=[root]), RailStage(name="rest")],
        start=bent,
    )

    locked_in = bent.end.back_load[0, 0, 1]
    assert locked_in > 100
    assert hammered.end.back_load[0, 0, 1] == pytest.approx(0.5 * locked_in)
    assert np.all(hammered.end.controls.strength == 1)
    again = follow(
        one_rail(), [RailStage(name="p", forces={"left": 9e3})], start=hammered
    )
    assert again.end.plastic == pytest.approx(bent.end.plastic, abs=1e-12)


def test_a_holding_pull_keeps_the_root_from_bending():
    pull = RailStage(name="pull", forces={"rough": 18e3})
    hold = RailStage(name="lock the hold", travels={"hold": 0.0})
    release = RailStage(name="release", forces={"rough": 0.0, "hold": 0.0})

    alone = follow(two_rails(), [pull, release])
    held = follow(two_rails(), [hold, pull, release])

    assert held.force[:, 2].max() > 1e3
    unwanted = abs(alone.end.plastic[0, 0, 1])
    assert unwanted > 1e-3
    assert abs(held.end.plastic[0, 0, 1]) < 0.5 * unwanted


def test_a_locked_chain_goes_slack_and_taut_but_never_pushes():
    swing = [
        RailStage(name="lock", travels={"hold": 0.0}),
        RailStage(name="toward the hold", forces={"hit": 3e3}),
        RailStage(name="away from it", forces={"hit": 0.0, "rough": 3e3}),
    ]

    history = follow(two_rails(), swing)

    assert history.force.min() >= -1
    assert [(event.what, event.name) for event in history.events] == [
        ("slack", "hold"),
        ("taut", "hold"),
    ]
    slack = history.force[:, 2] == 0
    drawn = history.travel[:, 2] - history.travel[0, 2]
    assert drawn[~slack] == pytest.approx(0, abs=1e-9)


def test_a_clamp_tears_at_its_rating_and_its_pull_is_lost():
    front_end = two_rails()
    weak = {"tip": RailClamp(node=TIP), "root": RailClamp(node=(0, 1)), "side": None}
    weak["side"] = RailClamp(node=(0, 4), rating=7e3)
    pulls = {**front_end.pulls, "side": RailPull(clamp="side", direction=(0, 1, 0))}
    front_end = replace(front_end, clamps=weak, pulls=pulls)
    pull = RailStage(name="pull", forces={"rough": 9e3, "side": 10e3})

    history = follow(front_end, [pull, RailStage(name="hold")])

    (event,) = history.events
    assert (event.stage, event.what, event.name) == ("pull", "tore", "side")
    assert history.force[event.step, 3] == pytest.approx(7e3, rel=2e-6)
    assert history.progress[event.step] == pytest.approx(0.7, abs=1e-5)
    assert history.force[:, 3].max() == pytest.approx(7e3, rel=2e-6)
    assert history.force[-1].tolist() == [0, 9e3, 0, 0]
    assert history.torn == {"side"}
    end = history.energies[-1]
    assert abs(end.imbalance) < 1e-3 * end.gross


def test_two_pulls_on_one_clamp_tear_it_by_their_resultant():
    front_end = one_rail(left=(0, 1, 0), up=(0, 0, 1))
    front_end = replace(front_end, clamps={"tip": RailClamp(node=TIP, rating=5e3)})

    history = follow(
        front_end, [RailStage(name="both", forces={"left": 4e3, "up": 4e3})]
    )

    (event,) = history.events
    assert history.progress[event.step] == pytest.approx(5 / (4 * 2**0.5), rel=1e-4)
    assert history.force[-1].tolist() == [0, 0]


def test_a_tear_under_a_locked_pull_leaves_the_load_on_the_other_one():
    front_end = two_rails()
    clamps = {**front_end.clamps, "tip": RailClamp(node=TIP, rating=9e3)}
    front_end = replace(front_end, clamps=clamps)

    history = follow(front_end, [RailStage(name="draw", travels={"rough": 0.08})])

    assert [event.what for event in history.events] == ["tore"]
    assert history.force.max() == pytest.approx(9e3, rel=2e-6)
    assert history.end.tension.tolist() == [0, 0, 0]


def test_taking_the_crossmember_out_frees_the_other_side_of_the_second_pull():
    crash = follow(two_rails(), ROUGH_REPAIR[:2])
    first = follow(two_rails(), pull_hold_release("rough", force=14e3), start=crash)
    cut = follow(
        two_rails(), [RailStage(name="cut", take_out=["crossmember"])], start=first
    )

    def other_side(before):
        second = pull_hold_release("rough", force=19e3)
        end = follow(two_rails(), second, start=before).end
        return end.nodes[1, LINKS, 1] - before.end.nodes[1, LINKS, 1]

    assert other_side(first) > 0.003
    assert other_side(cut) == pytest.approx(0, abs=1e-9)


def test_taking_the_crossmember_out_lets_the_damage_spring():
    crash = follow(two_rails(), ROUGH_REPAIR[:2])

    cut = follow(
        two_rails(), [RailStage(name="cut", take_out=["crossmember"])], start=crash
    )

    assert np.abs(cut.end.load).max() < 1e-3
    assert np.linalg.norm(cut.movement((1, LINKS))) > 1e-4


def test_a_fitted_stand_carries_only_what_comes_after_it():
    stand = Spring(node=TIP, stiffness=(1e6, 1e6, 1e6), in_place=False)
    front_end = replace(two_rails(), springs={"stand": stand})
    pull = RailStage(name="pull", forces={"rough": 4e3})
    more = RailStage(name="more", forces={"rough": 8e3})

    held = follow(front_end, [pull, RailStage(name="fit", fit=["stand"]), more])
    bare = follow(front_end, [pull, RailStage(name="no stand"), more])

    at_fit, at_end = (held.movement(TIP, after_stage=i)[1] for i in (1, 2))
    assert at_fit == pytest.approx(held.movement(TIP, after_stage=0)[1], abs=1e-12)
    added = bare.movement(TIP)[1] - at_fit
    assert 0.4 * added < at_end - at_fit < 0.8 * added
