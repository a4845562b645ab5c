"""The invented front end of the Kestrin 5 is the one the lessons speak of."""

import numpy as np
import pytest

from workbook.mechanics.metal.front import load, places, release, undamaged
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import RailStage, pull_hold_release
from workbook.scenes.kestrin import crashed_kestrin
from workbook.scenes.kestrin_rail import (
    invented,
    kestrin_front,
    kestrin_front_end,
    read_rail_data,
)

LEFT_TIP, RIGHT_TIP = (0, 8), (1, 8)


def test_every_number_of_the_front_end_is_marked_invented():
    data = read_rail_data()

    assert data["kind"] == "invented"
    assert "invented" in data["source"]
    assert "Invented" in invented()


def test_lengths_and_forces_are_read_in_si():
    front_end = kestrin_front_end()

    assert np.sum(front_end.rails[0].link_length) == pytest.approx(0.640)
    assert front_end.clamps["left tip"].rating == pytest.approx(45e3)
    assert front_end.springs["crossmember"].stiffness[1] == pytest.approx(4e6)


@pytest.mark.parametrize("push", ["hit right", "hit down"])
def test_the_tip_is_as_stiff_as_the_final_exercise_says(push):
    # The lessons' brief: 3 to 7 kN/mm across the rail.
    moved = follow(kestrin_front_end(), [RailStage(name="push", forces={push: 500.0})])

    stiffness = 500.0 / np.linalg.norm(moved.movement(LEFT_TIP)) / 1e6

    assert 3 <= stiffness <= 7


def test_in_the_bay_too_and_the_blow_goes_through_the_crossmember_as_told():
    # The brief: left tip (-26, -19, -8) mm, right tip 6 mm to the right.
    front = kestrin_front()
    start = undamaged(front)
    small = {
        way: load(front, start, {way: blow(way, tension=500.0)}, steps=1)
        for way in BLOWS
    }
    stiffness = [
        500.0 / np.linalg.norm(act.path("left tip")[-1] - act.path("left tip")[0]) / 1e6
        for act in small.values()
    ]
    assert all(3 <= each <= 7 for each in stiffness[1:])

    travels = zip(BLOWS, (0.0275, 0.0253, 0.0125), strict=True)
    crash = load(front, start, {way: blow(way, stroke=far) for way, far in travels})
    after = places(front, release(front, crash.state).state)

    was = places(front, start)
    left, right = (after[tip] - was[tip] for tip in ("left tip", "right tip"))
    assert left == pytest.approx([-0.026, -0.019, -0.008], abs=1e-3)
    assert right == pytest.approx([0, -0.006, 0], abs=1e-3)


BLOWS = {"rear": (-1, 0, 0), "right": (0, -1, 0), "down": (0, 0, -1)}


def blow(way, **how):
    return PullOn(clamp="struck corner", direction=BLOWS[way], **how)


def test_one_pull_brings_back_most_of_it_and_springs_back():
    pulled = follow(
        kestrin_front_end(),
        pull_hold_release("rough", force=40e3),
        start=crashed_kestrin(),
    )

    before = np.linalg.norm(crashed_kestrin().movement(LEFT_TIP))
    left = np.linalg.norm(
        pulled.movement(LEFT_TIP) + crashed_kestrin().movement(LEFT_TIP)
    )
    under_load = pulled.movement(LEFT_TIP, after_stage=1)
    assert left < 0.5 * before
    assert np.linalg.norm(under_load - pulled.movement(LEFT_TIP)) > 2e-3
    assert not pulled.events


def test_pulling_too_far_tears_the_clamp_out():
    pulled = follow(
        kestrin_front_end(),
        [RailStage(name="draw", travels={"rough": 0.09})],
        start=crashed_kestrin(),
    )

    assert [(event.what, event.name) for event in pulled.events] == [
        ("tore", "left tip")
    ]
