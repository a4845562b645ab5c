"""Handouts and keys as PDF: what a student needs where there is no computer.

Typst sets the pages. Names and all other text reach it as data, never as markup.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Literal

import typst
from tqdm import tqdm

from workbook.classroom import keys
from workbook.classroom.roll import ClassList, Student
from workbook.classroom.sheets import sheet_of
from workbook.course import lessons
from workbook.course.predictions import asked_on_paper, options
from workbook.exercises import exercises_of, wording
from workbook.figures.drawing.on_axes import figure_of
from workbook.language import caution, left_out, say, text
from workbook.quantities.units import METRIC, UnitSystem

if TYPE_CHECKING:
    from workbook.exercises.engine import Variant
    from workbook.figures.drawing.marks import Sheet

Paper = Literal["a4", "us-letter"]
LONGEST_NAME = 60  # characters of a name on a handout
PAPERS: Mapping[str, Paper] = {"A4": "a4", "Letter": "us-letter"}


def handout_files(
    class_list: ClassList, lesson: str, *, paper: str, system: UnitSystem
) -> dict[str, bytes]:
    """Return a lesson's handouts: a PDF a student, one for all, and the key file.

    Parameters
    ----------
    class_list : ClassList
        Who gets one.
    lesson : str
        Such as ``"L07"``.
    paper : {"A4", "Letter"}
        Size of the pages; two of them for each student.
    system : UnitSystem
        Units of figure and table; questions show them in brackets.

    Returns
    -------
    dict of str to bytes
        By file name. The file for all ends with the instructor's key.

    Raises
    ------
    FormError
        If the lesson cannot be printed.
    """
    made = {f"{lesson} key.json": keys.key_json(class_list, lesson)}
    page = _Page(lesson, paper=paper, system=system)
    pages = [
        _student(one, class_list.key, lesson, system) for one in class_list.students
    ]
    for student, its in tqdm(
        [*zip(class_list.students, pages, strict=True)], unit="handout", disable=None
    ):
        made[f"{lesson} {_in_name(student.code)}.pdf"] = page.pdf([its])
    key = _key(class_list, lesson)
    made[f"{lesson} whole class with key.pdf"] = page.pdf(pages, key=key)
    return made


def key_files(class_list: ClassList, lesson: str, *, paper: str) -> dict[str, bytes]:
    """Return a lesson's key as a table, as PDF and as the file that marking reads."""
    page = _Page(lesson, paper=paper, system=METRIC)
    return {
        f"{lesson} key.json": keys.key_json(class_list, lesson),
        f"{lesson} key.csv": keys.key_csv(class_list, lesson),
        f"{lesson} key.pdf": page.pdf([], key=_key(class_list, lesson)),
    }


def _in_name(code: str) -> str:
    """Return a code with only what every file system takes."""
    return re.sub(r"[^\w-]", "_", code)


class _Page:
    """All that is the same on every student's pages of a lesson."""

    def __init__(self, lesson: str, *, paper: str, system: UnitSystem) -> None:
        sheet = sheet_of(lesson, system)
        self.figure = svg_of(sheet.figure)
        self.data: dict[str, Any] = {
            "title": sheet.title,
            "words": text("handout"),
            "paper": PAPERS[paper],
            "s0": caution("S0"),
            "alt": sheet.figure.text,
            "read": sheet.read,
            "codes": sheet.codes,
            "tables": [
                {"held": say("handout", "held", held=t.held),
                 "head": t.head, "rows": t.rows}
                for t in sheet.tables
            ],
            "cautions": [
                {"name": say("handout", "caution", name=name),
                 "text": caution(name)}
                for name in sheet.cautions
            ],
            "note": sheet.note,
            "left_out": say("handout", "left_out", left_out=left_out()),
        }  # fmt: skip

    def pdf(
        self, students: Sequence[Mapping[str, Any]], *, key: object = None
    ) -> bytes:
        """Return the pages of some students, and the key's."""
        data = json.dumps({**self.data, "students": students, "key": key})
        return compiled(
            {"main": _template(), "figure.svg": self.figure}, {"data": data}
        )


def compiled(sources: Mapping[str, bytes], inputs: Mapping[str, str]) -> bytes:
    """Return what typst makes of sources, without looking outside them."""
    made: object = typst.compile(dict(sources), sys_inputs=dict(inputs))  # type: ignore[call-overload]
    assert isinstance(made, bytes)
    return made


@cache
def _template() -> bytes:
    return files(__package__).joinpath("printed.typ").read_bytes()


def svg_of(sheet: Sheet) -> bytes:
    """Return a sheet as SVG with letters as outlines, the same wherever it is set."""
    stream = io.BytesIO()
    figure_of(sheet).savefig(stream, format="svg", metadata={"Date": None})
    return stream.getvalue()


def _student(
    student: Student, class_key: str, lesson: str, system: UnitSystem
) -> dict[str, Any]:
    """Return what only this student's pages say."""
    code = student.code
    variants = keys.variants_of(lesson, code=code, key=class_key)
    return {
        "name": on_paper(student.name),
        "code": code,
        **_predict(lesson, code, class_key, system),
        "exercises": [_exercise(variant, system) for variant in variants],
    }


def on_paper(name: str) -> str:
    """Return a name that fits two lines: the rest cut off, endless words broken.

    Examples
    --------
    >>> on_paper("Zoë")
    'Zoë'
    >>> len(on_paper("Maximiliana " * 10))
    60
    """
    short = name if len(name) <= LONGEST_NAME else name[: LONGEST_NAME - 1] + "…"
    return re.sub(r"(\S{24})(?=\S)", "\\1\u200b", short)


def _predict(
    lesson: str, code: str, class_key: str, system: UnitSystem
) -> dict[str, Any]:
    asked = lessons()[lesson].prediction
    assert asked is not None  # a printed lesson begins with a prediction
    offered = options(asked, class_key=class_key, student=code, system=system)
    return {
        "predict": asked_on_paper(asked, system=system),
        "choices": [
            {"letter": letter, "text": option.text}
            for letter, option in zip(keys.LETTERS, offered, strict=False)
        ],
    }


def _exercise(variant: Variant, system: UnitSystem) -> dict[str, str]:
    one = variant.exercise
    # The numbers of a later part would give the earlier part's answer away.
    carried = one.carry is not None
    return {
        "id": one.id,
        "title": wording.title(one),
        "question": wording.question(variant, system=system, carried=carried),
    }


def _key(class_list: ClassList, lesson: str) -> dict[str, Any]:
    """Return the key's pages: a table an exercise, a row a student."""
    key, students = class_list.key, class_list.students
    by_student = [keys.variants_of(lesson, code=s.code, key=key) for s in students]
    return {
        "class_key": say("handout", "key_class", key=key),
        "letters": [
            (s.name, s.code, keys.right_letter(lesson, code=s.code, key=key))
            for s in students
        ],
        "exercises": [
            {
                "id": one.id,
                "title": wording.title(one),
                "rule": wording.rule(one),
                "rows": [
                    _key_row(student, variants[place])
                    for student, variants in zip(students, by_student, strict=True)
                ],
            }
            for place, one in enumerate(exercises_of(lesson))
        ],
    }


def _key_row(student: Student, variant: Variant) -> tuple[str, ...]:
    return (
        student.name,
        student.code,
        keys.numbers_text(variant),
        wording.answer_text(variant),
        keys.mistakes_text(variant),
    )
