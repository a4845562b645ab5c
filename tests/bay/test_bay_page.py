"""The practice bay on the page: its panel of acts, what is shown, kept, refused."""

import json

import numpy as np
import pytest
from bay_jobs import AHEAD, BEGIN, CODES, anchored, pumped, ready

from widgets.bay_forms import ASKS, GROUPS, act_of, panel, why_closed
from widgets.hand import Move
from widgets.practice_bay import PracticeBay
from workbook.bay.acts import ACTS
from workbook.bay.data import as_data, floor_data
from workbook.bay.job import do, new_job
from workbook.course import lesson
from workbook.errors import FormError, WorkbookError
from workbook.figures.drawing.marks import Polygon
from workbook.figures.drawing.rooms import ROOMS
from workbook.figures.drawing.views import VIEWS
from workbook.figures.drawing.windows import placed
from workbook.figures.pictures.practice_bay import practice_bay_sheet
from workbook.quantities.units import INCH, METRIC, factor
from workbook.reader.record import FILE, Record
from workbook.reader.way_in import WayIn


@pytest.fixture
def record(tmp_path):
    record = Record(tmp_path / FILE)
    record.sign_in(**CODES)
    return record


def filled_in(act):
    """Return what a learner gives in the form of an act, as the page sends it."""
    given = {name: value for name, value in act.items() if name != "act"}
    match act["act"]:
        case "people":
            ((who, (forward, left)),) = given["at"].items()
            return {
                "who": json.dumps(who),
                "forward": f"{forward} mm",
                "left": str(left),
            }
        case "answer":
            asked = [given["step"], given["item"]]
            return {"asked": json.dumps(asked), "typed": given["typed"]}
    return {
        name: [json.dumps(one) for one in value]
        if name in {"of", "hinges", "kinds", "stoppers"}
        else str(value)
        if name in {"slot", "links", "air_bar", "share", "text"}
        or name in {"rating_margin", "zone_half_angle_deg"}
        else json.dumps(value)
        for name, value in given.items()
    }


def one_by_one(acts):
    """Return acts as the panel has them: one person at a time, names of its own."""
    for act in acts:
        if act["act"] == "people":
            yield from ({**act, "at": {who: at}} for who, at in act["at"].items())
        elif act["act"] == "tie":
            yield {**act, "name": f"{act['station']} to {act['post']}"}
        elif act["act"] == "cable":
            yield {**act, "name": "+".join(act["of"])}
        else:
            yield act


def sent(bay, does, /, **content):
    bay._heard({"act": does, **content})
    return bay.frame


def test_a_whole_job_through_the_panel_is_the_same_job(record, job):
    told = [
        {
            "act": "story",
            "kinds": ["mash", "sag"],
            "order": ["side", "ahead"],
            "stoppers": ["rain"],
        },
        {"act": "answer", "step": "C3", "item": "rise", "typed": "4°"},
        {"act": "record", "field": "who", "text": "S0"},
    ]
    wanted = [*one_by_one(job), *told]
    page = PracticeBay(record=record)
    for act in wanted:
        frame = sent(page, "do", name=act["act"], given=filled_in(act))
        assert not frame["note"], (act, frame["note"])

    assert page.jobs.job.acts == wanted
    assert len(page.frame["log"]) == len(wanted)


def test_the_panel_has_every_act_once_and_asks_what_it_takes():
    shown = [act for acts in GROUPS.values() for act in acts]

    assert sorted([*shown, "undo"]) == sorted(ACTS)
    assert sorted(ASKS) == sorted(shown)


def test_an_act_is_closed_only_where_the_bay_would_refuse_it(states):
    """Of every state of a job: what the panel closes, no filled-in form can do."""
    closed = 0
    for bay in states[::3]:
        for group in panel(bay, system=METRIC):
            for one in group["acts"]:
                if not one["why"] or one["act"] in {"look", "release", "stop"}:
                    continue  # which change nothing then
                closed += 1
                parts = ASKS[one["act"]](bay, METRIC)
                given = {p.name: _some(p) for p in parts}
                with pytest.raises(WorkbookError):
                    do(bay, act_of(bay, one["act"], given, system=METRIC))
    assert closed > 50


