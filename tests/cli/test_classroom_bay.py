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
    told = " ".join(report.split()).partition("PRACTICE BAY")[2]
    rows = dict(zip(bays.codes, re.split("|".join(bays.codes), told)[1:], strict=True))
    assert [row.count("C10 8,") for row in rows.values()] == [1, 0, 0]
    assert ["see the notes" in row for row in rows.values()] == [False, True, False]
    assert all("C7 shut; together" in row for row in rows.values())


def test_marks_of_the_bay_that_are_not_ours_get_one_sentence(bays, capsys):
    bays.mark()
    (bays.out / "bay marks.jsonl").write_text(json.dumps({"code": 3}), "utf-8")

    assert main(["report", str(bays.file), str(bays.out)]) == 1

    said = capsys.readouterr().err
    assert "bay marks.jsonl" in said
    assert "Traceback" not in said
