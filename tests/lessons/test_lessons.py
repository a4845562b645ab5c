"""What nbval cannot see: that there is something for it to compare."""

import re

import nbformat
import pytest
from execute import LESSONS, code_cells, dirt, lessons, notebooks

from workbook.reader.opening import CARD, FIRST, shipped_lessons


@pytest.fixture(params=notebooks(), ids=lambda path: path.stem)
def lesson(request):
    return nbformat.read(request.param, as_version=4)


def test_there_are_lessons():
    assert lessons()
    assert (LESSONS / "README.md").is_file()


def test_the_reader_gets_every_lesson_and_starts_on_one_of_them():
    shipped = shipped_lessons()

    assert {path.name for path in notebooks()} <= set(shipped)
    assert {FIRST, CARD} <= set(shipped)


def test_every_code_cell_was_run_in_order(lesson):
    # nbval skips comparison where execution_count is null and still passes.
    counts = [cell.execution_count for cell in code_cells(lesson)]

    assert counts == list(range(1, len(counts) + 1))


def test_no_code_stands_among_the_words(lesson):
    words = [cell.source for cell in lesson.cells if cell.cell_type == "markdown"]

    assert not [text for text in words if re.search(r"\bhere\.\w+\(", text)]


def test_each_lesson_prints_a_number(lesson):
    printed = [
        output.get("text") or output.data["text/plain"]
        for cell in code_cells(lesson)
        for output in cell.outputs
        if output.output_type == "stream" or "text/plain" in output.data
    ]

    assert re.search(r"\d", "".join(printed))


def test_no_picture_error_or_widget_state_is_stored(lesson):
    assert list(dirt(lesson)) == []
