"""``pullwright remark``: a correction changes what it should and says so."""

import csv
import json
from dataclasses import replace

import pytest

from workbook import language
from workbook.cli import main
from workbook.exercises import EXERCISES

RIGHT = "right"
WHOLE = "M01_whole_tension"


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def marked(small_class):
    """Mark a class of two once: one half right, half wrong."""
    one, two, _ = small_class.codes
    small_class.hand_in(one, [("2.1", RIGHT), ("2.2", RIGHT), ("2.3", WHOLE)])
    small_class.hand_in(two, [("2.1", WHOLE), ("2.2", WHOLE), ("2.2", RIGHT)])
    order = ["mark", str(small_class.file), str(small_class.folder)]
    assert main([*order, "-o", str(small_class.out)]) == 0
    return small_class


@pytest.fixture
def version_2(monkeypatch):
    """Exercise 2.1 in a version whose right answer is the whole tension."""
    old = EXERCISES["2.1", 1]
    routes = tuple(m for m in old.mistakes if m.name != WHOLE)
    whole = replace(old.answer, solve=lambda g: g.tension)
    new = replace(old, version=2, answer=whole, mistakes=routes)
    monkeypatch.setitem(EXERCISES, ("2.1", 2), new)
    said = language.text("exercise", "L02")
    monkeypatch.setitem(said, "2.1 v2", said["2.1 v1"])


def remark(room, *options):
    return main(["remark", str(room.file), str(room.out), *options])


def changed(room, number=1):
    """Return (code, exercise, old, new, why) of each change listed."""
    file = room.out / f"changes-{number}.csv"
    with file.open(encoding="utf-8-sig", newline="") as stream:
        rows = [*csv.DictReader(stream)]
    return [tuple(row.values())[1:] for row in rows]


def scores(room):
    return {place: mark["score"] for place, mark in room.marks().items()}


def test_nothing_corrected_changes_nothing(marked, capsys):
    before = {path.name: path.read_bytes() for path in marked.out.iterdir()}
    capsys.readouterr()

    assert remark(marked) == 0

    after = {path.name: path.read_bytes() for path in marked.out.iterdir()}
    assert after == before
    assert "changed" not in capsys.readouterr().out


def test_a_new_version_changes_its_own_marks_and_no_others(marked, version_2, capsys):
    one, two, _ = marked.codes
    before = scores(marked)
    capsys.readouterr()

    assert remark(marked, "--mark-as", "2.1=2") == 0

    why = "marked as version 2"
    expected = [(one, "2.1", "100", "0", why), (two, "2.1", "0", "100", why)]
    assert sorted(changed(marked)) == sorted(expected)
    after = scores(marked)
    assert {p for p in after if after[p] != before[p]} == {(one, "2.1"), (two, "2.1")}
    said = capsys.readouterr().out
    assert f"({two}) 2.1 0 -> 100: {why}" in said
    kept = (marked.out / "marks-before-1.jsonl").read_text("utf-8")
    assert f'"code": "{two}", "exercise": "2.1", "score": 0.0' in kept


def test_a_corrected_key_changes_the_one_mark_it_names(marked, tmp_path):
    _, two, _ = marked.codes
    key = tmp_path / "key" / "L02 key.json"
    assert main(["key", str(marked.file), "L02", "-o", str(key.parent)]) == 0
    data = json.loads(key.read_bytes())
    entry = next(
        e
        for s in data["students"]
        for e in s["exercises"]
        if s["code"] == two and e["exercise"] == "2.1"
    )
    entry |= {"answer": entry["numbers"]["tension"], "why": "sheet was smudged"}
    corrected = tmp_path / "corrected.json"
    corrected.write_text(json.dumps(data), "utf-8")

    assert remark(marked, "--key", str(corrected)) == 0

    assert changed(marked) == [(two, "2.1", "0", "100", "sheet was smudged")]


def test_numbers_of_the_key_file_count_over_drawn_ones(marked, tmp_path):
    one, *_ = marked.codes
    key = tmp_path / "key" / "L02 key.json"
    assert main(["key", str(marked.file), "L02", "-o", str(key.parent)]) == 0
    data = json.loads(key.read_bytes())
    entry = data["students"][0]["exercises"][0]
    # The paper of this student printed twice the tension.
    entry["numbers"]["tension"] *= 2
    entry |= {"answer": entry["answer"] * 2, "why": "printed twice the tension"}
    corrected = tmp_path / "corrected.json"
    corrected.write_text(json.dumps(data), "utf-8")

    assert remark(marked, "--key", str(corrected)) == 0

    assert changed(marked) == [(one, "2.1", "100", "0", "printed twice the tension")]


