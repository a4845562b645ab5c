"""``pullwright key``, ``mark`` and ``report`` with answers that are made."""

import csv
import json

import pytest

from workbook.cli import main
from workbook.exercises import exercise
from workbook.scenes.setups import Setup


def right(own):
    return own.exercise.answer.typed(own.answer)


def as_code(own):
    """Return a right set-up as the code that an explorer shows of it."""
    values = {**own.exercise.answer.start(own.given), **own.answer}
    return Setup(values=values).code.replace("-", "").lower()


def other_way(own):
    """Return another right set-up than that of the key, found by trying."""
    answer = own.exercise.answer
    for lean in (2, 7, 12, 17, 22):
        for extension in range(0, 901, 20):
            made = {"lean_deg": float(lean), "extension_mm": float(extension)}
            if made != own.answer and answer.judge(made, own).name == "right":
                return answer.typed(made)
    raise AssertionError(own.numbers)


@pytest.fixture
def marked(small_class):
    first, second, third = small_class.codes
    small_class.hand_in(first, [("7.7", "lean 60 deg"), ("7.7", right), ("8.7", right)])
    small_class.hand_in(second, [("7.7", as_code), ("8.7", "fork_offset 60 mm")])
    small_class.hand_in(
        third, [("7.7", other_way), ("7.8", "H 0° 1 kN"), ("2.7", right)]
    )
    order = ["mark", str(small_class.file), str(small_class.folder)]
    assert main([*order, "-o", str(small_class.out)]) == 0
    return small_class


def test_any_set_up_that_does_what_is_asked_is_marked_right(marked):
    first, second, third = marked.codes
    marks = marked.marks()

    assert marks[first, "7.7"]["score"] == 0.9
    assert marks[first, "8.7"]["score"] == 1.0
    assert marks[second, "7.7"]["score"] == 1.0
    assert marks[third, "7.7"]["score"] == 1.0


def test_arrows_are_marked_like_any_answer(marked):
    third, marks = marked.codes[2], marked.marks()

    assert marks[third, "2.7"]["score"] == 1.0
    assert marks[third, "7.8"]["outcome"] == "missing_force"
    assert 0 <= marks[third, "7.8"]["score"] < 0.2


def test_what_could_not_be_read_is_no_wrong_answer(marked):
    _, second, _ = marked.codes

    assert marked.marks()[second, "8.7"]["held"]


def test_what_was_made_is_kept_as_it_was_typed(marked):
    (code,) = [x for x in marked.kept("answer") if x["typed"].startswith("pull1")]

    assert code["outcome"] == "right"
    assert code["right"] == exercise("7.7").answer.text(
        marked.variant(marked.codes[1], "7.7").answer
    )


def test_the_report_tells_a_mistake_of_a_set_up(marked):
    assert main(["report", str(marked.file), str(marked.out)]) == 0

    text = (marked.out / "report.txt").read_text("utf-8")
    assert "does_not_stand" in text
    assert "This rig does not stand" in text
    assert "missing_force" in text
    assert "A force that acts is missing" in text


def test_the_key_shows_one_set_up_that_is_right(small_class, tmp_path):
    main(["key", str(small_class.file), "L08", "-o", str(tmp_path / "key")])

    data = json.loads((tmp_path / "key" / "L08 key.json").read_bytes())
    rows = (tmp_path / "key" / "L08 key.csv").read_text("utf-8-sig").splitlines()
    table = [row for row in csv.reader(rows) if "8.7" in row]
    for student, row in zip(data["students"], table, strict=True):
        (entry,) = [e for e in student["exercises"] if e["exercise"] == "8.7"]
        own = small_class.variant(student["code"], "8.7")
        assert (
            own.exercise.answer.judge(
                own.exercise.answer.read(entry["answer"], own.given).made, own
            ).name
            == "right"
        )
        assert entry["answer"] in row


def test_another_answer_in_the_key_marks_nobody_otherwise(marked, tmp_path):
    main(["key", str(marked.file), "L07", "-o", str(tmp_path / "key")])
    path = tmp_path / "key" / "L07 key.json"
    data = json.loads(path.read_bytes())
    for student in data["students"]:
        for entry in student["exercises"]:
            if entry["exercise"] == "7.7":
                entry.update(answer="lean 1 deg", why="found by hand")
    path.write_text(json.dumps(data), "utf-8")
    before = marked.marks()

    order = ["remark", str(marked.file), str(marked.out), "--key", str(path)]
    assert main(order) == 0

    notes = " ".join(note["text"] for note in marked.kept("note"))
    assert "marked by what it does" in notes
    assert {k: v["score"] for k, v in marked.marks().items()} == {
        k: v["score"] for k, v in before.items()
    }
