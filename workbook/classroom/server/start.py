"""Starting the class server: what is looked at before, and kept going after."""

from __future__ import annotations

import ctypes
import errno
import fcntl
import hashlib
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from importlib.util import find_spec
from pathlib import Path
from urllib.request import urlopen

from workbook.classroom.roll import ClassList, read_class
from workbook.classroom.server.seats import (
    FIRST_USER,
    HUB,
    Seat,
    make_seat,
    make_work,
    readable_by,
    seats_of,
    work_of,
)
from workbook.classroom.server.settings import PROXY_PID, Server, to_environment
from workbook.course.session import FILE as PLAN
from workbook.course.session import session_beside
from workbook.errors import OutOfRangeError, WorkbookError
from workbook.exercises.seeds import plain
from workbook.files import read_at_most, read_json, write_whole
from workbook.language import say, shown
from workbook.reader.opening import FIRST, lesson_file

PROXY = "configurable-http-proxy"
PORTS, LOG, LOCK, WHOSE = "ports.json", "server.log", "lock", "class_key"
DEATH_SIGNAL = 1  # of prctl: what a process gets when its parent ends
PATIENCE = 120.0  # s until the first page must be there
LARGEST = 10_000  # bytes of the file of ports
Tell = Callable[[str], object]


def serve(
    class_file: Path,
    *,
    work: Path | None = None,
    lesson: str = "",
    address: str = "",
    port: int = 8000,
    program_mb: int = 1024,
    warm: bool = False,
    tell: Tell = print,
) -> None:
    """Run the class server until Ctrl-C is pressed.

    Parameters
    ----------
    class_file : Path
        The class list.
    work : Path, optional
        Where the students' work is kept; a folder of the system's by default.
    lesson : str
        What opens for a student; by default the one that is due next.
    address, port : str, int
        Where it listens: on every address of the machine if none is given.
    program_mb : int
        Most memory of one program of a student's.
    warm : bool
        Whether every student's place is opened now.
    tell : callable
        Receives each line for the instructor.

    Raises
    ------
    WorkbookError
        If something is not as it has to be; the sentence says what to do.
    """
    proxy = _engine()
    class_list = read_class(class_file)
    class_file, work = class_file.absolute(), work_of(class_file, work)
    first = _first(class_file, lesson)
    with _alone(_made(work)):
        _check_whose(work, class_list)
        _check_what_students_read(class_file, work)
        ports = _ports(work, port, address)
        seats = seats_of(class_list, work)
        _make_all(seats, class_file)
        server = Server(
            class_file=str(class_file),
            work=str(work),
            address=address,
            port=port,
            hub_port=ports[0],
            proxy_port=ports[1],
            proxy=proxy,
            first=first,
            program_mb=program_mb,
            warm=warm,
            users=tuple(seats),
        )
        _run(server, class_list, tell)


# -------------------------------------------------------------------------- checks


def _engine() -> str:
    """Return the proxy's program; refuse where a part of the engine is missing."""
    if not sys.platform.startswith("linux"):
        raise WorkbookError("server.no_linux")
    if not find_spec("jupyterhub") or not find_spec("jupyterhub_idle_culler"):
        raise WorkbookError("server.no_hub")
    proxy = shutil.which(PROXY) or shutil.which(
        PROXY, path=str(Path(sys.executable).parent)
    )
    if not proxy:
        raise WorkbookError("server.no_proxy")
    if os.geteuid() != 0:
        raise WorkbookError("server.not_root")
    return proxy


def _first(class_file: Path, lesson: str) -> str:
    """Return the page that opens: the lesson asked for, else the one due next."""
    from workbook.course import lesson as known

    if lesson:
        return lesson_file(known(lesson).id)
    plan = session_beside(class_file.parent)
    due = {id: plan.due(id) for id in plan.due_times}
    ahead = [
        (time, id) for id, time in due.items() if time and time.timestamp() > time_now()
    ]
    return lesson_file(min(ahead)[1]) if ahead else FIRST


def time_now() -> float:
    """Return the time, in seconds since 1970."""
    return time.time()


def _made(work: Path) -> Path:
    try:
        make_work(work)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise WorkbookError(
            "server.not_written", folder=shown(str(work)), reason=reason
        ) from error
    return work


@contextmanager
def _alone(work: Path) -> Iterator[None]:
    """Hold the lock of a class's work, as long as this program or the hub runs."""
    with (work / HUB / LOCK).open("a") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise WorkbookError("server.runs_already") from None
        os.set_inheritable(file.fileno(), True)
        yield


def _check_whose(work: Path, class_list: ClassList) -> None:
    """Refuse the work of another class, in which a code may be somebody else's."""
    mark = work / HUB / WHOSE
    whose = hashlib.sha256(plain(class_list.key).encode()).hexdigest()
    if not mark.is_file():
        write_whole(mark, whose.encode())
    if mark.read_text("ascii") != whose:
        raise WorkbookError("server.other_class", folder=shown(str(work)))


