"""A lesson promises what the course says, and names what it rests on."""

import re

import nbformat
import pytest
from execute import LESSONS

from workbook.course import lessons

NOTEBOOKS = {f"L{path.name[:2]}": path for path in LESSONS.glob("*.ipynb")}
each_lesson = pytest.mark.parametrize("id", [*lessons()])


def markdown(id):
    cells = nbformat.read(NOTEBOOKS[id], as_version=4).cells
    return "\n".join(cell.source for cell in cells if cell.cell_type == "markdown")


@each_lesson
def test_a_notebook_promises_the_minutes_of_the_course(id):
    said = re.findall(r"(\d+) minutes", markdown(id))

    assert said == [str(lessons()[id].minutes)]


@each_lesson
def test_the_list_of_lessons_promises_the_minutes_of_the_course(id):
    rows = (LESSONS / "README.md").read_text("utf-8").splitlines()

    (row,) = [row for row in rows if row.startswith(f"| {id[1:]} ")]

    assert row.split("|")[3].strip() == str(lessons()[id].minutes)


def test_no_page_promises_what_is_not_there():
    pages = [LESSONS / "README.md", LESSONS.parent / "README.md", *NOTEBOOKS.values()]

    for page in pages:
        text = page.read_text("utf-8").lower()
        for promise in ("every number", "three minutes"):
            assert promise not in text, page


@each_lesson
def test_sources_have_edition_and_place_and_common_practice_is_named(id):
    sources = " ".join(markdown(id).split("## Sources")[1].split())

    assert re.search(r"common practice,? with no source", sources)
    books = re.findall(r"\*[A-Z][^*]+\*(.*?)(?:\. [A-Z]|$)", sources)
    standards = re.findall(r"(?:EN 818-\d|ISO 8855)(\S*)", sources)
    assert books + standards
    for place in books:
        assert re.match(r", (?:\w+ edition|edition not known), ", place), place
        assert re.search(r"(?:chapter|samples?|[Ee]xamples?) \d", place), place
    for standard in standards:
        assert re.match(r":\d{4}", standard), standard


@each_lesson
def test_a_standards_rating_says_what_it_is_for(id):
    text = " ".join(markdown(id).split())

    if "393.108" in text:
        assert "for securing cargo" in text
    if re.search(r"EN 818-\d[^.]*(?:rating|grade)", text):
        assert "for lifting" in text
