"""The class list: names, student codes and the class key, in one CSV file.

The instructor keeps it. A student is known elsewhere by the code alone.
"""

from __future__ import annotations

import csv
import io
import random
import unicodedata
from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from workbook.classroom.files import csv_bytes, read_text, uncell
from workbook.errors import FormError
from workbook.exercises.seeds import plain
from workbook.files import write_whole
from workbook.language import say, shown
from workbook.language import text as words
from workbook.reader.record_lines import checked_code

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

# No two look or sound alike, none spells a word, and a spreadsheet takes none for
# a number or a date: no vowels, no 0 1 2 5 8, no B L S V Z.
SYMBOLS = "CDFGHJKMNPQRTWXY34679"
LETTERS = SYMBOLS[:-5]
CODE_LENGTH, KEY_LENGTH = 4, 6
MOST_STUDENTS = 5_000
LARGEST = 4 * 2**20  # bytes of a names file or class list
LONGEST_CELL = 200
COLUMNS = ("name", "id", "login", "email", "section")
NAME_PARTS = ("first", "last")  # columns of a name in two
TELLING = ("id", "login", "email")  # one of these tells two of one name apart
DELIMITERS = ",;\t"
TELLING = ("id", "login", "email")  # apart, where names are alike
OUR_COLUMNS = (*COLUMNS, "code", "class_key")
# Marks that turn the direction of text, which would garble a list.
_TURNS = dict.fromkeys([*range(0x202A, 0x202F), *range(0x2066, 0x206A)])


@dataclass(frozen=True, kw_only=True)
class Student:
    """One student: a name, a code, and what a gradebook knows the student by."""

    name: str
    code: str = ""
    id: str = ""
    login: str = ""
    email: str = ""
    section: str = ""


@dataclass(frozen=True, kw_only=True)
class ClassList:
    """A class: the key given out in class, and its students in order."""

    key: str
    students: tuple[Student, ...]

    @cached_property
    def by_code(self) -> Mapping[str, Student]:
        """Students by code, as `plain` makes it."""
        return {plain(student.code): student for student in self.students}


def who(student: Student) -> str:
    """Say who somebody is: two of a class may have one name.

    Examples
    --------
    >>> who(Student(name="Zoë", code="K7MR"))
    'Zoë (K7MR)'
    """
    return say("classroom", "chain", "who", name=shown(student.name), code=student.code)


def tidy(text: str) -> str:
    """Return one cell: one kind of blank, no control characters, composed letters."""
    words = " ".join(text.split()).translate(_TURNS)
    kept = "".join(c for c in words if unicodedata.category(c) not in {"Cc", "Cs"})
    return unicodedata.normalize("NFC", kept)


# ------------------------------------------------------------------------- names


def read_names(path: Path) -> list[Student]:
    """Read a names file: a name a line, or CSV with a heading for the names.

    Parameters
    ----------
    path : Path
        In a CSV file the columns ``id``, ``login``, ``email`` and ``section`` are
        taken as well, in any order, under these or other usual headings
        (``class_list.toml`` of the language); the name may stand in two columns.
        Cells are parted by commas, semicolons or tabs.

    Returns
    -------
    list of Student
        Without codes.

    Raises
    ------
    FormError
        If there are no names, a line cannot be read, or it cannot be told which
        column has the names.
    """
    text = read_text(path, what="names", largest=LARGEST)
    rows = _table(text, path)
    if rows is None:
        _refuse_a_table(text, path)
        students = [Student(name=tidy(line)) for line in text.splitlines()]
    else:
        students = [_student(row, number, path) for number, row in rows]
    students = [student for student in students if student != Student(name="")]
    _refuse_odd(students, path)
    return students


def _table(text: str, path: Path) -> list[tuple[int, dict[str, str]]] | None:
    """Return the rows of a CSV text by column, with their numbers; else nothing."""
    first = next(iter(text.splitlines()), "")
    for delimiter in DELIMITERS:
        head = [row for _, row in _parted([first], delimiter)]
        header = _named([tidy(cell).casefold() for row in head for cell in row])
        known = {*header} & {*COLUMNS, *NAME_PARTS}
        if known & {"name", *NAME_PARTS}:
            rows = _parted(io.StringIO(text, newline=""), delimiter)[1:]
            return [(n, _by_column(header, row, n)) for n, row in rows if any(row)]
        if len(known) > 1:
            raise FormError("class_list.no_name_column", file=shown(path.name))
    return None


