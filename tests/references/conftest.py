"""What outside checks share: a mark that counts their kinds, and loads on cables.

Textbook loads hung on cables are carried by the engine's own rig: a joint under a
load and two cables is a head under a ram and two legs, seen from another side. The
balance does not know which way is up.
"""

import numpy as np
import pytest

from workbook.mechanics.pull.linkage import Rig, solve_pull
from workbook.mechanics.vectors import norm, unit


def pytest_configure(config):
    config.addinivalue_line(
        "markers",
        "kind(call, question, source): an outside check that differs in kind from all "
        "others, counted in test_kinds.py",
    )


def _rig_of(load, first, second):
    """Turn two cables in one plane, with a load on their joint, into a rig."""
    push, pull_leg, anchor_leg = unit([load, first, second])
    # Turned so that base to anchor is level and the head stands above it.
    along, up = unit(push + anchor_leg), unit(push - anchor_leg)
    turn = np.stack([along, np.cross(up, along), up])
    return Rig(
        clamp=turn @ pull_leg * 0.05,
        base=-turn @ push,
        anchor=turn @ anchor_leg,
        closed_length=1.0,
        extension=0.0,
        stroke=0.0,
        full_stroke=0.1,
        anchor_leg=1.0,
        swivel=np.pi,
    )


def _two_cables(load, first, second):
    """Tensions of two cables in one plane with the load on their joint."""
    rig = _rig_of(load, first, second)
    pull = solve_pull(rig, ram_force=float(norm(load)))
    return float(pull.pull_tension), float(pull.anchor_tension)


def _three_cables(load, first, second, third):
    """Tensions of three cables: the first beside the pair, then the pair."""
    pair = np.cross(np.cross(load, first), np.cross(second, third))
    pair = unit(pair * -np.sign(np.dot(pair, load)))
    one, rest = _two_cables(load, first, pair)
    return one, *_two_cables(-rest * pair, second, third)


@pytest.fixture
def rig_of():
    return _rig_of


@pytest.fixture
def two_cables():
    return _two_cables


@pytest.fixture
def three_cables():
    return _three_cables
