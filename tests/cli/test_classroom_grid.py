"""``pullwright grid`` and ``typed``: answers from paper become hand-ins."""

import csv
import json
from functools import partial

import pytest

from workbook.classroom.grid import headings
from workbook.classroom.keys import right_letter
from workbook.cli import main
from workbook.course import lessons
from workbook.exercises import exercises_of
from workbook.exercises.replay import variant_of


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def make_room(tmp_path, small_class):
    """Make a class of three in a folder of its own; the codes are always the same."""
    people = [{"name": "O'Neill, Zoë"}, {"name": "Kim"}, {"name": "Łukasz"}]

    def made(name):
        place = tmp_path / name
        place.mkdir()
        return type(small_class)(place, people)

    return made


def rows_of(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return [*csv.DictReader(file)]


def filled(room, lesson, cells, *, delimiter=",", extra=(), turned=False):
    """Write a grid with these cells, (student's place, column): text.

    ``turned`` puts the last column first.
    """
    path = room.file.with_name(f"{lesson}.csv")
    order = ["grid", str(room.file), lesson, "-o", str(path)]
    assert main(order) == 0
    columns, rows = headings(lesson), rows_of(path)
    head = [*rows[0]]
    for (place, what), typed in cells.items():
        rows[place][columns.get(what, what)] = typed
        head += [] if columns.get(what, what) in head else [what]
    head = head[::-1] if turned else head
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter=delimiter)
        writer.writerow(head)
        writer.writerows([row.get(name, "") for name in head] for row in rows)
        writer.writerows(extra)
    return path


def typed(room, *grids):
    order = ["typed", str(room.file), *map(str, grids), "-o", str(room.folder)]
    return main(order)


def marked(room):
    assert main(["mark", str(room.file), str(room.folder), "-o", str(room.out)]) == 0
    assert main(["report", str(room.file), str(room.out)]) == 0
    return {row["code"]: row for row in rows_of(room.out / "marks-by-exercise.csv")}


def test_answers_of_a_grid_are_marked_as_those_of_a_screen(make_room, capsys):
    # Answers of every kind, right and with a known mistake; a later part goes on from
    # the student's own earlier answer, though the grid has it first.
    screen, paper = make_room("screen"), make_room("paper")
    answers = [
        ("7.6a", "M02_sin_cos"), ("7.6b", "right"), ("7.1", "right"), ("7.2", "12"),
        ("7.7", "right"), ("7.8", "right"), ("2.1", "M01_whole_tension"), ("5.3", "a"),
    ]  # fmt: skip
    one, two, _ = paper.codes
    assert screen.codes == paper.codes
    said = {line["exercise"]: line for line in screen.lines_of(one, answers)}
    screen.hand_in(one, answers)
    grids = []
    for lesson in ("L07", "L02", "L05"):
        own = {id: said[id]["typed"] for id, _ in answers if id in headings(lesson)}
        cells = {(0, id): text for id, text in own.items()}
        letter = right_letter(lesson, code=two, key="oak")
        cells |= {(1, "prediction"): letter.lower()} if lesson == "L07" else {}
        grids.append(filled(paper, lesson, cells, delimiter=";", turned=True))

    assert typed(paper, *grids) == 0
    _, err = capsys.readouterr()
    assert err.count("note: ") == 1
    assert "L07.csv, row 2" in err
    assert "column 7.2: “12” was kept and not marked. The unit is missing." in err
    by_paper, by_screen = marked(paper), marked(screen)
    assert by_paper[one] == by_screen[one]
    assert by_paper[one]["7.6a"] == by_screen[one]["7.6a"] != "100"
    told = [
        [{**row, "seconds": ""} for row in rows_of(room.out / "report.csv")]
        for room in (paper, screen)
    ]
    assert told[0] == told[1]
    assert paper.notes() == screen.notes()
    assert "M01_whole_tension" in (paper.out / "report.txt").read_text("utf-8")
    assert '"carried"' in (paper.folder / f"paper {one}.txt").read_text("utf-8")
    lines = (paper.folder / f"paper {two}.txt").read_text("utf-8").splitlines()
    (line,) = (json.loads(x) for x in lines if '"prediction"' in x)
    assert (line["outcome"], line["explorer"]) == ("right", "lean")


