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
from workbook.files import write_whole
from workbook.language import say, text
from workbook.reader.chain import OTHERS, START, TIP, Tip, owner_of, text_sum
from workbook.reader.record import Record
from workbook.reader.record_lines import FORMAT, Line, Reader, line_text

if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_IN_A_ROW = 500  # check sums; a line stays short enough to be read


def write_hand_ins(record: Record, *, folder: Path) -> list[Path]:
    """Write a file for whoever signed in last, and one for the partner of a pair.

    Of a pair, who has done nothing yet gets no file.

    Parameters
    ----------
    record, folder
        See `write_hand_in`.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    FormError
        If nobody signed in, or neither has done anything yet.
    OSError
        If the folder cannot be written.
    """
    driver = record.reader
    if not driver.pair:
        return [write_hand_in(record, folder=folder)]
    written, idle = [], None
    for record.reader in (driver.swapped, driver):
        try:
            written.append(write_hand_in(record, folder=folder))
        except FormError as nothing:
            idle = nothing
    if idle and not written:
        raise idle
    return written


def write_hand_in(record: Record, *, folder: Path) -> Path:
    """Write the lines of the student who signed in last into one file.

    Parameters
    ----------
    record : Record
        The reader's record.
    folder : Path
        Where to put ``hand-in STUDENT DATE.txt``. A file that is there already
        stays, and the new one gets a number.

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
    lines = [line for line in record.lines() if record.reader.owns(line)]
    if not record.reader.signed_in:
        raise FormError("hand_in.sign_in_first")
    if all(line["kind"] == "identity" for line in lines):
        raise FormError("hand_in.nothing", student=record.reader.student)
    content = hand_in_text(handed_in(record), reader=record.reader).encode()
    for path in _names(folder, record.reader.student):
        try:
            write_whole(path, content, new=True)
        except FileExistsError:
            continue
        return path
    raise AssertionError  # the names do not end


def handed_in(record: Record) -> list[Line]:
    """Return the present reader's lines, and what their chain needs besides."""
    loose = record.kept_and_loose()[1]
    texts = [*record.whole_with_texts(), *((x, line_text(x).encode()) for x in loose)]
    rows: list[Line] = []
    tip, end, own = Tip(), Tip(), 0
    for line, raw in texts:
        if record.reader.owns(line) or line["kind"] == START:
            rows.append(line)
        elif isinstance(line.get("prev"), str):
            _pass_over(rows, line, raw, tip)
        tip = tip.after(line, raw)
        if record.reader.owns(line):
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
