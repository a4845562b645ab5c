"""Handouts and keys as PDF: what a student needs where there is no computer.

Typst sets the pages. Names and all other text reach it as data, never as markup.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache, partial
from importlib.resources import files
from itertools import combinations, pairwise
from math import ceil
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any, Literal

from workbook.classroom import keys
from workbook.classroom.cut_out import cards_pdf, strips_pdf
from workbook.classroom.files import in_name, write_all
from workbook.classroom.key_pages import key_pdf
from workbook.classroom.made import SCALE, is_made, printed, scale
from workbook.classroom.names import on_paper
from workbook.classroom.paper_scale import PRINTED, bar_of
from workbook.classroom.press import (
    TOGETHER,
    Press,
    PrintedPart,
    for_all,
    forget,
    kept,
    svg_of,
)
from workbook.classroom.roll import ClassList, Student
from workbook.classroom.script import script_pdf
from workbook.classroom.sheets import sheet_of, with_handout
from workbook.course import lessons
from workbook.course.predictions import LETTERS, asked_on_paper, options
from workbook.course.session import NO_PLAN, Session
from workbook.exercises import exercises_of, wording
from workbook.exercises.engine import variant_from
from workbook.language import caution, left_out, say, text
from workbook.quantities.units import METRIC, UnitSystem

if TYPE_CHECKING:
    from workbook.classroom.files import Content
    from workbook.exercises.engine import Variant

Paper = Literal["a4", "us-letter"]
MADE_ON_A_PAGE, ROWS_ON_A_PAGE = 4, 36  # answers that are made, and their lines
SKETCH_ROWS = 6  # that a sketch beside them is higher than its rows
VOTE_CARDS = "vote cards.pdf"  # the same for every lesson
PAPERS: Mapping[str, Paper] = {"A4": "a4", "Letter": "us-letter"}


def write_handouts(
    class_list: ClassList,
    lesson: str,
    out: Path,
    *,
    paper: str,
    system: UnitSystem,
    session: Session = NO_PLAN,
) -> list[Path]:
    """Write a lesson's handouts: a PDF a student, one for all, strips, key and script.

    Parameters
    ----------
    class_list : ClassList
        Who gets one.
    lesson : str
        Such as ``"L07"``.
    out : Path
        Where the files go.
    paper : {"A4", "Letter"}
        Size of the pages; two of them for each student.
    system : UnitSystem
        Units of figure and table; questions show them in brackets.
    session : Session
        Whose rules are printed, when the answers are due, and a font for names.

    Returns
    -------
    list of Path
        The instructor's key is in none that has pages for students.

    Raises
    ------
    FormError
        If the lesson cannot be printed, or a file is not to be touched.
    """
    page = _Page(lesson, paper=paper, system=system, session=session)
    size, font = PAPERS[paper], session.font
    with TemporaryDirectory() as folder:
        parts: list[PrintedPart] = []

        def handout(student: Student) -> bytes:
            if len(parts) % TOGETHER == 0:
                forget()
            made = page.pdf([_student(student, class_list.key, lesson, system)])
            file = Path(folder, f"{len(parts)}.pdf")
            parts.append(kept(made, file, pages=student_pages(lesson)))
            return made

        made: dict[str, Content] = {
            **{
                f"{lesson} {in_name(student.code)}.pdf": partial(handout, student)
                for student in class_list.students
            },
            # Joining takes most memory: first, before the others hold any.
            **for_all(whole_class(lesson), parts, count=len(class_list.students)),
            f"{lesson} answer strips.pdf": lambda: strips_pdf(
                class_list, lesson, Path(folder), paper=size, font=font
            ),
            VOTE_CARDS: lambda: cards_pdf(paper=size),
            f"{lesson} ten minutes.pdf": lambda: script_pdf(
                lesson,
                class_key=class_list.key,
                paper=size,
                system=system,
                rules=session.rules,
            ),
            f"{lesson} key.json": partial(keys.key_json, class_list, lesson),
            f"{lesson} key.pdf": lambda: key_pdf(
                class_list,
                lesson,
                Path(folder),
                paper=size,
                system=system,
                font=font,
            ),
        }
        return write_all(out, made)


def whole_class(lesson: str) -> str:
    """Return how the files with everybody's pages of a lesson begin."""
    return f"{lesson} whole class"


