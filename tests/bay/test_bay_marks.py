"""Marks of a job: what is right, what is not, what a changed log comes to."""

import json

import numpy as np
import pytest
from bay_jobs import BEGIN

from workbook.bay import good_job as good_job_module
from workbook.bay.car import car_for
from workbook.bay.good_job import can_be_done, good_job, most_tension, worst_left
from workbook.bay.job import do, new_job
from workbook.bay.log import BayLog
from workbook.bay.marks import marked_bay
from workbook.bay.questions import FROM_ACTS, GATE, ITEMS, STEPS
from workbook.bay.wording import fault_words, question_words
from workbook.classroom.roll import Student, made_class, write_class
from workbook.cli import main
from workbook.exercises.bank.lesson_16 import RECORD
from workbook.reader.record import FILE, Record
from workbook.scenes.kestrin import kestrin_differences, kestrin_points

CODES = {"class_key": "oak", "student": "S0"}
RULES = {"margin": 0.8, "half_angle": np.radians(20)}


@pytest.fixture(scope="module")
def best():
    return good_job(car_for(**CODES), **RULES)


def told(car, kinds=("mash",)):
    return {
        "act": "story",
        "kinds": [*kinds],
        "order": [*reversed(car.hits)],
        "stoppers": [*car.stoppers],
    }


def typed(marks):
    """Return every right answer as it would be typed, to a hundredth."""
    unit = {"angle": ("deg", np.degrees), "share": ("%", lambda v: 100 * v)}
    answers = []
    for item in marks.items:
        asked = ITEMS.get(item.step, {}).get(item.item)
        if asked is None:
            continue
        text = item.right
        if not asked.choices:
            name, shown = unit.get(asked.kind, (asked.unit, lambda v: v))
            size = {"kN": 1e-3, "mm": 1e3}.get(name, 1.0)
            text = (
                f"{float(shown(item.right)) * size:.2f} {name if name != '1' else ''}"
            )
        answers.append(
            {"act": "answer", "step": item.step, "item": item.item, "typed": text}
        )
    return answers


@pytest.fixture(scope="module")
def said(best):
    """Return what is told, typed and written of the good job, all of it right."""
    marks = marked_bay(best.bay, with_best=False)
    record = [{"act": "record", "field": f, "text": f"{f}: done"} for f in RECORD]
    return [told(best.bay.car), *typed(marks), *record]


def marked(best, acts):
    bay = best.bay
    for act in acts:
        bay = do(bay, act)
    return marked_bay(bay, with_best=False)


@pytest.mark.parametrize(
    ("student", "kinds"),
    [
        # Left tip 18.9 back, 13.2 aside, 7.0 down; right tip hardly aside.
        ("S0", {"mash"}),
        # Left tip 33.2 back, 23.8 aside, 8.9 down; right tip aside with it.
        ("S1", {"mash", "sidesway"}),
    ],
)
def test_the_kinds_are_those_that_both_rails_show(student, kinds):
    bay = do(new_job(class_key="oak", student=student), BEGIN)
    bay = do(do(bay, {"act": "survey"}), told(bay.car, sorted(kinds)))

    (found,) = (
        item
        for item in marked_bay(bay, with_best=False).items
        if (item.step, item.item) == ("C1", "kinds")
    )
    assert found.points == 3


def test_the_points_are_those_of_the_table():
    table = {
        "C1": 8, "C2": 8, "C3": 8, "C4": 6, "C5": 10, "C6": 8, "C8": 8, "C9": 10,
        "C10": 8, "C11": 10, "C12": 16,
    }  # fmt: skip
    points = {
        step: sum(item.points for item in ITEMS.get(step, {}).values())
        + sum(FROM_ACTS.get(step, {}).values())
        for step in STEPS
    }

    assert points.pop(GATE) == 0
    assert points == table
    assert sum(table.values()) == 100


def test_a_good_job_brings_every_point_inside_its_limits(best):
    left = np.abs(kestrin_differences(best.bay.rails)).max(axis=1)

    assert np.all(left < kestrin_points().limits)
    assert worst_left(best.bay) < 1.3e-3
    assert best.bay.faults == ()
    assert 2 <= len(best.plans) <= 6
    assert 25e3 < most_tension(best.bay) < 40e3
    assert best.bay.readings[-1].survey.beyond.sum() == 0


def test_every_students_car_can_be_done_with_what_the_shop_has():
    for number in range(5):
        codes = {"class_key": "elm", "student": f"T{number}"}
        bay = new_job(**codes)
        assert can_be_done(bay.car, bay, margin=0.8), codes


def test_all_right_is_all_the_points_and_passes(best, said):
    marks = marked(best, said)

    lost = {(i.step, i.item): (i.points, i.of, i.typed, i.right)
            for i in marks.items if i.points < i.of}  # fmt: skip
    assert lost == {}
    assert marks.total == 100
    assert marks.gate_open
    assert marks.passed


