"""A class server as an instructor starts it, on a free port of this machine."""

import csv
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path

import pytest
from a_student import Student
from in_reach import command

from workbook.classroom.server.seats import FIRST_USER, as_user
from workbook.classroom.server.settings import PROXY_PID
from workbook.classroom.server.start import PROXY

PATIENCE = 120  # s
NAMES = ("Zoë", "Ada", "O'Neill, Kim")


class ClassServer:
    """A class list in a folder of the instructor's, and its server."""

    def __init__(self, place, work):
        place.chmod(0o700)
        self.place, self.work, self.file = place, work, place / "class.csv"
        (place / "names.txt").write_text("\n".join(NAMES), encoding="utf-8")
        self.call("class", place / "names.txt", "-o", self.file)
        with self.file.open(encoding="utf-8-sig", newline="") as file:
            self.rows = [*csv.DictReader(file)]
        with socket.create_server(("127.0.0.1", 0)) as free:
            self.port = free.getsockname()[1]
        self.printed = place / "printed.txt"
        self.process = None

    def call(self, *arguments):
        """Run a command; return what it printed."""
        done = subprocess.run(
            [sys.executable, "-m", "workbook", *map(str, arguments)],
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def start(self, *options):
        """Start the server, and wait until it says that it is ready."""
        call = ("serve", self.file, "--work", self.work, "--address", "127.0.0.1")
        with self.printed.open("wb") as stream:
            self.process = subprocess.Popen(
                command(
                    sys.executable, "-m", "workbook",
                    *map(str, call), "--port", str(self.port), *options,
                ),
                stdout=stream,
                stderr=subprocess.STDOUT,
            )  # fmt: skip
        self.wait("Ready for")

    def wait(self, words, *, times=1):
        """Wait until the server has printed something so many times."""
        end = time.monotonic() + PATIENCE
        while self.said().count(words) < times:
            assert self.process.poll() is None, self.said() + self.log()
            assert time.monotonic() < end, self.said() + self.log()
            time.sleep(0.1)

    def said(self):
        """Return what the server has printed."""
        return self.printed.read_text(encoding="utf-8")

    def log(self):
        """Return the last of what the engine has logged."""
        log = self.work / "hub" / "server.log"
        return log.read_text("utf-8", "replace")[-3000:] if log.exists() else ""

    def student(self, number):
        """Return a student of the list, who has not signed in yet."""
        row = self.rows[number]
        return Student(f"http://127.0.0.1:{self.port}", row["code"], row["class_key"])

    def folder(self, number):
        """Return the folder of a student."""
        return self.work / "students" / self.rows[number]["code"].lower()

    def hub(self):
        """Return the number of the hub's process."""
        tasks = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children")
        return int(tasks.read_text("ascii").split()[0])

    def keepers(self):
        """Return the numbers of what closes unused places of this server."""
        ports = json.loads((self.work / "hub" / "ports.json").read_text("ascii"))
        found = []
        for task in Path("/proc").glob("[0-9]*"):
            with suppress(OSError):
                told = (task / "environ").read_bytes()
                if b"JUPYTERHUB_SERVICE_NAME=keeper" in told:
                    found += [int(task.name)] * (b":%d/" % ports[0] in told)
        return found

    def end(self):
        """End the class as Ctrl-C does."""
        if self.process and self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            self.process.wait(PATIENCE)

    def running(self):
        """Return the numbers of what runs as one of the students."""
        folders = (self.work / "students").glob("*")
        students = {folder.stat().st_uid for folder in folders}
        found = []
        for task in Path("/proc").glob("[0-9]*"):
            with suppress(OSError):  # it has just ended
                found += [int(task.name)] * (task.stat().st_uid in students)
        return found


def not_granted():
    """Return what this machine grants not even its administrator, as some do."""
    lacks = []
    try:
        as_user(FIRST_USER, bytes)
    except OSError as error:
        lacks.append(f"users without accounts ({error})")
    start = command(sys.executable, "-c", "")
    if subprocess.run(start, capture_output=True, check=False).returncode:
        lacks.append("Python where every user may read, or a mount namespace")
    return lacks


@pytest.fixture(scope="module")
def class_server(tmp_path_factory):
    """Run the server of a class of three."""
    lacks = [] if os.geteuid() == 0 else ["the administrator's rights"]
    lacks += [] if shutil.which(PROXY) else [f"{PROXY} (npm install -g {PROXY})"]
    if lacks and os.environ.get("CI"):
        pytest.fail(f"missing, and these tests must run here: {lacks}")
    if lacks or (lacks := not_granted()):
        pytest.skip(f"a class server needs {lacks}")
    work = Path(tempfile.mkdtemp(prefix="pw-class-"))
    server = ClassServer(tmp_path_factory.mktemp("class"), work)
    (server.place / "session.toml").write_text(
        "form = 1\n[lessons.L08]\ndue = 2020-01-01T08:00:00\n", encoding="utf-8"
    )
    try:
        server.start("--lesson", "08")
        yield server
    finally:
        server.end()
        # Where a test failed half-way.
        proxies = [int(file.read_text()) for file in work.glob(f"hub/{PROXY_PID}")]
        for left in (*server.running(), *proxies):
            with suppress(ProcessLookupError):
                os.kill(left, signal.SIGKILL)
        shutil.rmtree(work)