def write_key(
    class_list: ClassList,
    lesson: str,
    out: Path,
    *,
    paper: str,
    system: UnitSystem,
    font: Path | None = None,
) -> list[Path]:
    """Write a lesson's key as the file that marking reads, as a table and as PDF."""
    with_handout(lesson)  # refuses what is not printed
    with TemporaryDirectory() as folder:
        return write_all(
            out,
            {
                f"{lesson} key.json": partial(keys.key_json, class_list, lesson),
                f"{lesson} key.csv": partial(
                    keys.key_csv, class_list, lesson, system=system
                ),
                f"{lesson} key.pdf": lambda: key_pdf(
                    class_list,
                    lesson,
                    Path(folder),
                    paper=PAPERS[paper],
                    system=system,
                    font=font,
                ),
            },
        )


def student_pages(lesson: str) -> int:
    """Return how many pages a student gets: answers that are made have their own.

    Examples
    --------
    >>> student_pages("L07"), student_pages("L09")
    (3, 2)
    """
    shown = [
        printed(variant_from(one, one.by_hand.numbers), METRIC)
        for one in exercises_of(lesson)
        if is_made(one)
    ]
    return 2 + len(_made_pages(shown))


class _Page:
    """All that is the same on every student's pages of a lesson."""

    def __init__(
        self,
        lesson: str,
        *,
        paper: str,
        system: UnitSystem,
        session: Session = NO_PLAN,
    ) -> None:
        sheet = sheet_of(lesson, system)
        self.lesson = lesson
        figures = {"figure.svg": svg_of(sheet.figure), SCALE: svg_of(scale())}
        self.press = Press(_template(), figures, font=session.font)
        self.data: dict[str, Any] = {
            "title": sheet.title,
            "words": {**text("handout"), "rules": text("session", "head")},
            "paper": PAPERS[paper],
            "s0": caution("S0"),
            "alt": sheet.figure.text,
            "scales": sheet.scales,
            "bar": bar_of(system),
            "wide": 1000 * PRINTED,
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
            "rules": session.rules,
            "told": " ".join(session.told(lesson)),
            "note": sheet.note,
            "pages": student_pages(lesson),
            "left_out": say(
                "handout", "left_out", left_out=left_out(sheet.leaves_out)
            ),
        }  # fmt: skip

    def pdf(self, students: Sequence[Mapping[str, Any]]) -> bytes:
        """Return the pages of some students."""
        return self.press.pages({**self.data, "students": students})


@cache
def _template() -> bytes:
    return files(__package__).joinpath("printed.typ").read_bytes()


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
        "exercises": [
            _exercise(v, system) for v in variants if not is_made(v.exercise)
        ],
        "made": _made_pages(
            [printed(v, system) for v in variants if is_made(v.exercise)]
        ),
    }


def _made_pages(made: Sequence[dict[str, Any]]) -> list[Sequence[dict[str, Any]]]:
    """Return answers that are made by page, about as many lines on each."""
    rows = [len(one["rows"]) + SKETCH_ROWS * bool(one["sketch"]) for one in made]
    pages = max(ceil(len(made) / MADE_ON_A_PAGE), ceil(sum(rows) / ROWS_ON_A_PAGE))
    if not pages:
        return []
    cuts = combinations(range(1, len(made)), pages - 1)
    ways = ([*pairwise((0, *cut, len(made)))] for cut in cuts)
    best = min(ways, key=lambda way: max(sum(rows[a:b]) for a, b in way))
    return [made[a:b] for a, b in best]


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
            for letter, option in zip(LETTERS, offered, strict=False)
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
