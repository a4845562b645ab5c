"""Files in TOML: tables of fields, and one sentence for what is wrong.

Each kind of file is a few tables of keys. What is not among them is refused, with
the nearest that is.
"""

from __future__ import annotations

import re
import tomllib
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

import numpy as np

from workbook.errors import FormError
from workbook.quantities.units import factor
from workbook.scenes.fields import Choice, read_fields

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from workbook.mechanics.vectors import Array
    from workbook.scenes.fields import Field

FORM = 1
LONGEST_FILE = 100_000  # bytes; such a file has a few thousand
LONGEST_TITLE = 200
LONGEST_NAME = 40
PLACE = read_fields("place")


def read_form(
    text: str | bytes, *, what: str, tables: Iterable[str]
) -> tuple[str, dict[str, Any]]:
    r"""Return the title and the tables of a file.

    Parameters
    ----------
    text : str or bytes
        What the file holds.
    what : str
        What such a file is called in a refusal, below ``file`` in ``term.toml``.
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
    refuse_unknown(data, tables, "forms.unknown_table")
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
        raise FormError("forms.first_line", form=FORM)
    title = data.pop("title", "")
    if not isinstance(title, str) or len(title) > LONGEST_TITLE:
        raise FormError("forms.title", most=LONGEST_TITLE)
    return title, data


def read_table(
    entry: object, *, fields: Mapping[str, Field], name: str
) -> dict[str, Any]:
    """Return every field of one table: rows of numbers (count,) in SI, and choices.

    Raises
    ------
    FormError
        If it is no table, or a key is unknown, missing or out of range.
    """
    if not isinstance(entry, dict):
        raise FormError("forms.one_table", name=name)
    return _read(entry, fields, name)


def read_rows(
    entries: object, *, fields: Mapping[str, Field], kind: str
) -> list[dict[str, Any]]:
    """Return every field of tables that each have a ``name``, as `read_table` does.

    Raises
    ------
    FormError
        If they are no list of tables, a name is missing, long or odd, or a key
        is unknown, missing or out of range.
    """
    if not isinstance(entries, list) or not all(isinstance(e, dict) for e in entries):
        raise FormError("forms.many_tables", kind=kind)
    rows = []
    for number, entry in enumerate(entries, start=1):
        given = dict(entry)
        name = _name(given.pop("name", None), f"{kind} {number}")
        rows.append({"name": name, **_read(given, fields, f"{kind} {name!r}")})
    return rows


def _name(value: object, which: str) -> str:
    if not isinstance(value, str) or not 0 < len(value.strip()) <= LONGEST_NAME:
        raise FormError("forms.no_name", which=which, most=LONGEST_NAME)
    if not value.isprintable():
        raise FormError("forms.odd_name", which=which)
    return value


def _read(
    given: dict[str, Any], fields: Mapping[str, Field], where: str
) -> dict[str, Any]:
    refuse_unknown(given, fields, "forms.unknown_key_of", where=where)
    return {name: _value(given, field, where) for name, field in fields.items()}


def _value(given: dict[str, Any], field: Field, where: str) -> Array | str:
    name, called = field.name, f"{where}: {field.name}"
    if isinstance(field, Choice):
        return field.checked(given.get(name, field.start), called=called)
    if name not in given:
        if field.start is None:
            raise FormError("forms.missing", where=where, name=name)
        return np.array(field.start, dtype=float, ndmin=1) * factor(field.unit)
    values = given[name] if field.count > 1 else [given[name]]
    if not isinstance(values, list) or len(values) != field.count:
        raise FormError(
            "forms.wrong_count",
            where=where,
            name=name,
            count=field.count,
            meaning=field.meaning,
        )
    kept = [field.within(value, called=called) for value in values]
    return np.array(kept, dtype=float) * factor(field.unit)


def refuse_unknown(
    given: Iterable[str], known: Iterable[str], reason: str, **values: str
) -> None:
    """Refuse the first name that is not known, and name the nearest that is."""
    names = list(known)
    for name in given:
        if name not in names:
            refusal = FormError(reason, name=name[:60], **values)
            near = get_close_matches(name, names, n=1)
            raise did_you_mean(refusal, near[0]) if near else refusal


def did_you_mean(refusal: FormError, near: str) -> FormError:
    """Return a refusal that names the nearest of what there is."""
    return FormError("forms.did_you_mean", refusal=refusal, near=near)


def _parsed(text: str | bytes, what: str) -> dict[str, Any]:
    what = f"file.{what}"
    if len(text) > LONGEST_FILE:
        raise FormError("forms.too_long", what=what, most=LONGEST_FILE)
    try:
        words = text.decode("utf-8-sig") if isinstance(text, bytes) else text
    except UnicodeDecodeError as error:
        raise FormError("forms.no_text", what=what) from error
    if not words.strip():
        raise FormError("forms.empty", what=what, form=FORM)
    try:
        return tomllib.loads(words)
    except (ValueError, RecursionError) as error:  # also a number of 5000 digits
        raise _not_toml(error) from error


def _not_toml(error: Exception) -> FormError:
    """Say where a text stops being TOML; the reader of TOML says it in English."""
    place = re.search(r"\(at line (\d+), column (\d+)\)", str(error))
    if place:
        return FormError("forms.no_toml_at", line=place[1], column=place[2])
    if "end of document" in str(error):
        return FormError("forms.no_toml_to_the_end")
    return FormError("forms.no_toml")
