"""The lines of a record: what each says, whose it is, and how it is written.

A line is one JSON object, in UTF-8, and whole in itself:

``format``
    ``1``.
``kind``
    ``start`` (of the record), ``identity`` (who works from here on), ``prediction``,
    ``known`` (a prediction passed by), ``observation``, ``answer``, ``hint``,
    ``thinking``, ``worked``, ``numbers``, ``given_up``, ``gate``, ``opened``, ``torn``,
    ``bay`` (an act of the practice bay: `workbook.bay.log`).
``time``
    ISO 8601 with the offset from UTC.
``student``, ``class_key``
    Whose line it is; both are ``practice`` where nobody signed in.
``pair``
    Student code of a partner at the same screen, where there is one: ``student``
    drives, and the partner checks. When they swap, so do the codes. A prediction
    and what was seen are of both, so each gets a line.
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
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from workbook.errors import FormError
from workbook.exercises.seeds import plain
from workbook.files import read_json
from workbook.language import harmless

FORMAT = 1
PRACTICE = "practice"
LONGEST_TEXT = 2_000  # characters of one typed text
LONGEST_LINE = 20_000  # bytes; a longer one is not ours
LONGEST_PREV = 30  # bytes that ``prev`` adds to a line
LONGEST_CODE = 40  # characters of a student code or class key

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

    @property
    def swapped(self) -> Reader:
        """The partner, with this reader as the partner."""
        return Reader(student=self.pair, class_key=self.class_key, pair=self.student)


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


def reader_of(line: Line) -> Reader | None:
    """Return who works from an ``identity`` line on, if it is one."""
    return worked_by(line) if line["kind"] == "identity" else None


def worked_by(line: Line) -> Reader | None:
    """Return who did what a line tells, if it says so."""
    codes = [line.get(name) for name in ("student", "class_key")]
    if not all(isinstance(code, str) for code in codes):
        return None
    pair = line.get("pair")
    return Reader(
        student=str(codes[0]),
        class_key=str(codes[1]),
        pair=pair if isinstance(pair, str) else "",
    )


def moment_of(time: str) -> float:
    """Return seconds since 1970, nothing for what is no time."""
    try:
        moment = datetime.fromisoformat(time[:40]).timestamp()
    except (ValueError, OverflowError, OSError):
        return 0.0
    return moment if math.isfinite(moment) else 0.0


def new_line(kind: str, **fields: object) -> Line:
    """Return a line of now, in nobody's name."""
    now = datetime.now().astimezone().isoformat(timespec="seconds")
    return {"format": FORMAT, "kind": kind, "time": now, **fields}


def check_length(line: Line) -> None:
    """Refuse a line that would be too long to be read again."""
    if len(line_text(line).encode()) + LONGEST_PREV > LONGEST_LINE:
        raise FormError("record.line_too_long", limit=LONGEST_TEXT)


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


def short(value: object) -> object:
    """Return a value that fits a line: text cut to length, no endless number."""
    if isinstance(value, str) and len(value) > LONGEST_TEXT:
        return value[: LONGEST_TEXT - 1] + "…"
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
