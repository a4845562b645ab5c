"""The standing cautions, and what the models leave out."""

from __future__ import annotations

from workbook.language.sentences import say

CAUTIONS = tuple(f"S{number}" for number in range(16))
"""Their names."""


def caution(name: str) -> str:
    """Return a standing caution, such as ``"S0"``.

    Examples
    --------
    >>> caution("S14")
    'Do not pull alone.'
    """
    return say("caution", name)


def left_out() -> str:
    """Return what the models leave out."""
    return say("caution", "left_out")
