"""Start the workbook as a reader does, away from the developer's own files."""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import hypothesis
import pytest
from chromium import launched
from execute import new_reader
from filelock import FileLock
from playwright.sync_api import Browser

# On a shared machine a red run must come red again: the same examples each time.
hypothesis.settings.register_profile("same", deadline=None, derandomize=True)
hypothesis.settings.register_profile("new", deadline=None)
hypothesis.settings.load_profile("same" if os.environ.get("CI") else "new")

START_LIMIT = 120  # s, on a busy machine


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Leave the long tests to `.ci/run`, and to whoever sets CI."""
    if os.environ.get("CI"):
        return
    skip = pytest.mark.skip(reason="long: set CI=true to run it")
    for item in items:
        if item.get_closest_marker("long"):
            item.add_marker(skip)


@dataclass(frozen=True, kw_only=True)
class OpenWorkbook:
    """A running ``pullwright open``."""

    folder: Path
    process: subprocess.Popen[bytes]
    printed: Path

    @property
    def address(self) -> str:
        """The address printed, or an empty string before it is."""
        marker = "Open at "
        lines = self.printed.read_text(encoding="utf-8").splitlines()
        return next((x.removeprefix(marker) for x in lines if marker in x), "")

    def wait(self) -> None:
        """Wait until it says where it is open."""
        end = time.monotonic() + START_LIMIT
        while not self.address:
            said = self.printed.read_text(encoding="utf-8")
            assert self.process.poll() is None, f"it ended: {said}"
            assert time.monotonic() < end, f"not open after {START_LIMIT} s: {said}"
            time.sleep(0.1)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One headless Chromium for all tests in a browser."""
    yield from launched()


@pytest.fixture(scope="session")
def reader_environment(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Environment of a reader who has never used Jupyter on this machine."""
    return new_reader(tmp_path_factory.mktemp("home"))


@pytest.fixture(scope="session")
def start_workbook(
    reader_environment: dict[str, str], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Callable[..., OpenWorkbook]]:
    """Start ``pullwright open`` on a folder; what still runs at the end is killed."""
    started: list[subprocess.Popen[bytes]] = []
    # At a terminal Jupyter would ask before it ends, so the input is one.
    terminal = os.openpty()[1] if hasattr(os, "openpty") else subprocess.DEVNULL

    def start(folder: Path, *options: str, browser: bool = False) -> OpenWorkbook:
        options = options if browser else ("--no-browser", *options)
        printed = tmp_path_factory.mktemp("printed") / "both.txt"
        # Two that look for a free port at once would find the same.
        with FileLock(Path(tempfile.gettempdir()) / "pullwright-tests.lock"):
            with printed.open("wb") as stream:
                process = subprocess.Popen(
                    [sys.executable, "-m", "workbook", "open", folder, *options],
                    env=reader_environment,
                    cwd=printed.parent,
                    stdin=terminal,
                    stdout=stream,
                    stderr=subprocess.STDOUT,
                )
            started.append(process)
            workbook = OpenWorkbook(folder=folder, process=process, printed=printed)
            workbook.wait()
        return workbook

    yield start
    for process in started:
        process.kill()
        process.wait()


@pytest.fixture
def settings_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep the choice of units of each test to itself, and the reader's record."""
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    return tmp_path
