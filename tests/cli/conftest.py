"""A class and its hand-ins, written as the workbook writes them."""

import csv
import json
import random
from datetime import datetime, timedelta, timezone
from itertools import count

import pytest

from workbook.classroom.roll import Student, made_class, write_class
from workbook.cli import main
from workbook.exercises import exercise
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.replay import replay, seed_of, variant_of
from workbook.exercises.sets import is_marked
from workbook.reader.chain import Tip
from workbook.reader.hand_in import hand_in_text
from workbook.reader.record_lines import Reader, line_text

START = datetime(2026, 1, 12, 9, 0, tzinfo=timezone(timedelta(hours=1)))
UNITS = {
    "force": "N",
    "length": "m",
    "angle": "rad",
    "energy": "J",
    "pressure": "MPa",
    "moment": "N m",
    "ratio": "x",
    "share": "x",
    "count": "x",
    "time": "s",
}


def typed_as(own, value):
    """Return an answer in SI as a student would type it."""
    if not isinstance(own.exercise.answer, Quantity):
        return own.exercise.answer.typed(value)
    unit = UNITS[own.exercise.answer.kind]
    size = 1e6 if unit == "MPa" else 1.0
    return f"{value / size:.9f} {unit}"


def typed_text(own, typed):
    """Return what is typed: a text, ``right``, a mistake's name or a function."""
    numbers = {m.name: v for m, v in own.armed} | {"right": own.answer}
    if callable(typed):
        return typed(own)
    return typed_as(own, numbers[typed]) if typed in numbers else typed


def variant(student, id, *, key="oak", set="exit", attempt=1):
    """Return a student's numbers."""
    keys = {"class_key": key, "student": student}
    return variant_of(exercise(id), **keys, set=set, attempt=attempt)


def lines_of(student, answers, *, key="oak", set="exit", attempt=1, start=START):
    """Return the record lines of some answers, (exercise, typed) pairs, in order.

    For what may be typed see `typed_text`.
    """
    lines, done, values, marked = [], {}, {}, is_marked(set)
    for second, (id, typed) in zip(count(), answers):
        one, own = exercise(id), variant(student, id, key=key, set=set, attempt=attempt)
        typed = typed_text(own, typed)
        carried = values.get(one.carry.source) if one.carry else None
        before = done.setdefault(id, [])
        given = {"kind": "answer", "typed": typed}
        given |= {} if carried is None else {"carried": carried}
        history = replay(own, before, marked_set=marked).history
        before.append(given)
        work = replay(own, before, marked_set=marked)
        outcome = work.outcomes[-1]
        values |= {} if outcome.held else {id: outcome.value}
        lines.append(
            {
                "format": 1,
                "kind": "answer",
                "time": (start + timedelta(seconds=second)).isoformat(),
                "student": student,
                "class_key": key,
                "lesson": one.lesson,
                "exercise": id,
                "version": one.version,
                "set": set,
                "attempt": attempt,
                "seed": seed_of(
                    one, class_key=key, student=student, set=set, attempt=attempt
                ).hex(),
                "value": outcome.value,
                "unit": outcome.unit,
                "outcome": outcome.name,
                "score": outcome.score,
                "held": outcome.held,
                "hints": history.hints,
                "seconds": 12.5,
                "try": work.history.tries,
                **given,
            }
        )
    return lines


def chained(lines, *, start):
    """Return lines as they stand in a record with this start, and as handed in."""
    when = (START - timedelta(minutes=1)).isoformat()
    rows = [{"format": 1, "kind": "start", "time": when, "random": start}]
    tip = Tip().after(rows[0], line_text(rows[0]).encode())
    for line in lines:
        rows.append({**line, "prev": tip.link})
        tip = tip.after(rows[-1], line_text(rows[-1]).encode())
    return [*rows, {"format": 1, "kind": "tip", "prev": tip.link}]


def text_of(lines, *, student, key="oak", start="00"):
    """Return a hand-in file's text; without a start, as before there were chains."""
    rows = chained(lines, start=start) if start else lines
    return hand_in_text(rows, reader=Reader(student=student, class_key=key))


class Class:
    """A class list on disk and a folder of hand-ins."""

    lines_of = staticmethod(lines_of)
    text_of = staticmethod(text_of)
    typed_as = staticmethod(typed_as)
    typed_text = staticmethod(typed_text)
    variant = staticmethod(variant)

    def __init__(self, place, names):
        people = [Student(**person) for person in names]
        self.list = made_class(people, key="oak", chance=random.Random(3))
        self.file, self.folder, self.out = (
            place / name for name in ("class.csv", "hand-ins", "marks")
        )
        self.folder.mkdir()
        write_class(self.file, self.list)
        self.codes = [student.code for student in self.list.students]

    def hand_in(self, code, answers, *, name=None, **options):
        """Write one student's hand-in; return its path."""
        path = self.folder / (name or f"hand-in {code}.txt")
        start = options.pop("start_of", code)
        lines = lines_of(code, answers, **options)
        key = options.get("key", "oak")
        text = text_of(lines, student=code, key=key, start=start)
        path.write_text(text, "utf-8")
        return path

    def mark(self, *options):
        """Mark the folder; the command must do it."""
        order = ["mark", str(self.file), str(self.folder), "-o", str(self.out)]
        assert main([*order, *options]) == 0

    def table(self, name, **options):
        """Read a table of the marks back as another program would."""
        with (self.out / name).open(encoding="utf-8-sig", newline="") as file:
            return [*csv.DictReader(file, **options)]

    def notes(self):
        """Return the notes on what was handed in."""
        return [note["text"] for note in self.kept("note")]

    def kept(self, *kinds):
        """Return lines of the marks file of some kinds."""
        text = (self.out / "marks.jsonl").read_text("utf-8")
        return [x for x in map(json.loads, text.splitlines()) if x["kind"] in kinds]

    def marks(self):
        """Return the checker's marks by code and exercise."""
        found = self.kept("mark")
        return {(x["code"], x["exercise"]): x for x in found if x["by"] == "checker"}


@pytest.fixture
def own_settings(tmp_path, monkeypatch):
    """Keep the reader's one setting among the test's own files."""
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def make_room(tmp_path):
    """Make a class of people with these columns."""
    return lambda names: Class(tmp_path, names)


@pytest.fixture
def small_class(tmp_path):
    """Three students, the first with a name that breaks careless files."""
    names = [
        {"name": 'O\'Neill, Zoë "Z"', "id": "007", "login": "zo", "email": "z@x"},
        {"name": "=Kim", "id": "12"},
        {"name": "Łukasz", "login": "lu"},
    ]
    return Class(tmp_path, names)
