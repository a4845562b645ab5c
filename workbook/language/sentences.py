"""Sentences by key: read from the folder of the chosen language, filled with values.

A path of keys such as ``("card", "check")`` is the entry ``check`` of ``card.toml``;
where there is a folder in place of a file, the next key names the file in it. An
entry is a sentence, a list, or a table of further entries.

A sentence has places for values: ``{name}``; ``{pull:force}`` for an SI value, shown
as the reader's units have it; ``{part:term}`` for a word that has an entry of its own
in ``term.toml``; ``{parts:list}`` or ``{parts:terms}`` for several; else as `format`
takes it.

An entry whose keys are plural categories (``one``, ``few``, ``many``, ``other``) is
chosen by its ``count``, by the CLDR rules that Babel carries for every language.
"""

from __future__ import annotations

import os
import re
import string
import tomllib
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

Show = Callable[[float, str], str]

FOLDER_VARIABLE = "PULLWRIGHT_LANGUAGES"  # a folder with more languages
LANGUAGE_VARIABLE = "PULLWRIGHT_LANGUAGE"
FIRST = "en"  # complete; stands in where another language has a gap
PLURALS = {"zero", "one", "two", "few", "many", "other"}

_HERE = Path(__file__).parent
_KIND = re.compile(r"[a-z]{3,}( [a-z]+)*")
_PARSER = string.Formatter()
_chosen = os.environ.get(LANGUAGE_VARIABLE, FIRST)


def languages() -> dict[str, Path]:
    """Return the folder of every language there is, by its name."""
    more = os.environ.get(FOLDER_VARIABLE)
    places = [Path(more)] if more else []
    return {
        folder.name: folder
        for place in (_HERE, *places)
        for folder in sorted(place.iterdir())
        if (folder / "language.toml").is_file()
    }


def language() -> str:
    """Return the name of the chosen language."""
    return _chosen


def set_language(name: str) -> None:
    """Choose the language of every sentence from now on; it is read anew.

    Raises
    ------
    LookupError
        If there is no such language; it says which there are.
    """
    global _chosen
    known = languages()
    if name not in known:
        raise LookupError(say("language", "unknown", name=name, known=[*known]))
    for kept in (_entry, _folder, _file, _rule):
        kept.cache_clear()
    _chosen = name


def text(*keys: str) -> Any:
    """Return one entry: a sentence, a list or a table.

    Raises
    ------
    KeyError
        If there is no such entry, in the first language either.

    Examples
    --------
    >>> text("kind", "force")
    'a force'
    """
    for name in dict.fromkeys((_chosen, FIRST)):
        try:
            return _entry(name, keys)
        except KeyError:
            continue
    raise KeyError(".".join(keys))


def text_everywhere(*keys: str) -> list[Any]:
    """Return one entry of every language that has it: what a reader may have typed.

    Examples
    --------
    >>> text_everywhere("kind", "force")
    ['a force']
    """
    found = []
    for name in languages():
        try:
            found.append(_entry(name, keys))
        except KeyError:
            continue
    return found


def say(*keys: str, show: Any = None, **values: Any) -> str:
    """Return one sentence, in its plural by ``count`` and with its values.

    Parameters
    ----------
    *keys : str
        Where the sentence stands.
    show : callable, optional
        ``show(value, kind)`` gives an SI value as text; needed where the sentence
        has an amount.
    **values : object
        What stands in its places.

    Examples
    --------
    >>> say("typed", "unit_missing", units="kN, N")
    'The unit is missing. Add one of these: kN, N.'
    """
    entry = text(*keys)
    if isinstance(entry, Mapping):
        entry = entry.get(_plural(_chosen, values["count"]), entry["other"])
    return fill(str(entry), show=show, **values)


def fill(sentence: str, *, show: Any = None, **values: Any) -> str:
    """Return a sentence with its values.

    Examples
    --------
    >>> fill("{rise} at {at:list}", rise=3, at=["A", "B"])
    '3 at A, B'
    """
    parts = []
    for literal, name, spec in _parsed(sentence):
        parts.append(literal)
        if name is not None:
            parts.append(_shown(values[name], spec, show))
    return "".join(parts)


def entries(name: str = FIRST) -> dict[str, Any]:
    """Return every entry of one language, as nested tables."""
    return _tree(languages()[name])


def _shown(value: Any, spec: str, show: Show | None) -> str:
    if hasattr(value, "spoken"):  # a refusal inside another
        return str(value.spoken(show) if show is not None else value)
    if spec == "term":
        return str(text("term", *value.split(".")))
    if spec in {"list", "terms"}:
        each = "term" if spec == "terms" else ""
        return ", ".join(_shown(item, each, show) for item in value)
    if show is not None and isinstance(value, int | float) and _KIND.fullmatch(spec):
        return show(value, spec)
    return format(value, spec)


@cache
def _parsed(sentence: str) -> tuple[tuple[str, str | None, str], ...]:
    return tuple((a, b, c or "") for a, b, c, _ in _PARSER.parse(sentence))


@cache
def _entry(name: str, keys: tuple[str, ...]) -> Any:
    place, rest = _folder(name), list(keys)
    while rest:
        place = place / rest.pop(0)
        if not place.is_dir():
            break
    entry: Any = _file(place.with_name(place.name + ".toml"))
    for key in rest:
        entry = entry[key]
    return entry


@cache
def _folder(name: str) -> Path:
    return languages()[name]


@cache
def _file(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise KeyError(path.stem) from None


def _tree(place: Path) -> dict[str, Any]:
    return {
        path.stem: _tree(path) if path.is_dir() else _file(path)
        for path in sorted(place.iterdir())
        if path.is_dir() or path.suffix == ".toml"
    }


def _plural(name: str, count: object) -> str:
    assert isinstance(count, int | float)
    return str(_rule(name)(abs(count)))


@cache
def _rule(name: str) -> Callable[[float], str]:
    from babel.core import Locale  # loaded where a sentence counts something

    plurals = _entry(name, ("language", "plurals"))
    form: Callable[[float], str] = Locale.parse(plurals).plural_form
    return form
