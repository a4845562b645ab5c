"""Tables of a file: read by the same fields as controls, refused in one sentence."""

import numpy as np
import pytest

from workbook.errors import FormError
from workbook.scenes import holds, plan_files
from workbook.scenes.fields import Choice, Number
from workbook.scenes.forms import read_form, read_rows, read_table

FIELDS = {
    field.name: field
    for field in (
        Number(name="height_mm", subject="place", low=-500, high=2500),
        Number(name="move_mm", subject="plan.job", low=-9, high=9, count=3),
        Number(name="slack_mm", subject="plan.job", low=0, high=300, start=5),
        Number(name="pushes", subject="hold.stand", low=-1, high=1, count=3,
               start=(0, 0, 1)),
        Choice(name="held", subject="pull", options=("a", "b"), start="b"),
    )
}  # fmt: skip
GIVEN = {"height_mm": 40, "move_mm": [1, 2, 3]}


def test_a_table_becomes_rows_in_si_with_starts_for_what_is_left_out():
    read = read_table(GIVEN, fields=FIELDS, name="job")

    assert read.pop("held") == "b"
    expected = {"height_mm": [0.04], "move_mm": [1e-3, 2e-3, 3e-3],
                "slack_mm": [5e-3], "pushes": [0, 0, 1]}  # fmt: skip
    assert read.keys() == expected.keys()
    for name, values in expected.items():
        assert read[name] == pytest.approx(np.array(values), rel=1e-12)


def test_a_choice_of_a_table_is_read_and_refused_like_any_other():
    assert read_table({**GIVEN, "held": "a"}, fields=FIELDS, name="job")["held"] == "a"

    with pytest.raises(FormError) as refusal:
        read_table({**GIVEN, "held": "c"}, fields=FIELDS, name="job")

    assert str(refusal.value) == "job: held must be one of 'a', 'b', not 'c'"


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"height_mm": 3}, "job has no move_mm: give it"),
        ({"hight_mm": 3}, "hight_mm is not a key of job; did you mean height_mm?"),
        ({"qqq": 3}, "qqq is not a key of job"),
        (
            GIVEN | {"move_mm": [1, 2]},
            "job: move_mm must be 3 numbers, how far the point must go: forward, "
            "left, up",
        ),
        (
            GIVEN | {"move_mm": [1, 2, 10.5]},
            "job: move_mm = 10.5 is outside -9 to 9 mm",
        ),
        (
            GIVEN | {"height_mm": "\n" + "x" * 100},
            f"job: height_mm must be a number in mm, not '\\n{'x' * 37}",
        ),
        (
            GIVEN | {"height_mm": True},
            "job: height_mm must be a number in mm, not True",
        ),
        (
            GIVEN | {"slack_mm": 10**100},
            f"job: slack_mm = 1{'0' * 19} is outside 0 to 300 mm",
        ),
        ([], "job must be one table, [job]"),
    ],
)
def test_what_is_wrong_with_a_table_is_one_sentence(given, sentence):
    with pytest.raises(FormError) as refusal:
        read_table(given, fields=FIELDS, name="job")

    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("entries", "sentence"),
    [
        ({}, "job must be tables, each under its own [[job]]"),
        ([GIVEN], "job 1 needs a name, text of at most 40 characters"),
        ([{**GIVEN, "name": "a\tb"}], "the name of job 1 must be plain characters"),
        ([{"name": "a'b"}], 'job "a\'b" has no height_mm: give it'),
    ],
)
def test_what_is_wrong_with_a_named_table_is_one_sentence(entries, sentence):
    with pytest.raises(FormError) as refusal:
        read_rows(entries, fields=FIELDS, kind="job")

    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (b"\xff", "this is not a text file: a set-up file is TOML text in UTF-8"),
        (" \n", "this file is empty: a set-up file begins with `form = 1`"),
        ("#" * 100_001, "a set-up file has at most 100000 bytes; this has more"),
        ("form = 2", "the first line must be `form = 1`, the version of this form"),
        ("form = 1\ntitle = 3", "title must be text of at most 200 characters"),
        ("form = 1\n[jobs]", "jobs is not a table of this form; did you mean job?"),
        ("form =", "this is not TOML: look at its end, where something is missing"),
        ("a = 1\nb = = 2", "this is not TOML: look at line 2, near character 5"),
        (
            f"a = {'9' * 5000}",
            "this is not TOML: every line must be like `lean_deg = 10`, or a [table]",
        ),
    ],
)
def test_what_is_no_file_of_this_form_is_one_sentence(text, sentence):
    with pytest.raises(FormError) as refusal:
        read_form(text, what="set_up", tables=["job"])

    assert str(refusal.value) == sentence


@pytest.mark.parametrize("tables", [holds.TABLES, plan_files.TABLES])
def test_every_key_of_a_table_has_its_meaning_and_its_unit(tables):
    for fields in tables.values():
        for name, field in fields.items():
            assert field.name == name
            assert field.meaning
            # A name ends with its unit, so that no number stands without one.
            assert field.unit == "1" or name.endswith(
                field.unit.lower().replace("/", "_per_")
            )
            assert field.start is None or np.size(field.start) == field.count
