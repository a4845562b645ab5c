"""Marks as files: for gradebooks, and by exercise.

A cell is in per cent or in points, empty where nothing was done, and says so where
all answers were held: nothing was marked, so nothing was wrong. The columns for
gradebooks are those that their imports look for, the same in every language.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

from workbook.classroom.files import csv_bytes, per_cent
from workbook.classroom.marks import ExerciseMark, Place
from workbook.classroom.roll import ClassList
from workbook.course.session import Session
from workbook.exercises import EXERCISES, exercises_of
from workbook.language import shown, text

LESSONS = tuple(dict.fromkeys(one.lesson for one in EXERCISES.values()))
Own = Mapping[str, ExerciseMark]  # one student's marks by exercise or lesson


def with_hand_marks(
    marks: Iterable[ExerciseMark], by_hand: Mapping[Place, ExerciseMark]
) -> dict[Place, ExerciseMark]:
    """Return the marks that count: those set by hand, then the checker's."""
    return {**{(m.code, m.exercise): m for m in marks}, **by_hand}


def by_student(marks: Mapping[Place, ExerciseMark]) -> Mapping[str, Own]:
    """Return each student's marks by exercise or lesson."""
    own: dict[str, dict[str, ExerciseMark]] = defaultdict(dict)
    for (code, exercise), mark in marks.items():
        own[code][exercise] = mark
    return own


def lesson_score(own: Own, ids: Sequence[str], lesson: str) -> float | None:
    """Return a student's score in a lesson, or nothing if nothing was marked.

    It is the mean over the exercises that count, one not answered counting as 0.
    """
    if lesson in own:
        return own[lesson].score
    scores = [own[id].score for id in ids if id in own and not own[id].held]
    return sum(scores) / len(ids) if scores else None


def lessons_in(marks: Mapping[Place, ExerciseMark]) -> list[str]:
    """Return the lessons with marks, in order."""
    lesson_of = {id: one.lesson for (id, _), one in EXERCISES.items()}
    done = {lesson_of.get(exercise, exercise) for _, exercise in marks}
    return [lesson for lesson in LESSONS if lesson in done]


def grade_files(
    class_list: ClassList,
    marks: Mapping[Place, ExerciseMark],
    titles: Mapping[str, str],
    *,
    session: Session,
) -> dict[str, bytes]:
    """Return the files for gradebooks and the one by exercise.

    Parameters
    ----------
    class_list : ClassList
        The students.
    marks : mapping
        The marks that count.
    titles : mapping of str to str
        The gradebook's own column for a lesson; else ``Pullwright L02``.
    session : Session
        Which exercises make a lesson's mark, and how many points that has.

    Returns
    -------
    dict of str to bytes
        Marks by exercise are in per cent, those of a lesson in its points: of 100,
        which is per cent too, where the session plan sets none. Where nothing was
        done a cell stays empty, so that an import overwrites nothing with a nought;
        feedback is never among them.
    """
    by_code = by_student(marks)
    lessons = lessons_in(marks)
    columns = [titles.get(lesson, f"Pullwright {lesson}") for lesson in lessons]
    ids = {lesson: session.counts(lesson) for lesson in lessons}
    scores = {
        code: [
            _points(lesson_score(own, ids[lesson], lesson), session.points(lesson))
            for lesson in lessons
        ]
        for code, own in by_code.items()
    }
    everybody = class_list.students
    nothing: list[object] = [""] * len(lessons)
    done = [s for s in everybody if any(x != "" for x in scores.get(s.code, ()))]
    by_name = [
        (s.name, "", s.id, s.login, s.section, *scores.get(s.code, nothing))
        for s in everybody
    ]
    by_id = [(s.id, s.email, s.name, *scores[s.code]) for s in done if s.id or s.email]
    by_login = [(s.login, *scores[s.code]) for s in done if s.login]
    head = ("Student", "ID", "SIS User ID", "SIS Login ID", "Section")
    return {
        "grades-by-name-and-id.csv": csv_bytes(
            [(*head, *columns), *by_name], mark=False
        ),
        "grades-by-id-or-email.csv": csv_bytes(
            [("ID number", "Email address", "Name", *columns), *by_id], mark=False
        ),
        "grades-by-user-name.txt": csv_bytes(
            [("Username", *columns), *by_login], delimiter="\t", mark=False
        ),
        "marks-by-exercise.csv": csv_bytes(_by_exercise(class_list, by_code, ids)),
    }


def _by_exercise(
    class_list: ClassList,
    by_code: Mapping[str, Own],
    ids: Mapping[str, Sequence[str]],
) -> Iterator[Sequence[object]]:
    every = [one.id for lesson in ids for one in exercises_of(lesson)]
    *who, by_hand = (
        text("classroom", "marks", "by_exercise", name)
        for name in ("name", "id", "code", "by_hand")
    )
    yield *who, *every, *ids, by_hand
    for student in class_list.students:
        own = by_code.get(student.code, {})
        found = [own.get(id) for id in every]
        set_so = [mark for mark in own.values() if mark.by_hand]
        yield (
            student.name,
            student.id,
            student.code,
            *map(_cell, found),
            *(per_cent(lesson_score(own, ids[lesson], lesson)) for lesson in ids),
            "; ".join(
                f"{m.exercise} {per_cent(m.score)}: {shown(m.why)}" for m in set_so
            ),
        )


def _points(score: float | None, most: float) -> object:
    """Return a score as a cell, in points of so many."""
    return per_cent(None if score is None else score * most / 100)


def _cell(mark: ExerciseMark | None) -> object:
    """Return a mark as a cell: held, not answered and wrong are three things."""
    if mark and mark.held:
        return text("classroom", "marks", "by_exercise", "held")
    return per_cent(mark.score if mark else None)