def _some(part):
    if part.how == "choice":
        return json.dumps(part.options[0][0]) if part.options else None
    return {"several": [], "number": "0.5", "text": "x"}[part.how]


@pytest.mark.parametrize(
    ("name", "given", "said"),
    [
        ("pump", {"air_bar": "much"}, "Turn the air up by"),
        ("pump", {"air_bar": ""}, "Turn the air up by"),
        ("pump", {"air_bar": "2 kN"}, "bar"),
        ("clamp", {}, "Station"),
        ("cable", {"of": [], "to": '"cowl ring"', "loose": "false"}, "catches"),
        ("stop", {"who": '"nobody known"'}, "person in the bay"),
        ("survey", {"base": "x"}, ""),
    ],
)
def test_what_is_refused_is_one_sentence_and_changes_nothing(record, name, given, said):
    page = PracticeBay(record=record)
    page.do(BEGIN)
    page.drafts = {f"{name}/typed": "as it was"}
    before = page.jobs.job.acts[:]
    frame = sent(page, "do", name=name, given=given)

    assert said.lower() in frame["note"].lower()
    assert "\n" not in frame["note"]
    assert "Traceback" not in frame["note"]
    assert page.drafts == {f"{name}/typed": "as it was"}
    assert page.jobs.job.acts[: len(before)] == before
    assert bool(frame["note"]) == (page.jobs.job.acts == before)


def test_the_job_is_there_another_day_and_what_was_changed_is_told(record, car):
    page = PracticeBay(record=record)
    for act in anchored(car)[:6]:
        page.do(act)
    again = PracticeBay(record=record)
    assert again.frame["log"] == page.frame["log"]
    assert again.frame["sketch"] == page.frame["sketch"]

    whole = record.path.read_text("utf-8")

    def told(station):
        """Return what is told once a station stands there that was not chosen."""
        record.path.write_text(whole.replace("left front", station), "utf-8")
        return PracticeBay(record=Record(record.path))

    runs = told("left middle")
    assert "does not hang together" in runs.frame["intro"][1]
    assert len(runs.frame["log"]) == 6
    broken = told("left roof")
    assert "the log was changed" in broken.frame["intro"][1]
    broken.do(BEGIN)
    assert [len(broken.frame["intro"]), len(broken.frame["log"])] == [1, 1]


def test_taking_back_takes_back_choices_and_no_metal(record, car):
    page = PracticeBay(record=record)
    for act in [*anchored(car), *ready(AHEAD)]:
        page.do(act)
    assert not page.frame["may_undo"]
    page.do({"act": "people", "at": {"visitor": [0, 0]}})
    assert page.frame["may_undo"]
    sent(page, "undo")
    assert page.jobs.job.bay.people["visitor"] != (0.0, 0.0)
    page.do(pumped(0.5)[0])
    metal = page.jobs.job.bay.metal
    frame = sent(page, "undo")
    assert frame["note"]
    assert page.jobs.job.bay.metal is metal


def test_another_student_at_the_same_lesson_has_another_car(record, car):
    page = PracticeBay(record=record)
    for act in anchored(car)[:4]:
        page.do(act)
    first = page.frame
    record.sign_in(class_key="oak", student="S1")

    assert page.frame["log"] == []
    assert "s1" in page.frame["title"].lower()
    record.sign_in(**CODES)
    assert page.frame["log"] == first["log"]


def test_behind_the_gate_nothing_is_shown_or_done(record):
    page = PracticeBay(record=record)
    page.stand_behind(WayIn(lesson("15"), record))
    frame = sent(page, "do", name="begin", given=filled_in(BEGIN))

    assert "sketch" not in frame
    assert "panel" not in frame
    assert page.jobs.job.acts == []


