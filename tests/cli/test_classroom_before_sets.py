"""Hand-ins from before there were sets: marked as they were, and said to be so."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from workbook.classroom.roll import ClassList, Student, write_class
from workbook.cli import main
from workbook.language import say

# What the workbook made of these answers before practice had numbers of its own:
# code, exercise, attempt, whether on a marked card, what was typed, and its score.
KEPT = json.loads(Path(__file__).with_name("before_sets.json").read_text("utf-8"))
START = datetime(2026, 1, 12, 9, 0, tzinfo=UTC)
CODES = sorted({row[0] for row in KEPT["answers"]})


@pytest.fixture
def marked_again(small_class):
    """Hand in the old answers, mark them, and return the folder of marks."""
    students = tuple(Student(name=f"N {code}", code=code) for code in CODES)
    write_class(small_class.file, ClassList(key="oak", students=students))
    for code in CODES:
        own = [row for row in KEPT["answers"] if row[0] == code]
        lines = [
            {
                "format": 1, "kind": "answer", "version": 1, "class_key": "oak",
                "time": (START + timedelta(seconds=second)).isoformat(),
                "student": code, "exercise": id, "attempt": attempt,
                "marked": marked, "typed": typed,
            }
            for second, (_, id, attempt, marked, typed, _) in enumerate(own)
        ]  # fmt: skip
        text = small_class.text_of(lines, student=code)
        (small_class.folder / f"{code}.txt").write_text(text, "utf-8")
    asked = [small_class.file, small_class.folder, "-o", small_class.out]
    assert main(["mark", *map(str, asked)]) == 0
    return small_class


def test_marks_of_old_hand_ins_are_what_they_were(marked_again):
    answers = marked_again.kept("answer")
    marks = marked_again.kept("mark")

    assert len(answers) == len(KEPT["answers"]) > 200
    assert [x["score"] for x in answers] == [row[-1] for row in KEPT["answers"]]
    found = {(x["code"], x["exercise"]): x["score"] for x in marks}
    assert found == {(code, id): score for code, id, score in KEPT["marks"]}
    assert len({*found.values()}) > 4


def test_the_instructor_is_told_that_old_answers_were_marked_as_then(marked_again):
    notes = [x["text"] for x in marked_again.kept("note")]

    for code in CODES:
        count = sum(row[0] == code for row in KEPT["answers"])
        what = say("classroom", "hand_ins", "before_sets", count=count)
        assert f"{code}.txt {what}" in notes
