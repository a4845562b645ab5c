"""The key on paper: what holds for all, then a strip a student."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from workbook.classroom import keys
from workbook.classroom.names import on_paper
from workbook.classroom.press import Press, PrintedPart, forget, joined, kept
from workbook.course import lessons
from workbook.exercises import exercises_of, wording
from workbook.language import caution, say, text

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from workbook.classroom.roll import ClassList, Student
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem

KEY_ROWS = 72  # set in one go: eight students with nine exercises


def key_pdf(
    class_list: ClassList,
    lesson: str,
    folder: Path,
    *,
    paper: str,
    system: UnitSystem,
    font: Path | None = None,
) -> bytes:
    """Return a lesson's key as PDF.

    Parameters
    ----------
    class_list : ClassList
        Whose numbers.
    lesson : str
        Such as ``"L07"``.
    folder : Path
        Where parts are kept till they are joined.
    paper : {"a4", "us-letter"}
        Size of the pages.
    system : UnitSystem
        Units in brackets behind those of the questions, where they are others.
    font : Path, optional
        For names with letters that ours lacks.
    """
    own = exercises_of(lesson)
    press = Press(_template(), {}, font=font)
    common: dict[str, Any] = {
        "title": lessons()[lesson].title,
        "words": text("handout"),
        "paper": paper,
        "s0": caution("S0"),
        "class_key": say("handout", "key_class", key=class_list.key),
        "rules": [(one.id, wording.title(one), wording.rule(one)) for one in own],
    }
    parts: list[PrintedPart] = []
    after, each = 0, max(1, KEY_ROWS // max(1, len(own)))
    for first in range(0, len(class_list.students), each):
        some = class_list.students[first : first + each]
        strips = [*_strips(some, class_list.key, lesson, system)]
        data = {**common, "first": after + 1, "strips": strips}
        forget()
        made = press.pages(data)
        last = press.last_page(data)
        parts.append(kept(made, folder / f"key {first}.pdf", pages=last - after))
        after = last
    return joined(parts)


def _strips(
    students: Sequence[Student], key: str, lesson: str, system: UnitSystem
) -> Iterator[dict[str, Any]]:
    for student in students:
        code = student.code
        yield {
            "name": on_paper(student.name),
            "code": code,
            "letter": keys.right_letter(lesson, code=code, key=key),
            "rows": [
                _row(variant, system)
                for variant in keys.variants_of(lesson, code=code, key=key)
            ],
        }


def _row(variant: Variant, system: UnitSystem) -> tuple[str, ...]:
    return (
        variant.exercise.id,
        keys.numbers_text(variant, system=system),
        wording.answer_text(variant, system=system),
        variant.exercise.answer.mistakes_text(variant, system=system),
    )


@cache
def _template() -> bytes:
    return files(__package__).joinpath("key.typ").read_bytes()
