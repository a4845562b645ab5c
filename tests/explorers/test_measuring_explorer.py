"""The explorer of measuring: its words, numbers and controls in each of its views."""

import re

import pytest

from widgets import EXPLORERS
from workbook.figures.drawing.marks import Label
from workbook.figures.subject import Look
from workbook.quantities.units import METRIC

TILTED = {"tilt_deg": 0.5, "tape_start_mm": 70}


@pytest.fixture
def explorer():
    return EXPLORERS["measuring"](TILTED)


def numbers(explorer):
    return dict(explorer.subject.numbers(explorer.result, explorer.system))


def test_one_point_is_told_from_its_three_planes(explorer):
    words = explorer.stage.frame["words"]

    assert "1536 mm ahead of the zero plane" in words
    assert "440 mm left of the centre-line plane" in words
    assert "433 mm above the datum plane" in words
    assert "13.4 mm too large" in words
    assert "reads 1579 mm: that is 1536 mm along the datum" in words
    assert numbers(explorer)["height off by the tilt"] == "13.4 mm"


def test_behind_the_zero_plane_all_is_the_other_way_about(explorer):
    explorer.set(point="right-tail")

    words = explorer.stage.frame["words"]
    assert "behind the zero plane, 520 mm right" in words
    assert re.search(r"height 17\.\d mm too small", words)


@pytest.mark.parametrize("tilt", [0.5, -0.5])
def test_the_tilt_is_told_with_its_way(explorer, tilt):
    explorer.set(tilt_deg=tilt)

    way = "up" if tilt > 0 else "down"
    assert f"stands 0.5° nose-{way} on the measuring" in explorer.stage.frame["words"]


def test_three_points_have_a_limit_and_three_differences_each(explorer):
    explorer.set(shown="three points", car="after the crash", tilt_deg=0)

    told = numbers(explorer)
    assert told["P: length, measured minus specified"] == "−26.1 mm"
    assert told["R: limit either way"] == "2.0 mm"
    assert {name[0] for name in told if ": " in name} == {"P", "Q", "R"}


def test_the_survey_names_the_base_point_that_disagrees(explorer):
    explorer.set(shown="whole survey", bent="left-sill-front", bent_mm=12)

    assert "One base point disagrees" in explorer.stage.frame["words"]
    beside = explorer.stage.frame["beside"]
    assert "left front, odd" in beside
    assert numbers(explorer)["off the fit: right front"] != "0.0 mm"

    explorer.set(left_out="left-sill-front")

    words = explorer.stage.frame["words"]
    assert "on 5 base points" in words
    assert "One point is outside its limits. No trusted base point stands out." in words
    assert "left front, out" in explorer.stage.frame["beside"]


def test_controls_are_those_of_what_is_shown(explorer):
    def there():
        return {
            name
            for name, control in explorer.controls.items()
            if control.widget.layout.display != "none"
        }

    assert "tape_start_mm" in there()
    assert "bent" not in there()
    explorer.set(shown="whole survey")
    assert {"bent", "bent_mm", "left_out"} <= there()
    assert not {"tape_start_mm", "second_point"} & there()


def test_every_point_of_the_survey_can_be_listed(explorer):
    explorer.set(shown="whole survey", car="after the crash", tilt_deg=0.5)
    look = Look(system=METRIC, extras=["survey"])
    (listed,) = explorer.subject.sheets(explorer.result, look).more

    labels = [
        mark.text
        for panel in listed.panels
        for mark in panel.drawing.seen
        if isinstance(mark, Label)
    ]
    survey = explorer.result.survey
    assert labels.count("outside") == survey.beyond.any(axis=-1).sum() == 6
    assert {"left tip", "left sill front (base)", "tank strap"} < {*labels}
    assert listed.text.startswith("23 points, measured minus specified, on 6 base")
    assert "The largest difference is at left tip: −26." in listed.text