def _check_what_students_read(class_file: Path, work: Path) -> None:
    """Refuse where students could read the codes, or could not run the workbook."""
    nobody = FIRST_USER - 1  # has the rights of a student, and no seat
    for place in (class_file, class_file.parent):
        if readable_by(nobody, place):
            folder = shown(str(class_file.parent))
            raise WorkbookError("server.open_list", folder=folder)
    if not _runs(nobody):
        raise WorkbookError("server.closed_program", folder=sys.prefix)
    above = [folder for folder in work.parents if not _enterable(folder)]
    if above:
        raise WorkbookError("server.closed_work", folder=shown(str(above[-1])))


def _runs(user: int) -> bool:
    """Tell whether a student could start the workbook at all."""
    what = [sys.executable, "-P", "-c", "import jupyterhub, workbook"]
    try:
        tried = subprocess.run(
            what, cwd="/", user=user, group=user, extra_groups=[], capture_output=True
        )
    except OSError:  # the program itself is out of reach
        return False
    return tried.returncode == 0


def _enterable(folder: Path) -> bool:
    return bool(folder.stat().st_mode & 0o001)


def _make_all(seats: dict[str, Seat], class_file: Path) -> None:
    for seat in seats.values():
        try:
            make_seat(seat, class_file.with_name(PLAN))
        except OSError as error:
            reason = (error.strerror or str(error)).lower()
            raise WorkbookError(
                "server.no_seat", folder=shown(str(seat.folder)), reason=reason
            ) from error


def _ports(work: Path, port: int, address: str) -> tuple[int, int]:
    """Return the two ports seen here alone; refuse where students' is taken."""
    if not 1 <= port <= 65535:
        raise OutOfRangeError("opening.no_port", port=port)
    if not _free(port, address) and not _left_behind(work):
        raise WorkbookError("server.port_taken", port=port)
    try:
        kept = read_json(read_at_most(work / HUB / PORTS, LARGEST))
        ports = int(kept[0]), int(kept[1])
    except (OSError, ValueError, TypeError, IndexError, KeyError):
        ports = (0, 0)
    if not all(ports) or not _free(ports[0], "127.0.0.1"):
        with (
            socket.create_server(("127.0.0.1", 0)) as one,
            socket.create_server(("127.0.0.1", 0)) as other,
        ):
            ports = one.getsockname()[1], other.getsockname()[1]
        write_whole(work / HUB / PORTS, json.dumps(ports).encode())
    return ports


def _free(port: int, address: str) -> bool:
    try:
        socket.create_server((address, port)).close()
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            return False
        raise WorkbookError(
            "server.no_address", address=shown(address), port=port
        ) from error
    return True


def _left_behind(work: Path) -> bool:
    """Tell whether our own proxy runs on, whose hub was killed; the hub takes it in."""
    with suppress(OSError, ValueError):
        pid = int((work / HUB / PROXY_PID).read_text("ascii"))
        return PROXY.encode() in Path(f"/proc/{pid}/cmdline").read_bytes()
    return False


# --------------------------------------------------------------------------- engine


def _run(server: Server, class_list: ClassList, tell: Tell) -> None:
    """Run the hub, and start it again if it ends by itself."""
    stopped: list[int] = []
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, lambda which, _frame: stopped.append(which))
    tell(say("server", "work", folder=server.work))
    while not stopped:
        hub = _start(server)
        answered = _answers(server, hub, stopped)
        if answered:
            count = len(class_list.students)
            where = f"http://{server.address or socket.gethostname()}:{server.port}/"
            tell(say("server", "ready", address=where, count=count))
            tell(say("server", "key", key=class_list.key))
            tell(say("server", "close"))
        while hub.poll() is None:
            if stopped:
                tell(say("server", "closing"))
                hub.send_signal(signal.SIGTERM)
                hub.wait()
            time.sleep(0.2)
        if not stopped and not answered:
            log = shown(str(Path(server.work) / HUB / LOG))
            raise WorkbookError("server.does_not_start", file=log)
        if not stopped:
            tell(say("server", "again"))
    tell(say("server", "closed", folder=server.work))


def _start(server: Server) -> subprocess.Popen[bytes]:
    """Start the hub; what it logs goes to a file, the lock goes with it."""
    folder = Path(server.work) / HUB
    settings = Path(__file__).with_name("settings.py")
    with (folder / LOG).open("ab") as log:
        return subprocess.Popen(
            [sys.executable, "-P", "-m", "jupyterhub", "-f", str(settings)],
            cwd=folder,
            env={**os.environ, **to_environment(server)},
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=log,
            close_fds=False,  # the lock
            start_new_session=True,  # Ctrl-C is for us: we end it in order
            preexec_fn=_end_with_parent,
        )


def _end_with_parent() -> None:
    """Have the hub killed if we are: its places run on, and it can be started again."""
    ctypes.CDLL(None).prctl(DEATH_SIGNAL, signal.SIGKILL, 0, 0, 0)


def _answers(server: Server, hub: subprocess.Popen[bytes], stopped: list[int]) -> bool:
    """Wait for the first page, as long as the hub runs."""
    end = time.monotonic() + PATIENCE
    page = f"http://{server.address or '127.0.0.1'}:{server.port}/hub/login"
    while time.monotonic() < end and hub.poll() is None and not stopped:
        with suppress(OSError), urlopen(page, timeout=5):
            return True
        time.sleep(0.2)
    return False
