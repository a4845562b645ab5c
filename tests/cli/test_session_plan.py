"""The session plan: one file that handouts, marks, the bay and the lessons read."""

import csv
import html
import re
import shutil
import subprocess
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from widgets import BridleExplorer, ExerciseCard, PullExplorer
from widgets.bay_forms import ASKS
from widgets.practice_bay import PracticeBay
from workbook.classroom.handouts import student_pages
from workbook.classroom.sheets import printed_lessons
from workbook.cli import main
from workbook.course.session import LIMITS, LONGEST_RULE, MOST_RULES, session_from
from workbook.errors import FormError
from workbook.exercises import exercises_of
from workbook.language import caution
from workbook.quantities.units import METRIC
from workbook.reader.record import FILE, Record

RULE = "Nobody works on the bench alone after five."
DUE = datetime(2026, 1, 12, 9, 0, 1, tzinfo=timezone(timedelta(hours=1)))
PLAN = f"""form = 1
[school]
margin = 0.75
zone_deg = 35
rules = ["{RULE}"]
[lessons.L02]
due = {DUE.isoformat()}
counts = ["2.1", "2.3"]
"""
ACCEPT = "[lessons.L02.accept]\n"
L03 = [one.id for one in exercises_of("L03")]


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def planned(small_class):
    """Return the class with a plan beside its list."""
    small_class.file.with_name("session.toml").write_text(PLAN, "utf-8")
    return small_class


def mark(room, *options):
    order = ["mark", str(room.file), str(room.folder), "-o", str(room.out)]
    assert main([*order, *options]) == 0


