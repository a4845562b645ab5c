"""Short set-up codes: a line of letters that puts every control back.

A code is a word for the explorer, its version and groups of four symbols, as
``PULL1-08G0-2M5T-Q``. Only what differs from the start values is in it, so it
stays short. The symbols are Crockford's base 32, which has no I, L, O or U;
the last three symbols check the rest.
"""

from __future__ import annotations

import re
import zlib
from typing import TYPE_CHECKING

from workbook.errors import FormError
from workbook.scenes.fields import starts

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.scenes.fields import Field, Value

SYMBOLS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LOOKALIKES = str.maketrans({"O": "0", "I": "1", "L": "1"})
LONGEST = 200
_SHAPE = re.compile(r"[A-Z]+[0-9]+(-[0-9A-Z]{1,4})+", re.IGNORECASE)


def looks_like_one(text: str) -> bool:
    """Tell whether a text has the shape of a code, as it is printed.

    Examples
    --------
    >>> looks_like_one("pull1-08g0-2m5t-q"), looks_like_one("left rail.toml")
    (True, False)
    """
    return _SHAPE.fullmatch(text.strip()) is not None


def encode(word: str, fields: Mapping[str, Field], values: Mapping[str, Value]) -> str:
    """Return the code of a set-up.

    Parameters
    ----------
    word : str
        The explorer's word with its version, as ``PULL1``.
    fields : mapping
        The explorer's fields, in their order.
    values : mapping
        A checked value for every field.

    Examples
    --------
    >>> from workbook.scenes.fields import Choice
    >>> fields = {"view": Choice(
    ...     name="view", subject="pull", options=("a", "b"), start="a"
    ... )}
    >>> code = encode("TEST1", fields, {"view": "b"})
    >>> decode("TEST1", fields, code)
    {'view': 'b'}
    """
    start = starts(fields)
    number = 1  # a leading one keeps leading zeros
    changed = [values[name] != start[name] for name in fields]
    for flag, (name, field) in zip(changed, fields.items(), strict=True):
        if flag:
            number = number * field.places + field.to_place(values[name])
    for flag in changed:
        number = 2 * number + flag
    body = _symbols(number)
    text = body + _check(word, body)
    return "-".join([word, *(text[i : i + 4] for i in range(0, len(text), 4))])


def decode(word: str, fields: Mapping[str, Field], code: str) -> dict[str, Value]:
    """Return the values that a code holds, in letters of either case.

    Blanks and hyphens are for the eye: it may be typed without them.

    Raises
    ------
    FormError
        If the code is of another explorer or version, or was mistyped.
    """
    text = _bare(code)
    if not text.startswith(word):
        raise FormError("code.wrong_word", word=word)
    body = text.removeprefix(word).translate(LOOKALIKES)
    if len(body) < 4 or body[-3:] != _check(word, body[:-3]):
        raise FormError("code.mistyped")
    try:
        return _read(fields, _number(body[:-3]))
    except (ValueError, IndexError) as error:
        raise FormError("code.outdated") from error


def is_of(word: str, code: str) -> bool:
    """Tell whether a code begins as those of an explorer do.

    Examples
    --------
    >>> is_of("SAG1", "sag1-3x1g-0cjh"), is_of("PULL1", "SAG1-3X1G-0CJH")
    (True, False)
    """
    return _bare(code).startswith(word)


def _bare(code: str) -> str:
    return re.sub(r"[\s\-\u2010-\u2015\u2212]", "", code[:LONGEST].upper())


def _read(fields: Mapping[str, Field], number: int) -> dict[str, Value]:
    """Take the flags, then the values, off the end of the number, last first."""
    names = [*fields][::-1]
    changed = [name for i, name in enumerate(names) if number >> i & 1]
    number >>= len(names)
    values = starts(fields)
    for name in changed:
        number, place = divmod(number, fields[name].places)
        values[name] = fields[name].from_place(place)
    if number != 1:
        raise ValueError
    return values


def _symbols(number: int) -> str:
    text = ""
    while number:
        number, digit = divmod(number, 32)
        text = SYMBOLS[digit] + text
    return text


def _number(text: str) -> int:
    value = 0
    for symbol in text:
        value = value * 32 + SYMBOLS.index(symbol)
    return value


def _check(word: str, body: str) -> str:
    # Bytes that are no text come from a command line as lone surrogates.
    total = zlib.crc32(f"{word}-{body}".encode(errors="replace")) % 32**3
    return _symbols(total).rjust(3, SYMBOLS[0])
