"""The keeper of the places: opens every student's before class, closes unused ones.

A service of JupyterHub's. It asks for each student's server if that is wanted, and
then becomes the engine's own culler of idle servers. It ends with its hub, also where
that is killed: the hub that is started again begins its own.
"""

from __future__ import annotations

import ctypes
import json
import os
import signal
import sys
from collections.abc import Mapping, Sequence
from itertools import count
from urllib.parse import quote
from urllib.request import Request, urlopen

WARM = "PULLWRIGHT_WARM"
PAGE = 100  # users told of at a time
ENDS_WITH_PARENT = 1  # of prctl: the signal that tells of it


def open_all(known: Mapping[str, str]) -> list[str]:
    """Ask for the server of each student who has none; return whose."""
    asked: list[str] = []
    for start in count(0, PAGE):
        users = json.loads(_ask(known, f"users?offset={start}&limit={PAGE}"))
        for user in users:
            if not user.get("server") and not user.get("pending"):
                _ask(known, f"users/{quote(user['name'])}/server", data=b"{}")
                asked.append(str(user["name"]))
        if len(users) < PAGE:
            break
    return asked


def _ask(known: Mapping[str, str], what: str, data: bytes | None = None) -> bytes:
    request = Request(
        f"{known['JUPYTERHUB_API_URL']}/{what}",
        data=data,
        headers={"Authorization": f"token {known['JUPYTERHUB_API_TOKEN']}"},
    )
    with urlopen(request, timeout=60) as answer:
        return bytes(answer.read())


def main(arguments: Sequence[str]) -> None:
    """Open what is wanted, and become the culler."""
    ctypes.CDLL(None).prctl(ENDS_WITH_PARENT, signal.SIGTERM, 0, 0, 0)
    if os.environ.get(WARM):
        open_all(os.environ)
    command = [sys.executable, "-P", "-m", "jupyterhub_idle_culler", *arguments]
    os.execv(sys.executable, command)


if __name__ == "__main__":
    main(sys.argv[1:])
