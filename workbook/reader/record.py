"""The reader's record: one visible text file beside the lessons.

The file ``pullwright-record.jsonl`` holds one JSON object a line, in UTF-8, and
is only ever added to. Every line is whole in itself:

``format``
    ``1``.
``kind``
    ``start`` (of the record), ``identity`` (who works from here on), ``prediction``,
    ``known`` (a prediction passed by), ``observation``, ``answer``, ``hint``,
    ``thinking``, ``worked``, ``numbers``, ``given_up``, ``gate``, ``opened``, ``torn``.
``time``
    ISO 8601 with the offset from UTC.
``student``, ``class_key``
    Whose line it is; both are ``practice`` where nobody signed in.
``pair``
    Student code of a partner at the same screen, where there is one.
``prev``
    The link of the line before (`workbook.reader.chain`). The lines of the first
    versions have none; a ``start`` line, which has ``random``, stands behind them.

Work on an exercise has ``lesson``, ``exercise``, ``version``, ``set`` and ``attempt``
(`workbook.exercises.sets`); an ``answer`` has besides ``seed`` (hex), ``typed``,
``value`` (SI) and ``unit`` as read, ``outcome``, ``score``, ``held``, ``try``,
``hints`` seen before it, ``seconds`` and, where it goes on from an earlier answer,
``carried`` (SI). `workbook.exercises.replay` works everything out again from
``typed``; nothing else in a line has to be trusted. Lines of the first versions lack
``set`` and say whether they were ``marked``: the numbers were the same either way.

A ``prediction`` has ``lesson``, ``explorer``, ``question``, ``choice`` and ``outcome``;
a ``known`` the first three, an ``observation`` besides what was ``typed`` and the
``reading``, where it is not the prediction's own; a ``gate`` has ``lesson``, ``gate``,
``question``, ``option``, ``choice``, ``outcome`` and the ``reason``; an ``opened`` has
the ``lesson`` that an instructor opened, and the ``reason``. Question and choice are
the texts that were shown. Lines of the first versions lack ``explorer``, ``gate`` and
``option``; their texts tell.

A line that cannot be read is left as it is and skipped; one that would be too long
to be read is refused when it is written. A last line that was cut off is closed and
followed by a line of kind ``torn``. Lines that were read and are gone, because the
file was renamed, deleted or replaced, are written again.
"""

from __future__ import annotations

import json
import math
import os
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from filelock import FileLock

from workbook.errors import FormError
from workbook.exercises.seeds import plain
from workbook.files import read_json
from workbook.language import harmless, say
from workbook.reader.chain import START, Tip, new_start, owner

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

FILE = "pullwright-record.jsonl"
LOCK_FILE = ".pullwright-record.lock"
FORMAT = 1
PRACTICE = "practice"
LONGEST_TEXT = 2_000  # characters of one typed text
LONGEST_LINE = 20_000  # bytes; a longer one is not ours
LONGEST_PREV = 30  # bytes that ``prev`` adds to a line
SEAM = 64  # bytes by which the file is known again where reading goes on
LONGEST_CODE = 40  # characters of a student code or class key
LARGEST = 32 * 2**20  # bytes; some 60 000 answers
PATIENCE = 2.0  # s to wait for another lesson's line; one takes milliseconds

Line = dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class Reader:
    """Who works: a student code and a class key, or ``practice`` twice.

    Examples
    --------
    >>> Reader(student="K7", class_key="oak").owns(
    ...     {"student": "k7 ", "class_key": "Oak"}
    ... )
    True
    """

    student: str = PRACTICE
    class_key: str = PRACTICE
    pair: str = ""

    @property
    def signed_in(self) -> bool:
        """Whether there is a student code."""
        return self.student != PRACTICE

    def owns(self, line: Line) -> bool:
        """Tell whether a line is this reader's; case and blanks do not count."""
        return _alike(line.get("student"), self.student) and _alike(
            line.get("class_key"), self.class_key
        )


