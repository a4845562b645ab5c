"""Seeds of exercises: the same numbers on every machine, other numbers for others."""

from __future__ import annotations

import hashlib
import hmac
import unicodedata
from collections.abc import Sequence
from functools import cache
from typing import TypeVar

from workbook.exercises.sets import BEFORE_SETS

T = TypeVar("T")


def seed_for(
    *,
    class_key: str,
    student: str,
    exercise: str,
    version: int,
    attempt: int,
    set: str = BEFORE_SETS,
) -> bytes:
    """Return the seed of one student's numbers: a keyed SHA-256 hash.

    Letter case and blanks round the class key and the student code do not count,
    so a code read aloud gives the same numbers as one copied.

    Parameters
    ----------
    class_key, student : str
        The words given out in class; together they choose the numbers.
    exercise : str
        Exercise id, such as ``"2.1"``.
    version, attempt : int
        Version of the exercise, and how often its numbers were drawn anew.
    set : str
        One of `workbook.exercises.sets`; what was asked before there were any has the
        seed that it had.

    Returns
    -------
    bytes
        32 bytes.

    References
    ----------
    .. [1] RFC 2104, *HMAC: Keyed-Hashing for Message Authentication*, 1997.

    Examples
    --------
    >>> seed_for(
    ...     class_key="oak", student="K7", exercise="2.1", version=1, attempt=1
    ... ).hex()[:8]
    '90429237'
    """
    parts = [plain(student), exercise, str(version), str(attempt)]
    parts += [set] if set else []
    # Each part carries its length, so no two lists of parts read the same.
    message = "".join(f"{len(part)}:{part}" for part in parts)
    return hmac.digest(plain(class_key).encode(), message.encode(), "sha256")


@cache
def plain(code: str) -> str:
    """Return a code as it is compared: case, width and blanks do not count.

    Examples
    --------
    >>> plain(" k7Mr")
    'k7mr'
    """
    return unicodedata.normalize("NFKC", code).strip().casefold()


class Stream:
    """Endless whole numbers from a seed: SHA-256 of the seed and a counter.

    Examples
    --------
    >>> stream = Stream(b"seed")
    >>> [stream.below(10) for _ in range(5)]
    [3, 6, 0, 1, 9]
    """

    def __init__(self, seed: bytes) -> None:
        self._seed, self._count = seed, 0

    def below(self, limit: int) -> int:
        """Return the next whole number from 0 up to, not including, ``limit``."""
        block = hashlib.sha256(self._seed + self._count.to_bytes(8, "big")).digest()
        self._count += 1
        return int.from_bytes(block, "big") % limit  # bias under limit / 2**256

    def choice(self, values: Sequence[T]) -> T:
        """Return the next pick from ``values``."""
        return values[self.below(len(values))]

    def shuffled(self, values: Sequence[T]) -> list[T]:
        """Return the values in another order (Fisher and Yates)."""
        rest = list(values)
        return [rest.pop(self.below(len(rest))) for _ in values]
