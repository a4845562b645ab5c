"""Whose a file is by its name, and what one hand-in has of another's.

A copy is a reason to ask both: which of two files was made from the other, no file
can tell.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from workbook.classroom.chains import ChainRow
from workbook.classroom.notes import About, Note, some
from workbook.classroom.roll import ClassList, Student, who
from workbook.exercises.seeds import plain
from workbook.language import say

LEAST = 3  # different answers, each alike to the second: fewer may be chance


class FileAnswers(NamedTuple):
    """The answers of one file: what was typed, and that with what and when to."""

    file: str
    code: str
    answers: frozenset[tuple[int, int]]
    broken: bool


def typed_in_rows(rows: Sequence[ChainRow]) -> frozenset[tuple[int, int]]:
    """Return hashes of what was typed, and when to what; paper has no seconds."""
    return frozenset(
        (
            hash(str(line.get("typed"))),
            hash(tuple(str(line.get(x)) for x in ("time", "exercise", "typed"))),
        )
        for line in (row.line for row in rows)
        if line["kind"] == "answer" and line.get("paper") is not True
    )


def named_in(file: str, class_list: ClassList) -> list[Student]:
    """Return the students whose codes are in a file's name."""
    words = dict.fromkeys(map(plain, re.findall(r"\w+", Path(file).name)))
    return [class_list.by_code[one] for one in words if one in class_list.by_code]


def alike(files: Sequence[FileAnswers], class_list: ClassList) -> Iterator[Note]:
    """Yield a note for each two students whose answers were typed in one second."""
    holders: Mapping[tuple[int, int], list[int]] = defaultdict(list)
    for number, one in enumerate(files):
        for answer in one.answers:
            holders[answer].append(number)
    shared: Mapping[tuple[int, int], set[int]] = defaultdict(set)
    for (typed, _), (first, *others) in holders.items():
        for other in others:
            shared[first, other].add(typed)
    told: set[tuple[str, str]] = set()
    for (first, second), same in shared.items():
        # Whose chain is broken comes first: a copy has its code written over.
        pair = sorted((files[first], files[second]), key=lambda one: not one.broken)
        copy, whole = pair
        codes = (copy.code, whole.code)
        if len(same) < LEAST or copy.code == whole.code or codes in told:
            continue
        told.add(codes)
        copier, owner = (class_list.by_code[code] for code in codes)
        said = _say(
            "alike", count=len(copy.answers & whole.answers),
            file=copy.file, other=whole.file,
            who=who(copier), owner=who(owner),
        )  # fmt: skip
        yield Note(About.COPIED, said, copier.code, copy.file)


def several(
    student: Student, files: Mapping[str, bytes], kept: Sequence[str]
) -> Iterator[Note]:
    """Yield a note on the files of a student that are copies, or earlier states.

    Parameters
    ----------
    student : Student
        Whose work is in them.
    files : mapping of str to bytes
        A check sum of each one's lines.
    kept : sequence of str
        Those that no other goes on from.
    """
    by_sum: Mapping[bytes, list[str]] = defaultdict(list)
    for file, sum_ in files.items():
        by_sum[sum_].append(file)
    for same in by_sum.values():
        own = [file for file in same if plain(student.code) in plain(file)]
        first = (own or same)[0]
        others = [file for file in same if file != first]
        if others:
            said = _say("same", who=who(student), file=first, others=some(others))
            yield Note(About.SEVERAL, said, student.code, first)
    firsts = [same[0] for same in by_sum.values()]
    if len(firsts) > len(kept):
        later, *_ = kept
        others = [file for file in firsts if file not in kept]
        said = _say("several", who=who(student), file=later, others=some(others))
        yield Note(About.SEVERAL, said, student.code, later)


def _say(entry: str, **values: object) -> str:
    return say("classroom", "hand_ins", entry, **values)
