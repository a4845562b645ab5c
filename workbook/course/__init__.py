"""The lessons: what each asks, shows and prints. One module a lesson."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from workbook.course.lesson import Lesson
from workbook.errors import FormError

__all__ = ["Lesson", "lesson", "lessons"]

MOST_DIGITS = 10  # of a lesson's number that are looked at


@cache
def lessons() -> dict[str, Lesson]:
    """Return every lesson there is, by id, in the order they are taught.

    Examples
    --------
    >>> [*lessons()][:2]
    ['L00', 'L01']
    """
    names = sorted(m.name for m in iter_modules(__path__))
    found = (
        import_module(f"{__name__}.{name}").LESSON
        for name in names
        if name.startswith("lesson_")
    )
    return {one.id: one for one in found}


def lesson_id(typed: str) -> str:
    """Return a lesson's id as it may be typed; what names none stays as it is.

    Examples
    --------
    >>> [lesson_id(typed) for typed in ("08", "8", "l08", "7.2")]
    ['L08', 'L08', 'L08', '7.2']
    """
    number = typed.strip().removeprefix("L").removeprefix("l")
    short = number.isdecimal() and len(number) <= MOST_DIGITS
    return f"L{int(number):02}" if short else typed


def lesson(id: str) -> Lesson:
    """Return a lesson by its id or number, such as ``"L08"`` or ``"08"``.

    Raises
    ------
    FormError
        If there is no such lesson.

    Examples
    --------
    >>> lesson("08").id
    'L08'
    """
    wanted = lesson_id(id)
    if wanted not in lessons():
        raise FormError("course.no_lesson", lesson=repr(id), known=[*lessons()])
    return lessons()[wanted]
