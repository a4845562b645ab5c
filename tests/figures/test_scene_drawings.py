"""Pictures of survey, damage, held body and rail: their numbers are the engine's."""

import re
from collections import Counter
from functools import cache
from xml.etree import ElementTree

import numpy as np
import pytest
from label_checks import in_trouble

from workbook.errors import OutOfRangeError
from workbook.figures.drawing.graph import ticks
from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.marks import Arrow, Label, Line, Marker
from workbook.figures.drawing.on_axes import figure_of
from workbook.figures.drawing.svg import render
from workbook.figures.pictures.held_body import bench_sheet
from workbook.figures.pictures.points import survey_sheet
from workbook.figures.pictures.rail import curve_sheet, pull_curve, rails_sheet
from workbook.figures.pictures.ranking import ranking_sheet
from workbook.figures.pictures.wire_frame import damage_sheet
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import RailStage, pull_hold_release
from workbook.quantities.units import INCH, METRIC, SYSTEMS
from workbook.scenes.bench import solve_bench
from workbook.scenes.kestrin import (
    crashed_kestrin,
    kestrin_hold,
    kestrin_plan,
    kestrin_survey,
    specified_rails,
)
from workbook.scenes.kestrin_rail import kestrin_front_end
from workbook.scenes.plan_files import plan_from_toml
from workbook.scenes.setups import Setup
from workbook.scenes.surveys import read_specification, size_of, solve_survey

SVG = "{http://www.w3.org/2000/svg}"
PULLS = (
    {"clamp_forward_mm": 1540, "clamp_left_mm": 440, "chain_angle_deg": 36},
    {"clamp_forward_mm": 1540, "clamp_left_mm": -440, "chain_angle_deg": -60},
)


@cache
def surveyed():
    return solve_survey(kestrin_survey(), specification=read_specification("kestrin"))


@cache
def benched():
    setups = [Setup(title=f"P{k}", values=v) for k, v in enumerate(PULLS)]
    return solve_bench(setups, hold=kestrin_hold())


@cache
def pulled():
    stages = pull_hold_release("rough", force=40e3)
    return follow(kestrin_front_end(), stages, start=crashed_kestrin())


def survey_picture(system):
    return survey_sheet(surveyed(), system=system)


def damage_picture(system):
    survey, frame = surveyed(), read_specification("kestrin").frame
    reading = survey.damage(frame=frame)
    return damage_sheet(survey, reading, frame=frame, system=system)


def bench_picture(system):
    return bench_sheet(benched(), system=system)


def curve_picture(system):
    return curve_sheet(pulled(), pull="rough", system=system)


def rails_picture(system):
    return rails_sheet(pulled(), specified=specified_rails(), system=system)


@cache
def planned():
    quick = kestrin_plan().replace("long fork", "short fork")
    return plan_from_toml(quick).plan


def ranking_picture(system):
    return ranking_sheet(planned(), system=system)


PICTURES = [
    survey_picture,
    damage_picture,
    bench_picture,
    curve_picture,
    rails_picture,
    ranking_picture,
]


@pytest.fixture(params=PICTURES, ids=lambda draw: draw.__name__)
def draw(request):
    return request.param


def marks(sheet, kind=object):
    return [
        mark
        for panel in sheet.panels
        for mark in panel.drawing.seen
        if isinstance(mark, kind)
    ]


def words(sheet):
    return [mark.text for mark in marks(sheet, Label)]


def test_both_renderers_show_the_same_marks_and_words(draw):
    sheet = draw(METRIC)
    root = ElementTree.fromstring(render(sheet))
    (axes,) = figure_of(sheet, theme="dark").axes

    written = Counter(text.text or "" for text in root.iter(f"{SVG}text"))

    captions = [panel.drawing.caption for panel in sheet.panels]
    assert written == Counter([*words(sheet), *captions])
    assert Counter(text.get_text() for text in axes.texts) == written
    lines = len(marks(sheet, Line))
    assert len(list(root.iter(f"{SVG}polyline"))) == lines
    arrows = len(marks(sheet, Arrow))
    assert len(axes.lines) == lines + arrows + len(marks(sheet, Marker))


@cache
def placed(draw, units):
    """Return each text of a picture with the box it takes, in pixels."""
    (axes,) = figure_of(draw(SYSTEMS[units])).axes
    renderer = axes.figure._get_renderer()
    return [
        (text.get_text(), text.get_window_extent(renderer))
        for text in axes.texts
        if text.get_text()
    ]