def _alike(one: object, other: str) -> bool:
    return isinstance(one, str) and plain(one) == plain(other)


def checked_code(code: str, *, what: str) -> str:
    """Return a code tidied up: a ``student`` code, ``class_key`` or that of a ``pair``.

    Raises
    ------
    FormError
        If it is empty, too long, not printable, or the word ``practice``.

    Examples
    --------
    >>> checked_code("  K7 ", what="student")
    'K7'
    """
    tidy = " ".join(code.split())
    if not tidy:
        raise FormError("record.code_missing", what=f"code.{what}")
    if len(tidy) > LONGEST_CODE or not tidy.isprintable() or plain(tidy) == PRACTICE:
        raise FormError("record.code_unfit", what=f"code.{what}", longest=LONGEST_CODE)
    return tidy


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
        if len(line_text(line).encode()) + LONGEST_PREV > LONGEST_LINE:
            raise FormError("record.line_too_long", limit=LONGEST_TEXT)
        if kind != "identity" and self._signed_in != self.reader:
            self._keep(self._line("identity", {}))
        self._keep(line)
        for told in [*self._watchers]:
            told(line)
        return line

    def sign_in(self, *, student: str, class_key: str, pair: str = "") -> None:
        """Begin the work of a student; whatever was done before stays.

        Raises
        ------
        FormError
            If a code is empty, too long or not printable.
        """
        self.reader = Reader(
            student=checked_code(student, what="student"),
            class_key=checked_code(class_key, what="class_key"),
            pair=checked_code(pair, what="pair") if pair.strip() else "",
        )
        self.append("identity")

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

    def _line(self, kind: str, fields: dict[str, object]) -> Line:
        now = datetime.now().astimezone().isoformat(timespec="seconds")
        reader = self.reader
        line: Line = {"format": FORMAT, "kind": kind, "time": now}
        line |= {"student": reader.student, "class_key": reader.class_key}
        line |= {"pair": reader.pair} if reader.pair else {}
        return line | {name: _short(value) for name, value in fields.items()}

    def _keep(self, line: Line) -> None:
        self._unwritten.append(line)
        self._signed_in = _reader_of(line) or self._signed_in
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
                self._whole.append(line)
                self._raws.append(raw)
                self._tip = self._tip.after(line, raw)
                self._signed_in = _reader_of(line) or self._signed_in
        self._unfinished, self._rest = read_line(rest), rest
        if self._lost:
            there = {*self._raws}
            self._lost = [raw for raw in self._lost if raw not in there]

    def _put_back(self) -> None:
        """Write again what was read here, and is in the file no more."""
        with _opened(self.path) as number:
            self._take_in(self._added())  # another lesson may have done it just now
            lost = [*self._lost]
            _write(number, lost)
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
            self._whole, self._raws = [], []
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
            _size_within_limit(file.fileno())
            file.seek(self._read_to - len(self._seam))
            same = file.read(len(self._seam)) == self._seam
            if not same or self._file not in {None, which}:
                self._begin_again()
            self._file = which
            file.seek(self._read_to)
            return file.read(LARGEST)


def _reader_of(line: Line) -> Reader | None:
    """Return who works from an ``identity`` line on, if it is one."""
    codes = [line.get(name) for name in ("student", "class_key")]
    if line["kind"] != "identity" or not all(isinstance(c, str) for c in codes):
        return None
    pair = line.get("pair")
    return Reader(
        student=str(codes[0]),
        class_key=str(codes[1]),
        pair=pair if isinstance(pair, str) else "",
    )


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


def read_line(raw: bytes) -> Line | None:
    """Return the line that some bytes hold, or nothing if they hold none.

    Examples
    --------
    >>> read_line(b'{"kind": "hint", "number": 1}')
    {'kind': 'hint', 'number': 1}
    >>> read_line(b'{"kind": "hi')
    """
    if not 2 <= len(raw) <= LONGEST_LINE:
        return None
    try:
        line = read_json(raw)
    except ValueError:
        return None
    if isinstance(line, dict) and isinstance(line.get("kind"), str):
        return line
    return None


