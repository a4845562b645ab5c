"""What the reader's school asks: the session plan that lies beside the lessons."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from workbook.course.session import FILE, NO_PLAN, Session, read_session
from workbook.errors import FormError
from workbook.language import say, shown

_named: list[Path] = []  # the plan that an instructor named, if one did


def use_session(file: Path | None) -> None:
    """Read the school's plan from this file, or else from the lessons' folder."""
    _named[:] = [] if file is None else [file]


def school_rules() -> tuple[str, ...]:
    """Return the school's rules, or the one sentence of why they cannot be read."""
    try:
        return session_here().rules
    except FormError as refusal:
        return (say("session", "unread", refusal=refusal),)


def school_limits() -> Mapping[str, float]:
    """Return the limits that the school sets, by their names in the plan."""
    try:
        return session_here().school
    except FormError:  # said beside the cautions
        return {}


def told_of(lesson: str) -> tuple[str, ...]:
    """Say which exercises of a lesson count and when it is due, if it is known."""
    try:
        return session_here().told(lesson)
    except FormError:  # said beside the cautions
        return ()


def session_here() -> Session:
    """Return the session plan that was named, or that of the lessons' folder.

    Raises
    ------
    FormError
        If there is one and it cannot be read.
    """
    file = _named[0] if _named else Path.cwd() / FILE
    try:
        state = file.stat()
    except OSError:
        if _named:
            raise FormError("session.gone", file=shown(str(file))) from None
        return NO_PLAN
    return _read(file, state.st_mtime_ns, state.st_size)


@lru_cache(maxsize=1)
def _read(file: Path, _changed: int, _size: int) -> Session:
    return read_session(file)
