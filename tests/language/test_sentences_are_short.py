"""No sentence of the language has twenty words; a value counts as one."""

import re

import pytest

from workbook.language import entries

MOST = 19
# Longer ones, each with the reason.
LONGER = {
    "caution.S0": "a standing caution, word for word",
    "caution.S12": "a standing caution, word for word",
}
END = re.compile(r"(?<=[.?!])[”)\"]*\s+|\n")
PLACE = re.compile(r"\{[^{}]*\}")
READ_OUT = re.compile(r"\w")  # a sign or a bracket alone is no word


def texts(entry, name=""):
    """Yield every text below an entry, by its dotted name."""
    if isinstance(entry, str):
        yield name, entry
    below = entry.items() if isinstance(entry, dict) else enumerate(entry)
    for key, one in () if isinstance(entry, str) else below:
        yield from texts(one, f"{name}.{key}" if name else str(key))


def longest(text):
    """Return the most words that a sentence of a text has."""
    sentences = END.split(PLACE.sub("X", text))
    return max(sum(map(bool, map(READ_OUT.search, s.split()))) for s in sentences)


@pytest.mark.parametrize("subject", [*entries()])
def test_every_sentence_is_short(subject):
    own = dict(texts(entries()[subject], subject))
    long = {name: longest(text) for name, text in own.items() if longest(text) > MOST}

    assert own
    assert {name: n for name, n in long.items() if name not in LONGER} == {}


def test_every_longer_sentence_is_still_longer():
    all_texts = dict(texts(entries()))

    assert {name for name in LONGER if longest(all_texts[name]) > MOST} == {*LONGER}


def test_a_sentence_is_counted_as_it_is_read():
    twenty = "The ram of {ram:length} and {leg} – (both) – " + "so " * 12 + "far."

    assert longest("Short. " + twenty + " Short.") == 20
    assert longest(twenty.replace("so far", "so. Far")) == 19
    assert longest("") == 0
