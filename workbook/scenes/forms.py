"""Files in TOML: numbers with units and limits, and one sentence for what is wrong.

Each kind of file is a few tables of keys. What is not among them is refused, with
the nearest that is.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.errors import FormError
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from workbook.mechanics.vectors import Array

FORM = 1
LONGEST_FILE = 100_000  # bytes; such a file has a few thousand
LONGEST_TITLE = 200
LONGEST_NAME = 40


@dataclass(frozen=True, kw_only=True)
class Key:
    """A number of a file, or a row of ``count`` numbers, with its limits.

    ``start`` is what counts where the file leaves the key out; without one the
    key must be given.
    """

    meaning: str
    unit: str
    low: float
    high: float
    start: tuple[float, ...] | None = None
    count: int = 1


PLACE: Mapping[str, Key] = {
    "forward_mm": Key(
        meaning="forward of the zero plane", unit="mm", low=-5000, high=5000
    ),
    "left_mm": Key(
        meaning="to the left of the centre-line", unit="mm", low=-2500, high=2500
    ),
    "height_mm": Key(meaning="above the bench's top", unit="mm", low=-500, high=2500),
}


def read_form(
    text: str | bytes, *, what: str, tables: Iterable[str]
) -> tuple[str, dict[str, Any]]:
    r"""Return the title and the tables of a file.

    Parameters
    ----------
    text : str or bytes
        What the file holds.
    what : str
        What such a file is called in a refusal.
    tables : iterable of str
        The tables it may have.

    Returns
    -------
    (str, dict)

    Raises
    ------
    FormError
        If it is not TOML, of another form, or has an unknown table.

    Examples
    --------
    >>> read_form("form = 1\n[body]\nweight_kn = 5", what="clamp", tables=["body"])
    ('', {'body': {'weight_kn': 5}})
    """
    title, data = read_titled(text, what=what)
    refuse_unknown(data, tables, "a table of this form")
    return title, data


def read_titled(text: str | bytes, *, what: str) -> tuple[str, dict[str, Any]]:
    """Return the title of a file and all else in it.

    Raises
    ------
    FormError
        If it is not TOML of this form, too long, or not text.
    """
    data = _parsed(text, what)
    if data.pop("form", None) != FORM:
        msg = f"the first line must be `form = {FORM}`, the version of this form"
        raise FormError(msg)
    title = data.pop("title", "")
    if not isinstance(title, str) or len(title) > LONGEST_TITLE:
        msg = f"title must be text of at most {LONGEST_TITLE} characters"
        raise FormError(msg)
    return title, data


def read_table(entry: object, *, keys: Mapping[str, Key], name: str) -> dict[str, Any]:
    """Return every key of one table in SI, each a row (count,).

    Raises
    ------
    FormError
        If it is no table, or a key is unknown, missing or out of range.
    """
    if not isinstance(entry, dict):
        msg = f"{name} must be one table, [{name}]"
        raise FormError(msg)
    return _read(entry, keys, name)


def read_rows(
    entries: object, *, keys: Mapping[str, Key], kind: str
) -> list[dict[str, Any]]:
    """Return every key of tables that each have a ``name``, in SI.

    Raises
    ------
    FormError
        If they are no list of tables, a name is missing, long or odd, or a key
        is unknown, missing or out of range.
    """
    if not isinstance(entries, list) or not all(isinstance(e, dict) for e in entries):
        msg = f"{kind} must be tables, each under its own [[{kind}]]"
        raise FormError(msg)
    rows = []
    for number, entry in enumerate(entries, start=1):
        given = dict(entry)
        name = _name(given.pop("name", None), f"{kind} {number}")
        rows.append({"name": name, **_read(given, keys, f"{kind} {name!r}")})
    return rows


def _name(value: object, whose: str) -> str:
    if not isinstance(value, str) or not 0 < len(value.strip()) <= LONGEST_NAME:
        msg = f"{whose} needs a name, text of at most {LONGEST_NAME} characters"
        raise FormError(msg)
    if not value.isprintable():
        msg = f"the name of {whose} must be plain characters"
        raise FormError(msg)
    return value


def _read(given: dict[str, Any], keys: Mapping[str, Key], where: str) -> dict[str, Any]:
    refuse_unknown(given, keys, f"a key of {where}")
    return {name: _numbers(given, name, key, where) for name, key in keys.items()}


def _numbers(given: dict[str, Any], name: str, key: Key, where: str) -> Array:
    if name not in given:
        if key.start is None:
            msg = f"{where} has no {name}: give it"
            raise FormError(msg)
        return np.array(key.start, dtype=float)
    values = given[name] if key.count > 1 else [given[name]]
    if not isinstance(values, list) or len(values) != key.count:
        msg = f"{where}: {name} must be {key.count} numbers, {key.meaning}"
        raise FormError(msg)
    for value in values:
        _refuse_outside(value, key, f"{where}: {name}")
    return np.array(values, dtype=float) * factor(key.unit)


def _refuse_outside(value: object, key: Key, what: str) -> None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        msg = f"{what} must be a number in {key.unit}, not {value!r:.40}"
        raise FormError(msg)
    if not key.low <= value <= key.high:
        shown = f"{value:g}" if isinstance(value, float) else str(value)[:20]
        msg = f"{what} = {shown} is outside {key.low:g} to {key.high:g} {key.unit}"
        raise FormError(msg)


def refuse_unknown(given: Iterable[str], known: Iterable[str], what: str) -> None:
    """Refuse the first name that is not known, and name the nearest that is."""
    names = list(known)
    for name in given:
        if name not in names:
            near = get_close_matches(name, names, n=1)
            hint = f"; did you mean {near[0]}?" if near else ""
            msg = f"{name[:60]} is not {what}{hint}"
            raise FormError(msg)


def _parsed(text: str | bytes, what: str) -> dict[str, Any]:
    if len(text) > LONGEST_FILE:
        msg = f"a {what} file has at most {LONGEST_FILE} bytes; this has {len(text)}"
        raise FormError(msg)
    try:
        words = text.decode("utf-8-sig") if isinstance(text, bytes) else text
    except UnicodeDecodeError as error:
        msg = f"this is not a text file: a {what} file is TOML text in UTF-8"
        raise FormError(msg) from error
    if not words.strip():
        msg = f"this file is empty: a {what} file begins with `form = {FORM}`"
        raise FormError(msg)
    try:
        return tomllib.loads(words)
    except (ValueError, RecursionError) as error:  # also a number of 5000 digits
        msg = f"this is not TOML: {error}"
        raise FormError(msg) from error
