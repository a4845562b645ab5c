"""A job that goes well, and every state of it."""

import pytest
from bay_jobs import AHEAD, CHAIN, CODES, SIDE, anchored, every_state, pumped, ready

from workbook.bay.job import new_job


@pytest.fixture(scope="package")
def car():
    return new_job(**CODES).car


@pytest.fixture(scope="package")
def job(car):
    """Return two rams, a holding chain and a stand: pulled, hammered, released."""
    hold = {
        "act": "hold",
        "name": "H",
        "post": "right ahead",
        "chain": CHAIN,
        "clamp": "broad clamp",
        "place": "right tip",
    }
    return [
        *anchored(car),
        {"act": "stand", "side": "left"},
        *ready(AHEAD, SIDE, hold),
        *pumped(1.0, 0.5),
        {"act": "valve", "ram": "A", "open": False},
        *pumped(0.5),
        {"act": "relieve", "side": "left", "hinges": [0, 1], "share": 0.3},
        {"act": "stop", "who": "visitor"},
        {"act": "release"},
        {"act": "survey"},
    ]


@pytest.fixture(scope="package")
def states(job):
    return every_state(job)