def test_an_answer_changed_without_a_reason_does_not_count_and_is_told(
    marked, tmp_path
):
    key = tmp_path / "key" / "L02 key.json"
    assert main(["key", str(marked.file), "L02", "-o", str(key.parent)]) == 0
    data = json.loads(key.read_bytes())
    data["students"][0]["exercises"][0]["answer"] = 1.5
    corrected = tmp_path / "corrected.json"
    corrected.write_text(json.dumps(data), "utf-8")
    before = scores(marked)

    assert remark(marked, "--key", str(corrected)) == 0

    assert scores(marked) == before
    notes = (marked.out / "notes.txt").read_text("utf-8")
    assert "not 1.5, so that counts" in notes


def test_marks_set_by_hand_are_never_changed_by_a_correction(marked, version_2, capsys):
    one, two, _ = marked.codes
    (marked.out / "hand-marks.csv").write_text(
        f"code,exercise,mark,why\n{one},2.1,75,spoken check\n", "utf-8"
    )

    assert remark(marked) == 0
    assert changed(marked) == [(one, "2.1", "100", "75", "set by hand: spoken check")]
    assert remark(marked, "--mark-as", "2.1=2") == 0

    assert changed(marked, 2) == [(two, "2.1", "0", "100", "marked as version 2")]
    rows = (marked.out / "marks-by-exercise.csv").read_text("utf-8-sig")
    assert "2.1 75: spoken check" in rows


def test_a_mark_no_longer_set_by_hand_goes_back_and_is_listed(marked):
    one, *_ = marked.codes
    by_hand = marked.out / "hand-marks.csv"
    by_hand.write_text(f"code,exercise,mark,why\n{one},2.1,75,x\n", "utf-8")
    remark(marked)
    by_hand.unlink()

    assert remark(marked) == 0

    assert changed(marked, 2) == [(one, "2.1", "75", "100", "no longer set by hand")]


def test_a_checker_that_decides_otherwise_is_named(marked, monkeypatch):
    one, two, _ = marked.codes
    old = EXERCISES["2.2", 1]
    whole = replace(old.answer, solve=lambda g: 2 * g.tension)
    wrong = replace(old, answer=whole)
    monkeypatch.setitem(EXERCISES, ("2.2", 1), wrong)

    assert remark(marked) == 0

    rows = {row[0]: row for row in changed(marked)}
    assert rows[one][1:4] == ("2.2", "100", "0")
    assert rows[one][4].endswith("right is none_of_these")
    assert set(rows) == {one, two}


def test_marking_anew_must_not_lose_a_correction(marked, version_2, capsys):
    assert remark(marked, "--mark-as", "2.1=2") == 0
    order = ["mark", str(marked.file), str(marked.folder), "-o", str(marked.out)]
    before = scores(marked)
    capsys.readouterr()

    assert main(order) == 1
    assert "2.1 as version 2" in capsys.readouterr().err
    assert main([*order, "--mark-as", "2.1=2"]) == 0

    assert scores(marked) == before


def test_answers_to_other_numbers_cannot_be_marked_as_a_version(
    marked, monkeypatch, capsys
):
    other = replace(EXERCISES["2.2", 1], id="2.1", version=3)
    monkeypatch.setitem(EXERCISES, ("2.1", 3), other)
    before = (marked.out / "marks.jsonl").read_bytes()
    capsys.readouterr()

    assert remark(marked, "--mark-as", "2.1=3") == 1

    assert "other numbers in its question" in capsys.readouterr().err
    assert (marked.out / "marks.jsonl").read_bytes() == before


BAD = {
    "no version": (["--mark-as", "2.1"], "as 7.2=2"),
    "unknown version": (["--mark-as", "2.1=9"], "no exercise 2.1 in version 9"),
    "no title": (["--column", "L02"], "L07=Quiz 7"),
}


@pytest.mark.parametrize(("options", "words"), BAD.values(), ids=BAD.keys())
def test_an_option_that_cannot_serve_gets_one_sentence(options, words, marked, capsys):
    capsys.readouterr()

    assert remark(marked, *options) == 1

    out, err = capsys.readouterr()
    assert words in err
    assert (out, err.count("\n")) == ("", 1)


