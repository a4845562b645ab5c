"""The reader's record: one visible text file beside the lessons.

The file ``pullwright-record.jsonl`` holds one line for each thing that was done
(`workbook.reader.record_lines`), and is only ever added to
(`workbook.reader.record_file`).

A line that cannot be read is left as it is and skipped; one that would be too long
to be read is refused when it is written. Lines that were read and are gone, because
the file was renamed, deleted or replaced, are written again.
"""

from __future__ import annotations

import os
import time
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.errors import FormError
from workbook.exercises.seeds import plain
from workbook.language import say
from workbook.reader.chain import Tip, beginning, owner
from workbook.reader.record_file import (
    LARGEST,
    add_line,
    opened,
    size_within_limit,
    write,
)
from workbook.reader.record_lines import (
    Reader,
    check_length,
    checked_code,
    moment_of,
    new_line,
    read_line,
    reader_of,
    short,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbook.reader.record_lines import Line

FILE = "pullwright-record.jsonl"
TURN = 6 * 60  # s that one of a pair drives before the other is called
SEAM = 64  # bytes by which the file is known again where reading goes on


class Record:
    """The lines of one record file, and whoever works with it now.

    ``reader`` is who signed in last; ``trouble`` is one sentence for the reader
    where the file cannot be read or written, else empty. What could not be
    written is kept in memory and written with the next line that can be.
    ``moved`` is one, from then on, where the file was renamed, deleted or replaced.

    Parameters
    ----------
    path : Path
        The file; it need not be there. Reading writes nothing.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.trouble = ""
        self.moved = ""
        self._file: tuple[int, int] | None = None  # which file was read last
        self._seam = b""  # what stood there just before where reading goes on
        self._raws: list[bytes] = []  # the text of each whole line
        self._lost: list[bytes] = []  # texts read there that are there no more
        self._tip = Tip()  # of the chain as far as it is read
        self._whole: list[Line] = []
        self._apart: list[int] = []  # which of them do not follow the one above
        self._unfinished: Line | None = None
        self._rest = b""  # its text
        self._unwritten: list[Line] = []
        self._read_to = 0
        self._watchers: list[Callable[[Line], None]] = []
        self._signed_in: Reader | None = None  # by the last line that says so
        self._read_on()
        self.reader = self._signed_in or Reader()

    def lines(self) -> list[Line]:
        """Return every line that can be read, other lessons' new ones included."""
        kept, loose = self.kept_and_loose()
        return [*kept, *loose]

    def kept_and_loose(self) -> tuple[list[Line], list[Line]]:
        """Return the lines that stand whole in the file, and those that do not yet.

        The first list is always the same one, grown by what was added, until another
        file is in the place of this one.
        """
        self._read_on()
        last = [self._unfinished] if self._unfinished else []
        lost = filter(None, map(read_line, self._lost))
        return self._whole, [*last, *lost, *self._unwritten]

    def whole_with_texts(self) -> list[tuple[Line, bytes]]:
        """Return the lines that stand whole in the file, each with its text there."""
        self._read_on()
        return [*zip(self._whole, self._raws, strict=True)]

    def apart(self) -> list[int]:
        """Return which of the whole lines do not follow the one above in its chain.

        There the file was changed after it was written. What is not seen: a last line
        that was changed, lines cut off at the end, and a chain made anew.
        """
        self._read_on()
        return self._apart

    def mine(self, *kinds: str, **fields: object) -> list[Line]:
        """Return the present reader's lines of some kinds, with these fields."""
        return [
            line
            for line in self.lines()
            if line["kind"] in kinds
            and all(line.get(name) == value for name, value in fields.items())
            and self.reader.owns(line)
        ]

    def append(self, kind: str, **fields: object) -> Line:
        """Add one line for the present reader, and keep it on disk at once.

        The first line of a reader's work is one of kind ``identity``.

        Raises
        ------
        FormError
            If the line would be too long to be read again; then nothing is kept.
        """
        self._read_on()
        line = self._line(kind, fields)
        check_length(line)
        if kind != "identity" and self._signed_in != self.reader:
            self._keep(self._line("identity", {}))
        self._keep(line)
        for told in [*self._watchers]:
            told(line)
        return line

    def share(self, kind: str, **fields: object) -> None:
        """Add a line of what two at one screen do together: one for each of them."""
        self.append(kind, **fields)
        if self.reader.pair:
            self._keep(self._line(kind, fields, reader=self.reader.swapped))

    def sign_in(self, *, student: str, class_key: str, pair: str = "") -> None:
        """Begin the work of a student; whatever was done before stays.

        Raises
        ------
        FormError
            If a code is empty, too long or not printable, or both are the same.
        """
        reader = Reader(
            student=checked_code(student, what="student"),
            class_key=checked_code(class_key, what="class_key"),
            pair=checked_code(pair, what="pair") if pair.strip() else "",
        )
        if plain(reader.student) == plain(reader.pair):
            raise FormError("record.pair_of_one", student=reader.student)
        self.reader = reader
        self.append("identity")

    def swap(self) -> None:
        """Let the partner drive, where two work at one screen."""
        if self.reader.pair:
            self.reader = self.reader.swapped
            self.append("identity")

    @property
    def turn_over(self) -> bool:
        """Whether one of a pair has driven long enough for the other to have a go."""
        if not self.reader.pair:
            return False
        begun = [str(line.get("time")) for line in self.mine("identity")]
        since = moment_of(begun[-1]) if begun else 0.0
        return bool(since) and time.time() - since >= TURN

    def practise(self) -> None:
        """Begin work without a student code."""
        self.reader = Reader()
        self.append("identity")

    def catch_up(self) -> bool:
        """Take over who signed in last, maybe in another lesson; tell if it changed."""
        self._read_on()
        if self._signed_in in {None, self.reader}:
            return False
        self.reader = self._signed_in or self.reader
        for told in [*self._watchers]:
            told({"kind": "identity"})
        return True

    @property
    def whose(self) -> str:
        """A check sum of this reader in this file; empty until its first line."""
        reader, start = self.reader, self._tip.start
        return owner(start, reader.student, reader.class_key) if start else ""

    @property
    def told(self) -> str:
        """What the reader has to be told of the file, else empty."""
        return " ".join(filter(None, (self.moved, self.trouble)))

    def watch(self, told: Callable[[Line], None]) -> None:
        """Call ``told`` with each line added here, and when the reader changes."""
        self._watchers.append(told)

    def _line(
        self, kind: str, fields: dict[str, object], *, reader: Reader | None = None
    ) -> Line:
        reader = reader or self.reader
        line = new_line(kind, student=reader.student, class_key=reader.class_key)
        line |= {"pair": reader.pair} if reader.pair else {}
        return line | {name: short(value) for name, value in fields.items()}

    def _keep(self, line: Line) -> None:
        self._unwritten.append(line)
        self._signed_in = reader_of(line) or self._signed_in
        try:
            while self._unwritten:
                add_line(self.path, self._unwritten[0], self._end)
                del self._unwritten[0]
            self._take_in(self._added())  # so that it is known if it is lost
        except (OSError, FormError) as error:
            self.trouble = _sentence(self.path, error)
        else:
            self.trouble = ""

    def _end(self) -> Tip:
        """Return the end of the chain in the file as it is now."""
        self._take_in(self._added())
        return self._tip.after(self._unfinished or {"kind": ""}, self._rest)

    def _read_on(self) -> None:
        """Read what has been added to the file since last time."""
        try:
            self._take_in(self._added())
            if self._lost:
                self._put_back()
        except (OSError, FormError) as error:
            self.trouble = _sentence(self.path, error)

    def _take_in(self, added: bytes) -> None:
        whole, end, rest = added.rpartition(b"\n")
        self._read_to += len(whole) + len(end)
        self._seam = (self._seam + whole + end)[-SEAM:]
        for raw in whole.split(b"\n"):
            line = read_line(raw)
            if line:
                if not (beginning(line) or self._tip.fits(line)):
                    self._apart.append(len(self._whole))
                self._whole.append(line)
                self._raws.append(raw)
                self._tip = self._tip.after(line, raw)
                self._signed_in = reader_of(line) or self._signed_in
        self._unfinished, self._rest = read_line(rest), rest
        if self._lost:
            there = {*self._raws}
            self._lost = [raw for raw in self._lost if raw not in there]

    def _put_back(self) -> None:
        """Write again what was read here, and is in the file no more."""
        with opened(self.path) as number:
            self._take_in(self._added())  # another lesson may have done it just now
            lost = [*self._lost]
            write(number, lost)
        self._take_in(self._added())
        if lost:
            self.moved = say(
                "record", "moved",
                file=self.path.name, path=self.path, count=len(lost),
                time=f"{datetime.now():%H:%M}",
            )  # fmt: skip

    def _begin_again(self) -> None:
        self._lost = [*self._raws, *self._lost]
        if self._whole:
            self._whole, self._raws, self._apart = [], [], []
        self._read_to, self._seam = 0, b""
        self._signed_in, self._tip = None, Tip()

    def _added(self) -> bytes:
        try:
            file = self.path.open("rb")
        except FileNotFoundError:
            self._begin_again()
            self._file = None
            return b""
        with file:
            about = os.fstat(file.fileno())
            which = about.st_dev, about.st_ino
            size_within_limit(file.fileno())
            file.seek(self._read_to - len(self._seam))
            same = file.read(len(self._seam)) == self._seam
            if not same or self._file not in {None, which}:
                self._begin_again()
            self._file = which
            file.seek(self._read_to)
            return file.read(LARGEST)


def record_here() -> Record:
    """Return the record of the present folder, and see who signed in last.

    A lesson runs in its own folder, so this is the file beside the lesson.
    """
    record = _record_at(Path.cwd() / FILE)
    record.catch_up()
    return record


@cache
def _record_at(path: Path) -> Record:
    return Record(path)


def _sentence(path: Path, error: Exception) -> str:
    reason = getattr(error, "strerror", None) or str(error)
    reason = reason[:1].lower() + reason[1:]
    return say("record", "memory_only", file=path.name, reason=reason)
