"""Marks as files: for gradebooks, by exercise, try by try, and what changed.

``marks.jsonl`` keeps every try and every mark, one JSON object a line, so that
marks can be made again when an exercise was corrected. Marks set by hand stand in
``hand-marks.csv`` (columns ``code,exercise,mark,why``; the mark in per cent, the
exercise such as 2.1 or a whole lesson such as L02). Nothing here writes that file;
what it says always wins and is always shown.
"""

from __future__ import annotations

import csv
import io
import json
import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from workbook import __version__
from workbook.classroom.files import csv_bytes, read_text, shown, uncell
from workbook.classroom.hand_ins import Step
from workbook.classroom.marks import Corrections, Mark, Marked, Marking
from workbook.classroom.roll import ClassList, Student
from workbook.errors import FormError
from workbook.exercises import EXERCISES, exercises_of
from workbook.exercises.declaration import Exercise
from workbook.exercises.seeds import plain
from workbook.exercises.wording import answer_text
from workbook.reader.record import line_text

FORMAT = 1
MARKS, HAND_MARKS, NOTES = "marks.jsonl", "hand-marks.csv", "notes.txt"
Place = tuple[str, str]  # code, exercise or lesson
LESSONS = tuple(dict.fromkeys(one.lesson for one in EXERCISES.values()))


@dataclass(frozen=True, kw_only=True)
class Answer:
    """One typed answer as it was marked, with the numbers it was typed to.

    ``names`` are what was decided: an outcome, and a unit that was wrong as well.
    """

    code: str
    exercise: Exercise
    numbers: Mapping[str, float]
    typed: str
    right: str
    names: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Kept:
    """What an earlier marking left in ``marks.jsonl``."""

    class_key: str = ""
    made_with: str = ""
    corrections: tuple[str, ...] = ()
    steps: Mapping[str, Sequence[Step]] = field(default_factory=dict)
    marks: Mapping[Place, Mark] = field(default_factory=dict)
    answers: Sequence[Answer] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Change:
    """A mark that is another one now; ``None`` where there is or was none."""

    code: str
    exercise: str
    old: float | None
    new: float | None
    why: str


# -------------------------------------------------------------------------- marks


def with_hand_marks(
    marks: Iterable[Mark], by_hand: Mapping[Place, Mark]
) -> dict[Place, Mark]:
    """Return the marks that count: those set by hand, then the checker's."""
    return {**{(m.code, m.exercise): m for m in marks}, **by_hand}


def read_hand_marks(path: Path, class_list: ClassList) -> dict[Place, Mark]:
    """Read the marks set by hand; none where there is no file.

    Raises
    ------
    FormError
        If a line cannot be understood: a mark meant to win must not be lost.
    """
    if not path.exists():
        return {}
    text = read_text(path, what="a file of marks")
    first = text.splitlines()[0] if text.strip() else ""
    delimiter = ";" if ";" in first else "\t" if "\t" in first else ","
    reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=delimiter)
    wanted = {"code", "exercise", "mark", "why"}
    if not wanted <= {*(reader.fieldnames or ())}:
        msg = f"{path.name}: the first line must be code,exercise,mark,why"
        raise FormError(msg)
    marks = {}
    for row in reader:
        where = f"{path.name}, line {reader.line_num}"
        mark = _hand_mark(
            {name: uncell(row[name] or "").strip() for name in wanted},
            class_list,
            where,
        )
        marks[mark.code, mark.exercise] = mark
    return marks


def _hand_mark(row: Mapping[str, str], class_list: ClassList, where: str) -> Mark:
    student = class_list.by_code.get(plain(row["code"]))
    ids = {id for id, _ in EXERCISES}
    if student is None:
        msg = f"{where}: the code “{shown(row['code'][:20])}” is not on the class list"
        raise FormError(msg)
    if row["exercise"] not in {*ids, *LESSONS}:
        msg = f"{where}: there is no exercise or lesson “{shown(row['exercise'][:20])}”"
        raise FormError(msg)
    try:
        per_cent = float(row["mark"].rstrip("% ").replace(",", "."))
    except ValueError:
        per_cent = math.nan
    if not 0 <= per_cent <= 100:
        msg = (
            f"{where}: the mark must be from 0 to 100, not “{shown(row['mark'][:20])}”"
        )
        raise FormError(msg)
    return Mark(
        code=student.code,
        exercise=row["exercise"],
        score=per_cent / 100,
        outcome="by_hand",
        why=row["why"],
        by_hand=True,
    )


