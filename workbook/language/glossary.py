"""The words of the trade and what they mean: one glossary for all who explain."""

from __future__ import annotations

from dataclasses import dataclass

from workbook.language.sentences import entries, text


@dataclass(frozen=True, kw_only=True)
class Word:
    """A word of the trade.

    Attributes
    ----------
    name : str
        The same in every language.
    word : str
        As the glossary lists it, with the letter that pictures have for it.
    forms : tuple of str
        As it stands in a text, plurals included.
    meaning : str
        One plain clause.
    """

    name: str
    word: str
    forms: tuple[str, ...]
    meaning: str


def glossary() -> tuple[Word, ...]:
    """Return every word, in the order in which a pull is built up.

    Examples
    --------
    >>> [one.word for one in glossary()][:3]
    ['clamp point C', 'ram', 'base B']
    """
    return tuple(
        Word(
            name=name,
            word=text("glossary", name, "word"),
            forms=tuple(text("glossary", name, "forms")),
            meaning=text("glossary", name, "meaning"),
        )
        for name in entries()["glossary"]
    )
