"""The Kestrin 5 measured: readings by hand, the crash, and which base is trusted."""

from math import cos, hypot, radians, sin

import numpy as np
import pytest

from workbook.scenes.kestrin import kestrin_survey
from workbook.scenes.measuring import BASE, FIELDS, MeasuringGiven, specification
from workbook.scenes.surveys import solve_survey

TIP = (1.540, 0.440, 0.420)  # as specified
IDS = specification().points.ids


def measured(**values):
    return MeasuringGiven(values=values).solved()


def test_a_level_car_as_specified_is_read_where_it_should_be():
    level = measured()

    assert level.readings == pytest.approx(level.specified)
    assert level.reading == pytest.approx(TIP)
    assert level.total == pytest.approx(0)
    assert not level.beyond.any()


def test_half_a_degree_raises_a_point_ahead_and_draws_it_back():
    tip = measured(tilt_deg=0.5)

    sine, cosine = sin(radians(0.5)), cos(radians(0.5))
    x, y, z = TIP
    turned = [x * cosine - z * sine, y, z * cosine + x * sine]
    assert tip.reading == pytest.approx(turned)
    # 1,540 mm × 0.0087265, less what 420 mm lose to the cosine, 0.016 mm: as much as
    # the height is off, to the last digit, so that no two places of a page differ.
    assert tip.height_off == pytest.approx(13.4229e-3, abs=1e-7)
    assert tip.height_off == pytest.approx(tip.difference[2], abs=1e-12)
    assert tip.level_height == pytest.approx(0.420, abs=1e-12)
    assert tip.beyond[..., tip.row]


def test_a_point_behind_the_zero_plane_is_read_too_low():
    assert measured(tilt_deg=0.5, point="left-tail").height_off < -0.016


def test_a_tape_from_below_is_too_long():
    # From 350 mm below the point: the root of 1540² + 350² is 1579.3.
    tape = measured(tape_start_mm=70)

    assert tape.tape == pytest.approx(1.5793, abs=5e-5)
    assert tape.rise == pytest.approx(0.350)
    assert tape.along == pytest.approx(1.540)
    assert measured(tape_start_mm=420).tape == pytest.approx(1.540)
    behind = measured(point="right-tail", tape_start_mm=0)
    assert behind.tape == pytest.approx(hypot(1.985, 0.398))
    assert behind.along == pytest.approx(1.985)


def test_after_the_crash_the_differences_are_those_of_the_survey():
    survey = solve_survey(kestrin_survey(), specification=specification())

    crashed = measured(car="after the crash")

    assert crashed.differences == pytest.approx(survey.differences, abs=1e-12)
    assert (crashed.difference * 1e3).round().tolist() == [-26, -19, -8]


def test_a_tilt_hides_a_low_point_and_the_fit_finds_it_again():
    tilted = {"car": "after the crash", "tilt_deg": 0.5}

    assert measured(**tilted).difference[2] > 0.005
    fitted = measured(**tilted, shown="whole survey")
    assert fitted.difference[2] < -0.007
    assert np.degrees(fitted.survey.tilt.nose_up) == pytest.approx(0.5, abs=0.02)


def test_one_bent_base_point_that_is_trusted_moves_every_other_one():
    bent = {"shown": "whole survey", "bent": "left-sill-front", "bent_mm": 12}

    trusted, left_out = measured(**bent), measured(**bent, left_out="left-sill-front")

    # Nothing but the bent point is out of its place, yet most of the car is blamed.
    assert trusted.outside > 10
    assert left_out.outside == 1
    assert np.array(BASE)[trusted.odd].tolist() == ["left-sill-front"]
    assert not left_out.odd.any()
    assert left_out.off_base == pytest.approx([0.012, 0, 0, 0, 0, 0], abs=1e-12)


@pytest.mark.parametrize("shown", FIELDS["shown"].options)
def test_what_is_shown_is_named_once_each_the_chosen_one_first(shown):
    points = measured(shown=shown, point="right-tip")

    many = {"one point": 1, "three points": 2, "whole survey": len(IDS)}[shown]
    assert points.shown[0] == "right-tip"
    assert len({*points.shown}) == len(points.shown) == many  # two were one


def test_many_set_ups_are_those_of_each():
    tilts, bends = np.array([-0.5, 0.0, 0.8]), np.array([[-20.0], [0.0], [9.0]])
    how = {"car": "after the crash", "bent": "right-sill-mid", "shown": "whole survey"}

    many = measured(**how, tilt_deg=tilts, bent_mm=bends)

    for i, j in np.ndindex(3, 3):
        alone = measured(**how, tilt_deg=float(tilts[j]), bent_mm=float(bends[i, 0]))
        assert many.differences[i, j] == pytest.approx(alone.differences, abs=1e-12)
        assert many.odd[i, j].tolist() == alone.odd.tolist()
        assert many.outside[i, j] == alone.outside
        assert many.survey.tilt.nose_up[i, j] == pytest.approx(
            float(alone.survey.tilt.nose_up), abs=1e-12
        )


def test_every_point_of_the_car_can_be_chosen():
    assert FIELDS["point"].options == IDS
    assert {*FIELDS["second_point"].options, *FIELDS["third_point"].options} < {*IDS}
    assert FIELDS["bent"].options == FIELDS["left_out"].options == ("none", *BASE)