def rows(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return [*csv.reader(file)]


def words_of(pdf):
    said = subprocess.run(["pdftotext", "-raw", pdf, "-"], capture_output=True)
    return re.sub(r"\s+", " ", said.stdout.decode("utf-8"))


def test_only_what_counts_makes_the_mark_and_all_is_shown(planned):
    one, two, _ = planned.codes
    answers = [("2.1", "right"), ("2.2", "1 kN"), ("2.3", "1 kN")]
    planned.hand_in(one, answers)
    planned.hand_in(two, [("2.2", "right")])

    mark(planned)

    head, *people = rows(planned.out / "marks-by-exercise.csv")
    found = {row[2]: dict(zip(head, row, strict=True)) for row in people}
    assert found[one]["L02"] == "50"  # 2.1 of 2.1 and 2.3, and not of all seven
    assert found[two]["2.2"] == "100"
    assert found[two]["L02"] == ""  # of what counts nothing was done


def test_gradebooks_have_the_points_that_a_lesson_is_worth(planned):
    plan = planned.file.with_name("session.toml")
    plan.write_text(f"{PLAN}points = 30\n", "utf-8")
    one = planned.codes[0]
    planned.hand_in(one, [("2.1", "right"), ("2.3", "1 kN"), ("9.1", "right")])

    mark(planned)

    head, first, *_ = rows(planned.out / "grades-by-name-and-id.csv")
    found = dict(zip(head, first, strict=True))
    assert found["Pullwright L02"] == "15"
    assert found["Pullwright L09"] == "16.67"  # one of six, in per cent
    head, first, *_ = rows(planned.out / "marks-by-exercise.csv")
    assert dict(zip(head, first, strict=True))["2.1"] == "100"


def test_what_came_late_is_listed_with_how_late(planned, capsys):
    one, two, three = planned.codes
    planned.hand_in(one, [("2.1", "right"), ("2.2", "right"), ("2.3", "right")])
    later = DUE + timedelta(days=1, hours=2)
    in_time = planned.lines_of(two, [("2.1", "right"), ("2.3", "right")])
    assert in_time[-1]["time"] == DUE.isoformat()
    practice = planned.lines_of(two, [("2.3", "right")], set="practice", start=later)
    hint = {**in_time[-1], "kind": "hint", "time": later.isoformat(), "number": 1}
    text = planned.text_of([*in_time, *practice, hint], student=two)
    (planned.folder / "two.txt").write_text(text, "utf-8")
    planned.hand_in(three, [("2.1", "right"), ("9.1", "right")], start=later)

    mark(planned)

    assert "2 late, in late.csv" in capsys.readouterr().out
    _, *late = rows(planned.out / "late.csv")
    told = {row[1]: row[5:] for row in late}
    assert told == {one: ["1 min", "1", "2"], three: ["1 d 2 h", "1", "1"]}


def test_a_plan_elsewhere_is_named_and_one_that_is_none_is_refused(
    small_class, tmp_path, capsys
):
    small_class.hand_in(small_class.codes[0], [("2.1", "right")])
    other = tmp_path / "other.toml"
    other.write_text("form = 1\n[lessons.L02]\ncounts = ['2.1']", "utf-8")
    mark(small_class, "--session", str(other))
    head, first, *_ = rows(small_class.out / "marks-by-exercise.csv")
    assert dict(zip(head, first, strict=True))["L02"] == "100"
    assert not (small_class.out / "late.csv").exists()

    other.write_text("form = 1\n[lessons.L02]\ncounts = ['8.1']", "utf-8")
    capsys.readouterr()
    order = ["remark", str(small_class.file), str(small_class.out)]
    assert main([*order, "--session", str(other)]) == 1
    refused = capsys.readouterr().err
    assert "pullwright: other.toml: [lessons.L02] 8.1 is no exercise" in refused
    assert refused.count("\n") == 1


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("[school]\nmargin = 1.2", "margin must be a number from 0.1 to 1"),
        ("[school]\nmargin = true", "margin must be a number"),
        ("[school]\nzone_deg = nan", "zone_deg must be a number from 5 to 85"),
        ("[school]\nmargn = 0.5", "did you mean margin?"),
        ("[school]\nrules = 'one'", "must be a list of at most 5 sentences"),
        ('[school]\nrules = ["a\\tb"]', "must be a list of at most 5 sentences"),
        (f"[school]\nrules = ['{'a' * 121}']", "of at most 120 plain characters"),
        (f"[school]\nrules = {['a'] * 6}", "must be a list of at most 5 sentences"),
        ("[lessons.L2]\ncounts = ['2.1']", "L2 is not a key of [lessons]"),
        ("[lessons.L02]\ndue = '2026-12-04'", "must be a date and a time"),
        ("[lessons.L02]\ndue = 2026-12-04", "must be a date and a time"),
        ("[lessons.L02]\ncounts = []", "with one at least"),
        ("[lessons.L02]\nlate = 1", "late is not a key of [lessons.L02]"),
        ("[lessons.L02]\npoints = 0", "points must be a number above 0, up to 1000"),
        ("[lessons.L02]\npoints = inf", "points must be a number above 0"),
        ("lessons = 3", "lessons must be one table"),
        ("[lessons.L02]\ndrop = ['8.1']", "8.1 is no exercise of it"),
        (f"[lessons.L03]\ndrop = {L03}", "drop leaves no exercise to make a mark"),
        (f"{ACCEPT}'8.1' = ['1 kN']", "8.1 is not a key of [lessons.L02.accept]"),
        (f"{ACCEPT}'2.1' = '1 kN'", "2.1 must be a list of values or names"),
        (f"{ACCEPT}'2.1' = []", "2.1 must be a list of values or names"),
        (f"{ACCEPT}'2.1' = ['1 mm']", "“1 mm” is neither a value with its unit nor"),
        (f"{ACCEPT}'2.1' = ['M09']", "“M09” is neither a value with its unit nor"),
        (f"{ACCEPT}'2.7' = ['1 kN']", "“1 kN” is neither a value with its unit nor"),
        (f"{ACCEPT}'2.1' = [true]", "“True” is neither a value with its unit nor"),
    ],
)
def test_what_cannot_stand_in_a_plan_is_said_in_one_sentence(text, reason):
    with pytest.raises(FormError, match=re.escape(reason)):
        session_from(f"form = 1\n{text}")


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no poppler-utils")
def test_handouts_print_the_rules_beside_the_cautions_on_as_many_pages(make_room):
    planned = make_room([{"name": "Zoë"}])
    longest = ("w" * 9 + " ") * (LONGEST_RULE // 10 - 1) + "w" * 10
    limits = "\n".join(f"{name} = {low}" for name, (low, _) in LIMITS.items())
    full = f"form = 1\n[school]\n{limits}\nrules = {[longest] * MOST_RULES}\n"
    plan = planned.file.with_name("session.toml")
    one = planned.codes[0]

    for lesson in printed_lessons():
        plan.write_text(full, "utf-8")
        out = planned.file.with_name(lesson)
        assert main(["handout", str(planned.file), lesson, "-o", str(out)]) == 0
        said = words_of(out / f"{lesson} {one}.pdf")
        assert said.count(longest) == MOST_RULES
        assert f"page 1 of {student_pages(lesson)}" in said
        assert f"page {student_pages(lesson) + 1} of" not in said
        assert said.count("Student code") == student_pages(lesson)
        assert caution("S0") in said

    plan.write_text(PLAN, "utf-8")
    out = planned.file.with_name("again")
    assert main(["handout", str(planned.file), "L02", "-o", str(out)]) == 0
    said = words_of(out / f"L02 {one}.pdf")
    assert "Load no part beyond 0.75 of its rating." in said
    assert RULE in said
    assert "These make your mark: 2.1, 2.3. Due 2026-01-12" in said


def test_the_bay_takes_margin_and_zone_from_the_plan(planned, capsys, monkeypatch):
    asked = []
    monkeypatch.setattr(
        "workbook.classroom.bay_paper.write_bay_papers",
        lambda *_, margin, zone_deg, **__: asked.append((margin, zone_deg)) or (),
    )
    order = ["bay-paper", str(planned.file), "-o", str(planned.out)]
    assert main(order) == 0
    assert main([*order, "--zone-deg", "50"]) == 0  # what is typed comes first
    assert asked == [(0.75, 35), (0.75, 50)]

    planned.file.with_name("session.toml").unlink()
    assert main([*order, "--zone-deg", "50"]) == 1
    assert "give --margin, or set margin under [school]" in capsys.readouterr().err


def test_lessons_show_the_rules_beside_the_cautions(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "session.toml").write_text(PLAN, "utf-8")
    record = Record(tmp_path / FILE)
    record.sign_in(student="k7mr", class_key="oak")

    def shown():
        card = ExerciseCard("2.1", set="exit", record=record)
        cautions = next(
            one.value
            for one in PullExplorer().box.children
            if "pw-cautions" in one._dom_classes
        )
        return card.frame["caution"]["lines"], card.frame["foot"], cautions

    lines, foot, cautions = shown()
    assert lines[-1] == RULE
    assert "These make your mark: 2.1, 2.3." in foot
    assert RULE in cautions
    assert caution("S1") in cautions

    (tmp_path / "session.toml").write_text("form = 1\n[school]\nmargin = 7", "utf-8")
    lines, foot, cautions = shown()
    assert "margin must be a number from 0.1 to 1" in lines[-1]
    assert "Tell your instructor" in cautions
    assert len(foot) == 1

    (tmp_path / "session.toml").unlink()
    assert RULE not in "".join(shown()[0])


def test_explorers_and_the_bay_hold_to_the_schools_limits(tmp_path, monkeypatch):
    # With no plan the limits are nobody's: the start carries 99.5 % and breaks none.
    monkeypatch.chdir(tmp_path)
    here, record = Path("session.toml"), Record(tmp_path / FILE)
    record.sign_in(student="k7mr", class_key="oak")

    def first_of(act):
        return [part.first for part in ASKS[act](None, METRIC)]

    pull, bridle = PullExplorer(), BridleExplorer({"between_deg": 100})
    assert pull.past.value == ""
    assert "school" not in pull.stage.frame["words"]
    assert not bridle.result.past_limit
    assert first_of("begin") == ["", ""]

    here.write_text(PLAN.replace("[school]", "[school]\nbridle_deg = 90"), "utf-8")
    pull, bridle = PullExplorer(), BridleExplorer({"between_deg": 100})
    told = "a part carries 100% of its rating, and your school allows 75%."
    assert told in html.unescape(pull.past.value)
    assert told in pull.stage.frame["words"]
    assert bridle.result.past_limit
    assert bridle.values["school_limit_deg"] == 90
    assert first_of("begin") == ["0.75", "35"]
    page = PracticeBay(record=record).parts()
    assert RULE in page["caution"]["lines"]
    pull.set(ram_force_kn=20)  # 66 %, by the ratio of the forces
    assert pull.past.value == ""
