"""What a class voted, and where its script stands: one file beside the lessons.

``pullwright-class.jsonl`` is kept as a reader's record is (`workbook.reader.record`),
in nobody's name. Each line has a ``lesson``, and is of a kind of its own:

``chosen``
    Which lesson is taught, and the ``key`` of the class, which orders its choices;
    how many ``students`` are on its list, and where that ``class_file`` and its
    ``session`` plan are, if known.
``began``
    The script begins: ``at`` is when, in seconds since 1970. What was kept before
    belongs to an earlier class.
``page``
    The script stands at ``line``, counted from 0.
``votes``
    Hands for each letter, in ``counts``; ``round`` is 1, or 2 after talking. A count
    of the same round before it was a mistake; it stays in the file.
``revealed``
    What each choice tells was shown.

Votes and what was revealed are ``about`` an exercise where they have its id, else about
the prediction of the lesson.
"""

from __future__ import annotations

import re
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.course import lessons
from workbook.errors import FormError, WorkbookError
from workbook.exercises.seeds import plain
from workbook.reader.record import Record

if TYPE_CHECKING:
    from workbook.reader.record_lines import Line

CLASS_FILE = "pullwright-class.jsonl"
ROUNDS = 2
MOST_HANDS = 999
LATEST = 1e11  # s since 1970

Hands = Mapping[str, int]


@dataclass(frozen=True, kw_only=True)
class Chosen:
    """Which lesson is taught, and to whom.

    Attributes
    ----------
    lesson, class_key : str
        The lesson, and what orders the choices of its class.
    students : int
        How many are on the class list; 0 if there is none.
    session : str
        The file of the session plan; empty where that beside the lessons holds.
    class_file : str
        The class list, in which answers from paper find their students; empty if
        there is none.
    """

    lesson: str
    class_key: str
    students: int = 0
    session: str = ""
    class_file: str = ""


def scripted() -> list[str]:
    """Return the ids of the lessons that have a script, in their order."""
    return [id for id, one in lessons().items() if one.script]


def choose(
    path: Path,
    *,
    lesson: str,
    class_key: str,
    students: int = 0,
    session: str = "",
    class_file: str = "",
) -> None:
    """Keep which lesson is taught, and to whom: see `Chosen`.

    Raises
    ------
    FormError
        If there is no such lesson, or it has no script.
    WorkbookError
        If it cannot be kept.
    """
    number = re.fullmatch(r"[Ll]?([0-9]{1,2})", lesson.strip())
    id = f"L{int(number[1]):02}" if number else lesson
    if id not in scripted():
        raise FormError("votes.no_script", lesson=lesson, lessons=scripted())
    about = {"students": students, "session": session, "class_file": class_file}
    record = Record(path)
    record.append("chosen", lesson=id, key=class_key, **about)
    if record.trouble:
        raise WorkbookError("votes.not_kept", reason=record.trouble)


def chosen(path: Path) -> Chosen | None:
    """Return the lesson that is taught and its class, if one was chosen."""
    lines = [line for line in Record(path).lines() if _chooses(line)]
    return _chosen(lines[-1]) if lines else None


def _chooses(line: Line) -> bool:
    return line["kind"] == "chosen" and line.get("lesson") in scripted()


def _chosen(line: Line) -> Chosen:
    students, session = line.get("students"), line.get("session")
    class_file = line.get("class_file")
    return Chosen(
        lesson=str(line.get("lesson")),
        class_key=str(line.get("key")),
        students=students if type(students) is int else 0,
        session=session if isinstance(session, str) else "",
        class_file=class_file if isinstance(class_file, str) else "",
    )


@dataclass(frozen=True, kw_only=True)
class Voted:
    """What a class voted on one question: hands for each letter, round by round.

    ``about`` is the id of an exercise, or empty for the prediction of the lesson.
    """

    lesson: str
    about: str
    rounds: Sequence[Hands]


def voted(path: Path, *, class_key: str) -> list[Voted]:
    """Return what one class voted when it was taught each lesson last.

    Parameters
    ----------
    path : Path
        The file; it need not be there.
    class_key : str
        That of the class; what others voted is left out.
    """
    runs: dict[str, list[Line]] = {}
    for key, line in _by_class(Record(path)):
        lesson = str(line.get("lesson"))
        ours = key == plain(class_key) and line["kind"] != "chosen"
        if ours and _whole(line) and lesson in scripted():
            if line["kind"] == "began":
                runs[lesson] = []
            runs.setdefault(lesson, []).append(line)
    found = []
    for lesson in sorted(runs):
        asked = [_about(x) for x in runs[lesson] if x["kind"] == "votes"]
        for about in dict.fromkeys(asked):
            rounds = _rounds(runs[lesson], about)
            found.append(Voted(lesson=lesson, about=about, rounds=rounds))
    return found


