"""A whole day of an instructor, in real folders; each mark was worked out by hand."""

import csv
import shutil
import zipfile
from datetime import UTC, datetime, timedelta

import pytest

from workbook.cli import main
from workbook.exercises import exercise
from workbook.reader import record as records
from workbook.reader.hand_in import write_hand_ins
from workbook.reader.record import Record
from workbook.reader.task import Task

# What the key prints for them. 8.3: level part times sin(side angle). 8.4: pull over
# 2 cos(half the angle between); half of the pull is the usual mistake.
NAMES = {
    "NCDY": "O'Malley, Sean",  # 38 kN, 12°: 7.90. 30 kN, 65°: 17.8; half is 15
    "KWCH": 'Ann "Sparky" Doyle',  # 19 kN, 16°: 5.24. 21 kN, 40°: 11.2
    "GYCW": "Müller, Jörg",  # 21 kN, 8°: 2.92. 12 kN, 140°: 17.5
    "YN43": "Chris Weld",  # 26 kN, 14°: 6.29. 10 kN, 65°: 5.93
    "RYMG": "Chris Weld",  # 25 kN, 17°: 7.31. 32 kN, 125°: 34.7; half is 16
    "QYM3": "王小明",  # hands in the file of GYCW under a name of his own
    "XH9D": "Dara Voss",  # writes her code over that of KWCH
    "NNHX": "Bo Lind",  # 13 kN, 18°: 4.02. 27 kN, 50°: 14.9; half is 13.5
    "FTXW": "Max Orme",  # packs it
    "JJ4F": "Ines Falk",  # hands in nothing
}
PLAN = """form = 1
[lessons.L08]
due = 2026-03-04T12:00:00+00:00
counts = ["8.3", "8.4"]
points = 20
"""
DUE = datetime(2026, 3, 4, 12, tzinfo=UTC)


@pytest.fixture
def clock(monkeypatch):
    """Let records be written at times of ours: an hour before all is due."""
    time = [DUE - timedelta(hours=1)]

    def line_at(kind, **fields):
        time[0] += timedelta(seconds=50)
        return {"format": 1, "kind": kind, "time": time[0].isoformat(), **fields}

    monkeypatch.setattr(records, "new_line", line_at)
    return time


@pytest.fixture
def day(tmp_path, clock):
    """Play the class: a pair, three alone, one on paper, two copies, a bad file."""
    text = ["name,email,code,class_key"]
    for number, (code, name) in enumerate(NAMES.items()):
        quoted = name.replace('"', '""')
        text.append(f'"{quoted}",s{number}@example.org,{code},anvil')
    (tmp_path / "class.csv").write_text("\n".join(text), "utf-8")
    (tmp_path / "session.toml").write_text(PLAN, "utf-8")
    folder = tmp_path / "hand-ins"
    folder.mkdir()

    def screen(*codes, answers):
        own = tmp_path / " ".join(codes)
        own.mkdir()
        record = Record(own / "pullwright-record.jsonl")
        student, pair = (*codes, "")[:2]
        record.sign_in(student=student, class_key="anvil", pair=pair)
        for given in answers:
            for id, typed in given:
                Task(record, exercise(id), set="exit").answer(typed, seconds=40)
            record.swap()
        for path in write_hand_ins(record, folder=own):
            shutil.copy(path, folder / f"hand-in {path.name.split()[1]}.txt")

    slip = [("8.3", "18.3 kN"), ("8.3", "5.24 kN"), ("8.4", "11.2 kN")]
    both = [("8.3", "2.92 kN"), ("8.4", "17.5 kN")]
    screen("KWCH", "GYCW", answers=[slip, both])
    screen("RYMG", answers=[[("8.3", "7.31 kN"), ("8.4", "16 kN")]])
    screen("NNHX", answers=[[("8.3", "4.02 kN"), ("8.4", "13.5 kN")]])
    clock[0] = DUE + timedelta(minutes=89)
    screen("YN43", answers=[[("8.3", "6.29 kN"), ("8.4", "5.93 kN")]])

    one, edited = (folder / f"hand-in {code}.txt" for code in ("KWCH", "NNHX"))
    shutil.copy(folder / "hand-in GYCW.txt", folder / "hand-in QYM3.txt")
    copy = one.read_bytes().replace(b"KWCH", b"XH9D")
    (folder / "hand-in XH9D.txt").write_bytes(copy)
    edited.write_bytes(edited.read_bytes().replace(b"13.5 kN", b"14.9 kN"))
    with zipfile.ZipFile(folder / "hand-in FTXW.zip", "w") as packed:
        packed.writestr("hand-in.txt", "")
    grid = "code;handed in;8.3 The side force;8.4 An even bridle\n"
    paper = "ncdy;2026-03-04 11:40;7,9 kN;15 kN\n"
    (tmp_path / "paper.csv").write_text(grid + paper, "utf-8")
    done(tmp_path, "typed", "class.csv", "paper.csv", "-o", "hand-ins")
    return tmp_path


