"""Reading a folder of hand-ins: a stranger's data, looked at and never run.

Every file is text of JSON lines, as `workbook.reader.hand_in` writes it. A file that is
not that, or holds what is not its student's, gets a sentence; the rest is read.
Links are not followed, and no name inside a file is ever opened.
"""

from __future__ import annotations

import hashlib
import math
import os
import re
import stat
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tqdm import tqdm

from workbook.bay.log import KIND as BAY
from workbook.bay.paper import is_paper
from workbook.classroom.chains import (
    ChainRow,
    RecordChain,
    belongs_to_chain,
    chain_of,
    look_at_times,
    note_on_unchained,
    notes_on,
    notes_on_several,
)
from workbook.classroom.copies import (
    FileAnswers,
    alike,
    named_in,
    several,
    typed_in_rows,
)
from workbook.classroom.files import LIST
from workbook.classroom.notes import About, Note
from workbook.classroom.roll import ClassList, who
from workbook.errors import FormError
from workbook.exercises import EXERCISES
from workbook.exercises.seeds import plain
from workbook.exercises.sets import BEFORE_SETS, SETS
from workbook.language import say, shown
from workbook.reader import way_in
from workbook.reader.record_lines import (
    FORMAT,
    LONGEST_CODE,
    PRACTICE,
    Line,
    moment_of,
    read_line,
)

# How a file begins that somebody packed or saved as something else.
SAVED_AS = {b"PK\3\4": "packed", b"\xff\xfe": "utf_16", b"\xfe\xff": "utf_16"}
LARGEST = 4 * 2**20  # bytes of one hand-in; a whole course takes about one MB
MOST_LINES = 20_000  # in one hand-in
MOST_ANSWERS = 5_000  # in one hand-in
MOST_FILES = 5_000  # in one folder
MOST_ATTEMPTS = 1_000
LONGEST_REASON = 200  # characters that are told of why a lesson was opened
LONGEST_TIME = 86_400.0  # s over one answer; more is a lid that was shut
KINDS = ("answer", "hint", "thinking", "given_up")
# Kept for the learner; they bear on no mark.
OTHERS = (
    "identity", "prediction", "known", "observation", "worked", "numbers", "gate",
    way_in.OPENED, BAY, "torn",
)  # fmt: skip
# Where a line of each kind says what it is of, what was typed or chosen, and its name.
TOLD = {
    "prediction": ("explorer", "choice", "outcome"),
    "known": ("explorer", "", ""),
    "observation": ("explorer", "typed", "reading"),
    "gate": ("gate", "reason", "outcome"),
    way_in.OPENED: ("", "reason", ""),
}
STORED = ("seed", "value", "outcome", "score", "held", "try", "carried", "marked")
Group = tuple[str, int, str, int]  # exercise, version, set, attempt
Trouble = tuple[str, str]  # what is wrong with a line, and which it names
Sentence = tuple[About, str]  # what a note is about, and its sentence without the file
_END = re.compile(rb"# end: ([0-9]{1,9}) lines\s*")


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """One thing a student did that bears on a mark, checked and cut to size.

    ``said`` is what the line itself claims it came to; it is compared, not used.
    ``since`` are the seconds since the line before, where both have a time.
    """

    kind: str
    exercise: str
    version: int
    set: str
    attempt: int
    time: str
    file: str
    typed: str = ""
    number: int = 0
    choice: str = ""
    pair: str = ""
    seconds: float | None = None
    since: float = math.inf
    said: Mapping[str, Any] = field(default_factory=dict)

    @property
    def group(self) -> Group:
        """What it was done on: an exercise on one set of numbers."""
        return self.exercise, self.version, self.set, self.attempt


@dataclass(frozen=True, kw_only=True, slots=True)
class Told:
    """What a student told a lesson besides answers: no mark rests on it.

    ``kind`` is one of `TOLD`, ``of`` the explorer or gate, ``typed`` what was chosen,
    read or given as a reason, ``outcome`` the name of the choice.
    """

    kind: str
    lesson: str
    of: str
    outcome: str
    typed: str
    time: str
    file: str


@dataclass(frozen=True, kw_only=True)
class _HandIn:
    """One file of one student.

    ``so_far`` has a hash of the student's lines up to each; one file is an earlier
    copy of another's record where its last hash is among the other's.
    """

    file: str
    steps: list[Step]
    told: list[Told]
    so_far: list[bytes]
    chain: RecordChain
    typed: frozenset[tuple[int, int]]


