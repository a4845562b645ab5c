"""The log beside the lessons: saved, gone on with, copied, changed, cut off."""

import json
import re

import pytest
from bay_jobs import BEGIN, CODES, anchored

from workbook.bay.data import as_data
from workbook.bay.log import MOST_ACTS, BayJob, BayLog, last_job
from workbook.errors import FormError, WorkbookError
from workbook.reader.chain import Tip
from workbook.reader.record import FILE, Record


@pytest.fixture
def path(tmp_path):
    return tmp_path / FILE


def log_at(path):
    return BayLog(Record(path))


def signed_in(path):
    log = log_at(path)
    log.record.sign_in(**CODES)
    return log


def lines_of(path):
    return [json.loads(line) for line in path.read_text("utf-8").splitlines()]


def test_a_job_is_gone_on_with_another_day(path, car):
    log = signed_in(path)
    for act in anchored(car)[:6]:
        log.do(act)
    later = log_at(path)
    for act in anchored(car)[6:]:
        later.do(act)

    assert as_data(log_at(path).job.bay) == as_data(log.job.bay)
    assert log.job.acts == anchored(car)
    assert log.job.bay.count == len(anchored(car))


def test_every_line_is_plain_and_follows_the_one_before(path):
    log = signed_in(path)
    log.do(BEGIN)
    log.do({"act": "survey"})

    raws, tip = path.read_bytes().splitlines(), Tip()
    for raw in raws:
        line = json.loads(raw)
        assert line["kind"] == "start" or tip.fits(line)
        tip = tip.after(line, raw)
    assert [line["act"] for line in lines_of(path) if line["kind"] == "bay"] == [
        BEGIN,
        {"act": "survey"},
    ]


def test_what_is_refused_is_not_in_the_log(path):
    log = signed_in(path)
    with pytest.raises(WorkbookError, match="begin the job first"):
        log.do({"act": "survey"})

    assert not path.exists() or not any(li["kind"] == "bay" for li in lines_of(path))
    assert log.job.acts == []


def test_another_job_begins_with_the_same_car_and_the_first_one_stays(path):
    log = signed_in(path)
    log.do(BEGIN)
    log.do({"act": "survey"})
    log.begin_another()
    assert log.job.bay.count == 0
    log.do(BEGIN)

    assert log_at(path).job.acts == [BEGIN]
    assert last_job(lines_of(path))[0] == 2
    assert [li["job"] for li in lines_of(path) if li["kind"] == "bay"] == [1, 1, 2]


def test_two_students_at_one_file_have_a_job_each(path):
    log = signed_in(path)
    log.do(BEGIN)
    log.record.sign_in(class_key="oak", student="S1")

    assert log.job.acts == []
    log.do(BEGIN)
    log.do({"act": "survey"})
    log.record.sign_in(**CODES)
    assert log.job.acts == [BEGIN]


@pytest.mark.parametrize(
    "change",
    [
        lambda act: {**act, "station": "roof"},
        lambda act: {**act, "act": "unclamp"},
        lambda _: None,
        lambda _: {"act": "release", "by": "hand"},
    ],
)
def test_a_log_that_was_changed_says_so_in_one_sentence(path, car, change):
    log = signed_in(path)
    for act in anchored(car)[:5]:
        log.do(act)
    whole = lines_of(path)
    whole[-1]["act"] = change(whole[-1]["act"])
    path.write_text("".join(json.dumps(line) + "\n" for line in whole), "utf-8")

    with pytest.raises(FormError, match="act 5 of the log cannot be done") as said:
        log_at(path).job  # noqa: B018  it is worked out when asked for

    assert "\n" not in str(said.value)


def changed(lines):
    (one,) = (line for line in lines if line.get("act", {}).get("station"))
    one["act"]["station"] = "right front"


@pytest.mark.parametrize(
    ("edit", "near"),
    [
        (changed, "3"),
        (lambda lines: lines.pop(4), "2"),
        (lambda lines: lines.insert(4, {**lines[4], "act": {"act": "survey"}}), "3"),
        (lambda lines: lines[4].pop("prev"), "2, 3"),
        # Lines cut off at the end, or an identity changed before the job began.
        (lambda lines: lines.pop(), ""),
        (lambda lines: lines[1].update(pair="K7"), ""),
    ],
)
def test_a_log_that_was_changed_and_can_be_done_says_where(path, edit, near):
    log = signed_in(path)
    stations = [{"act": "clamp", "station": one} for one in ("left front",)]
    for act in [BEGIN, {"act": "survey"}, *stations, {"act": "survey"}]:
        log.do(act)
    assert log.doubt == ""
    whole = lines_of(path)
    assert len(whole) == 6  # the start, who works, four acts

    edit(whole)
    path.write_text("".join(json.dumps(line) + "\n" for line in whole), "utf-8")
    again = log_at(path)

    assert again.job.acts[0] == BEGIN
    assert (re.findall(r"at acts? ([0-9, ]+)\.", again.doubt) or [""]) == [near]


def test_a_log_cut_off_goes_on_before_the_cut(path, car):
    log = signed_in(path)
    for act in anchored(car)[:5]:
        log.do(act)
    raw = path.read_bytes()
    path.write_bytes(raw[:-20])

    again = log_at(path)

    assert again.job.acts == anchored(car)[:4]
    again.do({"act": "survey"})
    assert log_at(path).job.acts == [*anchored(car)[:4], {"act": "survey"}]


@pytest.mark.parametrize("raw", [b"\0" * 1000, b"no line\n", b"[1, 2]\n", b"{}\n" * 9])
def test_a_file_that_is_no_log_is_an_empty_one(path, raw):
    path.write_bytes(raw)

    assert log_at(path).job.acts == []


def test_a_file_too_large_is_told_and_not_read(path):
    with path.open("wb") as file:
        file.truncate(33 * 2**20)

    log = log_at(path)

    assert "32 MB" in log.record.trouble or "MB" in log.record.trouble
    assert log.job.acts == []


def test_a_job_has_an_end(car):
    job = BayJob(student="S0", class_key="oak", bay=None, acts=[BEGIN] * MOST_ACTS)

    with pytest.raises(WorkbookError, match="at most 2000 acts"):
        job.do(BEGIN)
