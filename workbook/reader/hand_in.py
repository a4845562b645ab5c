"""The hand-in: one student's lines of the record in one file, made to be read.

The file is text in UTF-8, one line after the other:

- header lines, which start with ``#``: what is inside, for whom, and the word
  ``format 1``;
- the lines of that student and class, as they stand in the record
  (`workbook.reader.record_lines`), oldest first, one JSON object a line. Between them
  stand the record's ``start`` and, so that its chain can be followed, lines of two more
  kinds (`workbook.reader.chain`): ``others`` has the check sums of other students'
  lines in a row (``prev``, ``who``, ``lines``), and nothing else of them; ``tip`` has
  the link of the last line;
- a last line ``# end: N lines``. Where it is missing, the file was cut off.

A reader of such files skips what starts with ``#``, and works marks out again from
what was typed (`workbook.exercises.replay`).
"""

from __future__ import annotations

import re
from collections import Counter
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.errors import FormError
from workbook.exercises.seeds import plain
from workbook.files import write_whole
from workbook.language import say, text
from workbook.reader.chain import OTHERS, START, TIP, Tip, owner_of, text_sum
from workbook.reader.record import Record
from workbook.reader.record_lines import FORMAT, Line, Reader, line_text, worked_by

if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_IN_A_ROW = 500  # check sums; a line stays short enough to be read


def write_hand_ins(record: Record, *, folder: Path) -> list[Path]:
    """Write a file for whoever signed in last, and one for each partner so far.

    What was done in a pair stands in the record of whoever drove then: it is handed in
    for both, also by one who goes on alone. Who has done nothing yet gets no file.

    Parameters
    ----------
    record, folder
        See `write_hand_in`.

    Returns
    -------
    list of Path
        The files written, that of whoever signed in last at the end.

    Raises
    ------
    FormError
        If nobody signed in, or none of them has done anything yet.
    OSError
        If the folder cannot be written.
    """
    written, idle = [], None
    for reader in (*partners(record), record.reader):
        try:
            written.append(write_hand_in(record, folder=folder, reader=reader))
        except FormError as nothing:
            idle = nothing
    if idle and not written:
        raise idle
    return written


def partners(record: Record) -> list[Reader]:
    """Return all with whom the present reader has worked in a pair, each once."""
    mine, found = record.reader, dict[str, Reader]()
    for line in record.lines():
        driver = worked_by(line)
        if driver is None or not driver.pair:
            continue
        for one, other in ((driver, driver.swapped), (driver.swapped, driver)):
            if _same(one, mine):
                found.setdefault(plain(other.student), other)
    return [*found.values()]


def _same(one: Reader, other: Reader) -> bool:
    return other.owns({"student": one.student, "class_key": one.class_key})


def write_hand_in(
    record: Record, *, folder: Path, reader: Reader | None = None
) -> Path:
    """Write the lines of one student into one file.

    Parameters
    ----------
    record : Record
        The reader's record.
    folder : Path
        Where to put ``hand-in STUDENT DATE.txt``. A file that is there already
        stays, and the new one gets a number.
    reader : Reader, optional
        Whose lines; by default those of the student who signed in last.

    Returns
    -------
    Path
        The file written.

    Raises
    ------
    FormError
        If nobody signed in, or the student has done nothing yet.
    OSError
        If the folder cannot be written.
    """
    reader = reader or record.reader
    lines = [line for line in record.lines() if reader.owns(line)]
    if not reader.signed_in:
        raise FormError("hand_in.sign_in_first")
    if all(line["kind"] == "identity" for line in lines):
        raise FormError("hand_in.nothing", student=reader.student)
    content = hand_in_text(handed_in(record, reader=reader), reader=reader).encode()
    for path in _names(folder, reader.student):
        try:
            write_whole(path, content, new=True)
        except FileExistsError:
            continue
        return path
    raise AssertionError  # the names do not end


def handed_in(record: Record, *, reader: Reader | None = None) -> list[Line]:
    """Return one reader's lines, and what their chain needs besides.

    By default they are those of whoever signed in last.
    """
    reader = reader or record.reader
    loose = record.kept_and_loose()[1]
    texts = [*record.whole_with_texts(), *((x, line_text(x).encode()) for x in loose)]
    rows: list[Line] = []
    tip, end, own = Tip(), Tip(), 0
    for line, raw in texts:
        if reader.owns(line) or line["kind"] == START:
            rows.append(line)
        elif isinstance(line.get("prev"), str):
            _pass_over(rows, line, raw, tip)
        tip = tip.after(line, raw)
        if reader.owns(line):
            end, own = tip, len(rows)
    closing = [{"format": FORMAT, "kind": TIP, "prev": end.link}] if end.link else []
    return [*rows[:own], *closing]


def _pass_over(rows: list[Line], line: Line, raw: bytes, tip: Tip) -> None:
    """Add the check sums of somebody else's line, in a row with those above it."""
    who, last = owner_of(line, tip.start), rows[-1] if rows else {}
    in_a_row = last.get("kind") == OTHERS and last["who"] == who and tip.fits(line)
    if not in_a_row or len(last["lines"]) == MOST_IN_A_ROW:
        last = {"format": FORMAT, "kind": OTHERS, "prev": line["prev"], "who": who}
        rows.append(last | {"lines": []})
    rows[-1]["lines"].append(text_sum(raw))


def hand_in_text(lines: list[Line], *, reader: Reader) -> str:
    """Return header, lines and end of a hand-in."""
    counts = Counter(line["kind"] for line in lines)
    kinds = ("answer", "prediction", "observation", "gate", "bay")
    header = say(
        "hand_in",
        "header",
        student=reader.student,
        class_key=reader.class_key,
        made=datetime.now().astimezone().isoformat(timespec="seconds"),
        counts=", ".join(f"{text('hand_in', k)} {counts[k]}" for k in kinds),
        lines=len(lines),
        format=FORMAT,
    )
    return "\n".join(
        [
            *(f"# {line}".rstrip() for line in header.splitlines()),
            *map(line_text, lines),
            f"# end: {len(lines)} lines",
            "",
        ]
    )


def _names(folder: Path, student: str) -> Iterator[Path]:
    """Yield names for the file, with characters that every system takes."""
    plain = re.sub(r"[^\w-]+", "_", student)
    stem = f"hand-in {plain} {datetime.now():%Y-%m-%d}"
    yield folder / f"{stem}.txt"
    number = 2
    while True:
        yield folder / f"{stem} ({number}).txt"
        number += 1