def done(place, command, *order):
    """Do a command on files of a place; it must."""
    files = [x if x == "-o" else str(place / x) for x in order]
    assert main([command, *files]) == 0


def read(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return [*csv.DictReader(file)]


def test_a_day_is_marked_told_reported_and_marked_again(day, capsys):
    done(day, "mark", "class.csv", "hand-ins", "-o", "marks")

    marks = {x["code"]: x for x in read(day / "marks/marks-by-exercise.csv")}
    told = {code: (x["8.3"], x["8.4"], x["L08"]) for code, x in marks.items()}
    assert told == {
        "NCDY": ("100", "0", "50"),
        "KWCH": ("90", "100", "95"),  # right at the second try
        "GYCW": ("100", "100", "100"),
        "YN43": ("100", "100", "100"),
        "RYMG": ("100", "0", "50"),
        "QYM3": ("", "", ""),
        "XH9D": ("0", "0", "0"),  # another's numbers
        "NNHX": ("100", "100", "100"),  # what stands there typed, and it is told
        "FTXW": ("", "", ""),
        "JJ4F": ("", "", ""),
    }
    grades = read(day / "marks/grades-by-id-or-email.csv")
    assert {x["Email address"][:2]: x["Pullwright L08"] for x in grades} == {
        "s0": "10", "s1": "19", "s2": "20", "s3": "20", "s4": "10", "s6": "0",
        "s7": "20",
    }  # fmt: skip
    (late,) = read(day / "marks/late.csv")
    assert (late["code"], late["late answers"]) == ("YN43", "2")
    short = [x for x in capsys.readouterr().err.splitlines() if x.startswith("note")]
    assert short == [
        "note: 1 file was not read: hand-in FTXW.zip of Max Orme (FTXW).",
        "note: 1 has answers that another student typed in the same seconds: "
        "Dara Voss (XH9D).",
        "note: 1 has a code in the name of a file with another's work in it: "
        "王小明 (QYM3).",
        "note: 2 handed in files that say what their answers do not come to: "
        "Dara Voss (XH9D), Bo Lind (NNHX).",
        "note: 2 handed in records that are not as they were written: "
        "Bo Lind (NNHX), Dara Voss (XH9D).",
        "note: 1 handed in one record more than once: Müller, Jörg (GYCW).",
    ]

    done(day, "report", "class.csv", "marks")
    report = " ".join((day / "marks/report.txt").read_text("utf-8").split())
    assert report.startswith(
        "7 of 10 students handed in answers. "
        "Came, but could not be read: hand-in FTXW.zip of Max Orme. "
        "Came with another student's work in it: hand-in QYM3.txt of 王小明. "
        "Nothing came from Ines Falk (JJ4F). "
    )
    assert "M14_bridle_half: 2 students, 2× in 8.4" in report
    assert "Students: O'Malley, Sean (NCDY), Chris Weld (RYMG)." in report

    # "Half is right too, the figure has no angle": taken for right, for everybody.
    accept = '[lessons.L08.accept]\n"8.4" = ["M14_bridle_half"]\n'
    (day / "session.toml").write_text(PLAN + accept, "utf-8")
    done(day, "remark", "class.csv", "marks")
    marks = {x["code"]: x["L08"] for x in read(day / "marks/marks-by-exercise.csv")}
    assert marks["NCDY"] == marks["RYMG"] == "100"
    assert marks["KWCH"] == "95"

    # Better to leave it out: what is left is 8.3 alone.
    (day / "session.toml").write_text(PLAN + 'drop = ["8.4"]\n', "utf-8")
    done(day, "remark", "class.csv", "marks")
    marks = {x["code"]: x["L08"] for x in read(day / "marks/marks-by-exercise.csv")}
    assert marks["KWCH"] == "90"
    assert marks["NCDY"] == marks["RYMG"] == "100"