def line_text(line: Line) -> str:
    r"""Return a line as text: one line, whatever was typed.

    Examples
    --------
    >>> line_text({"kind": "answer", "typed": "12 °\n\u2028"})
    '{"kind": "answer", "typed": "12 °\\n\\u2028"}'
    """
    return harmless(json.dumps(line, ensure_ascii=False, allow_nan=False))


def add_line(path: Path, line: Line, end: Callable[[], Tip] | None = None) -> None:
    """Add one line to a record file, and return when it is on disk.

    The whole line goes out in one write at the end of the file, under a lock
    where the file system has one, so that two lessons at once do not mix lines.

    Parameters
    ----------
    path : Path
        The record file.
    line : dict
        The line.
    end : callable, optional
        Returns the end of the chain in the file, which the line goes on; without it,
        the line is in no chain.

    Raises
    ------
    OSError
        If the file cannot be written.
    FormError
        If it is too large to be a record.
    """
    with _opened(path) as number:
        lines = [line]
        tip = end() if end else None
        if tip and not tip.start:
            now = datetime.now().astimezone().isoformat(timespec="seconds")
            lines.insert(
                0, {"format": FORMAT, "kind": START, "time": now, **new_start()}
            )
        raws = []
        if _is_torn(number, _size_within_limit(number)):
            lines.insert(
                0, {"format": FORMAT, "kind": "torn", "note": say("record", "torn")}
            )
        for one in lines:
            if tip and tip.start:
                one = {**one, "prev": tip.link}
            raws.append(line_text(one).encode())
            tip = tip and tip.after(one, raws[-1])
        _write(number, raws)


@contextmanager
def _opened(path: Path) -> Iterator[int]:
    """Open a record to be added to, under its lock; on disk when it is closed."""
    flags = os.O_RDWR | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0)
    number = os.open(path, flags, 0o666)
    try:
        with _locked(path):
            yield number
        with suppress(OSError):  # not every file system can
            os.fsync(number)
    finally:
        os.close(number)


def _write(number: int, raws: list[bytes]) -> None:
    """Write lines at the end of a file, and close a last one that was cut off."""
    torn = _is_torn(number, _size_within_limit(number))
    text = b"\n" * torn + b"".join(raw + b"\n" for raw in raws)
    while text:  # a full disk takes a part
        text = text[os.write(number, text) :]


def _is_torn(number: int, size: int) -> bool:
    if size == 0:
        return False
    os.lseek(number, size - 1, os.SEEK_SET)
    return os.read(number, 1) != b"\n"


def _size_within_limit(number: int) -> int:
    size = os.fstat(number).st_size
    if size > LARGEST:
        raise FormError("record.too_large", limit=LARGEST // 2**20)
    return size


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    """Hold the lock of a record; go on without where there is none to be had.

    That is a file of its own, empty and hidden beside the record: two computers on
    one shared folder meet there, and the record itself can be read all the while
    (Windows lets nobody read a locked byte). The system gives the lock of a lesson
    that was killed back, so that the file may stay where it lies.
    """
    lock = FileLock(
        path.with_name(LOCK_FILE),
        timeout=PATIENCE,
        poll_interval=0.001,
        fallback_to_soft=False,  # its mark would outlive a lesson that was killed
    )
    # Somebody holds it without end, the folder takes no file, or has no locks.
    with suppress(OSError):
        lock.acquire()
    try:
        yield
    finally:
        with suppress(OSError):
            lock.release()


def _short(value: object) -> object:
    """Return a value that fits a line: text cut to length, no endless number."""
    if isinstance(value, str) and len(value) > LONGEST_TEXT:
        return value[: LONGEST_TEXT - 1] + "…"
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value


def _sentence(path: Path, error: Exception) -> str:
    reason = getattr(error, "strerror", None) or str(error)
    reason = reason[:1].lower() + reason[1:]
    return say("record", "memory_only", file=path.name, reason=reason)
