"""Cautions stand where they must, word for word, and nothing looks safe by number."""

import re

import nbformat
import pytest
from execute import lessons

from workbook import course
from workbook.language import caution


def words(path):
    """Return all that a reader reads in a lesson, lines joined."""
    cells = nbformat.read(path, as_version=4).cells
    return joined("\n".join(cell.source for cell in cells))


def joined(text):
    return re.sub(r"\s*\n>?\s*", " ", text)


def parts(path):
    """Return a lesson's text by part: above the first heading, then by heading."""
    cells = nbformat.read(path, as_version=4).cells
    text = "\n".join(c.source for c in cells if c.cell_type == "markdown")
    above, *rest = re.split(r"^## ", text, flags=re.MULTILINE)
    return {"": joined(above)} | {part.split("\n")[0]: joined(part) for part in rest}


@pytest.mark.parametrize("path", lessons(), ids=lambda path: path.stem)
def test_each_lesson_holds_its_cautions_word_for_word_where_they_belong(path):
    placed = course.lesson(path.stem[:2]).cautions
    found = parts(path)

    missing = [
        (begins, name)
        for begins, names in placed.items()
        for name in names
        if not any(
            caution(name) in text
            for heading, text in found.items()
            if (heading.startswith(begins) if begins else heading == "")
        )
    ]

    assert "S0" in placed[""]
    assert missing == []


@pytest.mark.parametrize("path", lessons(), ids=lambda path: path.stem)
def test_no_lesson_holds_a_caution_that_the_course_does_not_know(path):
    placed = {
        n for names in course.lesson(path.stem[:2]).cautions.values() for n in names
    }

    said = {*re.findall(r"\*\*Caution (S\d+)\.\*\*", words(path))}

    assert said == placed