@dataclass(frozen=True, kw_only=True)
class Folder:
    """What was handed in: steps of each record by student code (as `plain` makes it).

    Files that hold one record at two times are one record, that of the longest.
    """

    steps: Mapping[str, list[list[Step]]]
    told: Mapping[str, list[Told]]
    notes: tuple[Note, ...]
    files: int


def read_folder(folder: Path, class_list: ClassList) -> Folder:
    """Read all hand-ins of a folder and of the folders in it.

    Parameters
    ----------
    folder : Path
        Where the hand-ins are, under whatever names.
    class_list : ClassList
        Whose they should be.

    Returns
    -------
    Folder
        Each student's files, and a sentence for each thing that was not as it
        should be.

    Raises
    ------
    FormError
        If there is no such folder, or nothing or too much in it.
    """
    paths = paths_under(folder)
    found: dict[str, list[_HandIn]] = defaultdict(list)
    notes: list[Note] = []
    for path in tqdm(paths, unit="hand-in", disable=None):
        name = shown(str(path.relative_to(folder)))
        rows, trouble = _rows(path)
        code = ""
        if not rows:
            code = _meant(name, class_list)
        else:
            code, own, more = _of_one_student(rows, name, class_list)
            trouble += more
            if own.so_far:
                found[code].append(own)
        notes += [
            Note(about, _say("of", file=name, what=what), code, name)
            for about, what in trouble
        ]
        notes += _named(name, code, class_list) if rows else []
    steps: dict[str, list[list[Step]]] = {}
    told: dict[str, list[Told]] = {}
    for code, files in found.items():
        records = _records(files)
        if any(one.steps for one in records):
            steps[code] = [one.steps for one in records if one.steps]
        told[code] = [*dict.fromkeys(told for one in records for told in one.told)]
        notes += _notes(code, files, records, class_list)
    every = [one for files in found.values() for one in files]
    notes += alike(
        [
            FileAnswers(one.file, code, one.typed, bool(one.chain.broken))
            for code, files in found.items()
            for one in files
        ],
        class_list,
    )
    notes += note_on_unchained([one.file for one in every if not one.chain.starts])
    return Folder(steps=steps, told=told, notes=tuple(notes), files=len(paths))


def _records(files: Sequence[_HandIn]) -> list[_HandIn]:
    """Return one student's files without those that are earlier copies of another."""
    kept: list[_HandIn] = []
    known: set[bytes] = set()
    for one in sorted(files, key=lambda one: -len(one.so_far)):
        if one.so_far[-1] not in known:
            kept.append(one)
            known.update(one.so_far)
    return sorted(kept, key=lambda one: one.file)


def _notes(
    code: str,
    files: Sequence[_HandIn],
    records: Sequence[_HandIn],
    class_list: ClassList,
) -> Iterator[Note]:
    """Yield what is to be told of one student's files."""
    student = class_list.by_code[code]
    whose = {"who": who(student), "code": student.code}
    for one in records:
        yield from notes_on(one.chain, file=one.file, **whose)
    chains = {one.file: one.chain for one in records}
    yield from notes_on_several(chains, **whose)
    if len(records) < len(files):
        sums = {one.file: one.so_far[-1] for one in files}
        yield from several(student, sums, [one.file for one in records])


def paths_under(folder: Path) -> list[Path]:
    """Return every name under a folder but folders; links stay unfollowed."""
    if not folder.is_dir():
        raise FormError("hand_ins.no_folder", folder=shown(str(folder)))
    found: list[Path] = []
    for place, folders, names in os.walk(folder, followlinks=False):
        links = [n for n in folders if (Path(place) / n).is_symlink()]
        found += [Path(place) / name for name in (*names, *links) if name != LIST]
        if len(found) > MOST_FILES:
            raise FormError(
                "hand_ins.too_many", folder=shown(str(folder)), most=MOST_FILES
            )
    if not found:
        raise FormError("hand_ins.empty", folder=shown(str(folder)))
    return sorted(found)


# ------------------------------------------------------------------------ one file


