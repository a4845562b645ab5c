"""Marks that a new marking changes, each with its reason."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from workbook import __version__
from workbook.classroom.files import csv_bytes, per_cent
from workbook.classroom.gradebook import by_student, lesson_score
from workbook.classroom.hand_ins import Step
from workbook.classroom.kept import Kept
from workbook.classroom.marks import ExerciseMark, Place
from workbook.classroom.roll import ClassList
from workbook.exercises.seeds import plain
from workbook.language import say, shown, text

COLUMNS = ("name", "code", "exercise", "old", "new", "why")


@dataclass(frozen=True, kw_only=True)
class Change:
    """A mark that is another one now; ``None`` where there is or was none."""

    code: str
    exercise: str
    old: float | None
    new: float | None
    why: str


def changes(
    old: Kept,
    new: Mapping[Place, ExerciseMark],
    steps: Mapping[str, Sequence[Sequence[Step]]],
) -> list[Change]:
    """Return the marks that are others now, each with the reason.

    Parameters
    ----------
    old : Kept
        The earlier marking.
    new : mapping
        The marks that count now.
    steps : mapping of str to sequence of sequence of Step
        What the new marks rest on, record by record, by student code as `plain`
        makes it.
    """
    found = []
    for place in sorted({*old.marks, *new}):
        before, after = old.marks.get(place), new.get(place)
        was, is_ = (mark.score if mark else None for mark in (before, after))
        if was == is_ or (
            was is not None and is_ is not None and math.isclose(was, is_)
        ):
            continue
        more = _answers(steps, place) != _answers(old.steps, place)
        why = _why(before, after, old.made_with, more=more)
        found.append(
            Change(code=place[0], exercise=place[1], old=was, new=is_, why=why)
        )
    return found


def lesson_changes(
    old: Kept,
    new: Mapping[Place, ExerciseMark],
    counted: Mapping[str, Sequence[str]],
) -> list[Change]:
    """Return the marks of lessons that are others for what counts in them now.

    Parameters
    ----------
    old : Kept
        The earlier marking.
    new : mapping
        The marks that count now.
    counted : mapping of str to sequence of str
        By lesson, the exercises that make its mark now.
    """
    found = []
    before, after = by_student(old.marks), by_student(new)
    for lesson, ids in counted.items():
        were = old.counted.get(lesson, tuple(ids))
        if were == tuple(ids):
            continue
        for code in sorted({*before, *after}):
            was = lesson_score(before.get(code, {}), were, lesson)
            is_ = lesson_score(after.get(code, {}), ids, lesson)
            if was != is_:
                found.append(
                    Change(
                        code=code,
                        exercise=lesson,
                        old=was,
                        new=is_,
                        why=_say("counts", ids=[*ids]),
                    )
                )
    return found


def _answers(steps: Mapping[str, Sequence[Sequence[Step]]], place: Place) -> int:
    code, id = place
    records = steps.get(plain(code), ())
    return sum(step.exercise == id for record in records for step in record)


def _why(
    before: ExerciseMark | None,
    after: ExerciseMark | None,
    made_with: str,
    *,
    more: bool,
) -> str:
    if after and after.by_hand:
        return _say("by_hand", why=after.why)
    if before and before.by_hand:
        return _say("no_longer")
    if after and after.why:
        return after.why
    if before and before.why:
        return _say("taken_back", why=before.why)
    if more:
        return _say("handed_in")
    was, is_ = (mark.outcome if mark else _say("nothing") for mark in (before, after))
    return _say("decides", now=__version__, then=made_with, old=was, new=is_)


def _say(entry: str, **values: object) -> str:
    return say("classroom", "marks", "why", entry, **values)


def changes_file(found: Sequence[Change], class_list: ClassList) -> bytes:
    """Return a table of changed marks, in per cent."""
    head = [text("classroom", "marks", "changes", name) for name in COLUMNS]
    return csv_bytes([head, *(_change_row(change, class_list) for change in found)])


def _change_row(change: Change, class_list: ClassList) -> tuple[object, ...]:
    student = class_list.by_code.get(plain(change.code))
    return (
        student.name if student else "",
        change.code,
        change.exercise,
        per_cent(change.old),
        per_cent(change.new),
        shown(change.why),
    )
