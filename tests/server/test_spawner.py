"""Starting a student's server, without a hub: what becomes of one that ends at once."""

import asyncio
from pathlib import Path
from types import SimpleNamespace

import pytest
from apart import finished
from tornado.web import HTTPError

from workbook.classroom.server import spawner as module

SEAT = SimpleNamespace(user=1, folder=Path("nowhere"), name="k7mr", class_key="PC673D")


class Spawner(module.SeatSpawner):
    """One whose process stays alive only from its second start on."""

    seat = SEAT
    get_args = get_env = list
    lives_from = 2

    async def poll(self):
        """Return what the process ended with, if it has."""
        return None if self.pid >= self.lives_from else 1


def test_a_server_that_ends_before_it_answers_is_started_on_another_port(monkeypatch):
    started = []

    class Starter:
        async def start(self, to_start):
            started.append(to_start.user)
            return len(started)

    async def answered(_page, *, timeout):
        await asyncio.sleep(0 if len(started) >= one.lives_from else timeout)

    ports = iter(range(20000, 20009))
    for name, it in {
        "STARTER": Starter(),
        "AT_ONCE": asyncio.Semaphore(1),
        "make_seat": lambda *_: None,
        "random_port": lambda: next(ports),
        "wait_for_http_server": answered,
    }.items():
        monkeypatch.setattr(module, name, it)
    one = Spawner(
        user=SimpleNamespace(base_url="/user/k7mr/"),
        class_file="class.csv",
        http_timeout=60,
    )

    assert finished(one.start()) == ("127.0.0.1", 20001)
    assert started == [SEAT.user] * 2
    one.lives_from, started[:] = 9, []
    with pytest.raises(HTTPError, match="could not be made ready"):
        finished(one.start())
    assert len(started) == module.TRIES
    assert module.SeatSpawner.waiting == 0
