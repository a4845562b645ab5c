"""Seeded exercises that know the usual mistakes."""

from __future__ import annotations

from collections.abc import Mapping

from workbook.errors import FormError
from workbook.exercises.bank import lesson_02, lesson_07, lesson_08, lesson_09
from workbook.exercises.engine import Exercise

__all__ = ["EXERCISES", "exercise", "exercises_of"]

EXERCISES: Mapping[tuple[str, int], Exercise] = {
    (e.id, e.version): e
    for lesson in (lesson_02, lesson_07, lesson_08, lesson_09)
    for e in lesson.EXERCISES
}
"""Every exercise by id and version; old versions stay, so old answers are marked."""


def exercise(id: str, version: int | None = None) -> Exercise:
    """Return an exercise, the newest version if none is named.

    Raises
    ------
    FormError
        If there is no such exercise or version.

    Examples
    --------
    >>> exercise("2.1").lesson
    'L02'
    """
    versions = [v for known, v in EXERCISES if known == id]
    wanted = version if version is not None else max(versions, default=1)
    if wanted not in versions:
        msg = f"there is no exercise {id} in version {wanted}: see the lessons"
        raise FormError(msg)
    return EXERCISES[id, wanted]


def exercises_of(lesson: str) -> list[Exercise]:
    """Return the newest exercises of a lesson such as ``"L02"``, in order.

    Examples
    --------
    >>> [e.id for e in exercises_of("L02")]
    ['2.1', '2.2', '2.3', '2.4', '2.5', '2.6']
    """
    newest = {e.id: e for e in EXERCISES.values() if e.lesson == lesson}
    return [exercise(id) for id in newest]
