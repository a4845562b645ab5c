"""Answers from paper: a grid that is typed, a row a student, a column an exercise.

It is a CSV file. What is typed in it becomes a hand-in a student, which is marked as
any other. A cell that cannot serve is told by row and column, and stays in the grid.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from workbook.classroom.files import csv_bytes, in_name, read_text, uncell, write_all
from workbook.classroom.paper_lines import Paper, hand_in_of, trouble_of
from workbook.classroom.roll import ClassList, Student, tidy
from workbook.course import lessons
from workbook.course.predictions import LETTERS, options
from workbook.errors import FormError
from workbook.exercises import EXERCISES, exercises_of, wording
from workbook.exercises.declaration import Exercise
from workbook.exercises.seeds import plain
from workbook.files import write_whole
from workbook.language import say, shown, text
from workbook.reader.record_lines import LONGEST_TEXT

LARGEST = 4 * 2**20  # bytes of a grid
MOST_COLUMNS = 200
DELIMITERS = ",;\t"
CODE, TIME, PREDICTION = "code", "time", "prediction"


def _say(entry: str, **values: object) -> str:
    return say("classroom", "grid", entry, **values)


@dataclass
class Grid:
    """A grid as it stands in its file: a heading and rows of cells."""

    head: list[str]
    rows: list[list[str]] = field(default_factory=list)

    def column(self, heading: str) -> int:
        """Return where a heading stands; it is put behind the others if nowhere."""
        if heading not in self.head:
            self.head.append(heading)
        return self.head.index(heading)

    def row(self, student: Student) -> list[str]:
        """Return a student's row; it is put below the others if there is none."""
        at = self.column(text("classroom", "grid", "head", CODE))
        for row in self.rows:
            if at < len(row) and plain(row[at]) == plain(student.code):
                break
        else:
            row = []
            self.rows.append(row)
            self.put(row, text("classroom", "grid", "head", "name"), student.name)
            self.put(row, text("classroom", "grid", "head", CODE), student.code)
        return row

    def put(self, row: list[str], heading: str, value: str) -> None:
        """Write a cell."""
        at = self.column(heading)
        row += [""] * (at + 1 - len(row))
        row[at] = value

    def cell(self, row: Sequence[str], heading: str) -> str:
        """Return a cell, empty where there is none."""
        at = self.column(heading)
        return row[at] if at < len(row) else ""


def headings(lesson: str) -> dict[str, str]:
    """Return the headings of a lesson's columns, by what they are for.

    Raises
    ------
    FormError
        If the lesson has no exercises.
    """
    own = exercises_of(lesson) if lesson in lessons() else ()
    if not own:
        known = [one for one in lessons() if exercises_of(one)]
        raise FormError("grid.lesson", lesson=shown(lesson), known=known)
    words = text("classroom", "grid", "head")
    asked = {} if lessons()[lesson].prediction is None else {PREDICTION: lesson}
    return {
        **{name: words[name] for name in ("name", CODE, TIME)},
        **{name: f"{words[name]} {of}" for name, of in asked.items()},
        # A title keeps a spreadsheet from reading 7.1 as a date or a number.
        **{one.id: f"{one.id} {wording.title(one)}" for one in own},
    }


def read_grid(path: Path) -> Grid:
    """Read a grid, whatever a spreadsheet put between its cells.

    Raises
    ------
    FormError
        If it is no CSV in UTF-8 with a column for the codes, or has too many columns.
    OSError
        If it cannot be read.
    """
    file = shown(path.name)
    said = read_text(path, what="grid", largest=LARGEST)
    first = said.split("\n", 1)[0]
    delimiter = max(DELIMITERS, key=first.count)
    try:
        rows = [*csv.reader(io.StringIO(said, newline=""), delimiter=delimiter)]
    except csv.Error:
        raise FormError("grid.no_csv", file=file) from None
    rows = [[tidy(uncell(cell)) for cell in row] for row in rows]
    code = text("classroom", "grid", "head", CODE)
    if not rows or code not in rows[0]:
        raise FormError("grid.no_code", file=file, code=code)
    if len(rows[0]) > MOST_COLUMNS:
        raise FormError("grid.too_wide", file=file, most=MOST_COLUMNS)
    return Grid(head=rows[0], rows=rows[1:])


def write_grid(path: Path, class_list: ClassList, lesson: str) -> Grid:
    """Write a grid with a row for everybody; what stands in one already stays.

    Raises
    ------
    FormError
        If a file of that name is there that is no grid, or the lesson has no exercises.
    OSError
        If it cannot be written.
    """
    columns = headings(lesson)
    grid = read_grid(path) if path.exists() else Grid(head=[*columns.values()])
    for heading in columns.values():
        grid.column(heading)
    for student in class_list.students:
        grid.row(student)
    save(path, grid)
    return grid