def lesson_score(marks: Mapping[Place, Mark], code: str, lesson: str) -> float | None:
    """Return a student's score in a lesson, or nothing if nothing was done.

    It is the mean over the lesson's exercises, one not answered counting as 0.
    """
    if (code, lesson) in marks:
        return marks[code, lesson].score
    ids = [one.id for one in exercises_of(lesson)]
    scores = [marks[code, id].score for id in ids if (code, id) in marks]
    return sum(scores) / len(ids) if scores else None


def lessons_in(marks: Mapping[Place, Mark]) -> list[str]:
    """Return the lessons with marks, in order."""
    lesson_of = {id: one.lesson for (id, _), one in EXERCISES.items()}
    done = {lesson_of.get(exercise, exercise) for _, exercise in marks}
    return [lesson for lesson in LESSONS if lesson in done]


# -------------------------------------------------------------------------- files


def grade_files(
    class_list: ClassList, marks: Mapping[Place, Mark], titles: Mapping[str, str]
) -> dict[str, bytes]:
    """Return the files for gradebooks and the one by exercise.

    Parameters
    ----------
    class_list : ClassList
        The students.
    marks : mapping
        The marks that count.
    titles : mapping of str to str
        The gradebook's own column for a lesson; else ``Pullwright L02``.

    Returns
    -------
    dict of str to bytes
        Marks are in per cent. Where nothing was done a cell stays empty, so that
        an import overwrites nothing with a nought; feedback is never among them.
    """
    lessons = lessons_in(marks)
    columns = [titles.get(lesson, f"Pullwright {lesson}") for lesson in lessons]

    def scores(student: Student) -> list[object]:
        return [
            _per_cent(lesson_score(marks, student.code, lesson)) for lesson in lessons
        ]

    done = [s for s in class_list.students if any(x != "" for x in scores(s))]
    head = ("Student", "ID", "SIS User ID", "SIS Login ID", "Section")
    by_name = [
        (s.name, "", s.id, s.login, s.section, *scores(s)) for s in class_list.students
    ]
    by_id = [(s.id, s.email, s.name, *scores(s)) for s in done if s.id or s.email]
    by_login = [(s.login, *scores(s)) for s in done if s.login]
    return {
        "grades-by-name-and-id.csv": csv_bytes(
            [(*head, *columns), *by_name], mark=False
        ),
        "grades-by-id-or-email.csv": csv_bytes(
            [("ID number", "Email address", "Name", *columns), *by_id], mark=False
        ),
        "grades-by-user-name.txt": csv_bytes(
            [("Username", *columns), *by_login], delimiter="\t", mark=False
        ),
        "marks-by-exercise.csv": csv_bytes(_by_exercise(class_list, marks, lessons)),
    }


def _per_cent(score: float | None) -> object:
    if score is None:
        return ""
    rounded = round(100 * score, 2)
    return int(rounded) if rounded == int(rounded) else rounded


def _by_exercise(
    class_list: ClassList, marks: Mapping[Place, Mark], lessons: Sequence[str]
) -> Iterator[Sequence[object]]:
    ids = [one.id for lesson in lessons for one in exercises_of(lesson)]
    yield "name", "id", "code", *ids, *lessons, "set by hand"
    for student in class_list.students:
        code = student.code
        found = [marks.get((code, id)) for id in ids]
        hand = [m for m in marks.values() if m.code == code and m.by_hand]
        yield (
            student.name,
            student.id,
            code,
            *(_per_cent(mark.score if mark else None) for mark in found),
            *(_per_cent(lesson_score(marks, code, lesson)) for lesson in lessons),
            "; ".join(
                f"{m.exercise} {_per_cent(m.score)}: {shown(m.why)}" for m in hand
            ),
        )


