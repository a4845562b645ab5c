"""A made-up language: every word of the first one, marked and half as long again.

What still shows without the mark was not taken from the language.
"""

import re

import tomli_w

from workbook.language import entries

NAME = "long"
MARK = "ŏ"
WORD = re.compile(r"\{[^{}]*\}|%\([a-z_]+\)[sdr]|[^\W\d_]+")
# Signs of units, figures of codes and words of no language.
SIGNS = {
    "mm", "mm²", "kN", "bar", "psi", "lbf", "deg", "MPa", "kgf", "short", "long", "tf",
    "kg", "rad", "min",
}  # fmt: skip


def lengthened(word: str) -> str:
    """Return a word with marks behind it, about half as many as it has letters."""
    return word + MARK * max(1, round(0.45 * len(word)))


def marked(sentence: str) -> str:
    """Return a sentence with every word marked; places for values stay.

    >>> marked("The pull is {pull:force}.")
    'Theŏ pullŏŏ isŏ {pull:force}.'
    """
    return WORD.sub(
        lambda found: found[0] if found[0][0] in "{%" else lengthened(found[0]),
        sentence,
    )


def _all_marked(entry):
    if isinstance(entry, str):
        return marked(entry)
    if isinstance(entry, list):
        return [_all_marked(one) for one in entry]
    return {key: _all_marked(one) for key, one in entry.items()}


def write_language(place):
    """Write the language as a folder of ``place``."""
    folder = place / NAME
    _write(folder, entries("en"))
    language = {**_all_marked(entries("en")["language"]), "plurals": "en"}
    (folder / "language.toml").write_text(tomli_w.dumps(language), "utf-8")


def _write(folder, tables):
    """Write files, and folders where the first language has folders."""
    from workbook.language.sentences import languages

    for path in sorted(languages()["en"].rglob("*.toml")):
        steps = path.relative_to(languages()["en"]).with_suffix("").parts
        table = tables
        for step in steps:
            table = table[step]
        file = folder.joinpath(*steps).with_suffix(".toml")
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(tomli_w.dumps(_all_marked(table)), "utf-8")


def left_behind(shown: str, *, allowed: set[str] = frozenset()) -> set[str]:
    """Return the words of what is shown that did not come from the language."""
    words = set(re.findall(rf"[^\W\d_{MARK}]{{3,}}{MARK}*", shown))
    return {word for word in words if MARK not in word} - SIGNS - allowed
