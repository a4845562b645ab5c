"""The parts of a lesson open one after the other: each is a run of whole cells."""

import nbformat
import pytest
from execute import lessons

from workbook import course

AFTER_SEEN = "after-seen"  # shut until something was seen in the explorer above
PREDICT = "predict"  # the cell of that explorer
WAY_IN = "way-in"  # the cell that says whether a lesson behind a gate is open


@pytest.fixture(params=lessons(), ids=lambda path: path.stem)
def path(request):
    """Return each notebook's path."""
    return request.param


@pytest.fixture
def parts(path):
    """Return the cells of a lesson by part; above the first heading is ``""``."""
    found = {"": []}
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.source.startswith("## "):
            found[cell.source.split("\n")[0]] = []
        found[[*found][-1]].append(cell)
    return found


def tagged(parts, tag):
    """Return the ids of the cells with a tag."""
    cells = [cell for part in parts.values() for cell in part]
    return {cell.id for cell in cells if tag in cell.metadata.get("tags", [])}


def is_caution(cell):
    return cell.source.startswith("> **Caution")


def test_each_part_begins_with_a_cell_of_its_own(parts):
    cells = [cell for part in parts.values() for cell in part]

    inside = [
        line
        for cell in cells
        for line in cell.source.split("\n")[1:]
        if line.startswith("## ")
    ]

    assert {*inside} <= {"## Sources"}
    assert len(parts) > 5


def test_a_caution_stands_in_a_cell_of_its_own(parts):
    cautions = [c for part in parts.values() for c in part if "**Caution S" in c.source]

    assert cautions
    for cell in cautions:
        assert all(line.startswith(">") for line in cell.source.split("\n"))


def test_what_names_the_idea_waits_until_something_was_seen(path, parts):
    waits = set()
    for heading, cells in parts.items():
        explored = heading.startswith("## 6 ")
        for cell in cells:
            if explored and not heading.startswith("## 3 ") and not is_caution(cell):
                waits.add(cell.id)
            explored = explored or "here.explorer(" in cell.source

    assert bool(waits) == bool(course.lesson(path.name[:2]).explorers)
    assert tagged(parts, AFTER_SEEN) == waits


def test_the_page_is_told_which_cell_has_an_explorer(path, parts):
    cells = [cell for part in parts.values() for cell in part]

    explorers = {cell.id for cell in cells if "here.explorer(" in cell.source}

    assert bool(explorers) == bool(course.lesson(path.name[:2]).explorers)
    assert tagged(parts, PREDICT) == explorers


def test_a_lesson_behind_a_gate_says_so_in_its_first_part_with_the_way_there(
    path, parts
):
    behind = course.lesson(path.name[:2]).behind
    first = parts[[*parts][1]]

    asks = {cell.id for cell in first if "here.way_in()" in cell.source}

    assert tagged(parts, WAY_IN) == asks
    assert len(asks) == bool(behind)
    for id in behind:
        assert f"({lesson_file(id)})" in "".join(cell.source for cell in first)


def lesson_file(exercise):
    """Return the notebook that has an exercise."""
    number = int(exercise.partition(".")[0])
    return next(one.name for one in lessons() if one.name.startswith(f"{number:02}_"))
