"""A pytest plugin: which test runs which lines, and a run of some tests only.

`run` loads it. ``MUTATION_LINES`` is a coverage file to mark test by test and
``MUTATION_TESTS`` a file of the tests to keep, in the order to run them in.
"""

import json
import os
from pathlib import Path

import coverage


def pytest_collection_modifyitems(items):
    chosen = os.environ.get("MUTATION_TESTS")
    if chosen:
        order = {name: i for i, name in enumerate(json.loads(Path(chosen).read_text()))}
        items[:] = sorted(
            (item for item in items if plain(item.nodeid) in order),
            key=lambda item: order[plain(item.nodeid)],
        )


def pytest_runtest_setup(item):
    measured = coverage.Coverage.current()
    if measured:
        measured.switch_context(plain(item.nodeid))


def pytest_runtest_logreport(report):
    if "MUTATION_TIMES" in os.environ and report.when == "call":
        with Path(os.environ["MUTATION_TIMES"]).open("a", encoding="utf-8") as times:
            times.write(json.dumps([plain(report.nodeid), report.duration]) + "\n")


def plain(nodeid):
    """Return a test without its parameters."""
    return nodeid.partition("[")[0]
