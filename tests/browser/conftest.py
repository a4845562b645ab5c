"""Drive the workbook in headless Chromium as a reader does.

The ``lab`` fixture is a page of JupyterLab on a workbook of its own::

    lab.folder                          # put notebooks here
    lab.open("00_start_here.ipynb")     # returns when the kernel is idle
    lab.run_all()                       # through the menu
    lab.press("angle [deg]", "ArrowRight", times=3)
    lab.html_widgets.first              # Playwright locators
    lab.screenshot("name")              # kept in the test's own folder
"""

import json
import re
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, TimeoutError
from standing import BUSY, IDLE

from workbook.course import lessons
from workbook.reader.record import FILE, Record
from workbook.reader.way_in import WayIn

PATIENCE = 60_000  # ms; machines are noisy
LAPTOP: Any = {"width": 1366, "height": 768}
KEPT = "cookies,local_storage,indexeddb"
PANEL = ".jp-NotebookPanel:not(.lm-mod-hidden)"


class Lab:
    """A browser page showing JupyterLab on a folder of lessons."""

    def __init__(self, page: Page, *, folder: Path, address: str, shots: Path) -> None:
        self.page = page
        self.folder = folder
        self.address = address
        self.shots = shots
        self.requests: list[str] = []
        page.on("request", lambda request: self.requests.append(request.url))

    def open(self, name: str) -> None:
        """Open a notebook alone, by its address, and wait until its kernel is idle."""
        # Without the reset, what an earlier test left open is opened as well, and
        # it may be that notebook's kernel that is idle.
        self.page.goto(self.address.replace("00_start_here.ipynb", name) + "&reset")
        self.wait_idle()

    def as_new(self) -> None:
        """Leave what is open, and forget all that was kept of it."""
        self.page.goto("about:blank")
        self.page.set_viewport_size(LAPTOP)
        self.requests.clear()
        kept = {"origin": self.address.partition("/lab/")[0], "storageTypes": KEPT}
        talk = self.page.context.new_cdp_session(self.page)
        talk.send("Storage.clearDataForOrigin", kept)
        talk.detach()

    def show_everything(self) -> None:
        """Open lessons with all their parts open, as an instructor may."""
        self.page.add_init_script("localStorage.setItem('pullwright:all', 'true')")

    def open_gates(self) -> None:
        """Open by hand, as an instructor may, each lesson that stands behind a gate."""
        record = Record(self.folder / FILE)
        for one in lessons().values():
            if one.behind:
                WayIn(one, record).open_by_hand("looked at by a test")

    def wait_idle(self) -> None:
        """Wait until the kernel is idle and no cell waits to be run."""
        self.page.wait_for_function(IDLE)

    def end_kernels(self) -> None:
        """End every kernel of the server, as a computer that is switched off does."""
        found = re.fullmatch(r"(.*/)lab/tree/.*\?token=(.*)", self.address)
        assert found

        def ask(path: str, method: str = "GET") -> str:
            head = {"Authorization": f"token {found[2]}"}
            request = urllib.request.Request(found[1] + path, None, head, method=method)
            with urllib.request.urlopen(request, timeout=60) as answer:
                return str(answer.read().decode())

        for session in json.loads(ask("api/sessions")):
            ask(f"api/sessions/{session['id']}", "DELETE")
        assert json.loads(ask("api/kernels")) == []

    def run_all(self) -> None:
        """Choose Run, Run All Cells, and wait until the last cell is done."""
        self.page.locator(".lm-MenuBar-itemLabel", has_text="Run").first.click()
        self.page.locator('li.lm-Menu-item[data-command="runmenu:run-all"]').click()
        with suppress(TimeoutError):  # it may be over before it is looked at
            self.page.wait_for_function(BUSY, timeout=2_000)
        self.wait_idle()

    @property
    def panel(self) -> Locator:
        """The notebook in front."""
        return self.page.locator(PANEL)

    @property
    def html_widgets(self) -> Locator:
        """Every HTML widget of the notebook in front."""
        return self.panel.locator(".widget-html-content")

    @property
    def sliders(self) -> Locator:
        """Every slider handle of the notebook in front."""
        return self.panel.locator(".widget-slider .noUi-handle")

    def slider(self, label: str) -> Locator:
        """Return the handle of the slider with this text beside it."""
        row = self.panel.locator(".widget-slider", has_text=label)
        return row.locator(".noUi-handle")

    def press(self, label: str, key: str, *, times: int = 1) -> None:
        """Press a key on a slider, as often as said."""
        handle = self.slider(label)
        handle.focus()
        for _ in range(times):
            handle.press(key)

    def screenshot(self, name: str) -> Path:
        """Keep a picture of the page in the test's folder and return its path."""
        path = self.shots / f"{name}.png"
        self.page.screenshot(path=path)
        return path


@pytest.fixture(scope="session")
def open_folder(
    start_workbook: Callable[..., Any], tmp_path_factory: pytest.TempPathFactory
) -> Any:
    """One running workbook for all browser tests."""
    return start_workbook(tmp_path_factory.mktemp("reader") / "My lessons à moi")


def laptop(chromium: Browser, open_folder: Any, shots: Path) -> Iterator[Lab]:
    """Yield a fresh page, the size of a cheap laptop's screen."""
    page = chromium.new_page(viewport=LAPTOP)
    page.set_default_timeout(PATIENCE)
    yield Lab(page, folder=open_folder.folder, address=open_folder.address, shots=shots)
    page.close()


@pytest.fixture
def lab(chromium: Browser, open_folder: Any, tmp_path: Path) -> Iterator[Lab]:
    """Open a page for one test, which has to see how something opens."""
    yield from laptop(chromium, open_folder, tmp_path)


@pytest.fixture(scope="module")
def kept_lab(
    chromium: Browser, open_folder: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Lab]:
    """Open a page for all tests of a file: to open a lesson is most of the work."""
    yield from laptop(chromium, open_folder, tmp_path_factory.mktemp("shots"))
