"""Seeded exercises that know the usual mistakes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from pkgutil import iter_modules

from workbook.errors import FormError
from workbook.exercises import bank
from workbook.exercises.declaration import Exercise

__all__ = ["EXERCISES", "exercise", "exercises_of", "source_of"]


def _declared() -> Iterator[Exercise]:
    """Yield what the modules of the bank declare, in the order of their names."""
    for module in sorted(iter_modules(bank.__path__), key=lambda found: found.name):
        yield from import_module(f"{bank.__name__}.{module.name}").EXERCISES


EXERCISES: Mapping[tuple[str, int], Exercise] = {
    (e.id, e.version): e for e in _declared()
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
        raise FormError("exercise.unknown", id=id, version=wanted)
    return EXERCISES[id, wanted]


def source_of(one: Exercise) -> Exercise | None:
    """Return the earlier part that an exercise goes on from, if there is one.

    Examples
    --------
    >>> source_of(exercise("7.6b")).id
    '7.6a'
    """
    return exercise(one.carry.source, one.carry.version) if one.carry else None


def exercises_of(lesson: str) -> list[Exercise]:
    """Return the newest exercises of a lesson such as ``"L02"``, in order.

    Examples
    --------
    >>> [e.id for e in exercises_of("L06")]
    ['6.1', '6.2', '6.3', '6.4', '6.5', '6.6a', '6.6b', '6.7', '6.8']
    """
    newest = {e.id: e for e in EXERCISES.values() if e.lesson == lesson}
    return [exercise(id) for id in newest]
