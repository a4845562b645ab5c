"""A car that is measured, in space: planes, readings from them, and grips."""

import numpy as np
import pytest
from label_checks import CORNERS, in_trouble

from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.marks import Label
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.views import VIEWS
from workbook.figures.drawing.windows import placed
from workbook.figures.pictures import subjects
from workbook.figures.pictures.measuring_parts import TIMES
from workbook.quantities.units import METRIC
from workbook.scenes.fields import starts

MEASURING = subjects()["measuring"]
SETS = [
    {},
    {"tilt_deg": 0.5, "tape_start_mm": 0},
    {"tilt_deg": -1, "tape_start_mm": 1000, "point": "left-tail"},
    {"tilt_deg": 1, "point": "right-sill-rear"},
    {"shown": "three points", "car": "after the crash", "tilt_deg": 0.5},
    {"shown": "whole survey", "car": "after the crash", "bent": "left-sill-front"},
]
WAYS = {**VIEWS, **CORNERS}


def solved(values):
    return MEASURING.solve({**starts(MEASURING.fields), **values})


def drawn(values, way="home", **more):
    return MEASURING.in_space(solved(values), system=METRIC, view=WAYS[way], **more)


def mark(sheet, name):
    marks = sheet.panels[0].drawing.marks
    return next(m for m in marks if m.name == name and not isinstance(m, Label))


@pytest.mark.parametrize("room", sorted(ROOMS))
@pytest.mark.parametrize("k", range(len(SETS)))
def test_labels_lie_on_nothing_from_wherever_it_is_seen(k, room):
    for way in WAYS:
        if k and way in CORNERS and room != "page":
            continue
        sheet, _ = settle(drawn(SETS[k], way, room=ROOMS[room]))

        assert in_trouble(sheet.panels[0], sheet.letters) == [], way


def test_one_call_draws_many_as_each_alone():
    tilts = np.array([-0.7, 0.0, 0.4])
    many = drawn({"tilt_deg": tilts, "tape_start_mm": 100})

    for k, tilt in enumerate(tilts):
        alone = drawn({"tilt_deg": tilt, "tape_start_mm": 100})
        ours, theirs = (s.panels[0].drawing.seen for s in (many.at(k), alone))
        assert [m.name for m in ours] == [m.name for m in theirs]
        for one, other in zip(ours, theirs, strict=True):
            assert np.allclose(one.places, other.places)


def test_a_difference_is_drawn_ten_times_from_its_ring():
    sheet = drawn({"car": "after the crash"}, "above")
    ring, square = mark(sheet, "specified P").at, mark(sheet, "measured P").at

    moved = solved({"car": "after the crash"}).difference
    above = VIEWS["above"].at(TIMES * moved)
    assert square - ring == pytest.approx(above)
    assert np.linalg.norm(above) > 0.1


def test_each_reading_starts_in_its_plane():
    sheet, view = drawn({"tilt_deg": 0.5}), VIEWS["home"]
    place = solved({"tilt_deg": 0.5})
    square = place.specified[0] + TIMES * place.difference

    for axis, name in enumerate(("length", "width", "height")):
        foot = square * (np.arange(3) != axis)
        line = mark(sheet, f"reading of {name}").points
        assert line == pytest.approx(view.along(np.stack([foot, square])))


def test_a_fitted_survey_shows_no_tilt_and_a_level_car_none():
    def shown(values):
        return bool(mark(drawn(values), "car's datum").shown)

    assert shown({"tilt_deg": 0.5})
    assert shown({"tilt_deg": -0.5, "shown": "three points"})
    assert not shown({"tilt_deg": 0})
    assert not shown({"tilt_deg": 0.5, "shown": "whole survey"})


@pytest.mark.parametrize("way", sorted(VIEWS))
@pytest.mark.parametrize(
    ("grip", "point"), [("point", "measured P"), ("tape start", "tape start")]
)
@pytest.mark.parametrize("chosen", ["left-tip", "right-tail"])
def test_a_grip_moves_as_its_field_does(chosen, grip, point, way):
    start = {"tilt_deg": 0.2, "tape_start_mm": 300.0, "point": chosen}
    sheet = drawn(start, way)
    found = MEASURING.grips(solved(start), WAYS[way], sheet)[grip]
    step = 0.1 if found.field == "tilt_deg" else 10.0
    there = drawn({**start, found.field: start[found.field] + step}, way)

    x0, y0, kx, ky = placed(sheet.panels[0])
    before, after = (
        np.array((x0 + kx * x, y0 - ky * y))
        for x, y in (mark(sheet, point).at, mark(there, point).at)
    )
    assert found.at == pytest.approx(before, abs=1e-6)
    assert (after - before) / step == pytest.approx(found.way, rel=0.02, abs=0.5)


def test_a_survey_has_nothing_to_take_and_three_points_no_tape():
    survey = {"shown": "whole survey"}
    sheet = drawn(survey)
    assert MEASURING.grips(solved(survey), VIEWS["home"], sheet) == {}
    three = {"shown": "three points"}
    grips = MEASURING.grips(solved(three), VIEWS["home"], drawn(three))
    assert {*grips} == {"point"}
