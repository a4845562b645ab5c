"""The files of marks: for gradebooks, by exercise, and marks set by hand."""

import csv
import random

import pytest

from workbook.classroom import keys
from workbook.classroom.kept import read_kept
from workbook.classroom.roll import MOST_STUDENTS, ClassList, Student
from workbook.cli import main
from workbook.exercises import EXERCISES, exercises_of

RIGHT = "right"
WHOLE = "M01_whole_tension"

pytestmark = pytest.mark.usefixtures("own_settings")


def test_held_unanswered_and_wrong_are_three_things_in_every_file(small_class):
    one, two, three = small_class.codes
    small_class.hand_in(one, [("2.1", "12"), ("2.2", WHOLE), ("7.4", "77 foo")])
    small_class.hand_in(two, [("2.1", "1 kN"), ("2.1", "2 tons")])

    small_class.mark()

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
    cells = {row["code"]: row for row in small_class.table("marks-by-exercise.csv")}
    assert [cells[code]["2.1"] for code in (one, two, three)] == ["held", "0", ""]
    assert [cells[code]["2.2"] for code in (one, two, three)] == ["0", "", ""]
    # Nothing was marked in lesson 07, so no import overwrites a mark with a nought.
    assert [cells[code]["L07"] for code in (one, two, three)] == ["", "", ""]
    assert [cells[code]["L02"] for code in (one, two, three)] == ["0", "0", ""]
    again = read_kept(small_class.out / "marks.jsonl", small_class.list)
    assert {key: mark.held for key, mark in again.marks.items()} == {
        key: x["held"] for key, x in marks.items()
    }


def test_grade_files_hold_per_cent_and_no_nought_for_nothing(small_class):
    one, two, _ = small_class.codes
    everything = [(e.id, RIGHT) for e in exercises_of("L02")]
    small_class.hand_in(one, everything)
    small_class.hand_in(two, [("2.1", RIGHT), ("9.6", RIGHT)])

    small_class.mark("--column", "L02=Quiz, 2")

    by_name = small_class.table("grades-by-name-and-id.csv")
    assert list(by_name[0]) == [
        "Student", "ID", "SIS User ID", "SIS Login ID", "Section",
        "Quiz, 2", "Pullwright L09",
    ]  # fmt: skip
    assert [row["Student"] for row in by_name] == [
        "O'Neill, Zoë \"Z\"", "'=Kim", "Łukasz",
    ]  # fmt: skip
    assert [row["Quiz, 2"] for row in by_name] == ["100", "14.29", ""]  # one of seven
    assert [row["Pullwright L09"] for row in by_name] == ["", "16.67", ""]
    by_id = small_class.table("grades-by-id-or-email.csv")
    assert [(row["ID number"], row["Email address"]) for row in by_id] == [
        ("007", "z@x"), ("12", ""),
    ]  # fmt: skip
    by_login = small_class.table("grades-by-user-name.txt", delimiter="\t")
    assert by_login == [{"Username": "zo", "Quiz, 2": "100", "Pullwright L09": ""}]
    by_exercise = small_class.table("marks-by-exercise.csv")
    assert by_exercise[1]["2.1"] == "100"
    assert by_exercise[1]["2.2"] == ""
    assert by_exercise[2]["L02"] == ""


def test_three_importers_find_their_columns_by_the_rules_they_publish(small_class):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", RIGHT)])
    small_class.mark()

    # Canvas, lib/gradebook_importer.rb, header?: by place, sections last, marks behind.
    raw = (small_class.out / "grades-by-name-and-id.csv").read_bytes()
    head = next(csv.reader([raw.decode("utf-8").splitlines()[0]]))
    assert "Student" in head[0]  # a byte order mark would be in it
    assert head[1:5] == ["ID", "SIS User ID", "SIS Login ID", "Section"]
    assert head[5:] == ["Pullwright L02"]
    # Moodle, grade/import/csv/classes/load_data.php: one column names the student, a
    # row without it is passed over; a mark is a number of at most 100, or empty.
    for row in small_class.table("grades-by-id-or-email.csv"):
        assert row["ID number"] or row["Email address"]
        assert row["Pullwright L02"] == "" or 0 <= float(row["Pullwright L02"]) <= 100
    # Blackboard, Help for Instructors, "Uploading ... for Working Offline": tabs, one
    # header row, the user name in each row.
    text = (small_class.out / "grades-by-user-name.txt").read_text("utf-8")
    rows = [line.split("\t") for line in text.splitlines()]
    assert rows[0] == ["Username", "Pullwright L02"]
    assert all(len(row) == 2 and row[0] for row in rows)


def test_a_key_of_the_largest_class_can_be_read_back():
    one = ClassList(key="oak", students=(Student(name="张" * 40, code="K7MR"),))
    lessons = {x.lesson for x in EXERCISES.values()}
    largest = max(len(keys.key_json(one, lesson)) for lesson in lessons)

    assert largest * MOST_STUDENTS < keys.LARGEST


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

    room.mark("--key", str(tmp_path / "key" / "L02 key.json"))

    assert room.notes() == []
    rows = room.table("marks-by-exercise.csv")
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

    room.mark()

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

    small_class.mark()
    small_class.mark()

    rows = small_class.table("marks-by-exercise.csv")
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


def test_marks_edited_in_place_are_not_overwritten(small_class, capsys):
    code = small_class.codes[0]
    small_class.hand_in(code, [("2.1", RIGHT)])
    small_class.mark()
    grades = small_class.out / "grades-by-name-and-id.csv"
    grades.write_text("mine", "utf-8")

    order = ["mark", str(small_class.file), str(small_class.folder)]
    assert main([*order, "-o", str(small_class.out)]) == 1

    assert "not as this command wrote it" in capsys.readouterr().err
    assert grades.read_text("utf-8") == "mine"
