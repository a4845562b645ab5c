"""``pullwright mark``: a folder of strangers' files in, marks out."""

import csv
import json
import os
import random
import re
import zipfile

import pytest

from widgets.prediction import PredictionLock
from widgets.question import ExerciseCard
from workbook.classroom.kept import read_kept
from workbook.cli import main
from workbook.course import lesson
from workbook.exercises import exercises_of
from workbook.reader.hand_in import write_hand_in
from workbook.reader.record import FILE, Record
from workbook.reader.way_in import WayIn

RIGHT = "right"
WHOLE = "M01_whole_tension"


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


def mark(room, *options):
    """Mark the folder; the command must do it."""
    order = ["mark", str(room.file), str(room.folder), "-o", str(room.out)]
    assert main([*order, *options]) == 0


def table(path, **options):
    """Read a table back as another program would."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return [*csv.DictReader(file, **options)]


def notes(room):
    return (room.out / "notes.txt").read_text("utf-8").split("\n\n")[0].splitlines()[1:]


def test_marks_follow_the_tries(small_class):
    one, two, three = small_class.codes
    small_class.hand_in(one, [("2.1", RIGHT), ("2.2", WHOLE), ("2.2", RIGHT)])
    small_class.hand_in(two, [("2.1", WHOLE)] * 3 + [("2.1", RIGHT)])
    small_class.hand_in(three, [("2.1", "12"), ("2.1", "13"), ("9.1", "v_shape")])

    mark(small_class)

    scores = {place: m["score"] for place, m in small_class.marks().items()}
    assert scores == {
        (one, "2.1"): 1.0,
        (one, "2.2"): 0.9,
        (two, "2.1"): 0.0,
        (three, "2.1"): 0.0,
        (three, "9.1"): 0.6,
    }
    assert notes(small_class) == []


def test_what_the_cards_write_marks_as_the_screen_said(small_class, tmp_path):
    code = small_class.codes[0]
    record = Record(tmp_path / FILE)
    record.sign_in(student=code, class_key=" OAK ")

    def right_of(id):
        own = small_class.variant(code, id)
        return small_class.typed_as(own, own.answer)

    for one in exercises_of("L08"):
        card = ExerciseCard(one.id, set="exit", record=record)
        wrong = ("1", "2", "3 kN") if one.id in {"8.3", "8.4"} else ("1",)
        for typed in (*wrong, right_of(one.id)):
            card.answer(typed)
            if card.task.work.asked_for_thinking:
                card.think(card.task.work.last.choices[-1])
    on_screen = {
        one.id: ExerciseCard(one.id, set="exit", record=record).task.work.best
        for one in exercises_of("L08")
    }
    write_hand_in(record, folder=small_class.folder)

    mark(small_class)

    assert notes(small_class) == []
    marks = {id: m["score"] for (_, id), m in small_class.marks().items()}
    assert marks == on_screen
    assert len(set(marks.values())) > 1


def test_what_a_lesson_asks_besides_bears_on_no_mark_and_is_no_trouble(
    small_class, tmp_path
):
    code = small_class.codes[0]
    record = Record(tmp_path / FILE)
    record.sign_in(student=code, class_key="oak")
    for explorer, passes_by in zip(lesson("L08").explorers, (True, False), strict=True):
        lock = PredictionLock(explorer, record=record)
        lock.know() if passes_by else lock.lock("right")
        lock.look("12 kN")
    card = ExerciseCard("8.1", set="exit", record=record)
    card.answer("1")
    write_hand_in(record, folder=small_class.folder)

    mark(small_class)

    kinds = [line["kind"] for line in record.mine("known", "prediction", "observation")]
    assert kinds == ["known", "observation", "prediction", "observation"]
    assert notes(small_class) == []
    assert [*small_class.marks()] == [(code, "8.1")]


def test_a_lesson_opened_by_hand_is_told_with_its_reason(small_class, tmp_path):
    record = Record(tmp_path / FILE)
    record.sign_in(student=small_class.codes[0], class_key="oak")
    WayIn(lesson("L08"), record).open_by_hand("shown at\x1b the bench " + "x" * 400)
    record.append("opened", lesson="L09", reason=5)  # a line that nobody here wrote
    ExerciseCard("8.1", set="exit", record=record).answer("1")
    write_hand_in(record, folder=small_class.folder)

    mark(small_class)

    [note] = notes(small_class)
    assert re.search(r"L08 opened by hand on 20\d\d-\d\d-\d\d: shown at", note)
    assert "\x1b" not in note
    assert note.count("x") < 200 < len(note)


def test_a_later_part_goes_on_from_what_was_really_typed(small_class):
    code = small_class.codes[0]
    angle = small_class.variant(code, "7.6a").answer * 1.3

    def right_from(angle):
        own = small_class.variant(code, "7.6b")
        return small_class.typed_as(own, own.carrying(angle).answer)

    path = small_class.hand_in(
        code,
        [
            ("7.6a", f"{angle:.6f} rad"),
            ("7.6b", right_from(angle)),
        ],
    )
    forged = [json.loads(x) for x in path.read_text().splitlines() if '"answer"' in x]
    forged[1]["typed"] = right_from(angle * 1.2)
    forged[1]["carried"] = angle * 1.2

    mark(small_class)
    honest = small_class.marks()[code, "7.6b"]["score"]
    path.write_text(small_class.text_of(forged, student=code), "utf-8")
    mark(small_class)

    assert honest == 1.0
    assert small_class.marks()[code, "7.6b"]["score"] < 1.0
    assert "7.6b carried" in notes(small_class)[0]


def test_a_part_given_up_earns_nothing_more_and_is_not_gone_on_from(
    small_class, tmp_path
):
    code = small_class.codes[0]
    record = Record(tmp_path / FILE)
    record.sign_in(student=code, class_key="oak")
    cards = {id: ExerciseCard(id, set="exit", record=record) for id in ("7.6a", "7.6b")}

    cards["7.6b"].give_up_earlier()
    own = cards["7.6b"].task.variant
    cards["7.6b"].answer(small_class.typed_as(own, own.answer))
    write_hand_in(record, folder=small_class.folder)
    (path,) = small_class.folder.iterdir()
    rows = path.read_text("utf-8").splitlines()
    lines = [json.loads(x) for x in rows if '"student"' in x]
    mark(small_class)
    honest = {id: mark["score"] for (_, id), mark in small_class.marks().items()}
    (late,) = small_class.lines_of(code, [("7.6a", RIGHT)])
    forged = small_class.text_of([*lines, late], student=code)
    path.write_text(forged, "utf-8")
    mark(small_class)

    assert [x["kind"] for x in lines] == ["identity", "given_up", "answer"]
    assert honest == {"7.6b": 1.0}
    assert small_class.marks()[code, "7.6a"]["score"] == 0.0
    assert any("7.6a score" in note for note in notes(small_class))


EDITS = {
    "score": ("score", 1.0),
    "outcome": ("outcome", "right"),
    "value": ("value", 17.0),
    "seed": ("seed", "00" * 32),
    "try": ("try", 3),
    "held": ("held", True),
    "a number no float holds": ("value", 10**400),
    "not a number": ("score", float("nan")),
    "a list": ("score", [[1]]),
}


@pytest.mark.parametrize(("name", "value"), EDITS.values(), ids=EDITS.keys())
def test_an_edited_line_is_told_and_marked_from_what_was_typed(
    name, value, small_class
):
    code = small_class.codes[0]
    (line,) = small_class.lines_of(code, [("2.1", WHOLE)])
    path = small_class.folder / "edited.txt"
    text = small_class.text_of([line], student=code, start="")
    changed = json.dumps({**line, name: value}, ensure_ascii=False)
    lines = [changed if '"answer"' in x else x for x in text.splitlines()]
    path.write_text("\n".join(lines) + "\n", "utf-8")

    mark(small_class)

    assert small_class.marks()[code, "2.1"]["score"] == 0.0
    chain, note = notes(small_class)
    assert note.startswith(f"edited.txt of {code} says")
    assert f"2.1 {name}" in note
    assert "carries no chain (edited.txt)" in chain


def test_a_copied_file_with_another_code_in_it_is_told(small_class):
    one, two, _ = small_class.codes
    path = small_class.hand_in(one, [("2.1", RIGHT), ("2.2", RIGHT)])
    copied = path.read_text("utf-8").replace(one, two)
    (small_class.folder / "mine.txt").write_text(copied, "utf-8")

    mark(small_class)

    assert small_class.marks()[two, "2.1"]["score"] == 0.0
    chain, note = notes(small_class)
    assert "the chain breaks" in chain
    assert note.startswith(f"mine.txt of {two}")
    assert "2.1 seed" in note


def bad_files(small_class):
    """Put bad files of many kinds beside the good ones; return words by file."""
    one, two, three = small_class.codes
    folder = small_class.folder
    (folder / "photo.jpg").write_bytes(bytes(range(256)) * 40)
    (folder / "huge.txt").write_bytes(b"x" * (4 * 2**20 + 1))
    (folder / "endless.txt").write_text("{}\n" * 20_001, "utf-8")
    (folder / "essay.txt").write_text("Dear teacher,\n\nmy dog ...\n", "utf-8")
    (folder / "empty.txt").write_text("", "utf-8")
    (folder / "deep.txt").write_text("[" * 9_000 + "]" * 9_000, "utf-8")
    small_class.hand_in(two, [("2.1", RIGHT)], name="elm.txt", key="elm")
    small_class.hand_in("CCCC", [("2.1", RIGHT)], name="stranger.txt")
    own = small_class.lines_of(one, [("2.4", RIGHT)])
    others = small_class.lines_of(two, [("2.4", WHOLE)])
    (folder / "both.txt").write_text(
        small_class.text_of(own + others, student=one), "utf-8"
    )
    future = [{**own[0], "version": 7}, {**own[0], "exercise": "99.1"}]
    (folder / "future.txt").write_text(
        small_class.text_of(future, student=three), "utf-8"
    )
    absurd = [{**own[0], name: value} for name, value in (
        ("attempt", 10**30), ("attempt", True), ("typed", 3), ("version", "1"),
        ("exercise", ["2.1"]), ("time", None), ("number", -1),
    )]  # fmt: skip
    (folder / "absurd.txt").write_text(
        small_class.text_of(absurd, student=one), "utf-8"
    )
    cut = small_class.text_of(own, student=one)[:-10]
    (folder / "cut.txt").write_text(cut, "utf-8")
    more = small_class.text_of(own, student=one).replace("# end: 3 ", "# end: 5 ")
    (folder / "fewer.txt").write_text(more, "utf-8")
    return {
        "photo.jpg": "not a text file",
        "huge.txt": "larger than 4 MB",
        "endless.txt": "over 20000 lines",
        "essay.txt": "no line of a hand-in",
        "empty.txt": "no line of a hand-in",
        "deep.txt": "no line of a hand-in",
        "elm.txt": "another class key, “elm”",
        "stranger.txt": "a code not on the list, “CCCC”",
        "both.txt": f"another student, {two}",
        "future.txt": "version 7, which is not known",
        "absurd.txt": "7 lines that lack what an answer needs",
        "cut.txt": "no end line",
        "fewer.txt": "ends with “5 lines” but has 3",
    }


def test_each_bad_file_is_told_by_name_and_the_rest_is_marked(small_class, capsys):
    _, two, _ = small_class.codes
    expected = bad_files(small_class)
    small_class.hand_in(two, [("2.1", RIGHT)])

    mark(small_class)

    assert small_class.marks()[two, "2.1"]["score"] == 1.0
    assert (two, "2.4") not in small_class.marks()
    said = notes(small_class)
    for name, words in expected.items():
        assert [x for x in said if x.startswith(name) and words in x], name
    err = capsys.readouterr().err
    assert "Traceback" not in err
    assert "nan" not in err


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes or links here")
def test_links_pipes_and_locked_files_are_told_and_not_opened(small_class, tmp_path):
    secret = tmp_path / "secret.txt"
    code = small_class.codes[0]
    lines = small_class.lines_of(code, [("2.1", RIGHT)])
    secret.write_text(small_class.text_of(lines, student=code), "utf-8")
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "more.txt").write_bytes(secret.read_bytes())
    (small_class.folder / "link.txt").symlink_to(secret)
    (small_class.folder / "folder").symlink_to(tmp_path / "elsewhere")
    os.mkfifo(small_class.folder / "pipe.txt")

    mark(small_class)

    said = dict(note.split(" ", 1) for note in notes(small_class))
    assert small_class.marks() == {}
    assert "link" in said["link.txt"]
    assert "link" in said["folder"]
    assert "not a plain file" in said["pipe.txt"]


def test_every_try_is_kept_with_what_was_typed_and_when(small_class):
    code = small_class.codes[0]
    lines = small_class.lines_of(code, [("2.1", "12"), ("2.1", "1 kN"), ("2.1", RIGHT)])
    lines = [{**line, "pair": "K9"} for line in lines]
    hint = {**lines[0], "kind": "hint", "number": 2}
    text = small_class.text_of([*lines[:2], hint, lines[2]], student=code)
    (small_class.folder / "a.txt").write_text(text, "utf-8")

    mark(small_class)

    held, wrong, right = small_class.kept("answer")
    assert (held["held"], held["outcome"], held["try"]) == (True, "unit_missing", 0)
    assert (wrong["value"], wrong["unit"], wrong["try"]) == (1e3, "kN", 1)
    assert [x["hints"] for x in (held, wrong, right)] == [0, 0, 2]
    assert (right["score"], right["try"], right["typed"]) == (0.9, 2, lines[2]["typed"])
    assert (right["time"], right["seconds"]) == (lines[2]["time"], 12.5)
    assert (right["file"], right["pair"]) == ("a.txt", "K9")
    assert right["numbers"] == dict(small_class.variant(code, "2.1").numbers)


def test_files_in_folders_of_their_own_are_found(small_class):
    code = small_class.codes[0]
    path = small_class.hand_in(code, [("2.1", RIGHT)])
    (small_class.folder / "Zoë O").mkdir()
    path.rename(small_class.folder / "Zoë O" / "a b.txt")

    mark(small_class)

    assert small_class.marks()[code, "2.1"]["score"] == 1.0
    assert small_class.kept("answer")[0]["file"] == os.path.join("Zoë O", "a b.txt")  # noqa: PTH118


def test_the_same_answers_handed_in_twice_count_once(small_class):
    code = small_class.codes[0]
    first = [("2.1", WHOLE), ("2.1", "1 kN")]
    small_class.hand_in(code, first, name="monday.txt")
    small_class.hand_in(code, [*first, ("2.1", RIGHT)], name="friday.txt")

    mark(small_class)

    assert small_class.marks()[code, "2.1"]["score"] == 0.7
    assert len(small_class.kept("answer")) == 3
    (note,) = notes(small_class)
    assert note.startswith("friday.txt is not the only hand-in of")


@pytest.mark.parametrize(
    ("set", "attempt"),
    [("practice", 1), ("practice", 2), ("review", 1), ("test", 1), ("exit", 2)],
)
def test_what_does_not_count_earns_no_mark_but_is_kept(small_class, set, attempt):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", RIGHT)], set=set, attempt=attempt)

    mark(small_class)

    assert small_class.marks() == {}
    (kept,) = small_class.kept("answer")
    assert (kept["outcome"], kept["set"], kept["attempt"]) == (RIGHT, set, attempt)
    assert notes(small_class) == []


def test_held_unanswered_and_wrong_are_three_things_in_every_file(small_class):
    one, two, three = small_class.codes
    small_class.hand_in(one, [("2.1", "12"), ("2.2", WHOLE), ("7.4", "77 foo")])
    small_class.hand_in(two, [("2.1", "1 kN"), ("2.1", "2 tons")])

    mark(small_class)

    lines = small_class.kept("answer")
    assert [x["held"] for x in lines] == [True, False, True, False, True]
    marks = small_class.marks()
    held = {key: (x["held"], x["score"], x["outcome"]) for key, x in marks.items()}
    assert held == {
        (one, "2.1"): (True, 0.0, "unit_missing"),
        (one, "2.2"): (False, 0.0, WHOLE),
        (one, "7.4"): (True, 0.0, "unit_unknown"),
        (two, "2.1"): (False, 0.0, "none_of_these"),
    }
    cells = {
        row["code"]: row for row in table(small_class.out / "marks-by-exercise.csv")
    }
    assert [cells[code]["2.1"] for code in (one, two, three)] == ["held", "0", ""]
    assert [cells[code]["2.2"] for code in (one, two, three)] == ["0", "", ""]
    # Nothing was marked in lesson 07, so no import overwrites a mark with a nought.
    assert [cells[code]["L07"] for code in (one, two, three)] == ["", "", ""]
    assert [cells[code]["L02"] for code in (one, two, three)] == ["0", "0", ""]
    again = read_kept(small_class.out / "marks.jsonl", small_class.list)
    assert {key: mark.held for key, mark in again.marks.items()} == {
        key: x["held"] for key, x in marks.items()
    }


def test_an_answer_that_was_marked_is_more_than_one_that_was_held(small_class):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", "12"), ("2.1", WHOLE)])

    mark(small_class)

    found = small_class.marks()[code, "2.1"]
    assert (found["held"], found["outcome"]) == (False, WHOLE)


def test_wrong_practice_uses_nothing_up(small_class):
    code = small_class.codes[0]
    wrong = small_class.lines_of(code, [("2.1", "1 kN")] * 3, set="practice")
    right = small_class.lines_of(code, [("2.1", RIGHT)])
    text = small_class.text_of([*wrong, *right], student=code)
    (small_class.folder / "a.txt").write_text(text, "utf-8")

    mark(small_class)

    assert small_class.marks()[code, "2.1"]["score"] == 1.0
    assert notes(small_class) == []


def test_a_line_of_no_known_set_is_not_marked(small_class):
    code = small_class.codes[0]
    lines = small_class.lines_of(code, [("2.1", RIGHT)] * 3)
    for line, set in zip(lines, ("Exit", None, ["exit"]), strict=True):
        line["set"] = set
    text = small_class.text_of(lines, student=code)
    (small_class.folder / "a.txt").write_text(text, "utf-8")

    mark(small_class)

    assert small_class.marks() == {}
    assert "3 lines that lack what an answer needs" in notes(small_class)[0]


def test_grade_files_hold_per_cent_and_no_nought_for_nothing(small_class):
    one, two, _ = small_class.codes
    everything = [(e.id, RIGHT) for e in exercises_of("L02")]
    small_class.hand_in(one, everything)
    small_class.hand_in(two, [("2.1", RIGHT), ("9.6", RIGHT)])

    mark(small_class, "--column", "L02=Quiz, 2")

    out = small_class.out
    by_name = table(out / "grades-by-name-and-id.csv")
    assert list(by_name[0]) == [
        "Student", "ID", "SIS User ID", "SIS Login ID", "Section",
        "Quiz, 2", "Pullwright L09",
    ]  # fmt: skip
    assert [row["Student"] for row in by_name] == [
        "O'Neill, Zoë \"Z\"", "'=Kim", "Łukasz",
    ]  # fmt: skip
    assert [row["Quiz, 2"] for row in by_name] == ["100", "14.29", ""]  # one of seven
    assert [row["Pullwright L09"] for row in by_name] == ["", "16.67", ""]
    by_id = table(out / "grades-by-id-or-email.csv")
    assert [(row["ID number"], row["Email address"]) for row in by_id] == [
        ("007", "z@x"), ("12", ""),
    ]  # fmt: skip
    by_login = table(out / "grades-by-user-name.txt", delimiter="\t")
    assert by_login == [{"Username": "zo", "Quiz, 2": "100", "Pullwright L09": ""}]
    by_exercise = table(out / "marks-by-exercise.csv")
    assert by_exercise[1]["2.1"] == "100"
    assert by_exercise[1]["2.2"] == ""
    assert by_exercise[2]["L02"] == ""


def test_a_class_of_24_is_marked_with_its_printed_key(make_room, tmp_path):
    names = [{"name": 'O\'Neill, Zoë "Z"'}]
    names += [{"name": f"Student {n}"} for n in range(23)]
    room = make_room(names)
    main(["key", str(room.file), "L02", "-o", str(tmp_path / "key")])
    ids = [one.id for one in exercises_of("L02")]
    chance = random.Random(7)
    right = {code: chance.sample(ids, chance.randint(1, 6)) for code in room.codes}
    for code, ids_right in right.items():
        answers = [(id, RIGHT if id in ids_right else "0 kN") for id in ids]
        room.hand_in(code, answers)

    mark(room, "--key", str(tmp_path / "key" / "L02 key.json"))

    assert notes(room) == []
    rows = table(room.out / "marks-by-exercise.csv")
    for row in rows:
        full = [id for id in ids if row[id] == "100"]
        assert sorted(full) == sorted(right[row["code"]])
        assert float(row["L02"]) == pytest.approx(100 * len(full) / len(ids), abs=0.01)
    assert rows[0]["name"] == 'O\'Neill, Zoë "Z"'


def test_no_cell_of_any_file_begins_a_formula(make_room):
    names = [{"name": f"{c}cmd", "id": f"{c}1", "login": f"{c}2"} for c in "=+-@"]
    room = make_room(names)
    for code in room.codes:
        room.hand_in(code, [("2.1", "=1+1")], name=f"={code}.txt")
    room.out.mkdir()
    (room.out / "hand-marks.csv").write_text(
        f"code,exercise,mark,why\n{room.codes[0]},2.1,50,=HYPERLINK(1)\n", "utf-8"
    )

    mark(room)

    for path in room.out.glob("grades*"), room.out.glob("*.csv"):
        for file in path:
            if file.name == "hand-marks.csv":
                continue
            delimiter = "\t" if file.suffix == ".txt" else ","
            with file.open(encoding="utf-8-sig", newline="") as stream:
                cells = [
                    c for row in csv.reader(stream, delimiter=delimiter) for c in row
                ]
            assert cells
            assert not [c for c in cells if c[:1] in set("=+-@\t\r")], file.name


def test_control_characters_never_reach_the_terminal_or_the_notes(small_class, capsys):
    code = small_class.codes[0]
    evil = "\x1b[2J\u202e\ud800"
    lines = small_class.lines_of(code, [("2.1", evil), ("2.1", "1 kN")])
    (answer,) = small_class.lines_of(code, [("2.1", RIGHT)])
    stranger = [{**answer, "class_key": evil}]
    text = small_class.text_of([*lines, *stranger], student=code)
    (small_class.folder / "\x1b[31mred.txt").write_text(text, "utf-8")

    mark(small_class)

    said = capsys.readouterr()
    kept = (small_class.out / "notes.txt").read_text("utf-8")
    marks = (small_class.out / "marks.jsonl").read_text("utf-8")
    for text in (said.out, said.err, kept, marks):
        assert not [c for c in text if not c.isprintable() and c != "\n"]
    assert "\\x1b[31mred.txt" in kept
    assert "\\x1b[2J" in kept


def test_marks_set_by_hand_win_and_are_shown(small_class, capsys):
    one, two, _ = small_class.codes
    small_class.hand_in(one, [("2.1", WHOLE)])
    small_class.out.mkdir()
    (small_class.out / "hand-marks.csv").write_text(
        "code;exercise;mark;why\n"
        f"{one.lower()};2.1;62,5;spoken check\n{two};L02;80 %;on paper\n",
        "utf-8",
    )
    before = (small_class.out / "hand-marks.csv").read_bytes()

    mark(small_class)
    mark(small_class)

    rows = table(small_class.out / "marks-by-exercise.csv")
    assert rows[0]["2.1"] == "62.5"
    assert rows[0]["set by hand"] == "2.1 62.5: spoken check"
    assert rows[1]["L02"] == "80"
    assert "2 marks set by hand" in capsys.readouterr().out
    assert "spoken check" in (small_class.out / "notes.txt").read_text("utf-8")
    assert (small_class.out / "hand-marks.csv").read_bytes() == before
    assert small_class.marks()[one, "2.1"]["score"] == 0.0


BAD_HAND_MARKS = {
    "no header": ("K,2.1,50,\n", "code,exercise,mark,why"),
    "stranger": ("code,exercise,mark,why\nCCCC,2.1,50,x\n", "“CCCC”"),
    "no exercise": ("code,exercise,mark,why\n{code},99,50,x\n", "“99”"),
    "no number": ("code,exercise,mark,why\n{code},2.1,good,x\n", "“good”"),
    "too much": ("code,exercise,mark,why\n{code},2.1,101,x\n", "from 0 to 100"),
    "not a number": ("code,exercise,mark,why\n{code},2.1,nan,x\n", "from 0 to 100"),
}


@pytest.mark.parametrize(
    ("text", "words"), BAD_HAND_MARKS.values(), ids=BAD_HAND_MARKS.keys()
)
def test_a_hand_mark_that_cannot_be_read_stops_the_marking(
    text, words, small_class, capsys
):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", RIGHT)])
    small_class.out.mkdir()
    file = small_class.out / "hand-marks.csv"
    file.write_text(text.replace("{code}", code), "utf-8")

    order = ["mark", str(small_class.file), str(small_class.folder)]
    assert main([*order, "-o", str(small_class.out)]) == 1

    assert words in capsys.readouterr().err
    assert [path.name for path in small_class.out.iterdir()] == ["hand-marks.csv"]


def test_an_empty_or_missing_folder_is_refused(small_class, capsys):
    order = ["mark", str(small_class.file)]

    assert main([*order, str(small_class.folder), "-o", str(small_class.out)]) == 1
    assert "is empty" in capsys.readouterr().err
    assert main([*order, str(small_class.folder / "x"), "-o", "y"]) == 1
    assert "is not a folder" in capsys.readouterr().err
    assert not small_class.out.exists()


def test_a_late_hand_in_changes_its_own_mark_and_lists_it(small_class, capsys):
    one, two, _ = small_class.codes
    small_class.hand_in(one, [("2.1", RIGHT)])
    mark(small_class)
    small_class.hand_in(two, [("2.1", RIGHT)])
    capsys.readouterr()

    mark(small_class)

    (row,) = table(small_class.out / "changes-1.csv")
    assert (row["code"], row["old mark"], row["new mark"]) == (two, "", "100")
    assert row["why"] == "something else was handed in"
    assert f"changed: {two} 2.1 none -> 100" in capsys.readouterr().out


def test_marks_edited_in_place_are_not_overwritten(small_class, capsys):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", RIGHT)])
    mark(small_class)
    grades = small_class.out / "grades-by-name-and-id.csv"
    grades.write_text("mine", "utf-8")

    order = ["mark", str(small_class.file), str(small_class.folder)]
    assert main([*order, "-o", str(small_class.out)]) == 1

    assert "not as this command wrote it" in capsys.readouterr().err
    assert grades.read_text("utf-8") == "mine"


def test_what_was_packed_or_saved_otherwise_is_told_with_the_way_out(small_class):
    one = small_class.codes[0]
    plain = small_class.hand_in(one, [("2.1", RIGHT)])
    (small_class.folder / "a.txt").write_text(plain.read_text("utf-8"), "utf-16")
    with zipfile.ZipFile(small_class.folder / "b.zip", "w") as packed:
        packed.write(plain)

    mark(small_class)

    utf_16, packed = notes(small_class)
    assert utf_16.startswith("a.txt was saved as UTF-16: ask for it as it was made")
    assert packed.startswith("b.zip is a zip archive or an office document: unpack it")
    assert {*small_class.marks()} == {(one, "2.1")}
