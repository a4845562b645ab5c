"""Whatever a stranger writes, the folder is marked and nothing is a traceback."""

import json

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from workbook.classroom.hand_ins import KINDS, read_folder
from workbook.classroom.kept import step_lines
from workbook.classroom.marks import Corrections, mark_class

ENDLESS = [10**400, -(10**400), float("nan"), float("inf"), 1e308, "9" * 5_000]
TEXT = st.text(max_size=20)
SCALARS = st.none() | st.booleans() | st.integers() | st.floats() | TEXT
ANYTHING = st.sampled_from(ENDLESS) | st.recursive(
    SCALARS, lambda x: st.lists(x, max_size=3) | st.dictionaries(TEXT, x, max_size=3)
)
TYPED = TEXT | st.sampled_from(
    ["12 kN", "1e99 kN", "9" * 80, "0", "-0 kN", "1/0 in", "__import__('os')", "٣ kN"]
)
SLOW_FOLDER = settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


@pytest.fixture
def mark_lines(small_class):
    """Hand lines in as one student, mark them, return marks and notes."""

    def run(rows):
        for old in small_class.folder.iterdir():
            old.unlink()
        (small_class.folder / "x.txt").write_bytes(b"\n".join(rows))
        found = read_folder(small_class.folder, small_class.list)
        done = [*mark_class(small_class.list, found.steps, corrections=Corrections())]
        kept = [json.loads(line) for one in done for line in step_lines(one)]
        notes = [*found.notes, *(note for one in done for note in one.notes)]
        notes = [note.text for note in notes]
        return [mark for one in done for mark in one.marks], kept, notes

    return run


@SLOW_FOLDER
@given(data=st.data())
def test_lines_with_any_values_mark_from_nought_to_one(small_class, mark_lines, data):
    code = small_class.codes[0]
    honest = small_class.lines_of(code, [("7.6a", "right"), ("7.6b", "right")])
    names = st.sampled_from([*honest[0], "carried", "number", "choice", "kind"])
    rows = []
    for line in honest * 2:
        changed = data.draw(st.dictionaries(names, ANYTHING, max_size=3))
        changed |= {
            "kind": data.draw(st.sampled_from(KINDS)),
            "typed": data.draw(TYPED),
        }
        rows.append(json.dumps({**line, **changed}).encode())

    marks, kept, notes = mark_lines(rows)

    assert all(0 <= mark.score <= 1 for mark in marks)
    assert len(kept) + sum("not marked" in note for note in notes) > 0
    assert not [note for note in notes if not note.isprintable()]


@SLOW_FOLDER
@example(cut=902, put=b"", bits=1)  # in the word answer
@given(cut=st.integers(0, 2_000), put=st.binary(max_size=30), bits=st.integers(0, 40))
def test_a_file_with_bytes_changed_anywhere_is_read_or_told(
    small_class, mark_lines, cut, put, bits
):
    code = small_class.codes[0]
    lines = small_class.lines_of(code, [("2.1", "right"), ("2.2", "12")])
    raw = small_class.text_of(lines, student=code).encode()

    marks, _, notes = mark_lines([raw[:cut] + put + raw[cut + bits :]])

    assert all(0 <= mark.score <= 1 for mark in marks)
    assert len(marks) == 2 or notes
