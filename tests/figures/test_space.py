"""The pull in space: a projection, what hides what, and what a hand can take."""

from functools import cache

import numpy as np
import pytest

from workbook.errors import WorkbookError
from workbook.figures.drawing.labels import settle
from workbook.figures.drawing.marks import Label
from workbook.figures.drawing.on_axes import figure_of
from workbook.figures.drawing.svg import render
from workbook.figures.drawing.views import RISE, TURN, VIEWS, Viewpoint
from workbook.figures.drawing.windows import fitted, placed
from workbook.figures.pictures import subjects
from workbook.figures.pictures.pull_grips import grips
from workbook.figures.pictures.pull_parts import FAILING
from workbook.figures.subject import Look
from workbook.mechanics.pull.linkage import Refusal
from workbook.quantities.units import METRIC
from workbook.scenes.fields import Choice, starts

PULL = subjects()["pull"]
START = starts(PULL.fields)
BEHIND = Viewpoint(azimuth=-TURN, elevation=np.radians(35))
CHOICES = [{}, {"chain_at_head": "over a fixed roller"}, {"held": "useful pull"}]


def view(azimuth, elevation):
    return Viewpoint(azimuth=np.radians(azimuth), elevation=np.radians(elevation))


def rows():
    fields = {n: f for n, f in PULL.fields.items() if not isinstance(f, Choice)}
    rng = np.random.default_rng(3)
    found = [START]
    for _ in range(40):
        few = rng.choice([*fields], size=3, replace=False)
        drawn = {n: rng.uniform(fields[n].low, fields[n].high) for n in few}
        found.append({**START, **{n: fields[n].checked(v) for n, v in drawn.items()}})
    return found


def many(**choice):
    fields = [n for n, f in PULL.fields.items() if not isinstance(f, Choice)]
    arrays = {n: np.array([row[n] for row in rows()]) for n in fields}
    return PULL.solve({**arrays, **choice})


@cache
def start():
    return PULL.solve(START)


def drawn(solved, way, **more):
    return PULL.in_space(solved, system=METRIC, view=way, **more)


def seen(sheet):
    return [mark.name for mark in sheet.panels[0].drawing.seen]


def mark_of(sheet, name):
    marks = sheet.panels[0].drawing.marks
    return next(m for m in marks if m.name == name and not isinstance(m, Label))


def same(one, other):
    return np.allclose(one, other, rtol=1e-9, atol=1e-9, equal_nan=True)


@pytest.mark.parametrize(
    ("name", "point", "flat"),
    [
        ("above", (1, 2, 3), (1, 2)),  # the plan: forward is right, left is up
        ("side", (1, 0, 0), (1, 0)),  # forward is right
        ("side", (0, 0, 1), (0, np.cos(np.radians(5)))),
        ("front", (0, 1, 0), (np.cos(np.radians(5)), 0.0181207)),  # its left is right
    ],
)
def test_named_views_show_what_they_say(name, point, flat):
    assert VIEWS[name].at(np.array(point, float)) == pytest.approx(flat, abs=1e-6)


def test_a_view_is_a_projection_and_up_stays_up():
    for way in (*VIEWS.values(), view(13, 40), BEHIND):
        shown = way.along(np.eye(3))
        full = np.hstack([shown, way.toward[:, None]])
        assert full.T @ full == pytest.approx(np.eye(3), abs=1e-12)
        assert np.linalg.det(full) == pytest.approx(1)  # and no mirror
        assert shown[2, 0] == pytest.approx(0, abs=1e-12)
        assert shown[2, 1] >= -1e-12


def test_a_hand_turns_no_further_than_it_may():
    turned = view(200, 89).clipped()

    assert (turned.azimuth, turned.elevation) == (TURN, RISE[1])
    assert view(-10, 1).clipped().elevation == RISE[0]
    free = view(-10, 30).clipped()
    assert free.azimuth == pytest.approx(np.radians(-10))


