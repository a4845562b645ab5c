"""The practice bay in hand-ins: marked with the rest, told of, and in the report."""

import json
import re

import pytest

from workbook.bay import good_job
from workbook.bay.car import VERSION
from workbook.bay.log import BayLog
from workbook.cli import main
from workbook.reader.hand_in import write_hand_in
from workbook.reader.record import FILE, Record

BEGIN = {
    "act": "begin",
    "version": VERSION,
    "rating_margin": 0.8,
    "zone_half_angle_deg": 20,
}


@pytest.fixture
def bays(small_class, monkeypatch):
    """Return a class: a job between two students' lines, a changed one, a paper."""
    monkeypatch.setattr(good_job, "MOST_PULLS", 0)
    one, two, three = small_class.codes
    place = small_class.file.parent
    record = Record(place / FILE)
    log = BayLog(record)
    for code in (one, two):
        record.sign_in(student=code, class_key="oak")
        log.do(BEGIN)
        for what in log.job.bay.car.stoppers:
            log.do({"act": "make_safe", "what": what})
        log.do({"act": "survey"})
        bearing = {"act": "answer", "step": "C10", "item": "holding pull"}
        log.do({**bearing, "typed": right_c10(log.job.bay.car.ask)})
        written = write_hand_in(record, folder=small_class.folder)
        inside = len(log.job.acts)
        assert f"acts in the practice bay {inside}" in written.read_text("utf-8")
    written.write_text(
        written.read_text("utf-8").replace('typed": "', 'typed": "9'), "utf-8"
    )
    paper = f"code: {three}\nmargin: 0.8\nzone: 20\nC10 holding pull: 3 kN\n"
    (small_class.folder / "paper.txt").write_text(paper, "utf-8")
    return small_class


def right_c10(ask):
    return f"{ask['hold_pull'] * ask['hold_arm'] / ask['hold_at'] / 1e3:.3f} kN"


def test_a_job_is_marked_with_its_hand_in_and_stands_in_the_report(bays, capsys):
    bays.mark()

    said = capsys.readouterr().out
    assert "3 jobs of the practice bay, in bay marks.csv" in said
    assert "Nothing to mark" not in said
    table = {row["code"]: row for row in bays.table("bay marks.csv")}
    _, two, three = bays.codes
    assert [table[code]["C10"] for code in bays.codes] == ["8.0", "0.0", "0.0"]
    notes = bays.notes()
    assert not any(three in note or "paper.txt" in note for note in notes)
    (broken,) = (note for note in notes if "chain breaks" in note)
    assert two in broken
    texts = {c: (bays.out / f"bay {c}.txt").read_text("utf-8") for c in bays.codes}
    apart = [code for code in bays.codes if "does not hang together" in texts[code]]
    assert apart == [two]

    assert main(["report", str(bays.file), str(bays.out)]) == 0

    report = (bays.out / "report.txt").read_text("utf-8")
    assert "0 of 3 students handed in answers. Only the practice bay came from" in (
        " ".join(report.split())
    )
    assert "Nothing came from" not in report
    told = " ".join(report.split()).partition("PRACTICE BAY")[2]
    rows = dict(zip(bays.codes, re.split("|".join(bays.codes), told)[1:], strict=True))
    assert [row.count("C10 8,") for row in rows.values()] == [1, 0, 0]
    assert ["see the notes" in row for row in rows.values()] == [False, True, False]
    assert all("C7 shut; together" in row for row in rows.values())

    (bays.out / "bay marks.jsonl").write_text(json.dumps({"code": 3}), "utf-8")

    assert main(["report", str(bays.file), str(bays.out)]) == 1

    said = capsys.readouterr().err
    assert "bay marks.jsonl" in said
    assert "Traceback" not in said


def test_other_rules_than_the_schools_and_another_job_are_told(bays):
    plan = "form = 1\n[school]\nmargin = 0.8\nzone_deg = 30\n"
    (bays.file.parent / "session.toml").write_text(plan, "utf-8")
    one = bays.codes[0]
    path = bays.file.parent / FILE
    record = Record(path)
    record.sign_in(student=one, class_key="oak")
    log = BayLog(record)
    log.begin_another()
    log.do({**BEGIN, "rating_margin": 1.0})
    for old in bays.folder.iterdir():
        old.unlink()
    write_hand_in(record, folder=bays.folder)

    bays.mark()

    (again, rules) = (n for n in bays.notes() if one in n and "chain" not in n[:40])
    assert "began 2 jobs on this car" in again
    assert "a margin of 1 and 20.0° to either side" in rules
    assert "Your session plan says a margin of 0.8, 30.0°." in rules
