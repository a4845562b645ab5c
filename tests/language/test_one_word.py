"""One thing has one word, in the language, the notebooks and the pages."""

import re
from pathlib import Path

import nbformat
import pytest

from workbook.exercises import exercise, wording
from workbook.exercises.engine import variant_from
from workbook.language import entries
from workbook.quantities.units import INCH

ROOT = Path(__file__).parents[2]
# Words that design and lessons do not use for a thing that has another word.
NOT_THIS = {
    r"hook(?:'s)? travel|\bthe hook\b|\bat the hook\b": "clamp point",
    r"\bupright\b": "vertical",
    r"\bjoint pull\b|\bresultant\b": "together",
    r"\buseful part\b": "useful pull",
}


def texts(entry):
    if isinstance(entry, dict):
        return [text for value in entry.values() for text in texts(value)]
    if isinstance(entry, list):
        return [text for value in entry for text in texts(value)]
    return [str(entry)]


def surfaces():
    for name, entry in entries().items():
        yield from ((name, text) for text in texts(entry))
    for path in sorted((ROOT / "lessons").glob("*.ipynb")):
        for cell in nbformat.read(path, as_version=4).cells:
            if cell.cell_type == "markdown":
                yield path.name, cell.source
    for page in ("README.md", "lessons/README.md", "workbook/scenes/README.md"):
        yield page, (ROOT / page).read_text("utf-8")


@pytest.mark.parametrize("pattern", NOT_THIS, ids=NOT_THIS.values())
def test_one_thing_has_one_word(pattern):
    seen, found = 0, []
    for name, text in surfaces():
        seen += 1
        said = re.sub(r"\{[^}]*\}", "", text)  # places are no words
        found += [(name, m.group()) for m in re.finditer(pattern, said, re.I)]

    assert seen > 1000
    assert found == []


def test_an_answer_keeps_its_three_figures():
    # 22 kN at 60 degrees leave 22 cos 60 = 11.0 kN.
    half = variant_from(exercise("2.1"), {"tension": 22.0, "angle": 60.0})

    assert wording.answer_text(half) == "11.0 kN"
    assert wording.answer_text(half, system=INCH) == "11.0 kN (2473 lbf)"
    assert wording.value_text(exercise("2.1"), 150e3) == "150 kN"
    assert wording.value_text(exercise("8.1"), 0.05) == "50 mm"


@pytest.mark.parametrize(
    ("newtons", "shown"),
    [
        (17_320.5, "17.3 kN"), (4_456.7, "4.46 kN"), (9_996.0, "10.0 kN"),
        (123_456.0, "123 kN"), (1_234_567.0, "1230 kN"), (-17_350.1, "−17.4 kN"),
        (0.0, "0 kN"),
    ],
)  # fmt: skip
def test_an_answer_has_three_figures_and_no_more(newtons, shown):
    assert wording.value_text(exercise("2.1"), newtons) == shown