@pytest.mark.parametrize("choice", CHOICES)
def test_one_call_draws_every_set_up_in_space_as_alone(choice):
    solved, way = many(**choice), view(20, 30)
    whole, lists, compared = drawn(solved, way), set(), 0

    for row in np.flatnonzero(solved.stands):
        alone = drawn(PULL.solve({**rows()[row], **choice}), way)
        taken = whole.at(int(row))
        ours, theirs = taken.panels[0].drawing, alone.panels[0].drawing
        assert same(ours.window, theirs.window)
        assert [m.name for m in ours.seen] == [m.name for m in theirs.seen]
        for mark, other in zip(ours.marks, theirs.marks, strict=True):
            if mark.visible:
                assert same(mark.places, other.places), (row, mark.name)
        lists.add(tuple((type(m), m.name, m.role) for m in theirs.marks))
        compared += 1
    assert compared > 20
    assert len(lists) == 1


def test_one_call_draws_every_view_as_alone():
    azimuth, elevation = (
        np.linspace(-TURN, TURN, 9),
        np.radians([[5.0], [40.0], [90.0]]),
    )
    whole = drawn(start(), Viewpoint(azimuth=azimuth, elevation=elevation))

    assert whole.shape == (3, 9)
    names = [(m.name, m.role) for m in whole.panels[0].drawing.marks]
    assert len({(type(m), m.name) for m in whole.panels[0].drawing.marks}) == len(names)
    for k in range(3):
        for j in range(9):
            way = Viewpoint(azimuth=azimuth[j], elevation=elevation[k, 0])
            taken, alone = whole.at((k, j)), drawn(start(), way)
            assert seen(taken) == seen(alone)
            for mark, other in zip(
                taken.panels[0].drawing.seen, alone.panels[0].drawing.seen, strict=True
            ):
                assert same(mark.places, other.places), mark.name
                assert mark.weight == pytest.approx(float(other.weight))


@pytest.mark.parametrize("name", sorted(VIEWS))
def test_both_renderers_show_the_same_in_space(name):
    sheet, _ = settle(drawn(start(), VIEWS[name], ghosts=[("I", start())]))
    svg, (axes,) = render(sheet), figure_of(sheet, theme="dark").axes

    count = {kind: svg.count(f"<{kind} ") for kind in ("polyline", "path", "text")}
    marks = [m for panel in sheet.panels for m in panel.drawing.seen]
    kinds = [type(m).__name__ for m in marks]
    assert count["polyline"] == kinds.count("Line") > 20
    assert count["path"] == kinds.count("Strokes") == 2
    assert count["text"] - kinds.count("Label") == len(sheet.panels)  # and captions
    lines = sum(kinds.count(kind) for kind in ("Line", "Strokes", "Marker", "Arrow"))
    assert len(axes.lines) == lines
    assert len(axes.patches) == kinds.count("Polygon") + kinds.count("Arrow")


def test_the_rig_is_before_the_car_from_ahead_and_behind_it_from_the_rear():
    ahead, rear = seen(drawn(start(), VIEWS["home"])), seen(drawn(start(), BEHIND))

    for part in ("pull leg", "ram", "anchor leg", "clamp"):
        assert ahead.index(part) > ahead.index("bonnet")
        assert ahead.index(part) > ahead.index("rail end")
        assert rear.index(part) < rear.index("bonnet")
    assert ahead.index("rail top") > ahead.index("nose")
    assert "nose" not in rear
    for names in (ahead, rear):
        assert names.index("bench") == 0
        assert names.index("shadow of ram") < names.index("left front stand")


def test_the_nearer_leg_is_drawn_over_the_other():
    front, side = (seen(drawn(start(), VIEWS[name])) for name in ("front", "side"))
    turned = seen(drawn(start(), view(-80, 20)))

    assert front.index("anchor leg") > front.index("ram") > front.index("pull leg")
    assert turned.index("anchor leg") < turned.index("ram") < turned.index("pull leg")
    assert side.index("plane of the rig") < side.index("ram")


@pytest.mark.parametrize(
    ("way", "there", "hidden"),
    [
        (VIEWS["home"], "right side", "left side"),
        (view(70, 20), "left side", "right side"),
        (VIEWS["home"], "nose", None),
        (BEHIND, "right side", "nose"),
    ],
)
def test_faces_that_look_away_are_hidden(way, there, hidden):
    names = seen(drawn(start(), way))

    assert there in names
    assert hidden not in names