def test_what_cannot_serve_is_told_by_row_and_column_and_kept(make_room, capsys):
    room = make_room("room")
    one, two, three = room.codes
    other = {
        (0, "7.1"): "20 kN", (0, "7.2"): "twelve", (0, "prediction"): "Z",
        (1, "time"): "tomorrow", (1, "7.3"): "1 kN", (2, "7.4"): "x" * 2500,
        (0, "9.99"): "lost?", (2, "7.5"): "=1+1",
    }  # fmt: skip
    again = ["", two, "", "", "5 kN"]
    nobody = ["", "QQQQ", "", "", "3 kN"]
    path = filled(room, "L07", other, extra=[again, nobody])
    before = path.read_bytes()
    capsys.readouterr()

    assert typed(room, path) == 0

    _, err = capsys.readouterr()
    notes = err.splitlines()
    for words in (
        "“9.99” is no exercise",
        f"row 2 ({room.list.students[0].name}), column prediction L07: “Z” is none",
        "column 7.1: “20 kN” was kept and not marked",
        "column 7.2: “twelve” was kept and not marked",
        "row 3 (",
        "“tomorrow” is no date",
        "column 7.4: over 2000 characters",
        "column 7.5: “=1+1” was kept",
        f"row 5: {two} stands in row 3 already",
        "row 6: no student of this class has the code “QQQQ”",
    ):
        assert sum(words in note for note in notes) == 1, words
    assert len(notes) == 9
    assert path.read_bytes() == before
    text = (room.folder / f"paper {one}.txt").read_text("utf-8")
    assert all(f'"typed": "{said}"' in text for said in ("20 kN", "twelve"))
    assert "1 kN" in (room.folder / f"paper {two}.txt").read_text("utf-8")
    assert "=1+1" in (room.folder / f"paper {three}.txt").read_text("utf-8")
    # Typed again, and a file that is no grid: one sentence, and nothing is changed.
    assert typed(room, path) == 0
    capsys.readouterr()
    for content, why in (
        ("a,b\n1,2", "no column “code”"),
        ('code\n"x', "no answer stands"),
        ("code," * 300, "over 200 columns"),
        ("code,7.1 x\nK7MR,", "no answer stands"),
    ):
        path.write_text(content, "utf-8")
        assert typed(room, path) == 1
        _, err = capsys.readouterr()
        assert why in err
        assert err.count("\n") == 1


def test_the_day_of_paper_decides_what_is_late(make_room):
    room = make_room("room")
    plan = "form = 1\n[lessons.L02]\ndue = 2026-01-12T18:00:00"
    room.file.with_name("session.toml").write_text(plan, "utf-8")
    days = ("2026-01-12", "2026-01-13 08:00", "")
    cells = {(k, "time"): day for k, day in enumerate(days)}
    for k, code in enumerate(room.codes):
        for id in ("2.1", "2.2"):
            own = room.variant(code, id)
            cells[k, id] = room.typed_as(own, own.answer)

    typed(room, filled(room, "L02", cells))
    marked(room)

    late = rows_of(room.out / "late.csv")
    assert [row["code"] for row in late] == [room.codes[1]]
    # Nobody is told to have answered sooner than can be read.
    assert not [note for note in room.notes() if "sooner" in note]


def test_the_form_asks_one_student_after_the_other(make_room, monkeypatch, capsys):
    room = make_room("room")
    one, two, _ = room.codes
    path = filled(room, "L02", {(0, "2.2"): "7 kN"})
    asked = len(exercises_of("L02")) + 2
    first = ["", "a", "abc", "3 kN", *[""] * (asked - 3)]
    said = iter(["QQQQ", one.lower(), *first, two, "2026-01-12"])

    def answer(question):
        try:
            return next(said)
        except StopIteration:
            raise EOFError from None

    monkeypatch.setattr("builtins.input", answer)
    order = ["grid", str(room.file), "L02", "-o", str(path), "--ask"]
    assert main(order) == 0

    out = capsys.readouterr().out
    assert "No student of this class has the code QQQQ." in out
    assert "This cannot be read as a number." in out
    columns, rows = headings("L02"), rows_of(path)
    cells = [{what: row[said] for what, said in columns.items()} for row in rows]
    assert (cells[0]["prediction"], cells[0]["2.1"]) == ("a", "3 kN")
    assert cells[0]["2.2"] == "7 kN"  # what stands there stays
    assert cells[1]["time"] == "2026-01-12"  # kept, though the rest was broken off
    assert main(["grid", str(room.file), "L99", "-o", str(path)]) == 1
    assert "choose L01" in capsys.readouterr().err


def test_every_lesson_has_a_grid_and_takes_every_right_answer(make_room, capsys):
    room = make_room("room")
    (code, *_), grids = room.codes, []
    for lesson in lessons():
        if not exercises_of(lesson):
            continue
        right = {}
        for one in exercises_of(lesson):
            own = variant_of(one, class_key="oak", student=code, set="exit")
            share = getattr(one.answer, "kind", "") == "share"
            text = one.answer.typed if share else partial(room.typed_as, own)
            right[0, one.id] = text(own.answer)
        grids.append(filled(room, lesson, right))
    capsys.readouterr()

    assert typed(room, *grids) == 0

    assert capsys.readouterr().err == ""
    row = marked(room)[code]
    assert {row[one.id] for x in lessons() for one in exercises_of(x)} <= {"100", "80"}
