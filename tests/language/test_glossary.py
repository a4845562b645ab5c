"""One glossary: every word of the trade is in it, once, in plain words."""

import re
from collections import Counter

import pytest
from execute import lessons

from workbook.figures.drawing.marks import Label
from workbook.figures.sketches.named import PICTURED
from workbook.figures.sketches.sketches import scene
from workbook.language import glossary

# The words that lessons, explorers and commands speak in.
WORDS = {
    "clamp point", "ram", "base", "head", "extension height", "chain fork", "fork slot",
    "anchor point", "fork offset", "set-out line", "chain angle", "pull leg",
    "anchor leg", "lean", "stroke", "pull direction", "side angle", "rise",
    "force split", "chain sag", "holding pull", "safety cable", "clamp", "bench",
    "tension", "useful pull", "wanted line", "level part", "fixed roller", "bridle",
    "slack", "take-up", "stored energy", "stiffness", "rating", "slip limit",
    "tie back", "yaw moment", "shortener",
    "datum plane", "centre-line", "zero plane", "held fixed", "set-up code",
    "sine", "cosine", "arctangent",
}  # fmt: skip


def test_every_word_of_the_trade_has_a_meaning():
    meant = {form for one in glossary() for form in one.forms}

    assert meant >= WORDS


def test_no_form_has_two_meanings():
    forms = Counter(form.lower() for one in glossary() for form in one.forms)

    assert [form for form, count in forms.items() if count > 1] == []


@pytest.mark.parametrize("word", glossary(), ids=lambda word: word.name)
def test_a_meaning_is_one_plain_clause_that_does_not_repeat_its_word(word):
    assert word.forms
    assert word.word.startswith(word.forms[0])
    assert len(word.meaning.split()) < 20
    assert not re.search(r"[.:]$", word.meaning)
    assert word.forms[0] not in word.meaning


@pytest.mark.parametrize("path", lessons(), ids=lambda path: path.stem)
def test_no_word_of_the_trade_stands_in_a_lesson_for_something_else(path):
    read = " ".join(path.read_text("utf-8").lower().split())

    assert not re.search(
        r"\b(your|my) head\b|\bhead of\b|\bat base\b|\bgive rise\b", read
    )


def test_the_labelled_picture_has_a_name_at_each_of_its_parts():
    named = {one.name: one.word for one in glossary()}

    (side, above) = scene("named_parts", named).panels

    marks = [*side.drawing.moving, *above.drawing.moving]
    written = {mark.text for mark in marks if isinstance(mark, Label)}
    assert {named[name] for name in PICTURED} | {*"ABCH"} == written