def test_shadows_are_the_plan():
    sheet = drawn(start(), VIEWS["home"])
    head = start().pull.head * (1, 1, 0)

    shadow, drop = mark_of(sheet, "shadow of ram"), mark_of(sheet, "drop from head")

    assert same(shadow.points[1], VIEWS["home"].at(head))
    assert same(drop.points[1], shadow.points[1])
    plan = mark_of(drawn(start(), VIEWS["above"]), "drop from head").points
    assert same(plan[0], plan[1])  # seen from above, a thing is over its shadow


def pixel(sheet, name, corner=0):
    panel, mark = sheet.panels[0], mark_of(sheet, name)
    x0, y0, kx, ky = placed(panel)
    x, y = np.reshape(mark.places, (-1, 2))[corner]
    return np.array((x0 + kx * x, y0 - ky * y))


@pytest.mark.parametrize(
    ("field", "far"),
    [
        ("extension_mm", 500),
        ("fork_offset_mm", 150),
        ("clamp_distance_mm", 1600),
        ("clamp_forward_mm", 1400),
    ],
)
def test_car_clamp_and_scale_stand_still_while_a_control_moves(field, far):
    solved = PULL.solve({**START, field: np.linspace(START[field], far, 4)})
    steady = drawn(solved, VIEWS["home"], rest=start())
    alone = [steady.at(k) for k in range(4)]

    assert solved.stands.all()
    for name in ("clamp", "bonnet", "bench", "rail end"):
        places = [pixel(sheet, name) for sheet in alone]
        assert same(places, np.broadcast_to(places[0], (4, 2))), name
    assert len({round(placed(sheet.panels[0])[2], 9) for sheet in alone}) == 1
    anchors = [pixel(sheet, "anchor") for sheet in alone]
    assert same(anchors[0], anchors[3]) == (
        field in {"extension_mm", "clamp_forward_mm"}
    )


def test_a_clamp_that_is_raised_leaves_its_car_where_it_was():
    raised = PULL.solve({**START, "clamp_height_mm": START["clamp_height_mm"] + 200})
    before = drawn(start(), VIEWS["home"], rest=start())
    after = drawn(raised, VIEWS["home"], rest=start())

    assert same(pixel(before, "bonnet"), pixel(after, "bonnet"))
    up = pixel(before, "clamp") - pixel(after, "clamp")
    k = placed(after.panels[0])[2]
    assert up == pytest.approx((0, 0.2 * k * np.cos(np.radians(25))))
    assert "upright to clamp" in seen(after)
    assert "upright to clamp" not in seen(before)


@pytest.mark.parametrize("way", [*VIEWS.values(), view(40, 40)], ids=repr)
def test_a_grip_moves_as_its_field_does(way):
    values = {**START, "fork_offset_mm": 50, "chain_angle_deg": 20}
    solved = PULL.solve(values)
    sheet = drawn(solved, way, rest=solved)
    found = grips(solved, way, sheet.panels[0])

    assert len(found) == 5
    for name, grip in found.items():
        step = 0.1 if grip.field == "chain_angle_deg" else 1.0
        further = PULL.solve({**values, grip.field: values[grip.field] + step})
        there = drawn(further, way, rest=solved)
        start_at, end_at = (point_of(name, one) for one in (sheet, there))
        assert grip.at == pytest.approx(start_at, abs=1e-6)
        moved = (end_at - start_at) / step
        assert moved == pytest.approx(grip.way, rel=0.01, abs=0.01), name
        if not grip.at_the_reader:
            assert grip.moved(7 * grip.way) == pytest.approx(7)
    assert found["clamp"].at_the_reader == (way is VIEWS["above"])


def point_of(grip, sheet):
    """Return where a grip must be: on its point, or half way along the line."""
    if grip != "set-out line":
        return pixel(sheet, grip)
    return (pixel(sheet, grip) + pixel(sheet, "base")) / 2


