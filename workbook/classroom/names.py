"""How a name stands on a printed page."""

from __future__ import annotations

import re

LONGEST_NAME = 60  # characters of a name on a handout


def on_paper(name: str) -> str:
    """Return a name that fits two lines: the rest cut off, endless words broken.

    Examples
    --------
    >>> on_paper("Zoë")
    'Zoë'
    >>> len(on_paper("Maximiliana " * 10))
    60
    """
    short = name if len(name) <= LONGEST_NAME else name[: LONGEST_NAME - 1] + "…"
    return re.sub(r"(\S{24})(?=\S)", "\\1\u200b", short)
