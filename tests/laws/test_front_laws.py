"""Laws of the metal in the bay: acts from state to state, two rails, a crossmember."""

from dataclasses import replace

import numpy as np
import pytest
from front_ends import LINKS, TIP, two_rails

from workbook.errors import OutOfRangeError
from workbook.mechanics.metal.front import (
    hold,
    load,
    places,
    release,
    relieve,
    undamaged,
)
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import RailClamp, RailStage, Relief, Spring

TIPS = {
    "left tip": RailClamp(node=TIP),
    "left root": RailClamp(node=(0, 1)),
    "right tip": RailClamp(node=(1, LINKS)),
}
HIT = PullOn(clamp="left tip", direction=(-0.3, -1, -0.2), stroke=0.04)
ROUGH = PullOn(clamp="left tip", head=(1.4, 1.5, 0.3), tension=20e3)
HELD = PullOn(clamp="left root", head=(0.1, -1.5, 0), stroke=0.0)
HAMMER = (Relief(rail=0, hinges=[0, 1], fraction=0.4),)
STAND = Spring(node=(0, 2), stiffness=(1e6, 1e6, 1e6))


def bare(**changes):
    return replace(two_rails(), pulls={}, springs={}, clamps=TIPS, **changes)


def repair(front_end, state=None, **how):
    """Hit, let go, hold and pull, hammer, release: every kind of act."""
    acts = [load(front_end, state or undamaged(front_end), {"hit": HIT}, **how)]
    for act in (
        lambda now: release(front_end, now, **how),
        lambda now: load(
            front_end,
            now,
            {"rough": ROUGH, "hold": HELD},
            holds={"stand": STAND},
            **how,
        ),
        lambda now: relieve(front_end, now, HAMMER, **how),
        lambda now: release(front_end, now, ["rough", "hold"], **how),
    ):
        acts.append(act(acts[-1].state))
    return acts


def test_acts_one_by_one_are_the_rail_called_in_one_go():
    tie = two_rails().springs["crossmember"]
    whole = replace(two_rails(), springs={"crossmember": tie, "stand": STAND})
    whole = replace(
        whole, springs={**whole.springs, "stand": replace(STAND, in_place=False)}
    )
    stages = [
        RailStage(name="hit", travels={"hit": 0.04}),
        RailStage(name="off", forces={"hit": 0.0}),
        RailStage(
            name="pull", forces={"rough": 20e3}, travels={"hold": 0.0}, fit=["stand"]
        ),
        RailStage(name="hammer", relief=HAMMER),
        RailStage(name="release", forces={"rough": 0.0, "hold": 0.0}),
    ]
    front_end = replace(bare(), springs={"crossmember": tie})

    straight = follow(whole, stages, largest_step=0.25)
    acts = repair(front_end)

    for number, act in enumerate(acts):
        there = np.flatnonzero(straight.stage == number)
        assert act.history.nodes[1:] == pytest.approx(straight.nodes[there], abs=1e-9)
        assert act.history.load[1:] == pytest.approx(
            straight.load[there], rel=1e-9, abs=1e-3
        )
    assert acts[-1].energies["work"][-1] == pytest.approx(straight.end.energies.work)
    assert (
        np.abs(
            acts[-1].path("left tip")[-1]
            - places(bare(), undamaged(bare()))["left tip"]
        ).max()
        > 0.005
    )


def test_an_act_leaves_the_state_before_it_as_it_was_and_replays_exactly():
    front_end = bare()
    state = undamaged(front_end)

    first, again = (repair(front_end, state) for _ in range(2))

    assert np.array_equal(first[-1].state.metal.nodes, again[-1].state.metal.nodes)
    assert not state.metal.plastic.any()
    assert not state.pulls
    assert ([*first[2].state.pulls], [*first[2].state.holds]) == (
        ["rough", "hold"],
        ["stand"],
    )
    assert not first[-1].state.pulls
    assert [*first[-1].state.holds] == ["stand"]
    with pytest.raises(ValueError, match="read-only"):
        state.metal.nodes[0, 0, 0] = 1.0


def test_a_torn_clamp_drops_its_pull_and_is_never_clamped_again():
    weak = {**TIPS, "left tip": RailClamp(node=TIP, rating=9e3)}
    same = {**weak, "beside": RailClamp(node=TIP)}
    front_end = replace(bare(), clamps=same)

    torn = load(front_end, undamaged(front_end), {"rough": ROUGH})

    assert [(event.what, event.name) for event in torn.events] == [("tore", "left tip")]
    assert torn.tension["rough"].max() == pytest.approx(9e3, rel=2e-6)
    assert torn.tension["rough"][-1] == 0
    assert torn.state.torn == {"left tip"}
    assert not torn.state.pulls
    later = load(
        front_end, torn.state, {"other": replace(ROUGH, clamp="left root")}
    ).state
    for clamp in ("left tip", "beside"):
        with pytest.raises(OutOfRangeError) as refused:
            load(front_end, later, {"again": replace(ROUGH, clamp=clamp)})
        assert refused.value.reason == "rail.tore_out"


def test_shut_valves_keep_the_length_of_a_chain_while_another_pulls():
    front_end = bare()
    pulled = load(front_end, undamaged(front_end), {"rough": ROUGH})
    held = hold(front_end, pulled.state)

    up = PullOn(clamp="left tip", direction=(0, 0, 1), tension=3e3)
    more = load(front_end, held.state, {"up": up})

    assert np.ptp(held.history.nodes, axis=0).max() < 1e-9
    reach = np.linalg.norm(np.asarray(ROUGH.head) - more.path("left tip"), axis=1)
    assert np.ptp(reach) < 1e-9
    assert np.ptp(more.tension["rough"]) > 10


@pytest.mark.parametrize(
    ("reason", "how"),
    [
        ("rail.still_on", {"pulls": {"rough": replace(ROUGH, head=(2, 2, 2))}}),
        ("rail.still_on", {"pulls": {"rough": replace(ROUGH, clamp="right tip")}}),
        ("rail.tension_or_stroke", {"pulls": {"up": replace(ROUGH, stroke=0.1)}}),
        ("rail.tension_or_stroke", {"pulls": {"up": replace(ROUGH, tension=None)}}),
        ("rail.hold_taken", {"pulls": {}, "holds": {"stand": STAND}}),
        ("rail.steps", {"pulls": {}, "steps": 0}),
        ("rail.steps", {"pulls": {}, "steps": 1.5}),
        ("rail.no_clamp", {"pulls": {"up": replace(ROUGH, clamp="roof")}}),
    ],
)
def test_an_act_that_makes_no_sense_is_refused(reason, how):
    front_end = bare()
    small = replace(ROUGH, tension=1e3)
    before = load(
        front_end, undamaged(front_end), {"rough": small}, holds={"stand": STAND}
    )

    with pytest.raises(OutOfRangeError) as refused:
        load(front_end, before.state, **how)

    assert refused.value.reason == reason


def test_a_path_is_asked_of_a_clamp_there_is():
    act = load(bare(), undamaged(bare()), {})

    with pytest.raises(OutOfRangeError) as refused:
        act.path("roof")

    assert refused.value.reason == "rail.no_such_clamp"