def test_the_chain_is_taken_from_slot_to_slot_of_its_fork():
    long, short = (
        grips(solved, VIEWS["home"], drawn(solved, VIEWS["home"]).panels[0])
        for solved in (start(), PULL.solve({**START, "fork": "short fork"}))
    )

    assert long["anchor"].stops == tuple(range(-250, 251, 50))
    assert short["anchor"].stops == (-100, -50, 0, 50, 100)
    assert {name for name, grip in long.items() if grip.stops} == {"anchor"}


def test_a_way_that_points_at_the_reader_moves_nothing():
    solved = PULL.solve({**START, "chain_angle_deg": -5})  # straight at the front view
    low = Viewpoint(azimuth=VIEWS["front"].azimuth, elevation=RISE[0])
    found = grips(solved, low, drawn(solved, low).panels[0])

    assert found["base"].at_the_reader
    assert found["base"].moved(np.array((30.0, 40.0))) == 0
    assert not found["anchor"].at_the_reader


def test_grips_of_many_are_those_of_each():
    solved = many()
    whole = grips(solved, VIEWS["home"], drawn(solved, VIEWS["home"]).panels[0])

    for row in np.flatnonzero(solved.stands)[:8]:
        one = PULL.solve(rows()[row])
        alone = grips(one, VIEWS["home"], drawn(one, VIEWS["home"]).panels[0])
        for name, grip in alone.items():
            assert whole[name].at[row] == pytest.approx(grip.at)
            way = np.broadcast_to(whole[name].way, (*solved.stands.shape, 2))
            assert way[row] == pytest.approx(grip.way)
    assert all(np.shape(side) == solved.stands.shape for side in fitted_of(solved))


def fitted_of(solved):
    return fitted(drawn(solved, VIEWS["home"]).panels[0])


def test_parts_past_their_ratings_and_the_one_that_governs_say_so():
    forces = np.array([5.0, 62.0])
    solved = PULL.solve({**START, "ram_force_kn": forces})
    calm, over = (drawn(solved, VIEWS["home"]).at(k) for k in range(2))

    path = solved.load_path
    for k, sheet in enumerate((calm, over)):
        names = seen(sheet)
        for part in path.parts:
            past, governs = part.share[k] > 1, path.governing[k] == part.place
            assert (f"past rating {part.place}" in names) == past
            assert (f"governs {part.place}" in names) == (governs and not past)
            assert (f"label share {part.place}" in names) == (governs or past)
    words = [m.text for m in over.panels[0].drawing.seen if isinstance(m, Label)]
    assert (
        f"ram past its rating, {METRIC.show(path.parts[0].share[1], 'share')}" in words
    )
    assert any("past its rating and governs" in text for text in words)
    assert not [n for n in seen(calm) if n.startswith("past rating")]
    flat = PULL.picture(solved, system=METRIC).at(1).panels[0].drawing.seen
    assert "past rating ram" in [mark.name for mark in flat]


REFUSED = {
    "lean_deg": (58, Refusal.PAST_SWIVEL, "ram: leans past what its base allows"),
    "stroke_mm": (290, Refusal.PAST_STROKE, "ram: past its stroke"),
}


@pytest.mark.parametrize("field", sorted(REFUSED))
def test_a_refused_rig_is_drawn_as_far_as_it_goes_and_what_fails_is_marked(field):
    value, reason, words = REFUSED[field]
    solved = PULL.solve({**START, field: np.array([START[field], value])})
    stands, fallen = (drawn(solved, VIEWS["home"]).at(k) for k in range(2))

    assert solved.pull.refusal[1] == reason
    labels = {m.name: m for m in fallen.panels[0].drawing.seen if isinstance(m, Label)}
    assert labels["label refused"].text == words
    assert {"fails", "as it would be", "base", "anchor", "bonnet"} <= {*seen(fallen)}
    assert not {"pull leg", "ram", "head", "label ram"} & {*seen(fallen)}
    assert not {"fails", "as it would be", "label refused"} & {*seen(stands)}
    assert not any("nan" in label.text for label in labels.values())
    assert "nan" not in render(fallen)