BROKEN_KEYS = {
    "no JSON": ("{", "not a key file"),
    "a list": ("[1]", "not a key file"),
    "deep": ("[" * 9_000, "not a key file"),
    "another class": (
        '{"format":1,"kind":"key","class_key":"elm","students":[]}',
        "another class",
    ),
}


@pytest.mark.parametrize(("text", "words"), BROKEN_KEYS.values(), ids=BROKEN_KEYS)
def test_a_broken_key_file_is_refused(text, words, marked, tmp_path, capsys):
    file = tmp_path / "key.json"
    file.write_text(text, "utf-8")
    capsys.readouterr()

    assert remark(marked, "--key", str(file)) == 1

    assert words in capsys.readouterr().err


NUMBERS = {
    "a number left out": {},
    "a word": {"tension": "20", "angle": 30},
    "no number": {"tension": float("nan"), "angle": 30},
    "one too many": {"tension": 20, "angle": 30, "rise": 1},
    "a truth": {"tension": True, "angle": 30},
    "endless": {"tension": 10**400, "angle": 30},
    "nothing to solve": {"tension": 0, "angle": 30},
}


@pytest.mark.parametrize("numbers", NUMBERS.values(), ids=NUMBERS)
def test_a_key_with_numbers_that_cannot_serve_is_refused_by_place(
    numbers, marked, tmp_path, capsys
):
    code = marked.codes[0]
    entry = {"exercise": "2.1", "version": 1, "numbers": numbers, "answer": 1}
    data = {
        "format": 1,
        "kind": "key",
        "set": "exit",
        "class_key": "oak",
        "students": [{"code": code, "exercises": [entry]}],
    }
    file = tmp_path / "key.json"
    file.write_text(json.dumps(data), "utf-8")
    capsys.readouterr()

    assert remark(marked, "--key", str(file)) == 1

    assert f"{code}, exercise 2.1: its numbers cannot" in capsys.readouterr().err


def test_a_key_printed_before_there_were_sets_is_for_answers_from_then(
    marked, tmp_path, capsys
):
    code = marked.codes[0]
    numbers = dict(marked.variant(code, "2.1").numbers)
    entry = {"exercise": "2.1", "version": 1, "numbers": numbers, "answer": 1}
    data = {
        "format": 1,
        "kind": "key",
        "class_key": "oak",
        "students": [{"code": code, "exercises": [{**entry, "why": "a slip of mine"}]}],
    }
    file = tmp_path / "key.json"
    file.write_text(json.dumps(data), "utf-8")

    assert remark(marked, "--key", str(file)) == 0
    untouched = marked.marks()[code, "2.1"]
    file.write_text(json.dumps({**data, "set": "exit"}), "utf-8")
    assert remark(marked, "--key", str(file)) == 1  # the first is not given again
    capsys.readouterr()

    assert untouched["why"] == ""


def test_marks_that_were_tampered_with_are_refused(marked, capsys):
    file = marked.out / "marks.jsonl"
    lines = file.read_text("utf-8").splitlines()
    whole = "\n".join(lines)
    newer = whole.replace('"format": 1', '"format": 2', 1)
    odd_set = whole.replace('"set": ""', r'"set": "e\ud800xit"').replace(
        '"set": "exit"', r'"set": "e\ud800xit"'
    )
    assert odd_set != whole
    more = "\n".join([*lines, '{"kind": "mark"}'])
    for text in ("", "{}", newer, odd_set, more, "\udcff"):
        file.write_text(text, "utf-8", errors="surrogateescape")
        capsys.readouterr()

        assert remark(marked) == 1

        assert "mark the folder anew" in capsys.readouterr().err


def test_there_must_be_marks_to_mark_again(small_class, capsys):
    assert remark(small_class) == 1

    assert "mark a folder first" in capsys.readouterr().err


def test_every_exercise_of_every_lesson_marks_again_the_same(small_class):
    code = small_class.codes[0]
    ids = [e.id for e in map(EXERCISES.get, EXERCISES)]
    small_class.hand_in(code, [(id, t) for id in ids for t in ("3", "4 s", RIGHT)])
    order = ["mark", str(small_class.file), str(small_class.folder)]
    assert main([*order, "-o", str(small_class.out)]) == 0
    first = (small_class.out / "marks.jsonl").read_bytes()

    assert remark(small_class) == 0

    assert (small_class.out / "marks.jsonl").read_bytes() == first
    assert len(scores(small_class)) == len({one.id for one in EXERCISES.values()})