def save(path: Path, grid: Grid) -> None:
    """Write a grid to its file, whole."""
    wide = len(grid.head)
    rows = [row + [""] * (wide - len(row)) for row in grid.rows]
    write_whole(path, csv_bytes([grid.head, *rows]))


def asked(lesson: str) -> dict[str, str]:
    """Return the headings of what is typed for a student, by what they are for."""
    return {k: v for k, v in headings(lesson).items() if k not in ("name", CODE)}


def grid_at(path: Path, lesson: str) -> Grid:
    """Return the grid of a file, or an empty one of a lesson where there is none."""
    return read_grid(path) if path.exists() else Grid(head=[*headings(lesson).values()])


def cells_of(grid: Grid, student: Student, lesson: str) -> dict[str, str]:
    """Return what stands in a student's row, by what it is for."""
    row = grid.row(student)
    return {what: grid.cell(row, heading) for what, heading in asked(lesson).items()}


def fill(
    path: Path,
    class_list: ClassList,
    lesson: str,
    student: Student,
    cells: Mapping[str, str],
) -> list[str]:
    """Write one student's row of the grid of a lesson, and leave all others.

    Parameters
    ----------
    path : Path
        The grid; read again each time, as somebody may have saved it meanwhile.
    class_list, lesson, student
        Whose answers they are, and to what.
    cells : mapping of str to str
        What was typed, by what it is for, as `asked` names it.

    Returns
    -------
    list of str
        What `typed_in` would say of this row. Every cell is kept all the same.
    """
    grid, notes = grid_at(path, lesson), list[str]()
    row = grid.row(student)
    for what, heading in asked(lesson).items():
        grid.put(row, heading, tidy(cells.get(what, "")))
    save(path, grid)
    alone = [one if one is row else [] for one in grid.rows]
    taken = _Taken(class_list, shown(path.name), {}, notes)
    taken.take(Grid(head=grid.head, rows=alone))
    return notes


# ------------------------------------------------------------------- what is typed


def typed_in(
    class_list: ClassList, grids: Sequence[Path], out: Path
) -> tuple[list[Path], list[str]]:
    """Write a hand-in for each student who has answers in some grids.

    Parameters
    ----------
    class_list : ClassList
        Whose answers they are.
    grids : sequence of Path
        The files; a student's answers of all of them are one hand-in.
    out : Path
        The folder of hand-ins.

    Returns
    -------
    (list of Path, list of str)
        The files written, and a sentence for each cell that cannot serve.

    Raises
    ------
    FormError
        If a file is no grid, or holds no answer.
    """
    papers: dict[str, Paper] = {}
    notes: list[str] = []
    for path in grids:
        taken = _Taken(class_list, shown(path.name), papers, notes)
        taken.take(read_grid(path))
    filled = {code: paper for code, paper in papers.items() if paper.anything}
    if not filled:
        raise FormError("grid.empty", files=[shown(path.name) for path in grids])
    files = {
        _say("file", code=in_name(class_list.by_code[code].code)): hand_in_of(
            paper, student=class_list.by_code[code].code, class_key=class_list.key
        )
        for code, paper in filled.items()
    }
    return write_all(out, files), notes


