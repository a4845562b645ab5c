"""The explorer of the line of fire: who is in a wedge, and what a cable holds."""

from math import atan2, degrees, hypot

import numpy as np
import pytest

from widgets import EXPLORERS, LessonParts
from workbook.course import lesson
from workbook.figures.drawing.marks import Marker, Polygon
from workbook.figures.pictures import subjects
from workbook.figures.pictures.line_of_fire import bay_sheet, describe
from workbook.quantities.units import METRIC
from workbook.scenes.fields import checked
from workbook.scenes.loaded_bay import BAY, FREED, PEOPLE, SWEEPS

FIRE = subjects()["fire"]
STRAIGHT = {"first_angle_deg": 0, "second_angle_deg": 90}


def solved(**values):
    return FIRE.solve(checked(FIRE.fields, values))


def seen(bay):
    [panel] = bay_sheet(bay, system=METRIC).panels
    return {mark.name: mark for mark in panel.drawing.seen if mark.name}


def moving(bay):
    """Return who must move, by name."""
    return {name for name, moves in zip(PEOPLE, bay.must_move, strict=True) if moves}


def test_a_person_beside_a_straight_chain_stands_where_the_arctangent_says():
    # 900 aside and 2400 along from the clamp at (1700, 450): 20.556°.
    bay = solved(**STRAIGHT, you_forward_mm=4100, you_left_mm=1350)

    assert degrees(bay.nearest[0]) == pytest.approx(20.556, abs=1e-3)
    assert PEOPLE[0] in moving(bay)
    assert PEOPLE[0] not in moving(
        solved(**STRAIGHT, you_forward_mm=4100, you_left_mm=1350, half_angle_deg=20)
    )


def test_what_is_swept_follows_the_part_that_fails():
    ahead = {"you_forward_mm": 4700, "you_left_mm": 400}
    behind = {"you_forward_mm": -3600, "you_left_mm": 400}

    def hit(fails, place):
        return PEOPLE[0] in moving(solved(**STRAIGHT, **place, fails=fails))

    # In line with the first chain, both ends of whatever lets go are swept.
    for fails in FREED:
        assert hit(fails, ahead)
        assert hit(fails, behind)
    # Beside the car only a leg that parts near the head, or all of it, reaches back.
    beside = {"you_forward_mm": 1600, "you_left_mm": 1000}
    assert not hit("clamp", beside)
    assert hit("pull leg", {"you_forward_mm": 1700, "you_left_mm": 900})


def test_a_third_ram_adds_its_own_wedges_and_takes_nobody_away():
    two, three = solved(), solved(rams="three rams")

    assert moving(two) < moving(three)
    assert two.swept.sum() == 8
    assert three.swept.sum() == 12


def test_over_arrays_it_is_as_one_by_one():
    halves = np.array([10.0, 30.0, 50.0])
    forward = np.array([4000.0, 3000.0, -2000.0])

    many = FIRE.solve(
        checked(FIRE.fields, {"half_angle_deg": halves, "you_forward_mm": forward})
    )
    single = [
        solved(half_angle_deg=h, you_forward_mm=x)
        for h, x in zip(halves, forward, strict=True)
    ]

    assert many.must_move.tolist() == [one.must_move.tolist() for one in single]
    assert many.nearest == pytest.approx(np.array([one.nearest for one in single]))


def test_the_legs_are_those_of_the_linkage_and_a_slot_swings_them():
    straight, swung = solved(), solved(fork_offset_mm=60)

    for one in (straight, swung):
        pull = one.pulls[0]
        assert one.places["head"][0] == pytest.approx(pull.pull.head)
        along = pull.pull.head - pull.rig.clamp
        assert one.axis[0, 0] == pytest.approx(atan2(along[1], along[0]))
    assert abs(swung.axis[0, 0] - straight.axis[0, 0]) > 0.1


def test_wedges_are_drawn_as_they_are_reckoned_and_end_at_the_bay_alone():
    bay = solved(half_angle_deg=25)

    drawn = {n: m for n, m in seen(bay).items() if isinstance(m, Polygon)}
    wedges = {n: m for n, m in drawn.items() if "wedge" in n}
    assert len(wedges) == bay.swept.sum()
    points = wedges["first wedge, clamp to head"].points
    first, edge = points[0], points[1:]
    assert first == pytest.approx(bay.apex[0, 0])
    off = [
        (degrees(atan2(*(p - first)[::-1]) - bay.axis[0, 0]) + 180) % 360 - 180
        for p in edge
    ]
    assert (off[0], off[-1]) == (pytest.approx(-25), pytest.approx(25))
    at_border = np.isclose(edge, BAY[0]) | np.isclose(edge, BAY[1])
    assert at_border.any(axis=1).all()


def test_tokens_show_by_shape_who_must_move_and_the_words_say_so():
    bay = solved()
    marks = seen(bay)

    for name in PEOPLE:
        shown = [marks.get(name), marks.get(f"{name} in line")]
        assert [m.shape for m in shown if isinstance(m, Marker)] == (
            ["triangle"] if name in moving(bay) else ["ring"]
        )
    words = describe(bay, system=METRIC)
    assert f"{len(moving(bay))} of 8" in words
    assert ("visitor" in words) == ("visitor" in moving(bay))


@pytest.mark.parametrize(
    ("cable", "fails", "rings", "held"),
    [
        ("none", "clamp", False, 0),
        ("to the same clamp", "clamp", False, 0),
        ("to the bench", "clamp", True, 1),
        ("to the bench", "fork", False, 1),
        ("over an edge", "hook", True, 0),
        ("through two clamps", "any part", True, 2),
    ],
)
def test_a_cable_holds_what_it_is_tied_to_hold(cable, fails, rings, held):
    bay = solved(cable=cable, fails=fails)

    assert ("reach of the clamp" in seen(bay)) == rings
    assert FIRE.told(bay)["clamps that the cable holds"][0] == held


@pytest.mark.parametrize("slack", [0, 200])
def test_the_ring_is_where_the_cable_is_taut(slack):
    bay = solved(cable="to the bench", fails="clamp", cable_slack_mm=slack)
    clamp, tie = bay.cable_path[0], bay.cable_path[-1]

    long = np.linalg.norm(clamp - tie) + slack / 1000
    far = [hypot(*(p - tie[:2]), clamp[2] - tie[2]) for p in bay.reach]

    assert np.array(far) == pytest.approx(long)


def test_more_slack_lets_the_clamp_go_farther_every_way():
    def size(**values):
        bay = solved(cable="through two clamps", fails="clamp", **values)
        return np.linalg.norm(bay.reach - bay.clamp[:2], axis=-1)

    assert (size(cable_slack_mm=400) > size(cable_slack_mm=50)).all()


def test_no_distance_and_no_speed_is_among_its_numbers():
    kinds = {kind for _, kind in FIRE.told(solved(cable="to the bench")).values()}

    assert kinds == {"count", "angle"}
    page = str(EXPLORERS["fire"]({"cable": "to the bench"}).stage.frame["words"])
    assert "mm" not in page
    assert "safe" not in page.replace("safety", "")


def test_every_kind_of_failure_names_wedges_there_are():
    assert {k for all in FREED.values() for k in all} <= {*range(len(SWEEPS))}
    assert {*FREED} == {*FIRE.fields["fails"].options}


def test_a_lesson_that_starts_elsewhere_shows_so_on_its_list():
    explorer = LessonParts(lesson("L11")).explorer()

    control = explorer.controls["fails"]
    assert control.value == control.widget.value == explorer.values["fails"] == "fork"
