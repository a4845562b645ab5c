"""The explorer of hits against gaps worked by hand."""

import numpy as np
import pytest

from workbook.figures.drawing.views import VIEWS
from workbook.figures.pictures import subjects
from workbook.figures.subject import Look
from workbook.quantities.units import METRIC
from workbook.scenes.fields import starts

HIT = subjects()["hit"]


def solved(**values):
    return HIT.solve({**starts(HIT.fields), **values})


def numbers(**values):
    return dict(HIT.numbers(solved(**values), METRIC))


def picture(view=None, **values):
    look = Look(system=METRIC, view=view)
    return HIT.sheets(solved(**values), look)


def mark(sheet, name):
    return next(m for m in sheet.panels[0].drawing.marks if m.name == name)


def test_six_millimetres_from_30_degrees_left_shut_the_door_gap_most():
    # Back 6 x 0.8660 = 5.196, across 3. The fender goes with the corner, the door with
    # the hinge pillar, a quarter as far: 5 - 0.75 x 5.196 = 1.1. The rear edge of the
    # door: 5 - (1/4 - 1/16) x 5.196 = 4.03.
    told = numbers()

    assert told["gap: left door, front"] == "1.1 mm"
    assert told["gap: left door, rear"] == "4.0 mm"
    assert told["gap: right door, front"] == "5.0 mm"
    assert told["far front corner, across"] == "−3.0 mm"


def test_the_hood_turns_with_its_hinges_so_that_its_two_gaps_differ():
    # The left hinge goes back 1.299 over 1600: the hood's front, 1100 ahead, swings
    # 0.893 to the left and is taken 0.75 to the right. The fender goes 3 to the right:
    # 5 - 3 + 0.75 - 0.893 = 1.86, and 8.14 on the other side. 3.14 over 1100: 0.16.
    told = numbers()

    assert told["gap: hood left, front"] == "1.9 mm"
    assert told["gap: hood right, front"] == "8.1 mm"
    assert told["gap: hood left, rear"] == told["gap: hood right, rear"] == "5.0 mm"
    assert told["hood turned from the right fender"] == "0.2°"


@pytest.mark.parametrize(
    ("came_from", "hit", "pull"), [(30, 150, 330), (0, 180, 0), (-30, 210, 30)]
)
def test_the_pull_runs_back_along_the_path_of_the_hit(came_from, hit, pull):
    result = solved(from_deg=came_from)

    assert np.degrees(result.bearing) == pytest.approx(hit)
    assert np.degrees(result.undoing) % 360 == pytest.approx(pull)


def test_straight_from_ahead_the_far_corner_stays():
    assert numbers(from_deg=0)["far front corner, across"] == "0.0 mm"


def test_at_45_degrees_another_gap_changes_most():
    # Door: 0.75 x 4.243 = 3.18. Hood: 0.75 x 4.243 + 4.243/4 x 1100/1600 = 3.91.
    changes = solved(from_deg=45).changes

    assert min(changes, key=changes.get) == "left hood, front"
    assert float(changes["left hood, front"]) == pytest.approx(-3.911e-3, abs=1e-6)


def test_a_gap_that_is_shut_is_nought_and_not_less():
    assert numbers(depth_mm=20)["gap: left door, front"] == "0.0 mm"


def test_a_hit_at_the_tail_shuts_the_rearmost_gap_of_its_side():
    changes = solved(depth_mm=0, second_depth_mm=8, second_corner="right rear").changes

    assert min(changes, key=changes.get) == "right rear door, rear edge"
    # The rear side goes with the tail, the door with the pillar ahead of it, a quarter
    # of a quarter as far: 8 - 8/16.
    assert float(changes["right rear door, rear edge"]) == pytest.approx(-7.5e-3)


def test_panels_are_drawn_ten_times_as_far_as_they_went():
    at_home = mark(picture().picture, "left fender specified").points
    drawn = mark(picture().picture, "left fender damaged").points

    corner = drawn[1] - at_home[1]
    assert corner == pytest.approx([-10 * 5.196e-3, -10 * 3e-3], abs=1e-4)
    assert drawn[3] - at_home[3] != pytest.approx([0, 0], abs=1e-4)


def test_hit_and_pull_are_arrows_along_one_line_and_opposite():
    for view in (None, VIEWS["home"]):
        sheet = picture(view).picture
        ways = [
            np.subtract(mark(sheet, name).head, mark(sheet, name).tail)
            for name in ("hit", "undoing")
        ]

        assert ways[0] == pytest.approx(-ways[1])


def test_a_second_hit_has_its_arrow_where_there_is_one():
    assert not mark(picture().picture, "second").shown
    assert mark(picture(second_depth_mm=4).picture, "second").shown


def test_the_bars_show_every_gap_and_where_it_should_end():
    panel = picture().beside.panels[0].drawing
    bars = {m.name: m for m in panel.marks}

    line = bars["as it should be"].points[:, 0]
    right = bars["bar right front door, front edge"].points[:, 0].max()
    assert line == pytest.approx([right, right])
    left = bars["bar left front door, front edge"].points[:, 0].max()
    assert left / right == pytest.approx(1.103 / 5, abs=1e-3)
