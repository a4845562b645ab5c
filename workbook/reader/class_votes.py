"""What a class voted, and where its script stands: one file beside the lessons.

``pullwright-class.jsonl`` is kept as a reader's record is (`workbook.reader.record`),
in nobody's name. Each line has a ``lesson``, and is of a kind of its own:

``chosen``
    Which lesson is taught, and the ``key`` of the class, which orders its choices.
``began``
    The script begins: ``at`` is when, in seconds since 1970. What was kept before
    belongs to an earlier class.
``page``
    The script stands at ``line``, counted from 0.
``votes``
    Hands for each letter, in ``counts``; ``round`` is 1, or 2 after talking.
``revealed``
    What each choice tells was shown.
"""

from __future__ import annotations

import re
import time
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.course import lessons
from workbook.errors import FormError, WorkbookError
from workbook.reader.record import Record

if TYPE_CHECKING:
    from workbook.reader.record_lines import Line

CLASS_FILE = "pullwright-class.jsonl"
ROUNDS = 2
MOST_HANDS = 999
LATEST = 1e11  # s since 1970


def scripted() -> list[str]:
    """Return the ids of the lessons that have a script, in their order."""
    return [id for id, one in lessons().items() if one.script]


def choose(path: Path, *, lesson: str, class_key: str) -> None:
    """Keep which lesson is taught, and to whom.

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
    record = Record(path)
    record.append("chosen", lesson=id, key=class_key)
    if record.trouble:
        raise WorkbookError("votes.not_kept", reason=record.trouble)


def chosen(path: Path) -> tuple[str, str] | None:
    """Return the lesson that is taught and the class key, if one was chosen."""
    lines = [
        line
        for line in Record(path).lines()
        if line["kind"] == "chosen" and line.get("lesson") in scripted()
    ]
    if not lines:
        return None
    return str(lines[-1]["lesson"]), str(lines[-1].get("key"))


class ClassVotes:
    """One lesson with one class, as far as it has come.

    Parameters
    ----------
    path : Path
        The file; it need not be there.
    lesson : str
        Such as ``"L07"``.
    """

    def __init__(self, path: Path, lesson: str) -> None:
        self.record, self.lesson = Record(path), lesson

    def begin(self) -> None:
        """Begin the script with a class."""
        self.record.append("began", lesson=self.lesson, at=round(time.time(), 1))

    def turn_to(self, line: int) -> None:
        """Keep at which line of the script the class is."""
        self.record.append("page", lesson=self.lesson, line=line)

    def vote(self, counts: Mapping[str, int]) -> None:
        """Keep the hands for each letter, of the first round or of the second."""
        number = min(len(self.rounds) + 1, ROUNDS)
        kept = {"round": number, "counts": dict(counts)}
        self.record.append("votes", lesson=self.lesson, **kept)

    def reveal(self) -> None:
        """Keep that what each choice tells was shown."""
        self.record.append("revealed", lesson=self.lesson)

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
    def rounds(self) -> list[dict[str, int]]:
        """Hands for each letter, by round; what was counted last is what counts."""
        votes = {x["round"]: x["counts"] for x in self._now() if x["kind"] == "votes"}
        return [votes[number] for number in sorted(votes)]

    @property
    def revealed(self) -> bool:
        """Whether what each choice tells was shown."""
        return any(line["kind"] == "revealed" for line in self._now())

    def _now(self) -> list[Line]:
        """Return the lesson's lines since it began last, that line first."""
        own = [
            line
            for line in self.record.lines()
            if line.get("lesson") == self.lesson and _whole(line)
        ]
        starts = [k for k, line in enumerate(own) if line["kind"] == "began"]
        return own[starts[-1] :] if starts else []


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
        plain = text.strip() or "0"
        if not re.fullmatch(r"[0-9]{1,3}", plain):
            raise FormError("votes.count", letter=letter, typed=text, most=MOST_HANDS)
        counts[letter] = int(plain)
    if not any(counts.values()):
        raise FormError("votes.none")
    return counts
