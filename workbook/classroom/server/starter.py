"""Starts students' servers quickly: each is split off from one process.

That process has loaded what every server loads. One that is split off begins with all
of it, and what neither of them changes lies in memory once. The process knows no
secret of the hub's: it runs in an environment of its own, and is told no more than what
a student's server is told.
"""

from __future__ import annotations

import asyncio
import ctypes
import errno
import gc
import json
import os
import resource
import select
import signal
import sys
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass

from workbook.classroom.server.seats import become
from workbook.reader import seat

KEPT = ("PATH", "PYTHONPATH", "LD_LIBRARY_PATH", "LANG", "LC_ALL")  # of the hub's
MOST_TASKS = 400  # programs and threads of one student
MEGABYTE = 2**20
DUMPABLE = 4  # of prctl: whether a process belongs to its user in the system's eyes


@dataclass(frozen=True, kw_only=True)
class ToStart:
    """A server to be started: as whom, where, and what it is told."""

    user: int
    folder: str
    program_mb: int
    arguments: Sequence[str]
    environment: Mapping[str, str]


class Starter:
    """The process that servers are split off from; begun for the first of them."""

    def __init__(self) -> None:
        self._process: asyncio.subprocess.Process | None = None
        self._turn = asyncio.Lock()

    async def start(self, asked: ToStart) -> int:
        """Start a server; return the number of its process.

        Raises
        ------
        OSError
            If it could not be started.
        """
        async with self._turn:
            process = self._process
            if process is None or process.returncode is not None:
                process = self._process = await _begun()
            assert process.stdin is not None
            assert process.stdout is not None
            process.stdin.write(json.dumps(asdict(asked)).encode() + b"\n")
            await process.stdin.drain()
            number = await process.stdout.readline()
            if not number:
                await process.wait()
                raise BrokenPipeError(errno.EPIPE, os.strerror(errno.EPIPE))
            return int(number)


async def _begun() -> asyncio.subprocess.Process:
    return await asyncio.create_subprocess_exec(
        *(sys.executable, "-P", "-m", __name__),
        env={name: os.environ[name] for name in KEPT if name in os.environ},
        stdin=asyncio.subprocess.PIPE,
        stdout=asyncio.subprocess.PIPE,
        start_new_session=True,  # Ctrl-C is for others
    )


# What runs in the process, and in those that are split off. ----------------------


def serve() -> None:
    """Start the servers that are asked for, a line each, until nobody asks any more."""
    seat.load()
    gc.collect()
    gc.freeze()  # it is looked through no more, and so stays where it is
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # one that ends leaves nothing
    while _asked():
        pass


def _asked() -> bool:
    """Split one server off as soon as it is asked for; tell whether it was.

    Only the one that is split off reads what is asked. Codes and tokens of one student
    so never lie in the memory that the next one begins with.
    """
    select.select([0], [], [])
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        line = _line()
        os.write(writing, b"." if line else b"")
        if line:
            _begin(ToStart(**json.loads(line)))
        os._exit(0)  # nobody asks any more
    os.close(writing)
    asked = bool(os.read(reading, 1))
    os.close(reading)
    if asked:
        os.write(1, b"%d\n" % child)
    return asked


def _line() -> bytes:
    """Return what is asked: a line, of which there is one at a time."""
    read = b""
    while not read.endswith(b"\n"):
        more = os.read(0, 65536)
        if not more:
            return b""
        read += more
    return read


def _begin(asked: ToStart) -> None:
    """Become a student's server, for good; what goes wrong is in the hub's log."""
    code = 1
    try:
        os.setsid()
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        os.dup2(os.open(os.devnull, os.O_RDWR), 0)
        os.dup2(2, 1)
        os.closerange(3, os.sysconf("SC_OPEN_MAX"))
        _take(asked)
        os.environ.clear()
        os.environ.update(asked.environment)
        seat.run(asked.arguments)
        code = 0
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 0
    except BaseException:
        sys.excepthook(*sys.exc_info())
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def _take(asked: ToStart) -> None:
    """Turn this process into the student's own, in the student's folder."""
    most = asked.program_mb * MEGABYTE
    resource.setrlimit(resource.RLIMIT_DATA, (most, most))
    resource.setrlimit(resource.RLIMIT_NPROC, (MOST_TASKS, MOST_TASKS))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    become(asked.user)
    ctypes.CDLL(None).prctl(DUMPABLE, 1, 0, 0, 0)
    os.chdir(asked.folder)


if __name__ == "__main__":
    serve()
