"""The repair record: filled from what was done, with gaps where nobody wrote."""

import pytest

from workbook.bay.good_job import good_job
from workbook.bay.log import job_of
from workbook.bay.repair_record import (
    GAP,
    field_names,
    filled_record,
    worked_job,
    worked_record,
)
from workbook.exercises.bank.lesson_16 import RECORD


@pytest.fixture(scope="module")
def worked():
    return worked_job()


def test_the_worked_job_is_a_good_job_on_its_car(worked):
    rules = worked.bay.rules
    best = good_job(worked.bay.car, margin=rules.margin, half_angle=rules.half_angle)

    done = [act for act in worked.acts if act["act"] != "record"]
    assert done == [dict(act) for act in best.acts]
    assert not worked.bay.faults


def test_the_worked_record_has_one_gap_and_no_other(worked):
    shown = worked_record()

    assert [*shown] == [*field_names()] == [*RECORD]
    assert [name for name, written in shown.items() if not written] == [GAP]
    assert filled_record(worked)[GAP].count("Loads off") == len(worked.bay.pulls)


def test_readings_and_pulls_are_those_of_the_job(worked):
    shown, bay = filled_record(worked), worked.bay

    last = bay.readings[-1]
    count = int(last.survey.beyond.any(axis=1).sum())
    assert f"Loads off: {count} of 23 points" in shown["after"]
    ahead = 1e3 * bay.readings[0].differences["left-tip"][0]
    assert f"Left tip {ahead:.1f} mm".replace("-", "−") in shown["before"]
    for number, pull in enumerate(bay.pulls, start=1):
        place, force, tension = pull.rams["A"]
        assert f"({number}) Place: {place}" in shown["pulls"]
        assert f"Most ram force {force / 1e3:.1f} kN" in shown["pulls"]
        assert f"most chain tension {tension / 1e3:.1f} kN" in shown["pulls"]
    assert "left rear to rear left" in shown["anchor layout"]
    assert shown["stress relief"] == "None."


def test_what_is_written_goes_before_what_the_log_says():
    job = job_of(student="K8", class_key="oak")
    assert set(filled_record(job).values()) == {""}

    begin = {"rating_margin": 0.8, "zone_half_angle_deg": 20}
    job.do({"act": "begin", "version": 2, **begin})
    job.do({"act": "survey"})
    before = filled_record(job)
    assert before["before"].startswith("Loads off")
    # Nothing was pulled: nothing is after it, and nobody knows of heat.
    assert not any(before[name] for name in ("after", "heat", "pulls", "stress relief"))

    job.do({"act": "record", "field": "before", "text": "read by K8"})
    assert filled_record(job)["before"] == "read by K8"
