"""What was answered on a class server, taken in as hand-ins that are marked as any."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from workbook.classroom.roll import ClassList, read_class, who
from workbook.classroom.server.seats import Seat, as_user, seats_of
from workbook.errors import WorkbookError
from workbook.exercises.seeds import plain
from workbook.files import write_whole
from workbook.language import say, shown
from workbook.reader.hand_in import hand_in_text, handed_in
from workbook.reader.record import FILE, Record
from workbook.reader.record_lines import Reader


@dataclass(frozen=True, kw_only=True)
class Collected:
    """The files written, who has done nothing yet, and what could not be read."""

    files: tuple[Path, ...]
    idle: tuple[str, ...]
    notes: tuple[str, ...]


def collect(class_file: Path, work: Path, out: Path) -> Collected:
    """Write what each student of a class server has done so far as a hand-in.

    Nobody needs to have handed in. A record is read as its owner; it speaks for the
    owner, and for whom the owner worked with at one screen. The files belong to whom
    the class list belongs to.

    Parameters
    ----------
    class_file : Path
        The class list.
    work : Path
        Where the class's work is.
    out : Path
        A folder for the hand-ins, with one in it for each place.

    Raises
    ------
    WorkbookError
        If no server kept any work there.
    OSError
        If the folder cannot be written.
    """
    class_list = read_class(class_file)
    seats = [seat for seat in seats_of(class_list, work).values() if _there(seat, work)]
    if not seats:
        raise WorkbookError("server.no_work", folder=shown(str(work)))
    owner = class_file.stat()
    written: list[Path] = []
    idle, notes = [], []
    for seat in seats:
        try:
            found = hand_ins_of(seat, class_list)
        except OSError as error:
            reason = (error.strerror or str(error)).lower()
            notes.append(say("server", "unread", who=who(seat.student), reason=reason))
            continue
        if not found:
            idle.append(who(seat.student))
        files = {out / seat.name / name: text for name, text in found.items()}
        as_user(owner.st_uid, partial(_write, files), group=owner.st_gid)
        written += files
    return Collected(files=tuple(written), idle=tuple(idle), notes=tuple(notes))


def _there(seat: Seat, work: Path) -> bool:
    there = seat.folder.is_dir()
    if there and not os.access(seat.folder, os.R_OK | os.X_OK):
        raise WorkbookError("server.not_yours", folder=shown(str(work)))
    return there


def _write(files: dict[Path, str]) -> None:
    for path, text in files.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, text.encode())


def hand_ins_of(seat: Seat, class_list: ClassList) -> dict[str, str]:
    """Return the hand-ins in a student's record, by name of a file."""
    said = as_user(seat.user, lambda: json.dumps(_read(seat, class_list)).encode())
    return dict(json.loads(said))


def _read(seat: Seat, class_list: ClassList) -> dict[str, str]:
    record, found = Record(seat.folder / FILE), {}
    for reader in _readers(seat, record, class_list):
        lines = [one for one in record.lines() if reader.owns(one)]
        if any(line["kind"] != "identity" for line in lines):
            text = hand_in_text(handed_in(record, reader=reader), reader=reader)
            found[f"hand-in {reader.student}.txt"] = text
    return found


def _readers(seat: Seat, record: Record, class_list: ClassList) -> Iterator[Reader]:
    """Yield the owner of a record, and each student who shared a screen with them."""
    own = Reader(student=seat.student.code, class_key=seat.class_key)
    yield own
    partners = {plain(str(x.get("pair", ""))) for x in record.lines() if own.owns(x)}
    for code, student in class_list.by_code.items():
        if code in partners and code != plain(own.student):
            yield Reader(student=student.code, class_key=seat.class_key)
