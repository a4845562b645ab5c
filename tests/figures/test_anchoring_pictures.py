"""An anchored body in space and flat: the same forces, labels clear, and grips."""

import numpy as np
import pytest
from label_checks import CORNERS, in_trouble

from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.marks import Arrow, Label
from workbook.figures.drawing.on_axes import figure_of
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.svg import render
from workbook.figures.drawing.views import VIEWS
from workbook.figures.drawing.windows import placed
from workbook.figures.pictures import subjects
from workbook.figures.pictures.anchoring import LONG, side_view
from workbook.quantities.units import METRIC
from workbook.scenes.anchored import CLAMPS
from workbook.scenes.fields import starts

ANCHORING = subjects()["anchoring"]
SETS = [
    {},
    {"side_mm": 400},
    {"side_mm": 300, "rise_deg": 30, "hook_height_mm": 300, "tie": "down"},
    {"side_mm": -600, "pull_kn": 80, "tie": "back", "tie_side_mm": -500},
    {"side_mm": 600, "hold": "both ways", "width_mm": 1200, "spacing_mm": 1200},
]
WAYS = {**VIEWS, **CORNERS}


def solved(values):
    return ANCHORING.solve({**starts(ANCHORING.fields), **values})


def drawn(values, way="home", **more):
    return ANCHORING.in_space(solved(values), system=METRIC, view=WAYS[way], **more)


def mark(drawing, name):
    marks = [m for m in drawing.marks if not isinstance(m, Label)]
    return next(m for m in marks if m.name == name)


def pixel(sheet, name, corner=0):
    panel = sheet.panels[0]
    x0, y0, kx, ky = placed(panel)
    x, y = np.reshape(mark(panel.drawing, name).places, (-1, 2))[corner]
    return np.array((x0 + kx * x, y0 - ky * y))


def texts(drawing):
    return {m.name: m.text for m in drawing.seen if isinstance(m, Label)}


@pytest.mark.parametrize("room", sorted(ROOMS))
@pytest.mark.parametrize("k", range(len(SETS)))
def test_labels_lie_on_nothing_from_wherever_it_is_seen(k, room):
    for way in WAYS:
        if k and way in CORNERS and room != "page":
            continue
        sheet, _ = settle(drawn(SETS[k], way, room=ROOMS[room]))

        assert in_trouble(sheet.panels[0], sheet.letters) == [], way


@pytest.mark.parametrize("tie", ["none", "back", "down"])
def test_one_call_draws_many_in_space_as_each_alone(tie):
    sides, rises = np.array([-600.0, 0.0, 350.0]), np.array([0.0, 40.0, -20.0])
    fields = {"side_mm": sides, "rise_deg": rises, "spacing_mm": np.full(3, 1500.0)}
    many = drawn({**fields, "tie": tie})

    for k in range(3):
        one = {name: float(values[k]) for name, values in fields.items()}
        alone = drawn({**one, "tie": tie})
        assert render(many.at(k)) == render(alone)


@pytest.mark.parametrize("way", sorted(VIEWS))
def test_both_renderers_show_the_same(way):
    sheet, _ = settle(drawn(SETS[2], way, ghosts=[("I", solved({}))]))
    sheet_svg, figure = render(sheet), figure_of(sheet, theme="dark")

    kinds = [type(m).__name__ for p in sheet.panels for m in p.drawing.seen]
    assert sheet_svg.count("<polyline ") == kinds.count("Line") > 10
    axes = figure.axes[0]
    first = [type(m).__name__ for m in sheet.panels[0].drawing.seen]
    assert len(axes.patches) == first.count("Polygon") + first.count("Arrow")


@pytest.mark.parametrize("way", sorted(VIEWS))
@pytest.mark.parametrize(
    ("grip", "point", "tie"),
    [
        ("hook", ("hook", 0), "none"),
        ("pull", ("pull", 1), "none"),
        ("tie", ("tie hook", 0), "back"),
        ("tie", ("tie hook", 0), "down"),
    ],
)
def test_a_grip_moves_as_its_field_does(grip, point, tie, way):
    start = {"side_mm": 150.0, "rise_deg": 12.0, "tie_side_mm": -80.0, "tie": tie}
    rest = solved(start)
    sheet = drawn(start, way)
    found = ANCHORING.grips(rest, WAYS[way], sheet)[grip]
    step = 0.1 if found.field == "rise_deg" else 1.0
    there = drawn({**start, found.field: start[found.field] + step}, way)

    assert found.at == pytest.approx(pixel(sheet, *point), abs=1e-6)
    moved = (pixel(there, *point) - pixel(sheet, *point)) / step
    assert moved == pytest.approx(found.way, rel=0.02, abs=0.01)
    if not found.at_the_reader:
        assert found.moved(7 * found.way) == pytest.approx(7)