def _rows(path: Path) -> tuple[list[ChainRow], list[Sentence]]:
    """Return the lines of one file and what is wrong with it."""
    try:
        raw = raw_of(path)
    except FormError as refusal:
        return [], [(About.UNREAD, str(refusal))]
    except OSError as error:
        reason = (error.strerror or _say("closed")).lower()
        return _unread("unreadable", reason=reason)
    for start, kind in SAVED_AS.items():
        if raw.startswith(start):
            return _unread(kind)
    if b"\0" in raw:
        return _unread("no_text")
    texts = [(n, text) for n, text in enumerate(raw.split(b"\n"), 1) if text.strip()]
    if len(texts) > MOST_LINES:
        return _unread("too_many_lines", most=MOST_LINES)
    written = [x for x in texts if not x[1].startswith((b"#", b"\xef\xbb\xbf#"))]
    rows = [ChainRow(n, text, line) for n, text in written if (line := read_line(text))]
    if not rows and is_paper(raw.decode("utf-8-sig", "replace")):
        return [], []  # `workbook.classroom.bays` marks it
    if not rows:
        return _unread("no_line")
    if sum(row.line["kind"] == "answer" for row in rows) > MOST_ANSWERS:
        return _unread("too_many_answers", most=MOST_ANSWERS)
    last = texts[-1][1]
    trouble = _trouble(last, written=len(written), read=len(rows))
    return rows, [(About.CUT, what) for what in trouble]


def _unread(why: str, **values: object) -> tuple[list[ChainRow], list[Sentence]]:
    return [], [(About.UNREAD, _say(why, **values))]