def _named(header: Sequence[str]) -> list[str]:
    """Return the headings of a table, each as we call it where it is a usual one.

    Where several stand for one thing, it is the one that the language has first.
    """
    named = [*header]
    for column, headings in words("class_list", "columns").items():
        found = next((one for one in headings if one in header), column)
        named = ["" if one == column != found else one for one in named]
        named = [column if one == found else one for one in named]
    return named


def _refuse_a_table(text: str, path: Path) -> None:
    """Refuse a table without headings: its lines are no names.

    One comma a line is none: a surname may stand before it.
    """
    lines = [line for line in text.splitlines() if line.strip()]
    least = {",": 2, ";": 1, "\t": 1}
    if lines and any(
        all(line.count(delimiter) >= least[delimiter] for line in lines)
        for delimiter in DELIMITERS
    ):
        raise FormError("class_list.no_headings", file=shown(path.name))


def _parted(lines: Iterable[str], delimiter: str) -> list[tuple[int, list[str]]]:
    """Return the rows of some lines of CSV, with the numbers of their lines."""
    reader = csv.reader(lines, delimiter=delimiter)
    try:
        return [(reader.line_num, row) for row in reader]
    except csv.Error:
        raise FormError("class_list.no_csv", line=reader.line_num) from None


def _by_column(
    header: Sequence[str], row: Sequence[str], number: int
) -> dict[str, str]:
    if len(row) > len(header):
        raise FormError("class_list.too_many_cells", line=number)
    cells = {name: tidy(uncell(c)) for name, c in zip(header, row, strict=False)}
    parts = [cells[name] for name in NAME_PARTS if cells.get(name)]
    return {**({"name": " ".join(parts)} if parts else {}), **cells}


def _student(row: Mapping[str, str], number: int, path: Path) -> Student:
    student = Student(**{name: row.get(name, "") for name in COLUMNS})
    if not student.name:
        raise FormError("class_list.no_name", file=shown(path.name), line=number)
    return student


def _refuse_odd(students: Sequence[Student], path: Path) -> None:
    file, count = shown(path.name), len(students)
    if not students:
        raise FormError("class_list.no_names", file=file)
    if count > MOST_STUDENTS:
        raise FormError(
            "class_list.too_many", file=file, count=count, most=MOST_STUDENTS
        )
    for student in students:
        if any(len(getattr(student, column)) > LONGEST_CELL for column in COLUMNS):
            start = shown(student.name[:20])
            raise FormError(
                "class_list.long_cell", file=file, start=start, most=LONGEST_CELL
            )
    twice = _twice(student.id for student in students)
    if twice:
        raise FormError("class_list.id_twice", file=file, value=shown(twice))
    alike: dict[str, list[Student]] = {}
    for student in students:
        before = alike.setdefault(student.name.casefold(), [])
        if not all(_told_apart(student, other) for other in before):
            raise FormError(
                "class_list.name_twice", file=file, value=shown(student.name)
            )
        before.append(student)


def _told_apart(one: Student, other: Student) -> bool:
    """Tell whether two have different ids, log-ins or addresses."""
    pairs = [(getattr(one, c), getattr(other, c)) for c in TELLING]
    return any(a and b and a.casefold() != b.casefold() for a, b in pairs)


def _twice(values: Iterable[str]) -> str:
    """Return a value that stands there twice, if one does."""
    seen: set[str] = set()
    for value in filter(None, values):
        if value.casefold() in seen:
            return value
        seen.add(value.casefold())
    return ""


# -------------------------------------------------------------------------- list


