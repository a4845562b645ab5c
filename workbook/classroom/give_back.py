"""What each student gets back on paper: marks, right answers, what to try.

It rests on what a marking kept. Nothing of another student is on it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import cache, partial
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from workbook.classroom.files import in_name, per_cent, write_all
from workbook.classroom.gradebook import by_student, lesson_score, lessons_in
from workbook.classroom.kept import MARKS, Kept, read_kept
from workbook.classroom.names import on_paper
from workbook.classroom.press import Press, PrintedPart, for_all, kept
from workbook.classroom.progress import RIGHT, Done, done_by
from workbook.course import lessons
from workbook.course.session import NO_PLAN, Session
from workbook.errors import FormError
from workbook.exercises import exercise, exercises_of, wording
from workbook.language import caution, say, shown, text
from workbook.quantities.typed import LONGEST

if TYPE_CHECKING:
    from workbook.classroom.files import Content
    from workbook.classroom.marks import ExerciseMark
    from workbook.classroom.roll import ClassList, Student

NO_MISTAKE = {*RIGHT, "close"}


def write_sheets(
    class_list: ClassList,
    marks: Path,
    out: Path,
    *,
    paper: str,
    lesson: str = "",
    session: Session = NO_PLAN,
) -> list[Path]:
    """Write a sheet for each student who handed in, and all of them as one file.

    Parameters
    ----------
    class_list : ClassList
        The students.
    marks : Path
        Where `mark` put the marks.
    out : Path
        Where the sheets go.
    paper : {"a4", "us-letter"}
        Size of the pages.
    lesson : str
        Only this lesson; by default all that were handed in.
    session : Session
        Which exercises count.

    Raises
    ------
    FormError
        If there are no answers, or a file is not to be touched.
    """
    found = read_kept(marks / MARKS, class_list)
    told = _sheets(class_list, found, lesson, session)
    if not told:
        reason = "marks.no_answers_to" if lesson else "marks.no_answers"
        raise FormError(reason, folder=shown(str(marks)), lesson=shown(lesson))
    press = Press(_template(), {}, font=session.font)
    with TemporaryDirectory() as folder:
        parts: list[PrintedPart] = []

        def sheet(number: int, student: Mapping[str, Any]) -> bytes:
            data = _data(paper, [student])
            made = press.pages(data)
            pages = press.last_page(data)
            parts.append(kept(made, Path(folder, f"{number}.pdf"), pages=pages))
            return made

        made: dict[str, Content] = {
            f"{f'back {lesson}'.strip()} {in_name(one['code'])}.pdf": partial(
                sheet, number, one
            )
            for number, one in enumerate(told)
        }
        whole = f"{f'back {lesson}'.strip()} whole class"
        made.update(for_all(whole, parts, count=len(told)))
        return write_all(out, made)


@cache
def _template() -> bytes:
    return files(__package__).joinpath("give_back.typ").read_bytes()


def _data(paper: str, students: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    words = text("classroom", "give_back", "words")
    return {"paper": paper, "words": words, "s0": caution("S0"), "students": students}


def _sheets(
    class_list: ClassList, found: Kept, lesson: str, session: Session
) -> list[dict[str, Any]]:
    """Return what each student's sheet says."""
    own: dict[str, dict[str, Done]] = defaultdict(dict)
    for one in done_by(found.answers):
        own[one.code][one.exercise] = one
    marks = by_student(found.marks)
    wanted = [one for one in lessons_in(found.marks) if lesson in {"", one}]
    sheets = []
    for student in class_list.students:
        done, marked = own.get(student.code, {}), marks.get(student.code, {})
        parts = [
            _lesson(id, done, marked, session)
            for id in wanted
            if id in marked or any(x.id in {*done, *marked} for x in exercises_of(id))
        ]
        if parts:
            sheets.append(_sheet(student, parts))
    return sheets


def _sheet(student: Student, parts: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    name, code = on_paper(student.name), student.code
    return {"name": name, "code": code, "lessons": [*parts]}


def _lesson(
    lesson: str,
    done: Mapping[str, Done],
    marked: Mapping[str, ExerciseMark],
    session: Session,
) -> dict[str, Any]:
    counted = session.counts(lesson)
    score, most = lesson_score(marked, counted, lesson), session.points(lesson)
    points = _say("not_marked")
    if score is not None:
        got = f"{per_cent(score * most / 100)}"
        points = _say("lesson_mark", mark=got, of=f"{most:g}", ids=[*counted])
    return {
        "title": lessons()[lesson].title,
        "mark": points,
        "exercises": [
            _exercise(one.id, done.get(one.id), marked.get(one.id))
            for one in exercises_of(lesson)
            if one.id in {*counted, *done, *marked}
        ],
    }


def _exercise(id: str, done: Done | None, mark: ExerciseMark | None) -> dict[str, Any]:
    told = _say("unanswered")
    if mark and not mark.held:
        told = _say("mark", mark=per_cent(mark.score))
    elif mark:
        told = _say("held")
    said = [*_said(id, done)] if done else []
    if done and mark and mark.held:
        no_unit = "unit_missing" in done.names
        said.append(_say("held_no_unit" if no_unit else "held_why"))
    if mark and mark.by_hand:
        said.append(_say("by_hand", why=shown(mark.why)))
    elif mark and mark.why:
        said.append(_say("why", why=shown(mark.why)))
    title = wording.title(exercise(id))
    return {"id": id, "title": title, "mark": told, "said": said}


def _said(id: str, done: Done) -> Iterator[str]:
    """Yield what was typed, what is right, and what to try about each mistake."""
    typed = shown(done.typed[:LONGEST]) + "…" * (len(done.typed) > LONGEST)
    if done.at:
        yield _say("right_at", number=done.at, typed=typed)
    else:
        yield _say("typed", typed=typed, right=done.right)
    for name in dict.fromkeys(done.names):
        if name not in NO_MISTAKE and "did" in text("mistake").get(name, {}):
            yield " ".join(wording.refutation(exercise(id), name))


def _say(entry: str, **values: object) -> str:
    return say("classroom", "give_back", entry, **values)
