"""Answers from paper, typed student by student into the class's grid."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from widgets.card import ASKED_BACK, RIGHT, Card
from workbook.language import say, shown

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from workbook.classroom.roll import ClassList, Student
    from workbook.reader.record import Record


class FromPaper(Card):
    """A form for the answer strips of one lesson, and the file that it fills.

    The file is the grid that ``pullwright grid`` writes, beside the class list; from
    it ``pullwright typed`` makes hand-ins. What is typed is kept at once, also where
    it cannot be marked: then the card says why.

    Parameters
    ----------
    lesson : str
        Such as ``"L07"``.
    class_file : Path, optional
        The class list; without one the card says how to name it.
    record : Record, optional
        The reader's record; nothing of a student is kept in it.
    """

    def __init__(
        self,
        lesson: str,
        class_file: Path | None,
        *,
        record: Record | None = None,
    ) -> None:
        self.lesson, self.class_file = lesson, class_file
        self.listed: ClassList | None = None  # as it was when a strip was begun
        self.student: Student | None = None
        self.trouble: list[str] | None = None
        self.plain = say("from_paper", "plain")
        super().__init__(record=record)

    @property
    def file(self) -> Path | None:
        """The grid, beside the class list."""
        if self.class_file is None:
            return None
        return self.class_file.with_name(say("from_paper", "file", lesson=self.lesson))

    def look_up(self, code: str) -> None:
        """Go on with the strip of the student of this code."""
        from workbook.classroom.grid import cells_of, grid_at
        from workbook.classroom.roll import read_class
        from workbook.exercises.seeds import plain

        if self.class_file is None or (file := self.file) is None:
            return
        self.student, self.trouble = None, None
        self.listed = read_class(self.class_file)
        found = self.listed.by_code.get(plain(code))
        if not code.strip():
            self.note = say("from_paper", "blank")
        elif found is not None:
            self.student = found
            grid = grid_at(file, self.lesson)
            cells = cells_of(grid, found, self.lesson)
            typed = {self._field(what): text for what, text in cells.items()}
            self.drafts = {**self.drafts, **typed}
        else:
            self.note = say("classroom", "grid", "not_listed", code=shown(code[:40]))
        self.show(focus="form")

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep what stands in the boxes, and tell what of it cannot be marked."""
        from workbook.classroom.grid import fill

        if self.listed is None or self.file is None or self.student is None:
            return
        cells = {what: typed.get(self._field(what), "") for what in self._columns()}
        self.trouble = fill(self.file, self.listed, self.lesson, self.student, cells)
        self.show(focus="result")

    def acts(self) -> Mapping[str, Callable[[dict[str, Any]], None]]:
        """Return what the instructor can do."""
        return {
            "look_up": lambda sent: self._on_disk(
                lambda: self.look_up(str(sent["typed"]["code"]))
            ),
            "keep": lambda sent: self._on_disk(lambda: self.keep(sent["typed"])),
            "next": lambda _: self._next(),
        }

    def parts(self) -> dict[str, Any]:
        """Return the box for a code, or the boxes of one strip."""
        title = {"title": say("from_paper", "title", lesson=self.lesson)}
        if self.file is None or self.class_file is None:
            return {
                **title,
                "intro": [say("from_paper", "no_class", lesson=self.lesson)],
            }
        names = {"file": self.file.name, "class_file": self.class_file.name}
        foot = {"foot": [say("from_paper", "kept", **names)]}
        if self.student is None:
            code = {"name": "code", "label": say("from_paper", "code")}
            submit = say("from_paper", "look_up")
            form = {"act": "look_up", "fields": [code], "submit": submit}
            return {**title, "form": form, **foot}
        fields = [
            {"name": self._field(what), "label": heading}
            for what, heading in self._columns().items()
        ]
        who = f"{shown(self.student.name)} ({self.student.code})"
        submit = say("from_paper", "keep")
        return {
            **title,
            "intro": [who],
            "form": {"act": "keep", "fields": fields, "submit": submit},
            "result": self._result(),
            "tools": [{"act": "next", "text": say("from_paper", "next")}],
            **foot,
        }

    def _result(self) -> dict[str, Any] | None:
        if self.trouble is None:
            return None
        sign = ASKED_BACK if self.trouble else RIGHT
        return {"sign": sign, "lines": [say("from_paper", "done"), *self.trouble]}

    def _next(self) -> None:
        self.student, self.trouble = None, None
        self.drafts = {}
        self.show(focus="form")

    def _field(self, what: str) -> str:
        return f"{self.student.code if self.student else ''}/{what}"

    def _columns(self) -> dict[str, str]:
        """Return the headings of what is typed, by what they are for."""
        from workbook.classroom.grid import asked

        return asked(self.lesson)

    def _on_disk(self, act: Callable[[], None]) -> None:
        """Do what reads and writes files; say what is wrong with one."""
        try:
            act()
        except OSError as error:
            reason = (error.strerror or "").lower()
            file = shown(Path(str(error.filename or self.file)).name)
            self.note = say("from_paper", "not_reached", file=file, reason=reason)
            self.show()