class ClassVotes:
    """One lesson with one class, as far as it has come.

    ``about`` is what is voted on now: the id of an exercise, or empty for the
    prediction of the lesson.

    Parameters
    ----------
    path : Path
        The file; it need not be there.
    lesson : str
        Such as ``"L07"``.
    """

    def __init__(self, path: Path, lesson: str) -> None:
        self.record, self.lesson, self.about = Record(path), lesson, ""

    def begin(self) -> None:
        """Begin the script with a class."""
        self.record.append("began", lesson=self.lesson, at=round(time.time(), 1))

    def turn_to(self, line: int) -> None:
        """Keep at which line of the script the class is."""
        self.record.append("page", lesson=self.lesson, line=line)

    def vote(self, counts: Hands, *, number: int) -> None:
        """Keep the hands for each letter of a round, the first or the second.

        A count of the same round that was kept before no longer holds.
        """
        kept = {"round": number, "counts": dict(counts)}
        self._keep("votes", **kept)

    def reveal(self) -> None:
        """Keep that what each choice tells was shown."""
        self._keep("revealed")

    def _keep(self, kind: str, **fields: object) -> None:
        about = {"about": self.about} if self.about else {}
        self.record.append(kind, lesson=self.lesson, **about, **fields)

    @property
    def began(self) -> float | None:
        """When the script began, in seconds since 1970."""
        lines = self._now()
        return float(lines[0]["at"]) if lines else None

    @property
    def line(self) -> int:
        """Line of the script, counted from 0."""
        turned = [x["line"] for x in self._now() if x["kind"] == "page"]
        return int(turned[-1]) if turned else 0

    @property
    def rounds(self) -> list[Hands]:
        """Hands for each letter, by round; what was counted last is what counts."""
        return _rounds(self._now(), self.about)

    @property
    def revealed(self) -> bool:
        """Whether what each choice tells was shown."""
        return self.revealed_of(self.about)

    def revealed_of(self, about: str) -> bool:
        """Tell whether what each choice of a question tells was shown."""
        return any(
            line["kind"] == "revealed" and _about(line) == about for line in self._now()
        )

    def _now(self) -> list[Line]:
        """Return the lines since this class began the lesson last, that line first."""
        lines = [*_by_class(self.record)]
        key = lines[-1][0] if lines else ""
        own = [
            line
            for whose, line in lines
            if whose == key and line.get("lesson") == self.lesson and _whole(line)
        ]
        starts = [k for k, line in enumerate(own) if line["kind"] == "began"]
        return own[starts[-1] :] if starts else []


def _by_class(record: Record) -> Iterator[tuple[str, Line]]:
    """Yield each line with the key of the class that was taught then."""
    key = ""
    for line in record.lines():
        if _chooses(line):
            key = plain(str(line.get("key")))
        yield key, line


def _about(line: Line) -> str:
    return str(line.get("about", ""))


def _rounds(lines: Sequence[Line], about: str) -> list[Hands]:
    votes = {
        line["round"]: line["counts"]
        for line in lines
        if line["kind"] == "votes" and _about(line) == about
    }
    return [votes[number] for number in sorted(votes)]


def _whole(line: Line) -> bool:
    """Tell whether a line has what its kind needs: any other one is passed over."""
    at, turned, counts = line.get("at"), line.get("line"), line.get("counts")
    if line["kind"] == "began":
        return isinstance(at, int | float) and 0 <= at < LATEST
    if line["kind"] == "page":
        return type(turned) is int and turned >= 0
    if line["kind"] == "votes":
        hands = counts.values() if isinstance(counts, dict) else [None]
        right = line.get("round") in range(1, ROUNDS + 1)
        return right and all(type(count) is int for count in hands)
    return True


def hands(typed: Mapping[str, str]) -> dict[str, int]:
    """Return what was typed for each letter as whole numbers; an empty box is none.

    Raises
    ------
    FormError
        If something is no whole number from 0 to 999, or nothing was typed at all.

    Examples
    --------
    >>> hands({"A": " 12 ", "B": ""})
    {'A': 12, 'B': 0}
    """
    counts = {}
    for letter, text in typed.items():
        typed_in = text.strip() or "0"
        if not re.fullmatch(r"[0-9]{1,3}", typed_in):
            raise FormError("votes.count", letter=letter, typed=text, most=MOST_HANDS)
        counts[letter] = int(typed_in)
    if not any(counts.values()):
        raise FormError("votes.none")
    return counts
