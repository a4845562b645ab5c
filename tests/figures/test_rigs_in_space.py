"""Bridle and roller in space: one car, one bench, the same numbers, and grips."""

import numpy as np
import pytest
from label_checks import CORNERS, in_trouble

from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.marks import Label
from workbook.figures.drawing.on_axes import figure_of
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.svg import render
from workbook.figures.drawing.views import VIEWS
from workbook.figures.drawing.windows import placed
from workbook.figures.pictures import subjects
from workbook.quantities.units import METRIC
from workbook.scenes.fields import starts

BRIDLE, ROLLER = subjects()["bridle"], subjects()["roller"]
SETS = {
    "bridle": [
        {},
        {"between_deg": 120, "school_limit_deg": 90, "shift_mm": 100},
        {"between_deg": 10, "spacing_mm": 300},
        {"between_deg": 90, "spacing_mm": 2000, "shift_mm": -900},
    ],
    "roller": [{}, {"between_deg": 0}, {"between_deg": 30}, {"between_deg": 180}],
}
CASES = [(name, k) for name, found in SETS.items() for k in range(len(found))]
WAYS = {**VIEWS, **CORNERS}


def solved(name, values):
    subject = subjects()[name]
    return subject.solve({**starts(subject.fields), **values})


def drawn(name, values, way="home", **more):
    result = solved(name, values)
    return subjects()[name].in_space(result, system=METRIC, view=WAYS[way], **more)


def mark(sheet, name):
    marks = sheet.panels[0].drawing.marks
    return next(m for m in marks if m.name == name and not isinstance(m, Label))


def pixel(sheet, name, corner=0):
    x0, y0, kx, ky = placed(sheet.panels[0])
    x, y = np.reshape(mark(sheet, name).places, (-1, 2))[corner]
    return np.array((x0 + kx * x, y0 - ky * y))


@pytest.mark.parametrize("room", sorted(ROOMS))
@pytest.mark.parametrize(("name", "k"), CASES)
def test_labels_lie_on_nothing_from_wherever_it_is_seen(name, k, room):
    for way in WAYS:
        if k and way in CORNERS and room != "page":
            continue
        sheet, _ = settle(drawn(name, SETS[name][k], way, room=ROOMS[room]))

        assert in_trouble(sheet.panels[0], sheet.letters) == [], way


@pytest.mark.parametrize("name", sorted(SETS))
def test_one_call_draws_many_as_each_alone(name):
    field = "between_deg"
    angles = np.array([20.0, 75.0, 130.0])
    many = drawn(name, {field: angles})

    for k, angle in enumerate(angles):
        alone, taken = drawn(name, {field: float(angle)}), many.at(k)
        ours, theirs = (s.panels[0].drawing.seen for s in (taken, alone))
        assert [m.name for m in ours] == [m.name for m in theirs]
        if name == "roller":  # its scale is one for all
            assert render(taken) == render(alone)


@pytest.mark.parametrize("way", sorted(VIEWS))
@pytest.mark.parametrize("name", sorted(SETS))
def test_both_renderers_show_the_same(name, way):
    sheet, _ = settle(drawn(name, {}, way, ghosts=[("I", solved(name, {}))]))
    svg, (axes,) = render(sheet), figure_of(sheet, theme="dark").axes

    kinds = [type(m).__name__ for m in sheet.panels[0].drawing.seen]
    assert svg.count("<polyline ") == kinds.count("Line") > 10
    lines = sum(kinds.count(kind) for kind in ("Line", "Strokes", "Marker", "Arrow"))
    assert len(axes.lines) == lines
    assert len(axes.patches) == kinds.count("Polygon") + kinds.count("Arrow")


@pytest.mark.parametrize(
    ("name", "before", "behind"),
    [("bridle", "left leg", "nose"), ("roller", "first run", "nose")],
)
def test_the_rig_is_before_the_car_and_on_its_shadow(name, before, behind):
    names = [m.name for m in drawn(name, {}).panels[0].drawing.seen]

    assert names.index(before) > names.index(behind)
    assert names.index(f"shadow of {before}") < names.index(behind)
    rear = [m.name for m in drawn(name, {}, "corner 1").panels[0].drawing.seen]
    assert rear.index(before) < rear.index("bonnet")


def test_the_legs_in_space_are_those_of_the_plan():
    flat = BRIDLE.picture(solved("bridle", {}), system=METRIC)
    space = drawn("bridle", {}, "above")

    scale = placed(space.panels[0])[2] / placed(flat.panels[0])[2]
    for name in ("left leg", "right leg"):
        ours, theirs = (pixel(s, name, 1) - pixel(s, name, 0) for s in (space, flat))
        assert ours == pytest.approx(theirs * scale, abs=1e-6)


def test_the_runs_in_space_are_those_of_the_plan_turned_half_round():
    flat = ROLLER.picture(solved("roller", {"between_deg": 70}), system=METRIC)
    space = drawn("roller", {"between_deg": 70}, "above")

    ours, theirs = (pixel(s, "second run", 1) - pixel(s, "second run", 0)
                    for s in (space, flat))  # fmt: skip
    size = np.hypot(*ours) / np.hypot(*theirs)
    assert ours == pytest.approx(-theirs * size, abs=1e-6)


def test_the_chain_leaves_the_roller_where_it_touches_it():
    sheet = drawn("roller", {"between_deg": 70}, "above")

    bow = mark(sheet, "chain on the roller").points
    assert bow[0] == pytest.approx(mark(sheet, "first run").points[1])
    assert bow[-1] == pytest.approx(mark(sheet, "second run").points[0])


@pytest.mark.parametrize("way", sorted(VIEWS))
@pytest.mark.parametrize(
    ("name", "grip", "point"),
    [
        ("bridle", "ring", ("ring", 0)),
        ("bridle", "pull", ("pull", 1)),
        ("bridle", "left clamp", ("left clamp", 0)),
        ("roller", "second run", ("second run", 1)),
    ],
)
def test_a_grip_moves_as_its_field_does(name, grip, point, way):
    subject, start = subjects()[name], {"between_deg": 70.0}
    rest = solved(name, start)
    sheet = drawn(name, start, way, rest=rest)
    found = subject.grips(rest, WAYS[way], sheet)[grip]
    step = 0.1 if found.field == "between_deg" else 1.0
    values = {**starts(subject.fields), **start}
    there = drawn(
        name, {**start, found.field: values[found.field] + step}, way, rest=rest
    )

    assert found.at == pytest.approx(pixel(sheet, *point), abs=1e-6)
    moved = (pixel(there, *point) - pixel(sheet, *point)) / step
    assert moved == pytest.approx(found.way, rel=0.02, abs=0.01)
    if not found.at_the_reader:
        assert found.moved(7 * found.way) == pytest.approx(7)