def test_a_stopped_job_says_what_to_read_and_closes_all_but_writing(states, record):
    page = PracticeBay(record=record)
    acts = [*one_by_one(anchored(states[0].car)), *ready(AHEAD), *pumped(9.0)]
    for act in acts:
        if act["act"] != "cable":  # the metal tears, and nothing catches its clamp
            page.do(act)
    bay = page.jobs.job.bay

    assert bay.stopped is not None
    assert "lesson 11" in page.done
    assert [a for acts in GROUPS.values() for a in acts if not why_closed(bay, a)] == [
        "answer",
        "record",
    ]


def test_the_metal_can_be_seen_on_its_way(record, car):
    page = PracticeBay(record=record)
    for act in [*anchored(car), *ready(AHEAD), *pumped(2.0)]:
        page.do(act)
    last = page.frame
    page.move(Move(seq=1, values={"step": 0}, phase="end", via="typed"))
    first = page.frame

    assert last["stroke"]["value"] == last["stroke"]["high"] > 3
    assert (first["stroke"]["value"], first["answers"]) == (0, 1)
    assert first["sketch"] != last["sketch"]
    page.move(Move(seq=2, values={"step": 99}, phase="end", via="typed"))
    assert page.frame["sketch"] == last["sketch"]


def test_the_metal_is_played_from_its_own_steps(record, car, monkeypatch):
    page = PracticeBay(record=record)
    for act in [*anchored(car), *ready(AHEAD), *pumped(2.0)]:
        page.do(act)
    sent_on = []
    monkeypatch.setattr(page, "send", sent_on.append)
    most = page.frame["stroke"]["high"]
    sent(page, None, play="step", run=7, first=0, steps=most + 5)
    *steps, over = sent_on

    assert [one["step"]["value"] for one in steps] == [*range(most + 1)]
    assert len({one["step"]["sketch"] for one in steps}) == most + 1
    assert steps[-1]["step"]["sketch"] == page.frame["sketch"]
    assert over == {"run": 7, "over": True}


def test_what_parts_carry_is_shown_under_load_the_most_loaded_first(record, car):
    page = PracticeBay(record=record)
    for act in [*anchored(car), *ready(AHEAD)]:
        page.do(act)
    assert page.frame["shares"] == []
    page.do(pumped(1.0)[0])
    shares = [one["share"] for one in page.frame["shares"]]

    (ram,) = as_data(page.jobs.job.bay)["rams"]
    assert shares == sorted(shares, reverse=True)
    assert max(ram["shares_1"].values()) in shares
    assert {one["margin"] for one in page.frame["shares"]} == {0.9}


@pytest.mark.parametrize("view", [None, *VIEWS])
def test_each_chain_has_its_zone_at_both_ends_as_wide_as_the_school_says(states, view):
    bay = next(bay for bay in states if bay.loaded)
    data = as_data(bay)
    for room in ROOMS.values():
        sheet = practice_bay_sheet(
            data, floor_data(), system=INCH, view=view and VIEWS[view], room=room
        )
        marks = sheet.panels[0].drawing.seen
        zones = [m for m in marks if isinstance(m, Polygon) and m.role == "sweep"]
        assert len(zones) == 2 * (2 * len(bay.rams) + len(bay.holds))
        if view in {None, "above"}:
            for zone in zones:
                apex, *edge = zone.points
                sides = [edge[0] - apex, edge[-1] - apex]
                turned = abs(_angle(sides[1]) - _angle(sides[0])) % 360
                assert min(turned, 360 - turned) == pytest.approx(
                    2 * BEGIN["zone_half_angle_deg"]
                )


@pytest.mark.parametrize("view", ["bay", "home", {"az": 30, "el": 40}])
def test_a_point_of_the_picture_is_a_place_on_the_floor(record, view):
    """Where a person is drawn, the picture's place is where that person stands."""
    page = PracticeBay(record=record)
    page.do(BEGIN)
    page.move(Move(view=view, phase="end", via="view"))
    back = np.array(page.frame["floor"])
    sheet = page._sheet()
    for who, at in page.jobs.job.bay.people.items():
        drawn = next(
            mark
            for mark in sheet.panels[0].drawing.moving
            if mark.name == f"person {who}"
        )
        x0, y0, kx, ky = placed(sheet.panels[0])
        x, y = drawn.at
        share = [(x0 + kx * x) / sheet.width, (y0 - ky * y) / sheet.height, 1.0]
        assert back @ share == pytest.approx(np.array(at) * 1e3, abs=0.1)


