"""The lessons: what each asks, shows and prints. One module a lesson."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from workbook.course.lesson import Lesson
from workbook.errors import FormError

__all__ = ["Lesson", "lesson", "lessons"]


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
    wanted = f"L{id}" if id[:1].isdigit() else id
    if wanted not in lessons():
        raise FormError("course.no_lesson", lesson=repr(id), known=[*lessons()])
    return lessons()[wanted]