def notes_file(notes: Sequence[str], by_hand: Mapping[Place, Mark]) -> bytes:
    """Return what the instructor should know: every note, every mark set by hand."""
    hand = [
        f"{m.code} {m.exercise}: {_per_cent(m.score)} by hand, {shown(m.why)}"
        for m in by_hand.values()
    ]
    lines = [
        f"{len(notes)} notes on what was handed in",
        *notes,
        "",
        f"{len(hand)} marks set by hand in {HAND_MARKS}, which always count",
        *hand,
        "",
    ]
    return "\n".join(lines).encode("utf-8", "backslashreplace")


# -------------------------------------------------------------------- marks.jsonl


def marks_file(
    class_list: ClassList,
    steps: Iterable[str],
    marks: Iterable[Mark],
    *,
    corrections: Corrections,
    notes: Sequence[str],
) -> bytes:
    """Return every try, mark and note, one JSON object a line, the heading first.

    Parameters
    ----------
    class_list : ClassList
        The students.
    steps : iterable of str
        Lines as `step_lines` returns them.
    marks : iterable of Mark
        The checker's, then those set by hand.
    corrections : Corrections
        What was marked otherwise.
    notes : sequence of str
        What the instructor should know.
    """
    heading = {
        "kind": "marking",
        "format": FORMAT,
        "made_with": __version__,
        "class_key": class_list.key,
        "corrections": corrections.named,
    }
    said = ({"kind": "note", "text": note} for note in notes)
    lines = [
        line_text(heading),
        *steps,
        *map(line_text, map(_mark_line, marks)),
        *map(line_text, said),
    ]
    return ("\n".join(lines) + "\n").encode()


def step_lines(marking: Marking) -> list[str]:
    """Return the steps of one student as lines of the marks file."""
    return [line_text(_step_line(marking.code, one)) for one in marking.steps]


def _step_line(code: str, one: Marked) -> dict[str, Any]:
    step, outcome = one.step, one.outcome
    line: dict[str, Any] = {
        "kind": step.kind, "code": code, "exercise": step.exercise,
        "version": step.version, "attempt": step.attempt, "time": step.time,
        "file": step.file, "pair": step.pair,
    }  # fmt: skip
    if outcome is None:
        return line | {"number": step.number, "choice": step.choice}
    return line | {
        "typed": step.typed,
        "seconds": step.seconds,
        "numbers": dict(one.variant.numbers),
        "carried": one.carried,
        "value": outcome.value,
        "unit": outcome.unit,
        "outcome": outcome.name,
        "score": outcome.score,
        "held": outcome.held,
        "try": one.tries,
        "hints": one.hints,
        "unit_problem": outcome.unit_problem,
        "right": answer_text(one.variant),
    }


def _mark_line(mark: Mark) -> dict[str, Any]:
    return {
        "kind": "mark", "code": mark.code, "exercise": mark.exercise,
        "score": mark.score, "outcome": mark.outcome, "why": mark.why,
        "by": "hand" if mark.by_hand else "checker",
    }  # fmt: skip


def read_kept(path: Path, class_list: ClassList) -> Kept:
    """Read ``marks.jsonl`` of an earlier marking; nothing where there is none.

    Raises
    ------
    FormError
        If it is not what was written, or of another class.
    """
    if not path.exists():
        return Kept()
    try:
        lines = [json.loads(line) for line in path.read_bytes().splitlines()]
        kept = _kept(lines[0], lines[1:])
    except (
        ValueError,
        LookupError,
        TypeError,
        ArithmeticError,
        AttributeError,
        RecursionError,
    ):
        msg = f"{path.name} is not as `pullwright mark` left it: mark the folder anew"
        raise FormError(msg) from None
    if plain(kept.class_key) != plain(class_list.key):
        msg = f"{path.name} holds the marks of another class"
        raise FormError(msg)
    return kept


