"""What the chain and the clock of a hand-in show: notes to ask about, never a verdict.

Each thing found has innocent causes, which its note names, and none of it bears on a
mark. There is no secret in a chain (`workbook.reader.chain`), so that nothing found
proves nothing either; the file of notes says so.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import NamedTuple

from workbook.classroom.notes import About, Note, some
from workbook.language import say
from workbook.reader.chain import OTHERS, START, TIP, Tip, beginning, owner
from workbook.reader.record_lines import Line

EARLIEST = datetime(2026, 1, 1, tzinfo=UTC).timestamp()  # no workbook before
AHEAD = 2 * 86_400.0  # s; a wrong time zone is less
BACK = 60.0  # s; a clock that is put right each night moves less


class ChainRow(NamedTuple):
    """One line of a hand-in: its number in the file, its text, what it says."""

    number: int
    raw: bytes
    line: Line


@dataclass(kw_only=True)
class RecordChain:
    """What one hand-in shows; lines by their number in the file.

    Attributes
    ----------
    starts : list of str
        Of the records that its lines were written to; empty without a chain.
    broken : list of int
        Lines that follow one that is not there as it was.
    again : list of int
        Lines that follow an earlier one than stands above them.
    loose, before : int
        Lines outside the chain, behind a start and before any.
    cut : bool
        Whether it ends otherwise than the record did when it was handed in.
    ahead, early : list of int
        Lines with a time to come, or from before there was a workbook.
    back : list of int
        Lines with a time before that of the line above.
    """

    starts: list[str] = field(default_factory=list)
    broken: list[int] = field(default_factory=list)
    again: list[int] = field(default_factory=list)
    loose: int = 0
    before: int = 0
    cut: bool = False
    ahead: list[int] = field(default_factory=list)
    early: list[int] = field(default_factory=list)
    back: list[int] = field(default_factory=list)


def chain_of(rows: Sequence[ChainRow], *, student: str, class_key: str) -> RecordChain:
    """Follow the chain through the lines of one hand-in.

    Parameters
    ----------
    rows : sequence of ChainRow
        Every line of it, in order.
    student, class_key : str
        Whose hand-in it is.
    """
    found, tip, ends = RecordChain(), Tip(), False
    links: set[object] = set()
    for number, raw, line in rows:
        if beginning(line):
            found.starts.append(beginning(line))
        elif not isinstance(line.get("prev"), str):
            if found.starts:
                found.loose += 1
            elif "student" in line:
                found.before += 1
            continue
        elif not tip.fits(line):
            (found.again if line["prev"] in links else found.broken).append(number)
        if line["kind"] == TIP:
            ends = True
            continue
        if line["kind"] == OTHERS:
            own = owner(tip.start, student, class_key)
            passed = _past_others(tip, line, own=own)
            if passed is None:
                found.broken.append(number)
            tip = passed or tip
        else:
            tip = tip.after(line, raw)
        links.add(tip.link)
    found.cut = bool(links) and not ends
    return found


def _past_others(tip: Tip, line: Line, *, own: str) -> Tip | None:
    """Return the tip behind other students' lines, nothing where they are none."""
    who, sums = line.get("who"), line.get("lines")
    if not isinstance(who, str) or who == own or not isinstance(sums, list):
        return None
    prev = str(line["prev"])
    for one in sums:
        tip = tip.past(prev, who, str(one))
        prev = tip.link
    return tip


def look_at_times(
    found: RecordChain, rows: Sequence[ChainRow], moments: Sequence[float]
) -> None:
    """Add to what was found where the clock of some lines cannot be right.

    Parameters
    ----------
    found : RecordChain
        Takes in what is found.
    rows : sequence of ChainRow
        Lines of one student, in order.
    moments : sequence of float
        Their times, in seconds since 1970; 0 for one that cannot be read.
    """
    latest, now = 0.0, time.time()
    for row, moment in zip(rows, moments, strict=True):
        if not moment:
            continue
        if moment > now + AHEAD:
            found.ahead.append(row.number)
        if moment < EARLIEST:
            found.early.append(row.number)
        if moment < latest - BACK:
            found.back.append(row.number)
        latest = moment


def belongs_to_chain(line: Line) -> bool:
    """Tell whether a line belongs to the chain alone and to no student."""
    return line["kind"] in {START, OTHERS, TIP}


def notes_on(found: RecordChain, *, file: str, who: str, code: str) -> Iterator[Note]:
    """Yield a note for each thing that one hand-in shows."""
    where = {"file": file, "who": who}
    for entry in ("broken", "again", "ahead", "early", "back"):
        lines = getattr(found, entry)
        if lines:
            about = About.CHAIN if entry in {"broken", "again"} else About.CLOCK
            said = _say(entry, **where, lines=some(lines), count=len(lines))
            yield Note(about, said, code, file)
    for entry, about in (("loose", About.CHAIN), ("before", About.OLDER)):
        count = getattr(found, entry)
        if count and found.starts:
            yield Note(about, _say(entry, **where, count=count), code, file)
    if found.cut:
        yield Note(About.CHAIN, _say("cut", **where), code, file)


def notes_on_several(
    chains: dict[str, RecordChain], *, who: str, code: str
) -> Iterator[Note]:
    """Yield a note if one student's hand-ins have not one record behind them.

    ``chains`` is by name of the file, those left out that are copies of another.
    """
    starts = {start for found in chains.values() for start in found.starts}
    if len(starts) > 1:
        said = _say("starts", who=who, count=len(starts), files=some([*chains]))
        yield Note(About.RECORDS, said, code)
    for start in sorted(starts) if len(chains) > 1 else ():
        files = [file for file, found in chains.items() if start in found.starts]
        if len(files) > 1:
            yield Note(About.RECORDS, _say("forked", who=who, files=some(files)), code)


def note_on_unchained(files: Sequence[str]) -> Iterator[Note]:
    """Yield a note if some hand-ins carry no chain."""
    if files:
        said = _say("unchained", files=some(files), count=len(files))
        yield Note(About.OLDER, said, file=", ".join(some(files)))


def _say(entry: str, **values: object) -> str:
    return say("classroom", "chain", entry, **values)
