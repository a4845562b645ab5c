"""The term at a glance: every student over all lessons, the safety lesson first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.classroom.files import csv_bytes, per_cent, write_all
from workbook.classroom.gates import Gates, gates_of
from workbook.classroom.gradebook import LESSONS, by_student, lesson_score, lessons_in
from workbook.classroom.kept import MARKS, Kept, read_kept
from workbook.course.lesson import SAFETY_GATE
from workbook.course.session import NO_PLAN, Session
from workbook.errors import FormError
from workbook.exercises import exercise
from workbook.language import say, shown, text

if TYPE_CHECKING:
    from workbook.classroom.marks import ExerciseMark, Place
    from workbook.classroom.roll import ClassList, Student

TERM = "term.csv"
SAFETY = exercise(SAFETY_GATE[0]).lesson


@dataclass(frozen=True, kw_only=True)
class StudentsTerm:
    """One student's term: gates, and the score in each lesson that was marked."""

    student: Student
    gates: Gates
    scores: Mapping[str, float | None]


def lessons_safety_first(found: Sequence[str]) -> list[str]:
    """Return lessons in order, that of safety before all.

    Examples
    --------
    >>> lessons_safety_first(["L02", "L11", "L08"])
    ['L11', 'L02', 'L08']
    """
    return sorted(found, key=lambda id: (id != SAFETY, LESSONS.index(id)))


def term_of(
    class_list: ClassList, folders: Sequence[Path], *, session: Session = NO_PLAN
) -> list[StudentsTerm]:
    """Return each student's term.

    Parameters
    ----------
    class_list : ClassList
        The students.
    folders : sequence of Path
        Where marks are; of an exercise in several, the best mark counts, but one set
        by hand before any.
    session : Session
        Which exercises make a lesson's mark.

    Raises
    ------
    FormError
        If a folder holds no marks.
    """
    all_kept = []
    for folder in folders:
        if not (folder / MARKS).is_file():
            raise FormError("marks.none_kept", folder=shown(str(folder)), file=MARKS)
        all_kept.append(read_kept(folder / MARKS, class_list))
    marks = _best(all_kept)
    lessons = lessons_safety_first([*{*lessons_in(marks), SAFETY}])
    own = by_student(marks)
    gates = [gates_of(class_list, kept) for kept in all_kept]
    return [
        StudentsTerm(
            student=student,
            gates=_together([each[student.code] for each in gates]),
            scores={
                id: lesson_score(own.get(student.code, {}), session.counts(id), id)
                for id in lessons
            },
        )
        for student in class_list.students
    ]


def _best(all_kept: Sequence[Kept]) -> dict[Place, ExerciseMark]:
    best: dict[Place, ExerciseMark] = {}
    for kept in all_kept:
        for place, mark in kept.marks.items():
            if place not in best or _worth(mark) > _worth(best[place]):
                best[place] = mark
    return best


def _worth(mark: ExerciseMark) -> tuple[bool, bool, float]:
    return mark.by_hand, not mark.held, mark.score


def _together(each: Sequence[Gates]) -> Gates:
    """Return what several markings tell of one student's gates."""
    return Gates(
        passed=tuple(id for id in SAFETY_GATE if any(id in g.passed for g in each)),
        opened=tuple(dict.fromkeys(one for g in each for one in g.opened)),
        went=tuple(dict.fromkeys(one for g in each for one in g.went)),
    )


def write_term(
    out: Path, term: Sequence[StudentsTerm], *, session: Session = NO_PLAN
) -> Path:
    """Write the term as a table: a line a student, the safety lesson first."""
    return write_all(out, {TERM: csv_bytes(_rows(term, session))})[0]


def _rows(term: Sequence[StudentsTerm], session: Session) -> Iterator[Sequence[object]]:
    name, code, gate, opened, went, done = text("classroom", "term", "head").values()
    lessons = [*term[0].scores] if term else [SAFETY]
    yield [name, code, gate, *lessons, done, opened, went]
    for one in term:
        yield [
            one.student.name,
            one.student.code,
            _gate(one.gates),
            *(_points(one.scores[id], session.points(id)) for id in lessons),
            sum(score is not None for score in one.scores.values()),
            "; ".join(f"{shown(id)}: {shown(why)}" for id, why in one.gates.opened),
            ", ".join(map(shown, one.gates.went)),
        ]


def _gate(gates: Gates) -> str:
    if gates.through:
        return say("classroom", "term", "through")
    missing = [id for id in SAFETY_GATE if id not in gates.passed]
    return say("classroom", "term", "missing", ids=missing)


def _points(score: float | None, most: float) -> object:
    return per_cent(None if score is None else score * most / 100)
