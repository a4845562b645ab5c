"""Every explorer there is, in settings that stretch its picture."""

import pytest

import widgets
from widgets.explorer import Explorer

EXPLORERS = [
    made
    for made in map(vars(widgets).get, widgets.__all__)
    if isinstance(made, type) and issubclass(made, Explorer)
]
# Besides the start: settings that stretch each picture, all of which stand.
SETTINGS = {
    "PullExplorer": [
        {"fork_offset_mm": 50, "extension_mm": 500},
        {"held": "useful pull", "lean_deg": 25},
    ],
    "ChainSagExplorer": [
        {"slack_mm": 300, "span_mm": 500},
        {"rise_mm": -1000, "span_mm": 500, "slack_mm": 300},
        {"rise_mm": 1500, "span_mm": 500, "set_by": "chain tension", "take_up_kn": 5},
        {"span_mm": 5000, "set_by": "chain sag", "sag_mm": 5, "working_kn": 100},
    ],
    "ArrowExplorer": [
        {"angle_deg": 90},
        {"angle_deg": -85, "held": "useful pull"},
        {"angle_deg": 20, "second": "at the same point"},
        {"angle_deg": 10, "second": "at the same point", "between_deg": -170},
    ],
    "BridleExplorer": [
        {"between_deg": 10},
        {"between_deg": 175, "school_limit_deg": 60},
        {"between_deg": 90, "shift_mm": 280, "school_limit_deg": 120},
        {"between_deg": 60, "shift_mm": -280, "spacing_mm": 2000},
    ],
    "RollerExplorer": [{"between_deg": 0}, {"between_deg": 135}, {"between_deg": 180}],
}


@pytest.fixture(autouse=True)
def own_folder(settings_folder):
    """Each test of an explorer is a reader of its own."""


@pytest.fixture(params=EXPLORERS, ids=lambda made: made.__name__)
def made(request):
    """Return the class of an explorer."""
    return request.param


@pytest.fixture
def explorer(made):
    return made()


@pytest.fixture
def settings(made):
    """Return settings that stretch the picture, the start first."""
    return [{}, *SETTINGS[made.__name__]]


@pytest.fixture
def moved(made):
    """Return a setting that stands and is not the start."""
    return SETTINGS[made.__name__][0]
