"""Notes on what was handed in: what each is about, in short, and the file of all.

A note is a sentence about a file or a student. In ``notes.txt`` they stand in short by
what they are about, then student by student.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from enum import StrEnum, auto
from typing import TYPE_CHECKING, NamedTuple

from workbook.classroom.files import per_cent
from workbook.classroom.roll import who
from workbook.exercises.seeds import plain
from workbook.language import say, shown

if TYPE_CHECKING:
    from workbook.classroom.marks import ExerciseMark
    from workbook.classroom.roll import ClassList

NOTES = "notes.txt"
MOST_NAMED = 6  # lines, files or students in one note


class About(StrEnum):
    """What a note is about, in the order in which they are told in short."""

    UNREAD = auto()
    CUT = auto()
    LEFT_OUT = auto()
    COPIED = auto()
    NAMED = auto()
    EDITED = auto()
    CHAIN = auto()
    CLOCK = auto()
    FAST = auto()
    RECORDS = auto()
    SEVERAL = auto()
    OLDER = auto()
    OPENED = auto()
    KEY = auto()
    BAY = auto()


FLAGS = (About.EDITED, About.CHAIN)
"""What keeps a file out of the report on a class: its lines may not be as they were."""


class Note(NamedTuple):
    """A sentence, what it is ``about``, and whose file it speaks of, where known."""

    about: About
    text: str
    code: str = ""
    file: str = ""


def some(things: Collection[object]) -> list[str]:
    """Return things to be named in a note, a few of many.

    Examples
    --------
    >>> some(range(9))
    ['0', '1', '2', '3', '4', '5', '…']
    """
    named = [str(thing) for thing, _ in zip(things, range(MOST_NAMED), strict=False)]
    return [*named, "…"] if len(things) > MOST_NAMED else named


def in_short(notes: Sequence[Note], class_list: ClassList) -> list[str]:
    """Return a sentence for each thing that notes are about, with who or which file."""
    whom: Mapping[str, dict[str, None]] = defaultdict(dict)
    for note in notes:
        whom[note.about][_who(note, class_list)] = None
    return [
        say("classroom", "notes", about, count=len(whom[about]), who=some(whom[about]))
        for about in About
        if about in whom
    ]


def _who(note: Note, class_list: ClassList) -> str:
    student = class_list.by_code.get(plain(note.code)) if note.code else None
    if student is None:
        return note.file or note.text
    if note.about is About.UNREAD:  # the file is what can be looked for
        return say("classroom", "notes", "file_of", file=note.file, who=who(student))
    return who(student)


def notes_file(
    notes: Sequence[Note],
    class_list: ClassList,
    *,
    planned: Sequence[str],
    by_hand: Sequence[ExerciseMark],
    file: str,
) -> bytes:
    """Return what the instructor should know, and what no note can show.

    Parameters
    ----------
    notes : sequence of Note
        What there is to ask about.
    class_list : ClassList
        Whose names stand beside the codes.
    planned : sequence of str
        What the session plan changes about the marks.
    by_hand : sequence of ExerciseMark
        Marks set by hand in ``file``.
    """
    hand = [
        say(
            "classroom", "marks", "by_hand",
            code=m.code, exercise=m.exercise, mark=per_cent(m.score), why=shown(m.why),
        )
        for m in by_hand
    ]  # fmt: skip
    lines = [
        say("classroom", "notes", "count", count=len(notes)),
        *(f"  {line}" for line in in_short(notes, class_list)),
        "",
        *_by_student(notes, class_list),
        *([say("classroom", "notes", "planned"), *planned, ""] if planned else []),
        say("classroom", "marks", "set_by_hand", count=len(hand), file=file),
        *hand,
        "",
        say("classroom", "chain", "limits"),
        "",
    ]
    return "\n".join(lines).encode("utf-8", "backslashreplace")


def _by_student(notes: Sequence[Note], class_list: ClassList) -> list[str]:
    """Return the notes under each student's name, those on nobody's file last."""
    own: dict[str, list[str]] = defaultdict(list)
    for note in notes:
        own[plain(note.code)].append(note.text)
    lines = []
    for student in class_list.students:
        told = own.pop(plain(student.code), None)
        if told:
            lines += [who(student), *_indented(told), ""]
    rest = [text for texts in own.values() for text in texts]
    if rest:
        lines += [say("classroom", "notes", "nobody"), *_indented(rest), ""]
    return lines


def _indented(texts: Sequence[str]) -> list[str]:
    return [f"  {text}" for text in texts]
