"""As whom a student's programs run: the seat's user, in the seat's folder."""

from __future__ import annotations

import asyncio
import os
import sys
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

from jupyterhub.spawner import LocalProcessSpawner
from jupyterhub.utils import random_port, wait_for_http_server
from tornado.web import HTTPError
from traitlets import Integer, Unicode

from workbook.classroom.server.codes import listed
from workbook.classroom.server.seats import Seat, make_seat, seats_of
from workbook.classroom.server.starter import Starter, ToStart
from workbook.course.session import FILE as PLAN
from workbook.language import say, text

HERE = "127.0.0.1"
STARTER = Starter()
TRIES = 3  # of a server that ends before it answers
AT_ONCE = asyncio.Semaphore(2 * (os.cpu_count() or 1))  # how many places are made


class SeatSpawner(LocalProcessSpawner):  # type: ignore[misc]
    """Starts a student's server as the user of the seat, which no account has.

    A few at a time: whoever is first gets to work first.
    """

    class_file = Unicode().tag(config=True)
    work = Unicode().tag(config=True)
    program_mb = Integer(1024).tag(config=True)
    waiting = 0  # of all that are asked for

    @property
    def seat(self) -> Seat:
        """The student's seat."""
        return seats_of(listed(Path(self.class_file)), Path(self.work))[self.user.name]

    def user_env(self, env: dict[str, str]) -> dict[str, str]:
        """Add where the student works."""
        seat = self.seat
        return {
            **env,
            "USER": seat.name,
            "HOME": str(seat.folder),
            "SHELL": "/bin/sh",
            "PATH": f"{Path(sys.executable).parent}{os.pathsep}{env.get('PATH', '')}",
            # With a class on few cores, more threads only wait for each other.
            "OPENBLAS_NUM_THREADS": "1",
        }

    async def start(self) -> Any:
        """Make the seat if it is new, start the server, and wait until it answers."""
        seat = self.seat
        SeatSpawner.waiting += 1
        try:
            async with AT_ONCE:
                make_seat(seat, Path(self.class_file).with_name(PLAN))
                for _ in range(TRIES):  # another program may have taken its port
                    self.port = random_port()
                    self.pid = await STARTER.start(self._to_start(seat))
                    page = f"http://{HERE}:{self.port}{self.user.base_url}api"
                    if await self._answers(page):
                        return HERE, self.port
        finally:
            SeatSpawner.waiting -= 1
        raise HTTPError(500, text("server", "page", "failed"))

    def _to_start(self, seat: Seat) -> ToStart:
        return ToStart(
            user=seat.user,
            folder=str(seat.folder),
            program_mb=self.program_mb,
            arguments=self.get_args(),
            environment=self.get_env(),
        )

    async def _answers(self, page: str) -> bool:
        """Wait for an answer, or for the end of the process; tell which it was."""
        answer = asyncio.ensure_future(
            wait_for_http_server(page, timeout=self.http_timeout)
        )
        while not answer.done() and await self.poll() is None:
            await asyncio.wait([answer], timeout=0.5)
        came: bool = answer.done()
        answer.cancel()
        return came

    async def progress(self) -> AsyncIterator[dict[str, Any]]:
        """Tell the student how many places are being made."""
        while True:
            told = say("server", "progress", count=SeatSpawner.waiting)
            yield {"progress": 50, "message": told}
            await asyncio.sleep(3)
