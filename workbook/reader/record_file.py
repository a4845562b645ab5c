"""The file of a record: lines are added at its end, under a lock, and never changed.

A last line that was cut off is closed and followed by a line of kind ``torn``.
"""

from __future__ import annotations

import os
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from filelock import FileLock

from workbook.errors import FormError
from workbook.language import say
from workbook.reader.chain import START, new_start
from workbook.reader.record_lines import FORMAT, line_text, new_line

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from workbook.reader.chain import Tip
    from workbook.reader.record_lines import Line

LOCK_FILE = ".pullwright-record.lock"
LARGEST = 32 * 2**20  # bytes; some 60 000 answers
PATIENCE = 2.0  # s to wait for another lesson's line; one takes milliseconds


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
    with opened(path) as number:
        lines = [line]
        tip = end() if end else None
        if tip and not tip.start:
            lines.insert(0, new_line(START, **new_start()))
        raws = []
        if _is_torn(number, size_within_limit(number)):
            lines.insert(
                0, {"format": FORMAT, "kind": "torn", "note": say("record", "torn")}
            )
        for one in lines:
            if tip and tip.start:
                one = {**one, "prev": tip.link}
            raws.append(line_text(one).encode())
            tip = tip and tip.after(one, raws[-1])
        write(number, raws)


@contextmanager
def opened(path: Path) -> Iterator[int]:
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


def write(number: int, raws: list[bytes]) -> None:
    """Write lines at the end of a file, and close a last one that was cut off."""
    torn = _is_torn(number, size_within_limit(number))
    text = b"\n" * torn + b"".join(raw + b"\n" for raw in raws)
    while text:  # a full disk takes a part
        text = text[os.write(number, text) :]


def _is_torn(number: int, size: int) -> bool:
    if size == 0:
        return False
    os.lseek(number, size - 1, os.SEEK_SET)
    return os.read(number, 1) != b"\n"


def size_within_limit(number: int) -> int:
    """Return the size of a file, or refuse one that is too large to be a record."""
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