def test_wrong_answers_cost_their_points_and_near_ones_a_fifth(best, said):
    changed = {
        ("C3", "bearing"): lambda t: f"{float(t.split()[0]) + 1.5:.2f} deg",  # near
        ("C10", "holding pull"): lambda t: f"{float(t.split()[0]) * 1.2:.2f} kN",
        ("C6", "nearest part"): lambda _: "ram",
        ("C9", "share done"): lambda t: t.replace("%", "kN"),
        ("C12", "verdict"): lambda _: "",
    }
    acts = [
        {**act, "typed": changed[act["step"], act["item"]](act["typed"])}
        if act["act"] == "answer" and (act["step"], act["item"]) in changed
        else act
        for act in said
    ]

    marks = marked(best, acts)

    got = {(i.step, i.item): i.points for i in marks.items}
    assert got["C3", "bearing"] == pytest.approx(0.8 * 3)
    for lost in ("C10 holding pull", "C6 nearest part", "C9 share done", "C12 verdict"):
        assert got[tuple(lost.split(" ", 1))] == 0
    assert marks.total == pytest.approx(100 - 0.6 - 8 - 4 - 4 - 3)


def test_a_missed_stopper_costs_the_whole_first_step(said, best):
    story = {**told(best.bay.car), "stoppers": []}
    acts = [story if act["act"] == "story" else act for act in said]

    marks = marked(best, acts)

    assert marks.points["C1"] == (0, 8)


def test_one_fault_shuts_the_gate_and_nothing_passes(best, said):
    marks = marked(best, [*said, {"act": "call", "step": "zone"}])

    assert [fault.name for fault in marks.bay.faults] == ["step_out_of_place"]
    assert marks.total == 100
    assert not marks.gate_open
    assert not marks.passed


def test_a_job_that_never_pulled_has_no_open_gate():
    marks = marked_bay(do(new_job(**CODES), BEGIN), with_best=False)

    assert not marks.gate_open
    assert marks.total == 0


def test_every_fault_and_every_question_has_its_words(states):
    names = {"near_loaded", "measured_under_load"}
    bay = do(next(b for b in states if b.loaded), {"act": "survey"})

    assert {fault.name for fault in bay.faults} >= names
    assert all(fault_words(fault).endswith(".") for fault in bay.faults)
    for items in ITEMS.values():
        for item in items:
            assert question_words(bay.car, item)


# ------------------------------------------------------------- the instructor's command


@pytest.fixture
def classroom(tmp_path, monkeypatch):
    monkeypatch.setattr(good_job_module, "MOST_PULLS", 0)
    made = made_class([Student(name="Zoë Aal", code="S0")], key="oak")
    listed = tmp_path / "class.csv"
    write_class(listed, made)
    (tmp_path / "logs").mkdir()
    return tmp_path, made.students[0].code, made.key


def log_of(folder, acts, code, key):
    log = BayLog(Record(folder / FILE))
    log.record.sign_in(student=code, class_key=key)
    for act in acts:
        log.do(act)
    return folder / FILE


def run(root):
    return main(
        ["bay", str(root / "class.csv"), str(root / "logs"), "-o", str(root / "out")]
    )


def test_the_command_marks_a_log_and_writes_what_a_good_job_took(classroom, capsys):
    root, code, key = classroom
    car = car_for(class_key=key, student=code)
    acts = [BEGIN, *({"act": "make_safe", "what": w} for w in car.stoppers), told(car)]
    log_of(root / "logs", [*acts, {"act": "survey"}], code, key)

    assert run(root) == 0

    out, err = capsys.readouterr()
    assert f"{code}: " in out
    assert "1 job marked" in out
    assert err == ""
    table = (root / "out" / "bay marks.csv").read_text("utf-8-sig").splitlines()
    assert table[0].startswith("name,code,C1,C2,C3")
    assert "Zoë Aal" in table[1]
    report = (root / "out" / f"bay {code}.txt").read_text("utf-8")
    assert "C3  The way back: 0 of 8" in report
    assert "A good job took" in report
    assert "nothing was pulled" in report


def test_a_changed_log_is_told_and_marked_as_far_as_it_goes(classroom, capsys):
    root, code, key = classroom
    path = log_of(root / "logs", [BEGIN, {"act": "survey"}], code, key)
    lines = [json.loads(line) for line in path.read_text("utf-8").splitlines()]
    lines[-2]["act"]["version"] = 1
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), "utf-8")

    assert run(root) == 0

    said = capsys.readouterr().err
    assert "the chain breaks at line" in said
    assert "act 1 and what follows cannot be done" in said


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"\0\0\0", "there is no job of the practice bay in it"),
        (b'{"kind": "bay", "act": 3}\n', "no job of anybody on the class list"),
        (
            b'{"kind": "bay", "student": "x", "class_key": "y", "act": {}}\n',
            "no job of anybody on the class list",
        ),
    ],
)
def test_what_is_no_log_gets_one_sentence(classroom, capsys, raw, said):
    root, *_ = classroom
    (root / "logs" / "a.jsonl").write_bytes(raw)

    assert run(root) == 0

    err = capsys.readouterr().err
    assert said in err
    assert "Traceback" not in err
