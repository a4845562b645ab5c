"""The explorer of five steps: pull, release, measure, decide, on the bay's metal."""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.figures.pictures import subjects
from workbook.figures.pictures.five_steps import describe, five_steps_sheet
from workbook.mechanics.metal.front import load, places, release
from workbook.mechanics.metal.front_parts import PullOn
from workbook.quantities.units import METRIC
from workbook.scenes.fields import checked
from workbook.scenes.five_steps import damaged, front_end, missing, specified

STEPS = subjects()["steps"]
GOOD = {
    **{"load_1_kn": 18, "load_2_kn": 34, "load_3_kn": 14, "load_4_kn": 36},
    **{"load_5_kn": 32, "decision_2": "new line", "decision_3": "new line"},
    **{"decision_4": "move the clamp", "decision_5": "new line"},
}


def solved(moment, **values):
    return STEPS.solve(checked(STEPS.fields, {"moment": moment, **values}))


def told(moment, **values):
    return {name: v for name, (v, _) in STEPS.told(solved(moment, **values)).items()}


def test_three_strokes_leave_what_the_lesson_says():
    lacks = 1e3 * missing(damaged(), "hook")

    assert lacks == pytest.approx([24, 18, 10], abs=1e-2)


def test_two_steps_are_the_bays_own_acts_one_after_the_other():
    rail = solved("2 let go", decision_2="new line", load_2_kn=30)

    state, ends = damaged(), front_end()
    for tension in (17e3, 30e3):
        lacks = specified()[-1] - places(ends, state)["hook"]
        pull = PullOn(clamp="hook", direction=lacks, tension=tension)
        state = release(ends, load(ends, state, {"any": pull}).state).state
    assert rail.nodes[2, 1] == pytest.approx(state.metal.nodes[0], abs=1e-9)


def test_carrying_on_takes_one_reading_past_its_place_and_makes_it_worse():
    first, same, new = (
        solved("1 let go"),
        solved("2 let go"),
        solved("2 let go", decision_2="new line", load_2_kn=30),
    )

    # 9.8 mm short, then 12.4 mm past: 2.6 mm worse, though it moved the way it should.
    assert 1e3 * first.reading("hook")[1] == pytest.approx(9.8, abs=0.05)
    assert 1e3 * same.reading("hook")[1] == pytest.approx(-12.4, abs=0.05)
    assert 1e3 * same.worst == pytest.approx(2.6, abs=0.1)
    assert same.share < first.share < new.share
    assert new.worst == 0
    assert "got worse most did so by 2.6 mm" in describe(same, system=METRIC)


def test_a_reading_under_load_tells_nothing_that_stays():
    loaded, released = told("1 under load"), told("1 let go")

    assert loaded["left at the hook"] < released["left at the hook"]
    for name in ("share of the correction done", "bearing of what is left"):
        assert name in released
        assert name not in loaded
    assert loaded["pull in the chain"] == 17e3
    assert released["pull in the chain"] == 0


def test_five_good_decisions_bring_both_points_within_a_millimetre():
    rail = solved("5 let go", **GOOD)

    for point in ("hook", "middle"):
        assert np.abs(rail.reading(point)).max() < 1e-3
    assert rail.share > 0.97
    assert rail.clamps == ("hook", "hook", "hook", "middle", "middle")


def test_who_stops_pulls_no_more_whatever_comes_after():
    rail = solved("4 let go", decision_2="stop", decision_3="move the clamp")

    assert rail.nodes[4] == pytest.approx(rail.nodes[1, [1, 1]])
    assert rail.forces[1:4].tolist() == [0, 0, 0]
    assert rail.clamps == ("hook",) * 4
    assert "stopped" in describe(rail, system=METRIC)


def test_many_set_ups_are_each_of_them_and_nan_past_the_end():
    loads = np.array([10.0, 25.0, 40.0])
    every = STEPS.solve(
        checked(STEPS.fields, {"load_2_kn": loads, "moment": "2 let go"})
    )

    for k, one in enumerate(loads[:2]):
        alone = solved("2 let go", load_2_kn=one)
        assert every.nodes[k, 2] == pytest.approx(alone.nodes[2], abs=1e-12)
    assert every.stands.tolist() == [True, True, False]
    with pytest.raises(OutOfRangeError, match="the clamp point moves further"):
        solved("2 let go", load_2_kn=40)


def test_under_load_a_diamond_let_go_a_square_and_the_line_of_what_is_left():
    def seen(moment):
        marks = five_steps_sheet(solved(moment), system=METRIC).panels[0].drawing.marks
        return {m.name: getattr(m, "shape", "") for m in marks if m.visible}

    loaded, released = seen("1 under load"), seen("1 let go")
    assert loaded["now hook above"] == "diamond"
    assert released["now hook above"] == "square"
    assert "pull above" in loaded
    assert "what is left above" in released
    assert "pull above" not in released
