"""Who may come in: whoever has a code of the class list and the class key."""

from __future__ import annotations

import hmac
import time
from collections import deque
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from jupyterhub.auth import Authenticator
from tornado.web import HTTPError
from traitlets import Unicode

from workbook.classroom.roll import ClassList, Student, read_class
from workbook.classroom.server.seats import seat_name
from workbook.errors import FormError
from workbook.exercises.seeds import plain
from workbook.language import text
from workbook.reader.seat import KEY, STUDENT

WINDOW = 300.0  # s for which a wrong try counts
MOST_FROM_ONE = 10  # wrong tries from one computer in that time
MOST_IN_ALL = 100  # and of the whole class: computers can be made up
LONGEST = 200  # characters that are looked at


def student_with(class_list: ClassList, code: str, key: str) -> Student | None:
    """Return whose code and class key these are.

    How long it takes says nothing of either: every code of the list is compared, and
    the key as well.

    Examples
    --------
    >>> from workbook.classroom.roll import ClassList, Student
    >>> kim = ClassList(key="oak", students=(Student(name="Kim", code="K7MR"),))
    >>> student_with(kim, " k7mr", "Oak").name
    'Kim'
    >>> student_with(kim, "K7MR", "ash") or student_with(kim, "K7MQ", "oak")
    """
    found = [one for one in class_list.students if _same(one.code, code)]
    right = _same(class_list.key, key)
    return found[0] if found and right else None


def _same(one: str, other: str) -> bool:
    said = [plain(word[:LONGEST]).encode("utf-8", "replace") for word in (one, other)]
    return hmac.compare_digest(*said)


class Tries:
    """The wrong tries of the last minutes, by the address they came from.

    Examples
    --------
    >>> tries = Tries()
    >>> for second in range(10):
    ...     tries.wrong("10.0.0.7", now=float(second))
    >>> tries.too_many("10.0.0.7", now=20.0), tries.too_many("10.0.0.8", now=20.0)
    (True, False)
    >>> tries.too_many("10.0.0.7", now=400.0)
    False
    """

    def __init__(self) -> None:
        self._wrong: deque[tuple[float, str]] = deque()

    def wrong(self, address: str, *, now: float | None = None) -> None:
        """Count a wrong try."""
        self._wrong.append((time.monotonic() if now is None else now, address))

    def too_many(self, address: str, *, now: float | None = None) -> bool:
        """Tell whether an address has to wait."""
        since = (time.monotonic() if now is None else now) - WINDOW
        while self._wrong and self._wrong[0][0] < since:
            self._wrong.popleft()
        own = sum(one == address for _, one in self._wrong)
        return own >= MOST_FROM_ONE or len(self._wrong) >= MOST_IN_ALL


def address_of(request: Any) -> str:
    """Return which computer asks, as the proxy in front of the server saw it.

    What stands before the last comma, and in any other header, the asker may have
    made up.
    """
    told = request.headers.get_list("X-Forwarded-For")
    last = str(told[-1]).rpartition(",")[2].strip() if told else ""
    return last or str(request.remote_ip)


class CodeAuthenticator(Authenticator):  # type: ignore[misc]
    """Lets a student in by code and class key; the list is read anew when it changes.

    Both are asked for on one page, and a wrong try does not tell which it was.
    """

    class_file = Unicode().tag(config=True)

    def __init__(self, **given: Any) -> None:
        super().__init__(**given)
        self.tries = Tries()

    async def authenticate(self, handler: Any, data: Mapping[str, str]) -> str:
        """Return what the server calls the student, or refuse."""
        address = address_of(handler.request)
        if self.tries.too_many(address):
            raise HTTPError(429, text("server", "page", "wait"))
        student = student_with(
            listed(Path(self.class_file)),
            data.get("username", ""),
            data.get("password", ""),
        )
        if student is None:
            self.tries.wrong(address)
            raise HTTPError(403, text("server", "page", "wrong"))
        return seat_name(student)

    def student(self, name: str) -> Student:
        """Return whom the server calls so; refused where nobody on the list is."""
        found = listed(Path(self.class_file)).students
        student = next((one for one in found if seat_name(one) == name), None)
        if student is None:
            raise HTTPError(403, text("server", "page", "not_listed"))
        return student

    async def pre_spawn_start(self, user: Any, spawner: Any) -> None:
        """Tell the student's own server who works there."""
        spawner.environment = {
            **spawner.environment,
            STUDENT: self.student(user.name).code,
            KEY: listed(Path(self.class_file)).key,
        }


def listed(path: Path) -> ClassList:
    """Return a class list as it is now; as it was, while it cannot be read."""
    try:
        state = path.stat()
        return _read(path, state.st_mtime_ns, state.st_size)
    except (OSError, FormError):
        if path in _LAST:
            return _LAST[path]
        raise


_LAST: dict[Path, ClassList] = {}


@lru_cache(maxsize=4)
def _read(path: Path, _changed: int, _size: int) -> ClassList:
    _LAST[path] = read_class(path)
    return _LAST[path]