def test_a_floor_seen_from_too_low_is_not_pointed_at(record):
    page = PracticeBay(record=record)
    page.do(BEGIN)
    page.move(Move(view="side", phase="end", via="view"))

    assert page.frame["floor"] is None


def test_what_is_taken_in_the_picture_is_what_the_form_does(record):
    """Each place of each grip, taken by a hand, is the ram that is then set out."""
    page = PracticeBay(record=record)
    page.do(BEGIN)
    page.open_form("set_out", filled_in(AHEAD))
    floor = floor_data()
    assert [grip["name"] for grip in page.frame["grips"]] == [
        *("hook", "extension", "links", "place", "socket"),
    ]
    for value in page.frame["grips"][-1]["stops"][:3]:
        page.move(Move(values={"at socket": value}, phase="end", via="key"))
        socket = [*floor["sockets_m"]][value]
        assert page.given["socket"] == json.dumps(socket)
        assert page.ahead.plan["ram"]["base_m"] == floor["sockets_m"][socket]
    page.move(Move(values={"at socket": 0, "at hook": 4}, phase="end", via="key"))
    page.move(Move(values={"links": "29"}, phase="end", via="typed"))
    planned = page.ahead.plan["ram"]
    sent(page, "do", name="set_out", given=page.given)
    (out,) = as_data(page.jobs.job.bay)["rams"]

    assert not page.note
    assert {**planned} == out
    assert page.ahead.plan == {}  # nothing is planned any more: it stands so
    assert out["links"] == 29


def test_a_ram_that_would_not_stand_is_drawn_and_told_of_and_can_be_moved(record):
    page = PracticeBay(record=record)
    page.do(BEGIN)
    given = {**filled_in(AHEAD), "links": "70", "extension": json.dumps("")}
    page.open_form("set_out", given)

    assert page.frame["ahead"].startswith("It would not stand so.")
    assert page.ahead.plan["ram"]["head_m"] is None
    assert {grip["name"] for grip in page.frame["grips"]} >= {"extension", "links"}
    page.move(Move(values={"at links": 20}, phase="end", via="mouse"))
    assert page.given["links"] == "25"
    assert page.frame["ahead"] == ""


def test_the_table_says_the_limit_of_each_point_and_marks_by_it(record, car):
    page = PracticeBay(record=record)
    for act in anchored(car):
        page.do(act)
    last = page.data["readings"][-1]
    for point, *off, limit in page.frame["readings"]["rows"]:
        past = [
            abs(one) > last["limits_m"][point] for one in last["differences_m"][point]
        ]
        assert [outside for _, outside in off] == past
        assert limit == [f"{1e3 * last['limits_m'][point]:.1f}", False]


def test_air_turned_up_in_small_steps_is_not_rounded_to_whole_ones(record, car):
    page = PracticeBay(record=record)
    for act in [*anchored(car), *ready(AHEAD), *pumped(1.0, 0.25)]:
        page.do(act)

    assert page.frame["givens"][0] == ("Air", "1.25 bar")


def test_who_stands_at_one_place_has_one_label(record):
    page = PracticeBay(record=record)
    page.do(BEGIN)
    at = {key: [0, 3000] for key in floor_data()["people"]}
    page.do({"act": "people", "at": at})
    seen = page._sheet().panels[0].drawing.seen
    labels = [m.text for m in seen if m.name.startswith("label ")]

    assert labels == ["8 people"]


