"""The repair record on its page: what is written is kept in the log, and printed."""

import re

import pytest

from widgets.repair_record import RepairRecord
from workbook.bay.log import BayLog
from workbook.bay.repair_record import GAP, field_names
from workbook.exercises.bank.lesson_16 import RECORD
from workbook.reader.record import FILE, Record


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def begun(folder):
    log = BayLog(Record(folder / FILE))
    rules = {"rating_margin": 0.8, "zone_half_angle_deg": 20}
    log.do({"act": "begin", "version": 2, **rules})
    log.do({"act": "survey"})
    return log


def test_without_a_job_only_the_worked_record_is_there(here):
    card = RepairRecord()

    table, _, told, _ = card.box.children
    row = re.compile(r'<th scope="row">(.*?)</th><td>(.*?)</td>', re.DOTALL)
    rows = row.findall(table.value)
    assert [name for name, _ in rows] == [*field_names().values()]
    empty = [name for name, written in rows if written == "(empty)"]
    assert empty == [field_names()[GAP]]
    assert "no job of your own" in told.value
    assert not (here / FILE).exists()


def test_a_field_that_is_written_is_kept_and_comes_back(here):
    card = RepairRecord(begun(here))

    assert [*card.fields] == [*RECORD]
    assert card.fields["before"].value.startswith("Loads off")
    card.fields["heat"].value = "None at all."
    assert "Kept in the log" in card.note.value

    again = RepairRecord(BayLog(Record(here / FILE)))
    assert again.written()["heat"] == "None at all."
    assert Record(here / FILE).mine("bay")[-1]["act"]["field"] == "heat"


def test_what_is_too_long_is_refused_in_a_sentence_and_stays_typed(here):
    card = RepairRecord(begun(here))
    long = "a" * 2000

    card.fields["story"].value = long
    assert card.fields["story"].value == long
    assert "1,000" in card.note.value or "1000" in card.note.value
    assert not Record(here / FILE).mine("bay")[-1]["act"].get("text")


def test_a_record_is_saved_as_a_page_to_print(here):
    card = RepairRecord(begun(here))
    worked, own = card.box.children[1], card.box.children[-2]

    worked.click()
    assert (here / "worked repair record.pdf").read_bytes().startswith(b"%PDF")
    own.click()
    assert (here / "repair record.pdf").read_bytes().startswith(b"%PDF")
    assert "Saved as" in card.note.value