def test_every_refusal_has_a_part_that_fails_and_words():
    assert {*FAILING} == {*Refusal} - {Refusal.STANDS}
    spread = {
        n: np.linspace(f.low, f.high, 40)[np.random.default_rng(k).permutation(40)]
        for k, (n, f) in enumerate(PULL.fields.items())
        if not isinstance(f, Choice)
    }
    solved = PULL.solve({**spread, "chain_size": "16 mm"})  # so the fork slot governs
    sheet = drawn(solved, VIEWS["home"])

    found = {int(code) for code in solved.pull.refusal}
    assert len(found) >= 4
    for k in np.flatnonzero(~solved.stands):
        one = sheet.at(int(k))
        assert {"fails", "label refused"} <= {*seen(one)}
        assert not [n for n in seen(one) if n.startswith(("governs", "label share"))]
        assert "nan" not in render(one)


def test_a_subject_is_seen_in_space_where_a_view_is_chosen():
    flat = PULL.sheets(start(), Look(system=METRIC))
    space = PULL.sheets(start(), Look(system=METRIC, view=VIEWS["side"], rest=start()))

    assert len(flat.each) == len(space.each) == 2
    assert render(space.picture) == render(drawn(start(), VIEWS["side"]))
    assert render(flat.picture) != render(space.picture)
    assert flat.picture.text == space.picture.text
    assert render(flat.beside) == render(space.beside)
    other = subjects()["arrow"]
    result = other.solve(starts(other.fields))
    looked = other.sheets(result, Look(system=METRIC, view=VIEWS["side"])).picture
    assert render(looked) == render(other.picture(result, system=METRIC))


@pytest.mark.parametrize("way", [None, VIEWS["home"]])
def test_a_single_refused_set_up_says_why_and_is_drawn_as_far_as_it_goes(way):
    values = {**START, "lean_deg": 58}
    with pytest.raises(WorkbookError):
        PULL.solve(values)

    drawn = PULL.refused(values, Look(system=METRIC, view=way))

    assert drawn.beside is None
    panels = drawn.picture.panels[: 1 if way else 2]
    for panel in panels:
        seen = {m.name: m for m in panel.drawing.seen}
        assert {"fails", "as it would be", "base", "anchor"} <= {*seen}
        assert seen["label refused"].text == REFUSED["lean_deg"][2]
        assert not {"pull leg", "ram", "head"} & {*seen}


def test_a_set_up_of_which_nothing_can_be_drawn_has_no_picture():
    free = {**START, "chain_at_head": "free over the ram"}

    assert PULL.refused(free, Look(system=METRIC)) is None


def test_what_governs_and_what_is_past_its_rating_is_marked_from_above_too():
    solved = PULL.solve({**START, "ram_force_kn": 62})
    side, top = (PULL.picture(solved, system=METRIC).panels[k].drawing for k in (0, 1))

    def marked(drawing):
        return {m.name for m in drawing.seen if m.name.startswith(("past", "governs"))}

    assert len(marked(side)) > 1
    assert marked(side) == marked(top)


def test_the_way_of_the_head_stays_drawn_with_both_ends_of_the_stroke():
    half = PULL.solve({**START, "stroke_mm": 100})
    sheet = drawn(half, VIEWS["home"])

    way = mark_of(sheet, "way of the head").points
    for name, k in (("take-up", 0), ("full stroke", -1)):
        assert same(mark_of(sheet, f"ram at {name}").points[-1], way[k])
    heads = half.path.pull.head[[0, -1]]
    assert same(way[[0, -1]], VIEWS["home"].along(heads))


def test_on_paper_a_picture_ends_where_the_split_beside_it_begins():
    looked = Look(system=METRIC, view=VIEWS["home"])
    sheets = PULL.sheets(start(), looked)
    whole = sheets.whole

    picture, cover = sheets.picture, whole.panels[len(sheets.picture.panels)]
    bench = max(
        pixel(sheets.picture, "bench", k)[0] for k in range(4)
    )  # which goes on to the right of its picture
    assert bench > picture.width
    assert [m.role for m in cover.drawing.seen] == ["cover"]
    assert (cover.left, cover.width) == (picture.width, whole.width - picture.width)
    order = [panel.left >= picture.width for panel in whole.panels]
    assert order == sorted(order)  # what stands beside it is drawn over it