def test_what_keeps_people_safe_is_chosen_by_nobody_beforehand(record):
    page = PracticeBay(record=record)
    page.do(BEGIN)
    page.do(AHEAD)
    given = {"of": [json.dumps("A")], "to": json.dumps("cowl ring"), "loose": ""}

    asked = {
        (one["act"], part["name"])
        for group in page.frame["panel"]
        for one in group["acts"]
        for part in one["parts"]
        if part["asked"]
    }

    assert asked >= {("cable", "to"), ("cable", "loose"), ("call", "step")}
    assert sent(page, "do", name="cable", given=given)["note"].startswith("choose")
    assert page.jobs.job.bay.cables == {}


def test_what_was_wrong_stands_until_the_next_act(record):
    page = PracticeBay(record=record)
    page.do(BEGIN)
    given = {**filled_in(AHEAD), "slot": "2.5"}
    refused = sent(page, "do", name="set_out", given=given)["note"]
    rested = sent(page, None, move={"seq": 1, "phase": "rest"})["note"]

    assert "whole number" in refused
    assert rested == refused
    assert sent(page, "do", name="set_out", given=filled_in(AHEAD))["note"] == ""


@pytest.mark.parametrize(
    ("act", "part", "typed", "said"),
    [
        ("begin", "rating_margin", "80", "80 percent is typed as 80 %"),
        ("begin", "zone_half_angle_deg", "200", "goes from 5 to 85 deg"),
        ("set_out", "links", "1.322", "a whole number, not 1.322"),
        ("set_out", "links", "38 links", "no word after it"),
        ("set_out", "links", "9999", "goes from 1 to 999"),
        ("set_out", "slot", "2,5", "a whole number, not 2.5"),
        ("people", "forward", "1.200 mm", "mean 1.2 or 1200"),
        ("people", "forward", "99999", "goes from -20000 to 20000 mm"),
        ("pump", "air_bar", "1.322 bar", "mean 1.3220 or 1322"),
        ("pump", "air_bar", "1,322", "mean 1.3220 or 1322"),
        ("pump", "air_bar", "12", "goes from 0.01 to 9 bar"),
    ],
)
def test_a_number_that_a_reader_may_type_is_asked_back(act, part, typed, said):
    parts = {one.name: one for one in ASKS[act](new_job(**CODES), METRIC)}

    with pytest.raises(FormError) as refused:
        parts[part].read(typed)
    assert said in refused.value.spoken(METRIC.show)
    assert "_" not in refused.value.spoken(METRIC.show)


@pytest.mark.parametrize(
    ("act", "grips"),
    [
        ("clamp", ["station"]),
        ("tie", ["station", "post"]),
        ("stand", ["side"]),
        ("hold", ["place", "post"]),
        ("people", []),
    ],
)
def test_what_has_a_place_in_a_form_is_taken_in_the_picture(record, act, grips):
    page = PracticeBay(record=record)
    page.do(BEGIN)
    page.open_form(act, {})

    assert [grip["name"] for grip in page.frame["grips"]] == grips
    json.dumps(page.frame)


def test_a_ram_without_an_extension_is_set_out_from_the_panel(record):
    page = PracticeBay(record=record)
    page.do(BEGIN)
    given = {**filled_in(AHEAD), "extension": json.dumps(""), "links": "24"}
    sent(page, "do", name="set_out", given=given)

    assert page.note == ""
    assert page.jobs.job.bay.rams["A"].extension == ""


def test_a_reading_is_drawn_where_it_was_taken_and_stays_when_the_metal_moves(
    record, car
):
    """The ghost of the last reading lies off its target by the reading, six times."""
    page = PracticeBay(record=record)
    for act in [*anchored(car), *ready(AHEAD), *pumped(2.0)]:
        page.do(act)
    seen = {m.name: m for m in page._sheet().panels[0].drawing.seen}
    off = np.array(page.data["readings"][-1]["differences_m"]["left-tip"])
    drawn = seen["read left-tip"].at - seen["target left-tip"].at

    assert drawn == pytest.approx(VIEWS["home"].at(6.0 * off))
    rails = seen["rails"].points[0, -1]
    assert not np.allclose(rails, seen["read left-tip"].at, atol=1e-3)


def _angle(side):
    return float(np.arctan2(side[1], side[0]) / factor("deg"))
