"""The lesson tool: a fresh kernel, and nothing stored but text."""

import subprocess
import sys
from pathlib import Path

import execute
import nbformat
import pytest
from nbformat import v4

WIDGET = """
import ipywidgets
ipywidgets.IntSlider(value=5, description="angle [deg]")
"""
PICTURE = """
from IPython.display import Image, display
display(Image(b"\\x89PNG\\r\\n\\x1a\\n" + 40 * b"0", format="png"))
print(f"{6 * 7} N")
"""


@pytest.fixture(scope="module")
def lesson(tmp_path_factory):
    """Execute a lesson with a widget, a picture, a number and a cell left empty."""
    path = tmp_path_factory.mktemp("lessons") / "lesson.ipynb"
    cells = [
        v4.new_code_cell(WIDGET, metadata={"tags": ["show-code"], "collapsed": True}),
        v4.new_code_cell(PICTURE),
        v4.new_code_cell(""),
    ]
    nbformat.write(v4.new_notebook(cells=cells), path)
    execute.execute(path)
    return nbformat.read(path, as_version=4)


def test_what_is_stored_is_text_in_the_order_it_was_run(lesson):
    kinds = {
        kind
        for cell in lesson.cells
        for output in cell.outputs
        for kind in output.get("data", {})
    }

    assert [cell.execution_count for cell in lesson.cells] == [1, 2]
    assert lesson.cells[1].outputs[-1].text == "42 N\n"
    assert kinds == {"text/plain"}


def test_code_is_folded_except_where_the_lesson_shows_it(lesson):
    shown, folded = lesson.cells

    assert shown.metadata == {"tags": ["show-code"]}
    assert folded.metadata == {"jupyter": {"source_hidden": True}}


def test_a_lesson_just_executed_is_clean(lesson):
    assert list(execute.dirt(lesson)) == []


@pytest.mark.parametrize(
    ("spoil", "complaint"),
    [
        (lambda cell: cell.update(execution_count=None), "not run in order"),
        (lambda cell: cell.metadata.update(jupyter={}), "unfolded"),
        (
            lambda cell: cell.outputs.append(
                v4.new_output("display_data", {"image/png": "iVBORw0KGgo="})
            ),
            "pictures",
        ),
        (
            lambda cell: cell.outputs.append(
                v4.new_output("error", ename="ValueError", evalue="", traceback=[])
            ),
            "error is stored in cell 2",
        ),
    ],
)
def test_a_spoilt_lesson_says_what_is_not_clean(lesson, spoil, complaint):
    spoilt = nbformat.from_dict(lesson)
    spoil(spoilt.cells[1])

    assert complaint in "; ".join(execute.dirt(spoilt))


def test_the_check_command_fails_on_a_lesson_never_run(tmp_path):
    path = tmp_path / "never_run.ipynb"
    nbformat.write(v4.new_notebook(cells=[v4.new_code_cell("print(1)")]), path)

    checked = subprocess.run(
        [sys.executable, Path(execute.__file__), "--check", path],
        capture_output=True,
        text=True,
    )

    assert checked.returncode == 1
    assert "never_run.ipynb: code cells were not run in order" in checked.stderr