def _kept(heading: Mapping[str, Any], lines: Iterable[Mapping[str, Any]]) -> Kept:
    if heading["kind"] != "marking" or heading["format"] != FORMAT:
        raise ValueError
    steps: dict[str, list[Step]] = defaultdict(list)
    marks: dict[Place, Mark] = {}
    answers: list[Answer] = []
    notes: list[str] = []
    for line in lines:
        if line["kind"] == "answer":
            answers.append(_answer_of(line))
        if line["kind"] == "mark":
            mark = _mark_of(line)
            marks[mark.code, mark.exercise] = mark
        elif line["kind"] == "note":
            notes.append(str(line["text"]))
        else:
            steps[plain(line["code"])].append(_step_of(line))
    return Kept(
        class_key=str(heading["class_key"]),
        made_with=str(heading["made_with"]),
        corrections=tuple(map(str, heading["corrections"])),
        steps=steps,
        marks=marks,
        answers=answers,
        notes=tuple(notes),
    )


def _mark_of(line: Mapping[str, Any]) -> Mark:
    return Mark(
        code=str(line["code"]),
        exercise=str(line["exercise"]),
        score=float(line["score"]),
        outcome=str(line["outcome"]),
        why=str(line["why"]),
        by_hand=line["by"] == "hand",
    )


def _answer_of(line: Mapping[str, Any]) -> Answer:
    names = (line["outcome"], line["unit_problem"])
    return Answer(
        code=str(line["code"]),
        exercise=EXERCISES[line["exercise"], line["version"]],
        numbers={str(n): float(x) for n, x in line["numbers"].items()},
        typed=str(line["typed"]),
        right=str(line["right"]),
        names=tuple(str(name) for name in names if name),
    )


def _step_of(line: Mapping[str, Any]) -> Step:
    if (line["exercise"], line["version"]) not in EXERCISES:
        raise ValueError
    return Step(
        kind=str(line["kind"]),
        exercise=str(line["exercise"]),
        version=int(line["version"]),
        attempt=int(line["attempt"]),
        time=str(line["time"]),
        moment=0.0,
        file=str(line["file"]),
        typed=str(line.get("typed", "")),
        number=int(line.get("number", 0)),
        choice=str(line.get("choice", "")),
        pair=str(line["pair"]),
        seconds=None if line.get("seconds") is None else float(line["seconds"]),
    )


# ------------------------------------------------------------------------ changes


def changes(
    old: Kept, new: Mapping[Place, Mark], steps: Mapping[str, Sequence[Step]]
) -> list[Change]:
    """Return the marks that are others now, each with the reason.

    Parameters
    ----------
    old : Kept
        The earlier marking.
    new : mapping
        The marks that count now.
    steps : mapping of str to sequence of Step
        What the new marks rest on, by student code as `plain` makes it.
    """
    found = []
    for place in sorted({*old.marks, *new}):
        before, after = old.marks.get(place), new.get(place)
        was, is_ = (mark.score if mark else None for mark in (before, after))
        if was == is_ or (
            was is not None and is_ is not None and math.isclose(was, is_)
        ):
            continue
        more = _answers(steps, place) != _answers(old.steps, place)
        why = _why(before, after, old.made_with, more=more)
        found.append(
            Change(code=place[0], exercise=place[1], old=was, new=is_, why=why)
        )
    return found


def _answers(steps: Mapping[str, Sequence[Step]], place: Place) -> int:
    code, id = place
    return sum(s.exercise == id for s in steps.get(plain(code), ()))


def _why(before: Mark | None, after: Mark | None, made_with: str, *, more: bool) -> str:
    if after and after.by_hand:
        return f"set by hand: {after.why}"
    if before and before.by_hand:
        return "no longer set by hand"
    if after and after.why:
        return after.why
    if more:
        return "something else was handed in"
    names = [mark.outcome if mark else "nothing" for mark in (before, after)]
    return (
        f"version {__version__} decides otherwise than {made_with}: "
        f"{names[0]} is {names[1]}"
    )


def changes_file(found: Sequence[Change], class_list: ClassList) -> bytes:
    """Return a table of changed marks, in per cent."""
    head = ("name", "code", "exercise", "old mark", "new mark", "why")
    return csv_bytes([head, *(_change_row(change, class_list) for change in found)])


def _change_row(change: Change, class_list: ClassList) -> tuple[object, ...]:
    student = class_list.by_code.get(plain(change.code))
    return (
        student.name if student else "",
        change.code,
        change.exercise,
        _per_cent(change.old),
        _per_cent(change.new),
        shown(change.why),
    )
