"""The key of a lesson: every student's numbers, right answers, known mistakes.

The key file (JSON) keeps the numbers that each handout printed, so that marking
never has to draw them again. An instructor may correct it: numbers as they stand
in it are used, and a right answer with a ``why`` beside it is taken as it is.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from workbook import __version__
from workbook.classroom.files import csv_bytes, read_text
from workbook.classroom.roll import MOST_STUDENTS, ClassList, Student
from workbook.course import lessons
from workbook.course.predictions import LETTERS, RIGHT, options
from workbook.errors import FormError
from workbook.exercises import exercises_of
from workbook.exercises.answers.quantity import Quantity, in_both
from workbook.exercises.declaration import Exercise
from workbook.exercises.engine import Variant, variant_from
from workbook.exercises.replay import variant_of
from workbook.exercises.seeds import plain
from workbook.exercises.sets import BEFORE_SETS, ON_PAPER
from workbook.files import read_json
from workbook.language import say, shown, text
from workbook.quantities.units import METRIC, UnitSystem, factor

FORMAT = 1
LARGEST = MOST_STUDENTS * 16 * 2**10  # bytes of a key file; a student takes 3 to 8 KiB
COLUMNS = ("name", "code", "exercise", "numbers", "right", "unit", "mistakes")
RowKey = tuple[str, str, int, str]  # plain code, exercise, version, set


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One student's exercise in the key.

    ``why`` tells that it was corrected, ``remark`` that its answer is not what its
    numbers give.
    """

    variant: Variant
    why: str = ""
    remark: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One student's exercise as the key file has it, not yet looked into."""

    numbers: object
    answer: object
    why: str
    file: str
    code: str
    exercise: str

    @property
    def where(self) -> str:
        """Where it stands, in words."""
        return say(
            "classroom", "key", "where",
            file=self.file, code=shown(self.code), exercise=shown(self.exercise[:20]),
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Key:
    """What key files hold, by student code, exercise, version and set."""

    rows: Mapping[RowKey, Row] = field(default_factory=dict)

    def entry(self, code: str, one: Exercise, *, set: str) -> Entry | None:
        """Return what the key has for a student's exercise.

        Raises
        ------
        FormError
            If its numbers cannot serve; the sentence says where.
        """
        row = self.rows.get((plain(code), one.id, one.version, set))
        return _entry(row, one, set) if row else None


@lru_cache(maxsize=256)  # key as file, table and pages, and handouts of a school
def variants_of(lesson: str, *, code: str, key: str) -> tuple[Variant, ...]:
    """Return one student's numbers on paper: those of the marked card on a screen."""
    return tuple(
        variant_of(one, class_key=key, student=code, set=ON_PAPER)
        for one in exercises_of(lesson)
    )


def right_letter(lesson: str, *, code: str, key: str) -> str:
    """Return the letter of the right choice as this student's handout prints it."""
    asked = lessons()[lesson].prediction if lesson in lessons() else None
    if asked is None:
        return ""
    offered = options(asked, class_key=key, student=code)
    return next(
        letter
        for letter, option in zip(LETTERS, offered, strict=False)
        if option.name == RIGHT
    )


# ----------------------------------------------------------------------- key file


def key_json(class_list: ClassList, lesson: str) -> bytes:
    """Return the key file of a lesson.

    Parameters
    ----------
    class_list : ClassList
        Whose numbers.
    lesson : str
        Such as ``"L07"``.

    Returns
    -------
    bytes
        JSON. Numbers, answers and mistakes' numbers are in the unit beside them.
    """
    data = {
        "format": FORMAT,
        "kind": "key",
        "lesson": lesson,
        "set": ON_PAPER,
        "class_key": class_list.key,
        "made_with": __version__,
        "students": [_student(class_list, one, lesson) for one in class_list.students],
    }
    return json.dumps(data, ensure_ascii=False, indent=1).encode()


def _student(class_list: ClassList, student: Student, lesson: str) -> dict[str, Any]:
    code, key = student.code, class_list.key
    return {
        "code": code,
        "name": student.name,
        "prediction": right_letter(lesson, code=code, key=key),
        "exercises": [
            _exercise(variant) for variant in variants_of(lesson, code=code, key=key)
        ],
    }


def _exercise(variant: Variant) -> dict[str, Any]:
    one = variant.exercise
    return {
        "exercise": one.id,
        "version": one.version,
        "numbers": dict(variant.numbers),
        "units": {name: one.unit_of(name) for name in variant.numbers},
        **one.answer.in_key(variant),
    }


def read_keys(paths: Sequence[Path], class_list: ClassList) -> Key:
    """Read key files, maybe corrected; a later one counts over an earlier.

    Raises
    ------
    FormError
        If one is no key file, or another class's.
    OSError
        If one cannot be read.
    """
    rows: dict[RowKey, Row] = {}
    for path in paths:
        rows.update(_rows_of(path, class_list))
    return Key(rows=rows)


def _rows_of(path: Path, class_list: ClassList) -> dict[RowKey, Row]:
    name = shown(path.name)
    text = read_text(path, what="key", largest=LARGEST)
    try:
        data = read_json(text)
        if data["format"] != FORMAT or data["kind"] != "key":
            raise ValueError
        class_key, set = str(data["class_key"]), str(data.get("set", BEFORE_SETS))
        rows = dict(
            _row(str(student["code"]), row, name, set)
            for student in data["students"]
            for row in student["exercises"]
        )
    except (ValueError, KeyError, TypeError, AttributeError):
        raise FormError("key.no_key", file=name) from None
    if plain(class_key) != plain(class_list.key):
        raise FormError("key.other_class", file=name)
    return rows


def _row(code: str, row: Mapping[str, Any], name: str, set: str) -> tuple[RowKey, Row]:
    id, version = str(row["exercise"]), row["version"]
    return (plain(code), id, version, set), Row(
        numbers=row["numbers"],
        answer=row["answer"],
        why=str(row.get("why", "")),
        file=name,
        code=code,
        exercise=id,
    )


def _entry(row: Row, one: Exercise, set: str) -> Entry:
    """Return a row as numbers with an answer, corrected where it says why."""
    try:
        if not isinstance(row.numbers, dict):
            raise TypeError
        numbers = {name: _number(value) for name, value in row.numbers.items()}
        if numbers.keys() != {*one.given, *one.derived}:
            raise KeyError
        variant = replace(variant_from(one, numbers), before_sets=set == BEFORE_SETS)
        # Worked out now, where a refusal is caught.
        right = one.answer.in_key(variant)["answer"]
        if not isinstance(one.answer, Quantity):
            return _made(row, variant, right)
        said, right = _number(row.answer), _number(right)
    except (KeyError, TypeError, ValueError, ArithmeticError):
        raise FormError("key.numbers", where=row.where) from None
    if math.isclose(said, right, rel_tol=2e-5):
        return Entry(variant=variant, why=row.why)
    if row.why:
        return Entry(variant=_corrected(variant, said), why=row.why)
    remark = say("classroom", "key", "remark", where=row.where, said=said, right=right)
    return Entry(variant=variant, remark=remark)


def _made(row: Row, variant: Variant, right: object) -> Entry:
    """Return a row whose answer is made: it shows one that is right, no more."""
    if row.answer == right:
        return Entry(variant=variant, why=row.why)
    remark = say("classroom", "key", "made", where=row.where)
    return Entry(variant=variant, why=row.why, remark=remark)


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise TypeError
    number = float(value)
    if not math.isfinite(number):
        raise ValueError
    return number


def _corrected(variant: Variant, answer: float) -> Variant:
    """Return the variant with another right answer, in its own unit."""
    right = answer * factor(variant.quantity.unit)
    corrected = replace(variant.quantity, solve=lambda _: right)
    return replace(variant, exercise=replace(variant.exercise, answer=corrected))


# -------------------------------------------------------------------------- sheet


def key_csv(class_list: ClassList, lesson: str, *, system: UnitSystem) -> bytes:
    """Return the key as a table: one line a student and exercise."""
    head = [text("classroom", "key", "head", name) for name in COLUMNS]
    return csv_bytes([head, *_rows(class_list, lesson, system)])


def _rows(
    class_list: ClassList, lesson: str, system: UnitSystem
) -> Iterator[tuple[object, ...]]:
    for student in class_list.students:
        code, key = student.code, class_list.key
        letter = right_letter(lesson, code=code, key=key)
        if letter:
            asked = text("classroom", "key", "prediction")
            yield student.name, code, asked, "", letter, "", ""
        for variant in variants_of(lesson, code=code, key=key):
            one = variant.exercise
            answer, unit = _answer(variant, system)
            yield (
                student.name, code, one.id, numbers_text(variant, system=system),
                answer, unit, one.answer.mistakes_text(variant, system=system),
            )  # fmt: skip


def _answer(variant: Variant, system: UnitSystem) -> tuple[object, str]:
    """Return the right answer and its unit: the exercise's, or else the class's."""
    answer = variant.exercise.answer
    if not isinstance(answer, Quantity):
        entry = answer.in_key(variant)
        return entry["answer"], entry["unit"]
    unit = system.unit[answer.kind]
    if unit == METRIC.unit[answer.kind]:
        unit = answer.unit
    return float(f"{variant.answer / factor(unit):.4g}"), unit


def numbers_text(variant: Variant, *, system: UnitSystem = METRIC) -> str:
    """Return the numbers of a question with their names and units.

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> pull = variant_from(exercise("2.1"), {"tension": 20.0, "angle": 30.0})
    >>> numbers_text(pull)
    'tension 20 kN, angle 30°'
    """
    unit_of = variant.exercise.unit_of
    return ", ".join(
        f"{name.replace('_', ' ')} {in_both(f'{number:.10g}', unit_of(name), system)}"
        for name, number in variant.numbers.items()
    )
