"""Run a module of the front end alone: a page, a clock to wind, a kernel that listens.

No notebook and no kernel take part. `shown(...)` renders the module on a page; in the
page there are then ``model`` (``values``, ``sent``, ``saved``, ``change``),
``place`` (its element) and ``clean`` (what it returned).
"""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Error, Page, Route

ROOT = Path(__file__).parents[2]
ADDRESS = "http://workbook.test"  # answered here: nothing leaves the machine


@pytest.fixture(scope="module")
def tab(chromium: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    """Return a tab that answers with the module that a file of tests is about."""
    module = ROOT / str(request.module.MODULE)
    texts = {
        f"{ADDRESS}/": (Path(__file__).parent / "harness.html", "text/html"),
        f"{ADDRESS}/module.js": (module, "text/javascript"),
    }

    def answer(route: Route) -> None:
        asked = route.request.url
        beside = module.parent / asked.rpartition("/")[2]
        path, kind = texts.get(asked, (beside, "text/javascript"))
        route.fulfill(body=path.read_text("utf-8"), content_type=kind)

    with chromium.new_context() as context:
        page = context.new_page()
        page.route("**/*", answer)
        page.clock.install()
        page.goto(ADDRESS)
        page.clock.pause_at(page.evaluate("Date.now() + 1000"))
        yield page


@pytest.fixture
def page(tab: Page) -> Iterator[Page]:
    """Return a fresh page with the module loaded; its time stands until it is wound."""
    troubles: list[str] = []

    def note(error: Error) -> None:
        troubles.append(str(error))

    tab.evaluate("localStorage.clear()")
    tab.on("pageerror", note)
    tab.goto(ADDRESS)
    tab.wait_for_function("() => window.show")
    yield tab
    tab.remove_listener("pageerror", note)
    assert troubles == []


@pytest.fixture
def shown(page: Page) -> Callable[..., Page]:
    """Return a function that renders the module and lets its first frame pass."""

    def show(values: dict[str, Any], html: str = "<div id=place></div>") -> Page:
        page.evaluate("([values, html]) => show(values, html)", [values, html])
        page.clock.run_for(50)
        return page

    return show
