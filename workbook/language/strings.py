"""Learner text: one file a language, ``strings_en.toml`` beside this module."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from workbook.errors import FormError

_HERE = Path(__file__).parent
_chosen = "en"


def set_language(language: str) -> None:
    """Choose the language of all learner text, once, as the reader's setting.

    Parameters
    ----------
    language : str
        The part of a file name ``strings_<language>.toml`` beside this module.

    Raises
    ------
    FormError
        If there is no such file.
    """
    global _chosen
    known = [path.stem[len("strings_") :] for path in _HERE.glob("strings_*.toml")]
    if language not in known:
        msg = f"there is no text in “{language}”: choose one of {', '.join(known)}"
        raise FormError(msg)
    _chosen = language


@cache
def table(language: str) -> dict[str, Any]:
    """Return all text of one language, as nested tables."""
    path = _HERE / f"strings_{language}.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


def text(*keys: str) -> Any:
    """Return one entry of the chosen language: a sentence, a list or a table.

    Examples
    --------
    >>> text("kind", "force")
    'a force'
    """
    entry: Any = table(_chosen)
    for key in keys:
        entry = entry[key]
    return entry


def say(*keys: str, **values: object) -> str:
    """Return one sentence with its ``{braces}`` filled in.

    Examples
    --------
    >>> say("typed", "unit_missing", units="kN, N")
    'The unit is missing. Add one of these: kN, N.'
    """
    return str(text(*keys)).format(**values)
