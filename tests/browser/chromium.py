"""Headless Chromium for whoever needs a browser: tests and benchmarks."""

import os
import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, sync_playwright

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def launched() -> Iterator[Browser]:
    """Yield one browser; skip where there is none, but fail in CI."""
    found = shutil.which("chromium") or shutil.which("google-chrome")
    if found is None:
        if os.environ.get("CI"):
            pytest.fail("Chromium is missing, and these tests must run here")
        pytest.skip("Chromium is not installed (Debian: apt-get install chromium)")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=FLAGS)
        yield browser
        browser.close()