def made_class(
    people: Sequence[Student],
    *,
    earlier: ClassList | None = None,
    key: str = "",
    chance: random.Random | None = None,
) -> ClassList:
    """Return the class list with these people, every one with a code.

    Whoever is on the earlier list keeps the code, also where the new names file
    no longer has the name. People are told apart by their ids, without ids by name,
    and several of one name by their log-ins or addresses.

    Parameters
    ----------
    people : sequence of Student
        As `read_names` returns them.
    earlier : ClassList, optional
        The list to go on with.
    key : str
        The class key; by default the earlier one, else a new one.
    chance : random.Random, optional
        Where codes come from; by default the system's own source.

    Returns
    -------
    ClassList

    Raises
    ------
    FormError
        If another key is named than the list has: all numbers would change; or if
        it cannot be told who somebody is.

    Examples
    --------
    >>> first = made_class([Student(name="Kim")], key="oak")
    >>> again = made_class([Student(name="Kim"), Student(name="Lee")], earlier=first)
    >>> first.students[0] == again.students[0], again.key
    (True, 'oak')
    """
    chance = chance or random.SystemRandom()
    if earlier and key and plain(key) != plain(earlier.key):
        raise FormError("class_list.other_key", key=shown(earlier.key))
    key = earlier.key if earlier else key or _random_key(chance)
    listed = [*earlier.students] if earlier else []
    names = Counter(person.name.casefold() for person in people)
    for person in people:
        place = _place(person, listed, alone=names[person.name.casefold()] == 1)
        if place is None:
            taken = [student.code for student in listed]
            listed.append(replace(person, code=_new_code(taken, chance)))
        else:
            listed[place] = _renewed(listed[place], person)
    return ClassList(key=checked_code(key, what="class_key"), students=tuple(listed))


def _place(person: Student, listed: Sequence[Student], *, alone: bool) -> int | None:
    """Return where a person stands on the list already.

    An address may change where nobody else of the names file has the name (`alone`).
    """
    same_id = [k for k, s in enumerate(listed) if person.id and s.id == person.id]
    same_name = [
        k
        for k, s in enumerate(listed)
        if s.name.casefold() == person.name.casefold() and not (s.id and person.id)
    ]
    if not alone or len(same_name) > 1:
        same_name = [k for k in same_name if not _told_apart(person, listed[k])]
    found = same_id or same_name
    if len(found) > 1:
        raise FormError("class_list.who", name=shown(person.name))
    return found[0] if found else None


def _renewed(student: Student, person: Student) -> Student:
    """Return a student with what the names file says now, the code kept."""
    said = {c: getattr(person, c) for c in COLUMNS if getattr(person, c)}
    return replace(student, **said)


def _random_key(chance: random.Random) -> str:
    return "".join(chance.choices(SYMBOLS, k=KEY_LENGTH))


def _new_code(taken: Sequence[str], chance: random.Random) -> str:
    """Return a code two symbols away from all others: one slip makes nobody's."""
    while True:
        code = chance.choice(LETTERS) + "".join(
            chance.choices(SYMBOLS, k=CODE_LENGTH - 1)
        )
        if all(sum(a != b for a, b in zip(code, t, strict=False)) > 1 for t in taken):
            return code


def write_class(path: Path, class_list: ClassList) -> None:
    """Write a class list as CSV."""
    rows = [
        [*(getattr(student, column) for column in (*COLUMNS, "code")), class_list.key]
        for student in class_list.students
    ]
    write_whole(path, csv_bytes([OUR_COLUMNS, *rows]))


def read_class(path: Path) -> ClassList:
    """Read a class list that `write_class` wrote, maybe edited since.

    Raises
    ------
    FormError
        If it is none: the sentence says what is missing.
    OSError
        If it cannot be read.
    """
    file = shown(path.name)
    rows = _table(read_text(path, what="class_list", largest=LARGEST), path)
    if not rows or not {"code", "class_key"} <= rows[0][1].keys():
        raise FormError("class_list.no_list", file=file)
    keys = {row.get("class_key", "") for _, row in rows}
    if len(keys) > 1 or "" in keys:
        raise FormError("class_list.one_key", file=file)
    students = [
        replace(_student(row, number, path), code=row.get("code", ""))
        for number, row in rows
    ]
    if not all(student.code for student in students):
        raise FormError("class_list.no_code", file=file)
    twice = _twice(plain(student.code) for student in students)
    if twice:
        raise FormError("class_list.code_twice", file=file, code=shown(twice))
    for student in students:
        checked_code(student.code, what="student")
    key = checked_code(keys.pop(), what="class_key")
    return ClassList(key=key, students=tuple(students))