@dataclass
class _Taken:
    """One grid as it is taken in, cell by cell."""

    class_list: ClassList
    file: str
    papers: dict[str, Paper]
    notes: list[str]

    def take(self, grid: Grid) -> None:
        """Take in what serves, and note what does not."""
        columns = dict(self._columns(grid))
        code = columns.pop(CODE)
        seen: dict[str, int] = {}
        for number, row in enumerate(grid.rows, start=2):
            cells = {
                what: row[at]
                for what, at in columns.items()
                if at < len(row) and row[at]
            }
            cells.pop("name", None)
            typed = row[code] if code < len(row) else ""
            who = plain(typed)
            if len(row) > len(grid.head) and any(row[len(grid.head) :]):
                beyond = " ".join(filter(None, row[len(grid.head) :]))
                self._note("beyond", row=number, typed=shown(beyond[:40]))
            if not cells:
                continue
            if who not in self.class_list.by_code:
                self._note("nobody", row=number, code=shown(typed[:40]))
            elif who in seen:
                self._note("twice", row=number, code=shown(typed[:40]), at=seen[who])
            else:
                seen[who] = number
                self._row(number, self.class_list.by_code[who], cells)

    def _columns(self, grid: Grid) -> Iterator[tuple[str, int]]:
        """Yield what each column is for; say which are for nothing."""
        words = {said: what for what, said in text("classroom", "grid", "head").items()}
        newest = {id: one for (id, _), one in EXERCISES.items()}
        found: set[str] = set()
        for at, heading in enumerate(grid.head):
            first, _, rest = heading.partition(" ")
            what = words.get(heading) or (first if first in newest else "")
            if words.get(first) == PREDICTION and rest in lessons():
                what = f"{PREDICTION} {rest}"
            if what and what not in found:
                found.add(what)
                yield what, at
            elif any(at < len(row) and row[at] for row in grid.rows):
                self._note("column", column=shown(heading[:40]) or str(at + 1))

    def _row(self, number: int, student: Student, cells: Mapping[str, str]) -> None:
        paper = self.papers.setdefault(plain(student.code), Paper())
        where = {"row": number, "name": shown(student.name)}
        time = cells.get(TIME, "")
        if time and not (moment := _moment(time)):
            self._note("time", **where, typed=shown(time[:40]))
        elif time:
            paper.time = moment
        for what, typed in cells.items():
            kind, _, lesson = what.partition(" ")
            told = {**where, "column": what}
            if kind == PREDICTION:
                self._predicted(paper, student, lesson, typed, told)
            elif what == TIME:
                continue
            elif len(typed) > LONGEST_TEXT:
                self._note("long", **told, most=LONGEST_TEXT)
            elif what in paper.answers:
                self._note("again", **told, typed=shown(typed[:40]))
            else:
                paper.answers[what] = typed
        key = self.class_list.key
        for one, sentence in trouble_of(paper, student=student.code, class_key=key):
            if one in cells and cells[one] == paper.answers[one]:
                typed = shown(cells[one][:40])
                said = {"typed": typed, "why": sentence}
                self._note("cell", **where, column=one, **said)

    def _predicted(
        self,
        paper: Paper,
        student: Student,
        lesson: str,
        typed: str,
        told: Mapping[str, Any],
    ) -> None:
        asked = lessons()[lesson].prediction
        offered: dict[str, Any] = {}
        if asked is not None:
            own = options(asked, class_key=self.class_list.key, student=student.code)
            offered = dict(zip(LETTERS, own, strict=False))
        if typed.upper() in offered:
            paper.predictions[lesson] = offered[typed.upper()]
        else:
            self._note("letter", **told, typed=shown(typed[:40]), letters=[*offered])

    def _note(self, entry: str, **values: object) -> None:
        self.notes.append(_say(entry, file=self.file, **values))


def _moment(typed: str) -> str:
    """Return a day, or a day and a time, as a line has it; empty for what is none."""
    if found := re.fullmatch(r"(\d{1,2})\.(\d{1,2})\.(\d{4})(.*)", typed):
        day, month, year, rest = found.groups()  # a spreadsheet's own way with dates
        typed = f"{year}-{int(month):02}-{int(day):02}{rest}"
    try:
        return datetime.fromisoformat(typed).astimezone().isoformat(timespec="seconds")
    except (ValueError, OverflowError, OSError):
        return ""


# ------------------------------------------------------------------------- the form


def ask_all(
    path: Path,
    grid: Grid,
    class_list: ClassList,
    lesson: str,
    *,
    ask: Callable[[str], str],
    tell: Callable[[str], None],
) -> None:
    """Ask for the answers of one student after the other, and keep each at once.

    Parameters
    ----------
    path, grid
        The file and what stands in it.
    class_list : ClassList
        Who may be asked for, by code.
    lesson : str
        Such as ``"L07"``.
    ask : callable
        Shows a question and returns what was typed; `EOFError` ends it all.
    tell : callable
        Says a sentence.
    """
    columns = headings(lesson)
    asked = [what for what in columns if what not in ("name", CODE)]
    known = {one.id: one for one in exercises_of(lesson)}
    while code := ask(_say("whose")).strip():
        student = class_list.by_code.get(plain(code))
        if student is None:
            tell(_say("not_listed", code=shown(code[:40])))
            continue
        tell(f"{student.name} ({student.code})")
        row = grid.row(student)
        for what in asked:
            heading = columns[what]
            stands = grid.cell(row, heading)
            said = f": {stands}" if stands else ""
            typed = tidy(ask(f"{heading}{said} > "))
            trouble = _trouble(known.get(what), typed, student, class_list)
            if typed and trouble:
                tell(_say("once_more", why=trouble))
                typed = tidy(ask(f"{heading} > ")) or typed
            if typed and typed != stands:
                grid.put(row, heading, typed)
                save(path, grid)


def _trouble(
    one: Exercise | None, typed: str, student: Student, class_list: ClassList
) -> str:
    """Return why an answer cannot be marked, if it cannot."""
    if one is None or not typed:
        return ""
    paper, key = Paper(answers={one.id: typed}), class_list.key
    found = dict(trouble_of(paper, student=student.code, class_key=key))
    return found.get(one.id, "")
