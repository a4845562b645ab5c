"""The settings of the engine, JupyterHub, for one class on one machine.

It runs this file (``jupyterhub -f``); what differs between classes comes in one
variable of the environment.
"""

from __future__ import annotations

import json
import os
import sys
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from workbook.classroom.server.seats import HUB
from workbook.language import entries, text

VARIABLE = "PULLWRIGHT_SERVER"
PAGES = Path(__file__).parent / "pages"
PROXY_PID = "proxy.pid"
IDLE = 3600  # s after which a place that nobody uses is closed
PATIENCE = 600  # s that a student's turn may take, with a class before


@dataclass(frozen=True, kw_only=True)
class Server:
    """What one class server is to do.

    ``hub_port`` and ``proxy_port`` are seen on this machine alone; they stay the same
    while anything runs, so that students' servers find the hub that was started again.
    """

    class_file: str
    work: str
    address: str
    port: int
    hub_port: int
    proxy_port: int
    proxy: str
    first: str
    program_mb: int
    warm: bool
    users: tuple[str, ...]


def to_environment(server: Server) -> dict[str, str]:
    """Return a server as the variable that `configure` reads."""
    return {VARIABLE: json.dumps(asdict(server))}


def welcome(c: Any, class_file: str) -> None:
    """Let a class in by its codes, on our own pages; alike on one machine or many."""
    from workbook.classroom.server.codes import CodeAuthenticator

    c.JupyterHub.authenticator_class = CodeAuthenticator
    c.CodeAuthenticator.class_file = class_file
    c.Authenticator.allow_all = True  # of those with a code
    c.JupyterHub.template_paths = [str(PAGES)]
    says = {name: text("server", "page", name) for name in entries()["server"]["page"]}
    c.JupyterHub.template_vars = {"says": says}
    # Whoever waits is told so at once.
    c.JupyterHub.tornado_settings = {"slow_spawn_timeout": 0}


def configure(c: Any, server: Server) -> None:
    """Set the engine up for a class."""
    from workbook.classroom.server.spawner import SeatSpawner

    welcome(c, server.class_file)
    hub = Path(server.work) / HUB
    c.JupyterHub.bind_url = f"http://{server.address}:{server.port}/"
    c.JupyterHub.hub_ip = "127.0.0.1"
    c.JupyterHub.hub_port = server.hub_port
    c.JupyterHub.db_url = f"sqlite:///{hub / 'hub.sqlite'}"
    c.JupyterHub.cookie_secret_file = str(hub / "cookie_secret")
    c.ConfigurableHTTPProxy.api_url = f"http://127.0.0.1:{server.proxy_port}"
    c.ConfigurableHTTPProxy.command = [server.proxy]
    c.ConfigurableHTTPProxy.pid_file = str(hub / PROXY_PID)

    c.Authenticator.allowed_users = {*server.users}  # known before they come

    c.JupyterHub.spawner_class = SeatSpawner
    c.SeatSpawner.class_file = server.class_file
    c.SeatSpawner.work = server.work
    c.SeatSpawner.program_mb = server.program_mb
    c.Spawner.default_url = f"/lab/tree/{server.first}"
    c.Spawner.args = [
        # What a kernel says goes through this machine, where others listen.
        "--KernelManager.transport_encryption=required",
        "--LabApp.extension_manager=readonly",
    ]
    c.Spawner.start_timeout = c.Spawner.http_timeout = PATIENCE
    c.LocalProcessSpawner.interrupt_timeout = 10
    c.JupyterHub.concurrent_spawn_limit = 0  # the spawner takes them in turn
    # Ctrl-C ends a class. Killed, the students' servers go on and are found again.
    c.JupyterHub.cleanup_servers = True

    _add_the_keeper(c, server)


def _add_the_keeper(c: Any, server: Server) -> None:
    """Have places opened before class if asked for, and closed when nobody is there."""
    c.JupyterHub.load_roles = [
        {
            "name": "keeper",
            "services": ["keeper"],
            "scopes": ["list:users", "read:users:activity", "read:servers", "servers"],
        }
    ]
    c.JupyterHub.services = [
        {
            "name": "keeper",
            "command": [
                sys.executable,
                "-P",
                "-m",
                "workbook.classroom.server.keeper",
                f"--timeout={IDLE}",
            ],
            "environment": {
                "PULLWRIGHT_WARM": "yes" if server.warm else "",
                "PYTHONPATH": os.environ.get("PYTHONPATH", ""),
            },
        }
    ]


if VARIABLE in os.environ and "get_config" in globals():
    given = json.loads(os.environ[VARIABLE])
    configure(globals()["get_config"](), Server(**given))
