"""Where each student of a class server works: a folder and a user of the system.

Every student gets a number of a user that no account has, and a folder that this
user alone may read. So the system itself keeps a student's programs, which run as
that user, out of all other folders. Accounts are neither needed nor made.
"""

from __future__ import annotations

import errno
import hashlib
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.classroom.files import in_name
from workbook.course.session import FILE as PLAN
from workbook.exercises.seeds import plain
from workbook.files import read_at_most, write_whole

if TYPE_CHECKING:
    from workbook.classroom.roll import ClassList, Student

# Above what systems give to accounts, containers and services; below 2**31.
FIRST_USER, USERS = 1_900_000_000, 200_000_000
WORK = Path("/var/lib/pullwright")  # in it a folder for each class
STUDENTS, HUB = "students", "hub"
LARGEST_PLAN = 2**20  # bytes


@dataclass(frozen=True, kw_only=True)
class Seat:
    """A student's place: the name that the server knows it by, user and folder."""

    name: str
    student: Student
    class_key: str
    user: int
    folder: Path


def seat_name(student: Student) -> str:
    """Return what the server calls a student: the code, as a name of a folder.

    Examples
    --------
    >>> from workbook.classroom.roll import Student
    >>> seat_name(Student(name="Zoë", code="K7MR"))
    'k7mr'
    """
    return in_name(plain(student.code))


def seats_of(class_list: ClassList, work: Path) -> dict[str, Seat]:
    """Return the seats of a class by name; nothing is made.

    A folder that is there already says whose it is; else the number comes from class
    key and code, so that it is another in another class.
    """
    students = {seat_name(student): student for student in class_list.students}
    folders = {name: work / STUDENTS / name for name in students}
    users = {name: f.stat().st_uid for name, f in folders.items() if f.is_dir()}
    taken = {*users.values()}
    for name, student in students.items():
        if name not in users:
            users[name] = _new_user(class_list.key, student.code, taken)
            taken.add(users[name])
    return {
        name: Seat(
            name=name,
            student=student,
            class_key=class_list.key,
            user=users[name],
            folder=folders[name],
        )
        for name, student in students.items()
    }


def _new_user(key: str, code: str, taken: set[int]) -> int:
    told = hashlib.sha256(f"{plain(key)}\n{plain(code)}".encode()).digest()
    start = int.from_bytes(told[:8], "big")
    numbers = (FIRST_USER + (start + step) % USERS for step in range(USERS))
    return next(number for number in numbers if number not in taken)


def work_of(class_file: Path, work: Path | None) -> Path:
    """Return the folder of a class's work."""
    return (work or WORK / class_file.stem).expanduser().absolute()


def make_work(work: Path) -> None:
    """Make the folder of a class: entered by its students, listed by nobody."""
    for folder, mode in ((work, 0o711), (work / STUDENTS, 0o711), (work / HUB, 0o700)):
        folder.mkdir(parents=True, exist_ok=True)
        folder.chmod(mode)


def make_seat(seat: Seat, plan: Path) -> None:
    """Make a student's folder, and lay the school's plan in it if there is one."""
    if not seat.folder.is_dir():
        beside = seat.folder.with_name(f".{seat.name}")
        beside.mkdir(mode=0o700, exist_ok=True)
        os.chown(beside, seat.user, seat.user)
        beside.rename(seat.folder)
    said = read_at_most(plan, LARGEST_PLAN) if plan.is_file() else None

    def lay() -> None:
        if said is None:
            (seat.folder / PLAN).unlink(missing_ok=True)
        elif not (seat.folder / PLAN).is_file() or (
            (seat.folder / PLAN).read_bytes() != said
        ):
            write_whole(seat.folder / PLAN, said)

    as_user(seat.user, lay)


def become(user: int, *, group: int | None = None) -> None:
    """Go on as a user, for good; a student's group has the same number.

    Only the administrator can. Who is not goes on as before, with no more rights.
    """
    os.umask(0o077)
    if os.geteuid() != 0:
        return
    group = user if group is None else group
    os.setgroups([])
    os.setresgid(group, group, group)
    os.setresuid(user, user, user)


def as_user(
    user: int, do: Callable[[], bytes | None], *, group: int | None = None
) -> bytes:
    """Do something as another user, in a process of its own; return its bytes.

    A student's folder may hold links that lead anywhere: nothing in it is touched
    with more rights than the student has.

    Raises
    ------
    OSError
        If it could not be done.
    """
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        _child(user, group, do, writing)
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        said = pipe.read()
    _, ended = os.waitpid(child, 0)
    code = os.waitstatus_to_exitcode(ended)
    if code:
        code = code if code > 0 else errno.EIO  # killed
        raise OSError(code, os.strerror(code))
    return said


def _child(
    user: int, group: int | None, do: Callable[[], bytes | None], writing: int
) -> None:
    code = errno.EIO
    try:
        become(user, group=group)
        with os.fdopen(writing, "wb") as pipe:
            pipe.write(do() or b"")
        code = 0
    except OSError as error:
        code = error.errno or errno.EIO
    finally:
        os._exit(code)


def readable_by(user: int, path: Path) -> bool:
    """Tell whether a student's programs can read a file or list a folder."""

    def look() -> bytes:
        try:
            if path.is_dir():
                next(os.scandir(path), None)
            else:
                path.open("rb").close()
        except OSError:
            return b""
        return b"yes"

    return as_user(user, look) == b"yes"
