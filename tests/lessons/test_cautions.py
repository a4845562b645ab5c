"""Cautions stand where they must, word for word, and nothing looks safe by number."""

import re

import nbformat
import pytest
from execute import LESSONS, lessons

from widgets import ArrowExplorer, BridleExplorer, ChainSagExplorer, PullExplorer
from workbook.language import caution

# Lesson -> standing texts it must hold.
MUST_HOLD = {
    "00": ["S0", "S1", "S2", "S3", "S4", "S13", "S14"],
    "02": ["S0"],
    "07": ["S0", "S1", "S8"],
    "08": ["S0", "S1", "S8"],
    "09": ["S0", "S1", "S5"],
}


def words(path):
    """Return all that a reader reads in a lesson, lines joined."""
    cells = nbformat.read(path, as_version=4).cells
    text = "\n".join(cell.source for cell in cells)
    return re.sub(r"\s*\n>?\s*", " ", text)


@pytest.mark.parametrize("path", lessons(), ids=lambda path: path.stem)
def test_each_lesson_holds_its_cautions_word_for_word(path):
    text = words(path)

    missing = [c for c in MUST_HOLD[path.stem[:2]] if caution(c) not in text]

    assert missing == []


@pytest.mark.parametrize("path", lessons(), ids=lambda path: path.stem)
def test_no_lesson_shows_the_word_safe_beside_a_number(path):
    found = re.findall(r"\bsafe(?:ly)?\b[^.]{0,40}\d|\d[^.]{0,40}\bsafe\b", words(path))

    assert found == []


def test_the_list_of_lessons_opens_with_the_first_caution():
    page = (LESSONS / "README.md").read_text("utf-8")

    assert caution("S0") in re.sub(r"\s*\n\s*", " ", page)


@pytest.mark.parametrize(
    ("explorer", "needed"),
    [
        (PullExplorer, {"S0", "S1", "S8"}),
        (BridleExplorer, {"S0", "S1", "S8"}),
        (ChainSagExplorer, {"S0", "S1", "S5"}),
        (ArrowExplorer, {"S0"}),
    ],
)
def test_each_explorer_carries_its_cautions_under_the_picture(explorer, needed):
    made = explorer()

    foot = made.box.children[-1].value

    assert needed <= set(made.subject.cautions)
    assert all(caution(c).split("'")[0] in foot for c in needed)