@pytest.mark.parametrize("units", SYSTEMS)
def test_no_text_is_cut_off_or_not_a_number(draw, units):
    sheet = draw(SYSTEMS[units])

    assert not any("nan" in text or "inf" in text for text in words(sheet))
    for text, box in placed(draw, units):
        assert -1 < box.x0 < box.x1 < sheet.width + 1, text
        assert -1 < box.y0 < box.y1 < sheet.height + 1, text


@pytest.mark.parametrize("units", SYSTEMS)
def test_no_two_texts_lie_on_each_other(draw, units):
    texts = placed(draw, units)

    for k, (one, box) in enumerate(texts):
        for other, place in texts[k + 1 :]:
            touching = box.shrunk(0.95, 0.6).overlaps(place.shrunk(0.95, 0.6))
            assert not touching, (one, other)


def test_units_are_those_of_the_reader(draw):
    metric, inch = (
        # Parts keep the names that are stamped on them.
        " ".join(w for w in words(draw(s)) if "slot " not in w and "links" not in w)
        for s in (METRIC, INCH)
    )

    assert re.search(r"\d (mm|kN)\b", metric)
    assert re.search(r"\d (in|lbf)\b", inch)
    assert not re.search(r"\d (mm|kN)\b", inch)


def test_the_words_below_a_picture_hold_its_numbers(draw):
    sheet = draw(METRIC)

    assert re.search(r"\d", sheet.text)
    assert "nan" not in sheet.text
    assert sheet.text.endswith(".")


def test_every_point_has_its_ring_its_square_and_its_signed_numbers():
    survey = surveyed()
    sheet = survey_picture(METRIC)

    shapes = Counter(m.shape for m in marks(sheet, Marker) if m.role != "inside")
    numbers = Counter(words(sheet))
    count = 3 * len(survey.points.ids) + 1  # and one in the key
    assert shapes["ring"] == shapes["square"] == count
    for value in survey.differences.ravel() * 1e3:
        shown = f"{value:+.1f}".replace("-", "−")
        shown = "0.0" if float(f"{value:.1f}") == 0 else shown
        assert numbers[f"{shown} mm"] > 0, value
    assert words(sheet).count("outside") == survey.beyond.any(axis=1).sum()


def test_squares_stand_as_far_from_rings_as_the_difference_says():
    survey = surveyed()
    column = survey_picture(METRIC).panels[2].drawing  # key, names, length

    squares = [m.at[0] for m in column.moving if getattr(m, "shape", "") == "square"]

    assert squares == pytest.approx(survey.differences[:, 0])


def test_kinds_of_damage_stand_with_size_and_error():
    survey, frame = surveyed(), read_specification("kestrin").frame
    reading = survey.damage(frame=frame)
    sheet = damage_picture(METRIC)

    size, error = size_of(reading, "mash")
    assert f"{size * 1e3:+.1f} mm ± {error * 1e3:.1f} mm" in words(sheet)
    assert f"mash {size * 1e3:+.1f} mm" in sheet.text
    assert "twist" not in sheet.text


def test_the_wire_frame_is_bent_as_many_times_as_it_says():
    frame = read_specification("kestrin").frame
    reading = surveyed().damage(frame=frame)
    drawing = damage_picture(METRIC).panels[1].drawing  # from above
    times = float(
        re.search(
            r"drawn ([\d.]+) times", damage_picture(METRIC).panels[0].drawing.caption
        )[1]
    )

    straight = np.array(drawing.still[0].points)[-1]  # left rail, at the front
    bent = np.array(drawing.moving[0].points)[-1]

    sizes = reading.sizes
    moved = [-sizes.mash - sizes.diamond / 2, sizes.sidesway]
    assert bent - straight == pytest.approx(times * np.array(moved))


def test_supports_and_pulls_carry_the_engines_numbers():
    bench = benched()
    sheet = bench_picture(METRIC)
    written = " ; ".join(words(sheet))

    for name, force in zip(bench.hold.all_names, bench.supports, strict=True):
        assert f"{name} {np.linalg.norm(force) / 1e3:.1f} kN" in written
    for name, force in zip(bench.names, bench.forces, strict=True):
        assert f"{name} {np.linalg.norm(force) / 1e3:.1f} kN" in written
    together = np.linalg.norm(bench.wrench[:3]) / 1e3
    assert written.count(f"together {together:.1f} kN") == 2
    for share in bench.held.shares[:4]:
        assert f"{100 * share:.0f}% of its rating" in written


@pytest.mark.parametrize("second", [{}, {"chain_angle_deg": 30}, PULLS[1]])
def test_labels_of_a_held_body_lie_on_nothing(second):
    # Two pulls from one point, or from both sides of the car.
    setups = [Setup(title="first"), Setup(title="second", values=second)]
    bench = solve_bench(setups, hold=kestrin_hold())

    sheet, _ = settle(bench_sheet(bench, system=METRIC))

    for panel in sheet.panels[:2]:
        assert len(texts_of(panel)) > 5
        assert in_trouble(panel) == []