def raw_of(path: Path) -> bytes:
    """Return what a plain file holds, opened without following a link or waiting."""
    if path.is_symlink():
        raise FormError("hand_ins.link")
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    number = os.open(path, flags | getattr(os, "O_BINARY", 0))
    with os.fdopen(number, "rb") as file:
        about = os.fstat(number)
        if not stat.S_ISREG(about.st_mode):
            raise FormError("hand_ins.no_plain_file")
        raw = file.read(LARGEST + 1)
    if len(raw) > LARGEST:
        raise FormError("hand_ins.too_large", most=LARGEST // 2**20)
    return raw


def _trouble(last: bytes, *, written: int, read: int) -> Iterator[str]:
    if written > read:
        yield _say("lost", count=written - read)
    end = _END.fullmatch(last)
    if end is None:
        yield _say("no_end")
    elif int(end[1]) != written:
        yield _say("other_end", said=int(end[1]), lines=written)


def _say(entry: str, **values: object) -> str:
    return say("classroom", "hand_ins", entry, **values)


def _of_one_student(
    rows: list[ChainRow], name: str, class_list: ClassList
) -> tuple[str, _HandIn, list[Sentence]]:
    """Return the student of a file, what it holds and what is wrong with it.

    The student is the first of the class that the file names; a file speaks for
    nobody else.
    """
    trouble: Counter[Trouble] = Counter()
    mine: list[ChainRow] = []
    owner = ""
    for row in rows:
        code, key = (row.line.get(n) for n in ("student", "class_key"))
        if belongs_to_chain(row.line):
            continue
        if not isinstance(code, str) or not isinstance(key, str):
            trouble["nobody", ""] += 1
        elif plain(code) == PRACTICE:
            trouble["practice", ""] += 1
        elif plain(key) != plain(class_list.key):
            trouble["other_key", shown(key[:40])] += 1
        elif plain(code) not in class_list.by_code:
            trouble["not_listed", shown(code[:40])] += 1
        elif owner and plain(code) != owner:
            other = class_list.by_code[plain(code)].code
            trouble["other_student", other] += 1
        else:
            owner = plain(code)
            mine.append(row)
    moments = [moment_of(str(row.line.get("time", ""))) for row in mine]
    steps = [*_steps(mine, moments, name, trouble)]
    chain = chain_of(rows, student=owner, class_key=class_list.key)
    look_at_times(chain, mine, moments)
    own = _HandIn(
        file=name,
        steps=steps,
        told=[*_told(mine, name)],
        so_far=_so_far(mine),
        chain=chain,
        typed=typed_in_rows(mine),
    )
    told = [
        (About.OLDER if what == "before_sets" else About.LEFT_OUT,
         _say(what, count=count, which=which))
        for (what, which), count in trouble.items()
        if count
    ]  # fmt: skip
    opened = [(About.OPENED, what) for what in _opened(mine)]
    return owner, own, [*told, *opened]


def _meant(name: str, class_list: ClassList) -> str:
    """Return the code in the name of a file that cannot be read, if there is one."""
    named = named_in(name, class_list)
    return named[0].code if len(named) == 1 else ""


def _named(name: str, owner: str, class_list: ClassList) -> Iterator[Note]:
    """Yield a note for each other student whose code is in a file's name."""
    for other in named_in(name, class_list) if owner else ():
        if plain(other.code) != owner:
            own = class_list.by_code[owner]
            what = _say("named", which=who(other), owner=who(own))
            said = _say("of", file=name, what=what)
            yield Note(About.NAMED, said, other.code, name)


def _told(rows: Sequence[ChainRow], file: str) -> Iterator[Told]:
    """Yield what a student told besides answers, cut to size."""
    for row in rows:
        kind, line = row.line["kind"], row.line
        if kind not in TOLD or line.get("format") != FORMAT:
            continue
        of, typed, outcome = TOLD[kind]
        parts = {
            "lesson": line.get("lesson"),
            "of": line.get(of, ""),
            "outcome": line.get(outcome, ""),
            "typed": line.get(typed, ""),
            "time": line.get("time", ""),
        }
        if all(isinstance(part, str) for part in parts.values()):
            cut = {name: part[:LONGEST_REASON] for name, part in parts.items()}
            yield Told(kind=kind, file=file, **cut)


def _opened(rows: Sequence[ChainRow]) -> Iterator[str]:
    """Yield each lesson that was opened by hand, and why."""
    for row in rows:
        if row.line["kind"] == way_in.OPENED and (reason := way_in.reason_of(row.line)):
            lesson, time = (str(row.line.get(name, "")) for name in ("lesson", "time"))
            yield _say(
                "opened",
                lesson=shown(lesson[:10]),
                day=shown(time[:10]),
                reason=shown(reason[:LONGEST_REASON]),
            )


def _so_far(rows: Iterable[ChainRow]) -> list[bytes]:
    """Return a hash of lines up to each."""
    whole, found = hashlib.sha256(), []
    for row in rows:
        text = row.raw.strip()
        whole.update(b"%d:%b" % (len(text), text))
        found.append(whole.digest())
    return found


def _steps(
    rows: Sequence[ChainRow],
    moments: Sequence[float],
    file: str,
    trouble: Counter[Trouble],
) -> Iterator[Step]:
    """Yield what bears on a mark; count what cannot."""
    for row, before, now in zip(rows, [0.0, *moments], moments, strict=False):
        line = row.line
        # What was typed from paper says nothing of how long it took.
        timed = before and now and line.get("paper") is not True
        since = now - before if timed else math.inf
        if line["kind"] not in KINDS:
            trouble["odd_kind", ""] += line["kind"] not in OTHERS
            continue
        step = _step(line, file, since)
        if line.get("format") != FORMAT:
            trouble["other_format", ""] += 1
        elif step is None:
            trouble["lacking", ""] += 1
        elif (step.exercise, step.version) not in EXERCISES:
            which = _say("exercise", id=shown(step.exercise[:20]), version=step.version)
            trouble["odd_exercise", which] += 1
        else:
            trouble["before_sets", ""] += step.kind == "answer" and not step.set
            yield step


def _step(line: Line, file: str, since: float) -> Step | None:
    """Return a line as a step, or nothing where a part is missing or absurd."""
    kind, exercise = line["kind"], line.get("exercise")
    typed, choice = line.get("typed", ""), line.get("choice", "")
    version, attempt = line.get("version"), line.get("attempt")
    number, time = line.get("number", 0), line.get("time", "")
    texts, set = (exercise, typed, choice, time), line.get("set", BEFORE_SETS)
    if not all(isinstance(text, str) for text in texts):
        return None
    if not all(_small(whole) for whole in (version, attempt, number)) or not attempt:
        return None
    if set not in SETS and "set" in line:
        return None
    if kind == "answer" and "typed" not in line:
        return None
    return Step(
        kind=kind,
        exercise=str(exercise),
        version=int(version or 0),
        set=set,
        attempt=int(attempt),
        time=time[:40],
        file=file,
        typed=typed,
        number=int(number),
        choice=choice[:100],
        pair=line["pair"][:LONGEST_CODE] if isinstance(line.get("pair"), str) else "",
        seconds=_seconds(line.get("seconds")),
        since=since,
        said={n: line[n] for n in STORED if n in line} if kind == "answer" else {},
    )


def _small(value: object) -> bool:
    whole = isinstance(value, int) and not isinstance(value, bool)
    return whole and 0 <= value < MOST_ATTEMPTS  # type: ignore[operator]


def _seconds(value: object) -> float | None:
    """Return how long an answer took, nothing for what is no such time."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value) if 0 <= value <= LONGEST_TIME else None