def test_the_pull_is_drawn_as_it_rises_and_always_as_long():
    for rise, pull in ((0.0, 24.0), (30.0, 24.0), (-20.0, 60.0)):
        side = side_view(solved({"rise_deg": rise, "pull_kn": pull}), METRIC)
        along, up = mark(side, "pull").head - mark(side, "pull").tail

        assert np.degrees(np.arctan2(up, along)) == pytest.approx(rise)
        assert np.hypot(along, up) == pytest.approx(LONG)


def test_without_a_tie_there_is_no_grip_for_one():
    sheet = drawn({})

    assert set(ANCHORING.grips(solved({}), WAYS["home"], sheet)) == {"hook", "pull"}


@pytest.mark.parametrize("values", SETS[:3])
def test_the_drawn_forces_close(values):
    # From above a length on the sheet is one of the plan: pull, clamps and tie back
    # end where they start, to the scale they share. A tie down is seen from the side.
    result = solved(values)
    plan = ANCHORING.picture(result, system=METRIC).panels[0].drawing
    for drawing, names in (
        (plan, [f"force {name}" for name in CLAMPS]),
        (side_view(result, METRIC), ["force front", "force rear"]),
    ):
        tie = [m for m in drawing.marks if m.name == "force tie"]
        arrows = [mark(drawing, name) for name in ("pull", *names)] + tie
        assert all(isinstance(arrow, Arrow) for arrow in arrows)
        total = sum(arrow.head - arrow.tail for arrow in arrows)
        assert total == pytest.approx(np.zeros(2), abs=1e-9)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, {"LF 6.0 kN", "RF 6.0 kN", "LR 6.0 kN", "RR 6.0 kN"}),
        # 10 + 40 × 600 ÷ 3000 = 18, and 2; the slip limit is 15.
        (
            {"side_mm": 600, "pull_kn": 40},
            {"LF 18.0 kN, slides", "RF 2.0 kN", "LR 18.0 kN, slides", "RR 2.0 kN"},
        ),
        # 12.5 + 50 × 600 ÷ 3000 = 22.5; the rating is 20.
        (
            {"side_mm": 600, "pull_kn": 50},
            {"LF 22.5 kN, past rating", "LR 22.5 kN, past rating"},
        ),
    ],
)
def test_each_clamp_says_what_becomes_of_it(values, words):
    for sheet in (drawn(values), ANCHORING.picture(solved(values), system=METRIC)):
        assert words <= {*texts(sheet.panels[0].drawing).values()}


def test_a_rising_pull_lifts_the_front_pair_and_says_so():
    # 24 × sin 30° = 12 kN, 700 mm ahead of pairs 1800 mm apart: 12 × 2500 ÷ 1800.
    result = solved({"rise_deg": 30})

    said = texts(side_view(result, METRIC))
    assert said["label front"] == "front pair lifted 16.7 kN"
    assert said["label rear"] == "rear pair pressed 4.7 kN"
    assert "RF 8.1 kN, lifted" not in {*said.values()}
    plan = texts(ANCHORING.picture(result, system=METRIC).panels[0].drawing)
    assert {name for name, text in plan.items() if "lifted" in text} == {
        "label left front",
        "label right front",
    }


def test_what_is_past_its_rating_is_said_first_and_marked():
    sheet = drawn({"side_mm": 600, "pull_kn": 50})

    words = "Stop: 2 parts are past their ratings, the left front clamp furthest, 112%"
    assert sheet.text.startswith(words)
    assert [m.text for m in sheet.panels[1].drawing.seen] == [f"{words} of 20.0 kN."]
    marked = {m.name for m in sheet.panels[0].drawing.seen}
    assert {"warning left front", "warning left rear"} <= marked
    assert not {"warning right front", "warning right rear"} & marked


def test_a_tie_on_the_heavy_side_takes_a_share_and_one_that_is_slack_says_so():
    def tie(values):
        plan = ANCHORING.picture(solved(values), system=METRIC).panels[0].drawing
        return texts(plan)["label tie"]

    assert tie({"side_mm": 400, "tie": "back", "tie_side_mm": 400}) == "tie 5.8 kN"
    # A pull that falls presses the front down: nothing for a tie down to hold.
    assert tie({"rise_deg": -15, "tie": "down"}) == "tie slack"


def test_body_and_scale_stand_still_while_the_pull_moves():
    still = [drawn({"side_mm": side, "rise_deg": rise}) for side, rise in
             ((0.0, 0.0), (600.0, 40.0), (-600.0, -20.0))]  # fmt: skip

    for name in ("floor", "bench", "clamp left rear"):
        places = [pixel(sheet, name) for sheet in still]
        assert np.ptp(places, axis=0) == pytest.approx(0, abs=1e-9)
