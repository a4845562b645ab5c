"""Marks set by hand, in ``hand-marks.csv``.

It has the columns ``code,exercise,mark,why``: the mark in per cent, the exercise such
as 2.1 or a whole lesson such as L02. Nothing here writes that file; what it says
always wins and is always shown.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping
from pathlib import Path

from workbook.classroom.files import read_text, uncell
from workbook.classroom.gradebook import LESSONS
from workbook.classroom.marks import ExerciseMark, Place
from workbook.classroom.roll import ClassList
from workbook.errors import FormError
from workbook.exercises import EXERCISES
from workbook.exercises.seeds import plain
from workbook.language import shown

HAND_MARKS = "hand-marks.csv"


def read_hand_marks(path: Path, class_list: ClassList) -> dict[Place, ExerciseMark]:
    """Read the marks set by hand; none where there is no file.

    Raises
    ------
    FormError
        If a line cannot be understood: a mark meant to win must not be lost.
    """
    if not path.exists():
        return {}
    text = read_text(path, what="marks")
    first = text.splitlines()[0] if text.strip() else ""
    delimiter = ";" if ";" in first else "\t" if "\t" in first else ","
    reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        return _hand_marks(reader, path.name, class_list)
    except csv.Error:
        where = FormError("marks.line", file=path.name, line=reader.line_num)
        raise FormError("marks.hand_csv", where=where) from None


def _hand_marks(
    reader: csv.DictReader[str], file: str, class_list: ClassList
) -> dict[Place, ExerciseMark]:
    wanted = {"code", "exercise", "mark", "why"}
    if not wanted <= {*(reader.fieldnames or ())}:
        raise FormError("marks.hand_head", file=file)
    marks = {}
    for row in reader:
        where = FormError("marks.line", file=file, line=reader.line_num)
        mark = _hand_mark(
            {name: uncell(row[name] or "").strip() for name in wanted},
            class_list,
            where,
        )
        marks[mark.code, mark.exercise] = mark
    return marks


def _hand_mark(
    row: Mapping[str, str], class_list: ClassList, where: FormError
) -> ExerciseMark:
    student = class_list.by_code.get(plain(row["code"]))
    ids = {id for id, _ in EXERCISES}
    if student is None:
        raise FormError("marks.hand_code", where=where, code=shown(row["code"][:20]))
    if row["exercise"] not in {*ids, *LESSONS}:
        named = shown(row["exercise"][:20])
        raise FormError("marks.hand_exercise", where=where, exercise=named)
    try:
        per_cent = float(row["mark"].rstrip("% ").replace(",", "."))
    except ValueError:
        per_cent = math.nan
    if not 0 <= per_cent <= 100:
        raise FormError("marks.hand_mark", where=where, mark=shown(row["mark"][:20]))
    return ExerciseMark(
        code=student.code,
        exercise=row["exercise"],
        score=per_cent / 100,
        outcome="by_hand",
        why=row["why"],
        by_hand=True,
    )
