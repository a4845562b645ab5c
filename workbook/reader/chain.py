"""The chain of a record: each line carries a check sum of all that stands before it.

A record that is made begins with a line of kind ``start``: 16 random bytes and the
time. Every later line has ``prev``, the link of the line before it. A line's link is
a check sum of three: its own ``prev``; a check sum of who signed in and of the start;
and a check sum of its text. So a chain can be followed past another student's line
of which the last two alone are known.

A check sum is the first 16 hex digits of a SHA-256 hash. There is no secret in it:
whoever writes a program can make a chain anew. It shows what an editor, a copied
file or a second folder does.

References
----------
.. [1] NIST, *FIPS 180-4: Secure Hash Standard*, 2015.
.. [2] S. Haber, W. S. Stornetta, "How to time-stamp a digital document", *Journal of
   Cryptology* 3, 1991, pp. 99-111.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from workbook.exercises.seeds import plain

START = "start"
OTHERS = "others"  # in a hand-in: the check sums of other students' lines in a row
TIP = "tip"  # in a hand-in: the link of the record's last line
Said = Mapping[str, Any]


def check_sum(*parts: str | bytes) -> str:
    """Return the check sum of parts; each carries its length.

    Examples
    --------
    >>> check_sum("ab", "c") == check_sum("a", "bc")
    False
    """
    raw = [
        part.encode("utf-8", "surrogatepass") if isinstance(part, str) else part
        for part in parts
    ]
    whole = b"".join(b"%d:%b" % (len(part), part) for part in raw)
    return hashlib.sha256(whole).hexdigest()[:16]


@lru_cache(maxsize=1_000)
def owner(start: str, student: str, class_key: str) -> str:
    """Return the check sum of who signed in, in the record with this start."""
    return check_sum(start, plain(student), plain(class_key))


def new_start() -> dict[str, str]:
    """Return what a line of kind ``start`` has besides kind and time."""
    return {"random": secrets.token_hex(16)}


@dataclass(frozen=True, kw_only=True, slots=True)
class Tip:
    """The end of a chain so far: the start of the record, and the last line's link.

    Both are empty before a start.

    Examples
    --------
    >>> start = {"kind": "start", "random": "00"}
    >>> tip = Tip().after(start, b'{"kind": "start", "random": "00"}')
    >>> line = {"kind": "hint", "prev": tip.link}
    >>> tip.fits(line), tip.after(line, b"{}").fits(line)
    (True, False)
    """

    start: str = ""
    link: str = ""

    def fits(self, line: Said) -> bool:
        """Tell whether a line says that it follows what stands here."""
        return line.get("prev") == self.link

    def after(self, line: Said, raw: bytes) -> Tip:
        """Return the tip with one line more; a line without ``prev`` is passed over.

        Parameters
        ----------
        line : mapping
            The line.
        raw : bytes
            Its text as it stands in the file.
        """
        start = beginning(line)
        if start:
            return Tip(start=start).past("", owner(start, "", ""), text_sum(raw))
        if not isinstance(line.get("prev"), str):
            return self
        return self.past(line["prev"], owner_of(line, self.start), text_sum(raw))

    def past(self, prev: str, who: str, text: str) -> Tip:
        """Return the tip behind a line of which the check sums are known."""
        return Tip(start=self.start, link=check_sum(prev, who, text))


def beginning(line: Said) -> str:
    """Return the random digits of a ``start`` line, nothing of another line."""
    random = line.get("random")
    return random if line["kind"] == START and isinstance(random, str) else ""


def owner_of(line: Said, start: str) -> str:
    """Return `owner` of a line; of one that names nobody, the same for all."""
    codes = line.get("student"), line.get("class_key")
    known = all(isinstance(code, str) for code in codes)
    return owner(start, *map(str, codes if known else ("", "")))


def text_sum(raw: bytes) -> str:
    """Return the check sum of a line's text, without the end of the line."""
    return check_sum(raw.strip())
