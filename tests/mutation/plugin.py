"""A pytest plugin: which test runs which lines, and a run of some tests only.

`trial` loads it. ``MUTATION_TIMES`` is a file to note the time of each test in;
``MUTATION_TESTS`` names a file of the tests to keep, in the order to run them in,
with the time each takes unbroken.
"""

import json
import os
import signal
from pathlib import Path

import coverage
import hypothesis

# One failing example is enough: no time is spent on a smaller one.
hypothesis.settings.register_profile(
    "broken",
    deadline=None,
    derandomize=True,
    database=None,
    phases=[hypothesis.Phase.explicit, hypothesis.Phase.generate],
)
# A test may take this many times its own time, and this much more. [s of processor]
LONGER, LONGEST = 10, 10

_took = {}


def took_unbroken(times):
    """Hold tests to the times that they took with nothing broken. [s]"""
    _took.clear()
    _took.update(times)


def pytest_collection_modifyitems(items):
    chosen = os.environ.get("MUTATION_TESTS")
    if chosen:
        took_unbroken(json.loads(Path(chosen).read_text(encoding="utf-8")))
        order = {name: i for i, name in enumerate(_took)}
        items[:] = sorted(
            (item for item in items if plain(item.nodeid) in order),
            key=lambda item: order[plain(item.nodeid)],
        )


def pytest_runtest_setup(item):
    measured = coverage.Coverage.current()
    if measured:
        measured.switch_context(plain(item.nodeid))
    if _took:  # past its time the process ends, whatever it is doing
        longest = LONGEST + LONGER * _took[plain(item.nodeid)]
        signal.setitimer(signal.ITIMER_PROF, longest)


def pytest_runtest_logreport(report):
    if "MUTATION_TIMES" in os.environ and report.when == "call":
        with Path(os.environ["MUTATION_TIMES"]).open("a", encoding="utf-8") as times:
            times.write(json.dumps([plain(report.nodeid), report.duration]) + "\n")


def plain(nodeid):
    """Return a test without its parameters."""
    return nodeid.partition("[")[0]
