"""Marking a folder, and marking it again: what the commands do, start to end."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from workbook.classroom.bays import MarkedJob, job_files, jobs_below
from workbook.classroom.changes import Change, changes, changes_file, lesson_changes
from workbook.classroom.files import write_all
from workbook.classroom.gradebook import grade_files, lessons_in, with_hand_marks
from workbook.classroom.hand_ins import Step, Told, read_folder
from workbook.classroom.hand_marks import HAND_MARKS, read_hand_marks
from workbook.classroom.kept import MARKS, Kept, marks_file, read_kept, step_lines
from workbook.classroom.keys import read_keys
from workbook.classroom.lateness import LATE, Late, late_file, late_of
from workbook.classroom.marks import (
    Corrections,
    ExerciseMark,
    Marking,
    Place,
    mark_class,
    said,
)
from workbook.classroom.notes import NOTES, Note, notes_file
from workbook.classroom.roll import ClassList
from workbook.course.session import NO_PLAN, Session
from workbook.errors import FormError
from workbook.exercises import exercise
from workbook.exercises.seeds import plain
from workbook.exercises.sets import counts
from workbook.language import say, shown


@dataclass(frozen=True, kw_only=True)
class Result:
    """What a marking came to: numbers of things, changed marks, notes.

    ``jobs`` are those of the practice bay; ``late`` counts students by lesson who
    answered after it was due; ``without`` are the codes of those with nothing to
    mark, where hand-ins were read.
    """

    students: int
    answers: int
    by_hand: int
    late: int
    jobs: int
    changes: Sequence[Change]
    notes: Sequence[Note]
    without: frozenset[str]


def corrections_from(
    class_list: ClassList,
    *,
    keys: Sequence[Path],
    mark_as: Sequence[str],
    session: Session = NO_PLAN,
) -> Corrections:
    """Return what key files, ``7.2=2`` and the session plan ask for.

    Raises
    ------
    FormError
        If a key file or a version cannot serve.
    OSError
        If a key file cannot be read.
    """
    versions = {}
    for text in mark_as:
        id, _, version = text.partition("=")
        if not version.isdecimal() or len(version) > 6:
            raise FormError("marks.version", typed=shown(text))
        versions[id] = exercise(id, int(version)).version
    key = read_keys(keys, class_list)
    return Corrections(key=key, mark_as=versions, accepted=session.accepted)


def mark_folder(
    class_list: ClassList,
    folder: Path,
    out: Path,
    *,
    corrections: Corrections,
    titles: Mapping[str, str],
    session: Session = NO_PLAN,
) -> Result:
    """Mark a folder of hand-ins and write all files of marks.

    Parameters
    ----------
    class_list : ClassList
        The students.
    folder : Path
        The hand-ins.
    out : Path
        Where the files go. Marks of an earlier run are taken over and listed where
        they change; marks set by hand are read from here.
    corrections : Corrections
        What is marked otherwise.
    titles : mapping of str to str
        Gradebook columns by lesson.
    session : Session
        Which exercises count, and when answers were due.

    Raises
    ------
    FormError
        If the earlier marks rest on corrections that are not given now.
    """
    kept = read_kept(out / MARKS, class_list)
    found = read_folder(folder, class_list)
    jobs, notes = jobs_below(
        class_list, folder, school=session.school, among_others=True
    )
    make = _Making(class_list, out, kept, corrections, titles, session)
    return make.publish(
        found.steps, told=found.told, notes=[*found.notes, *notes], jobs=jobs
    )


def mark_again(
    class_list: ClassList,
    out: Path,
    *,
    corrections: Corrections,
    titles: Mapping[str, str],
    session: Session = NO_PLAN,
) -> Result:
    """Mark again what an earlier marking kept, from what was typed.

    Raises
    ------
    FormError
        If there is nothing kept, or it rests on corrections not given now.
    """
    if not (out / MARKS).is_file():
        raise FormError("marks.none_kept", folder=shown(str(out)), file=MARKS)
    kept = read_kept(out / MARKS, class_list)
    make = _Making(class_list, out, kept, corrections, titles, session)
    return make.publish(kept.steps, told=kept.told, notes=None)


@dataclass(kw_only=True)
class _ClassMarks:
    """What the files need of a class; nothing else of a large one is kept."""

    notes: dict[Note, None]  # in order, each once
    lines: list[str] = field(default_factory=list)
    marks: list[ExerciseMark] = field(default_factory=list)
    late: list[Late] = field(default_factory=list)
    accepted: Counter[tuple[str, str]] = field(default_factory=Counter)
    students: int = 0
    answers: int = 0

    def add(self, one: Marking, session: Session) -> None:
        """Take in one student."""
        self.late += late_of(one, session)
        self.lines += step_lines(one)
        self.marks += one.marks
        self.notes |= dict.fromkeys(one.notes)
        self.students += 1
        every = [marked for record in one.records for marked in record]
        self.answers += sum(marked.outcome is not None for marked in every)
        self.accepted.update(
            (marked.step.exercise, marked.accepted)
            for marked in every
            if marked.accepted and counts(marked.step.set, marked.step.attempt)
        )


@dataclass(frozen=True)
class _Making:
    """How the files of marks are made: for whom, where, by which rules."""

    class_list: ClassList
    out: Path
    kept: Kept
    corrections: Corrections
    titles: Mapping[str, str]
    session: Session

    def publish(
        self,
        steps: Mapping[str, Sequence[Sequence[Step]]],
        *,
        told: Mapping[str, Sequence[Told]],
        notes: Sequence[Note] | None,
        jobs: Sequence[MarkedJob] = (),
    ) -> Result:
        """Mark, compare with the marks there were, and write everything at once.

        Without ``notes`` those of the earlier marking stand, and nothing is compared
        with what the hand-ins said. Without ``jobs`` the marks of the bay stand.
        """
        everybody, kept, out = self.class_list, self.kept, self.out
        _refuse_to_forget(kept, self.corrections, out)
        by_hand = read_hand_marks(out / HAND_MARKS, everybody)
        tally = _ClassMarks(notes=dict.fromkeys(kept.notes if notes is None else notes))
        compare = notes is not None
        for one in mark_class(
            everybody, steps, corrections=self.corrections, compare=compare
        ):
            tally.add(one, self.session)
        every = [*tally.notes]
        marks = with_hand_marks(tally.marks, by_hand)
        counted = {x: self.session.counts(x) for x in lessons_in(marks)}
        lines = marks_file(
            everybody,
            tally.lines,
            [*tally.marks, *by_hand.values()],
            corrections=self.corrections,
            notes=every,
            counted=counted,
            told=told,
        )
        found = _changes(kept, marks, steps, counted)
        grades = grade_files(everybody, marks, self.titles, session=self.session)
        files = {MARKS: lines, **grades}
        files[NOTES] = notes_file(
            every,
            everybody,
            planned=[*self._planned(tally.accepted)],
            by_hand=[*by_hand.values()],
            file=HAND_MARKS,
        )
        if self.session.due_times:
            files[LATE] = late_file(tally.late, everybody)
        if jobs:
            files |= job_files(jobs)
        if found:
            number = _next_number(out)
            files[f"marks-before-{number}.jsonl"] = (out / MARKS).read_bytes()
            files[f"changes-{number}.csv"] = changes_file(found, everybody)
        write_all(out, files)
        came = {*steps, *(plain(one.student.code) for one in jobs)}
        return Result(
            students=tally.students,
            answers=tally.answers,
            by_hand=len(by_hand),
            late=len(tally.late),
            jobs=len(jobs),
            changes=found,
            notes=every,
            without=frozenset(
                one.code for one in everybody.students if plain(one.code) not in came
            ),
        )

    def _planned(self, accepted: Mapping[tuple[str, str], int]) -> Iterator[str]:
        """Yield what the session plan changes about the marks."""
        for ids in self.session.dropped.values():
            for id in ids:
                yield say("classroom", "notes", "dropped", exercise=id)
        for id, texts in self.session.accepted.items():
            for text in texts:
                count, said = accepted.get((id, text), 0), shown(text)
                yield say(
                    "classroom", "notes", "accepted",
                    exercise=id, text=said, count=count,
                )  # fmt: skip


def _refuse_to_forget(kept: Kept, corrections: Corrections, out: Path) -> None:
    forgotten = {*kept.corrections} - {*corrections.named}
    if forgotten:
        correction = shown(said(min(forgotten)))
        raise FormError(
            "marks.forgotten", folder=shown(str(out)), correction=correction
        )


def _changes(
    kept: Kept,
    marks: Mapping[Place, ExerciseMark],
    steps: Mapping[str, Sequence[Sequence[Step]]],
    counted: Mapping[str, Sequence[str]],
) -> list[Change]:
    """Return what changed against an earlier marking, if there was one."""
    if not kept.made_with:
        return []
    return [*changes(kept, marks, steps), *lesson_changes(kept, marks, counted)]


def _next_number(out: Path) -> int:
    """Return the first number that no list of changes has yet."""
    number = 1
    while (out / f"changes-{number}.csv").exists():
        number += 1
    return number