def texts_of(panel):
    return [mark.text for mark in panel.drawing.seen if isinstance(mark, Label)]


def test_arrows_of_a_view_close_with_the_resultant():
    bench = benched()
    top = bench_picture(METRIC).panels[0].drawing

    arrows = [m for m in top.moving if isinstance(m, Arrow)]
    drawn = {
        role: np.sum(
            [np.subtract(m.head, m.tail) for m in arrows if m.role == role], axis=0
        )
        for role in ("force pull", "force support", "force resultant")
    }

    assert drawn["force pull"] == pytest.approx(drawn["force resultant"])
    assert drawn["force support"] == pytest.approx(-drawn["force pull"])
    ratio = drawn["force pull"] / bench.wrench[:2]
    assert ratio[0] == pytest.approx(ratio[1])


def test_the_line_of_action_passes_every_point_of_no_moment():
    bench = benched()
    top = bench_picture(METRIC).panels[0].drawing
    (line,) = (m for m in top.moving if m.role == "line of action")

    along = np.subtract(line.points[1], line.points[0])
    away = np.subtract(line.points[0], bench.axis.point[:2])

    wanted = bench.axis.direction[:2]
    for arm in (along, away):
        assert arm[0] * wanted[1] - arm[1] * wanted[0] == pytest.approx(0, abs=1e-9)


def test_loading_release_and_springback_are_the_histories():
    history = pulled()
    curve = pull_curve(history, "rough")
    sheet = curve_picture(METRIC)

    under_load = history.travel[history.stage <= 1][-1] - history.travel[0]
    column = history.pulls.index("rough")
    assert curve.under_load == pytest.approx(under_load[column])
    assert f"hold: 40.0 kN, {curve.under_load * 1e3:.1f} mm" in words(sheet)
    assert f"springback {curve.springback * 1e3:.1f} mm" in words(sheet)
    assert f"stays {curve.stays * 1e3:.1f} mm" in words(sheet)
    assert curve.springback == pytest.approx(curve.under_load - curve.stays)
    assert "invented steel" in sheet.panels[0].drawing.caption


def test_a_pull_still_on_shows_no_springback():
    on = follow(
        kestrin_front_end(),
        [RailStage(name="pull", forces={"rough": 20e3})],
        start=crashed_kestrin(),
    )

    sheet = curve_sheet(on, pull="rough", system=METRIC)

    assert not any("springback" in text for text in words(sheet))
    assert "still on" in sheet.text


@pytest.mark.parametrize("pull", ["second", "none such"])
def test_a_pull_that_never_pulled_has_no_curve(pull):
    with pytest.raises(OutOfRangeError, match=pull):
        pull_curve(pulled(), pull)


def test_the_rails_lie_as_many_times_off_as_they_say():
    history = pulled()
    sheet = rails_picture(METRIC)
    times = float(
        re.search(r"drawn ([\d.]+) times", sheet.panels[0].drawing.caption)[1]
    )
    specified = specified_rails()

    left_top = sheet.panels[1].drawing
    after = next(m for m in left_top.moving if m.role == "after")

    moved = history.nodes[-1, 0, -1, :2] - specified[0, -1, :2]
    expected = specified[0, -1, :2] + times * moved
    assert after.points[-1] == pytest.approx(expected)
    number = ", ".join(f"{d * 1e3:+.1f} mm".replace("-", "−") for d in moved)
    assert number in words(sheet)


def test_ranked_set_ups_have_bars_as_long_as_their_numbers():
    plan = planned()
    names, *columns = (panel.drawing for panel in ranking_picture(METRIC).panels)

    for drawing, values in zip(
        columns, (plan.direction_error, plan.worst_share, plan.stroke_left), strict=True
    ):
        bars = [m for m in drawing.moving if m.role == "bar part"]
        long = np.array([bar.points[1][0] for bar in bars])
        assert long / long[0] == pytest.approx(values / values[0])
    assert names.moving[0].text.startswith("1. ")
    shares = [label.text for label in columns[1].moving if label.role == "text"]
    assert shares == [f"{100 * share:.0f}%" for share in plan.worst_share]
    assert columns[1].still[0].points[0][0] == pytest.approx(0.8 / 1.0)


def test_ticks_are_round_and_inside():
    found = np.array(ticks(-0.004, 0.0263, unit=1e-3))

    assert np.round(found * 1e3, 9).tolist() == [0, 10, 20]
