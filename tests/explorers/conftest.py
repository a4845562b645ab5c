"""Every explorer there is, in settings that stretch its picture."""

from types import SimpleNamespace

import pytest

from widgets import EXPLORERS, moves
from workbook.errors import WorkbookError
from workbook.figures.pictures import subjects
from workbook.scenes.fields import Choice, Number, checked

# Besides the start: settings that stretch each picture, all of which stand. Of a
# subject that is not here, the ends of each field are taken.
SETTINGS = {
    "pull": [
        {"fork_offset_mm": 50, "extension_mm": 500},
        {"held": "useful pull", "lean_deg": 25},
    ],
    "chain sag": [
        {"slack_mm": 300, "span_mm": 500},
        {"rise_mm": -1000, "span_mm": 500, "slack_mm": 300},
        {"rise_mm": 1500, "span_mm": 500, "set_by": "chain tension", "take_up_kn": 5},
        {"span_mm": 5000, "set_by": "chain sag", "sag_mm": 5, "working_kn": 100},
    ],
    "arrow": [
        {"angle_deg": 90},
        {"angle_deg": -85, "held": "useful pull"},
        {"angle_deg": 20, "second": "at the same point"},
        {"angle_deg": 10, "second": "at the same point", "between_deg": -170},
    ],
    "bridle": [
        {"between_deg": 10},
        {"between_deg": 175, "school_limit_deg": 60},
        {"between_deg": 90, "shift_mm": 280, "school_limit_deg": 120},
        {"between_deg": 60, "shift_mm": -280, "spacing_mm": 2000},
    ],
    "anchoring": [
        {"side_mm": 600, "pull_kn": 100},
        {"side_mm": -600, "rise_deg": 40, "hook_height_mm": 400, "tie": "down"},
        {"side_mm": 600, "hold": "both ways", "tie": "back", "tie_side_mm": 600},
        {"rise_deg": -20, "spacing_mm": 1200, "width_mm": 1200, "tie": "down"},
        {"hook_ahead_mm": 1100, "tie": "back", "tie_side_mm": -600},
    ],
    "measuring": [
        {"tilt_deg": 1, "tape_start_mm": 0},
        {"tilt_deg": -1, "tape_start_mm": 1000, "point": "left-tail"},
        {"shown": "three points", "car": "after the crash", "tilt_deg": 0.5},
        {"shown": "whole survey", "bent": "left-sill-front", "bent_mm": 20},
        {"shown": "whole survey", "car": "after the crash", "point": "right-mid"},
    ],
    "damage": [
        {"sag_mm": -20, "sag_lowest": "half-way", "twist_deg": -1},
        {"mash_mm": 20, "diamond_mm": -20, "sidesway_mm": 20, "twist_deg": 1},
        {"mash_mm": 12, "mash_side": "left", "corner_mm": 20, "scatter_mm": 2},
        {"scatter_mm": 1, "survey": "third", "mash_side": "right", "mash_mm": -8},
    ],
    "fire": [
        {"half_angle_deg": 60, "rams": "three rams", "first_angle_deg": 45},
        {"half_angle_deg": 5, "fails": "clamp", "cable": "to the bench"},
        {"fails": "fork", "fork_offset_mm": 60, "cable": "through two clamps"},
        {"fails": "hook", "cable": "over an edge", "cable_slack_mm": 1000},
        {"fails": "anchor leg", "cable": "to the same clamp", "you_left_mm": -3000},
    ],
    "hit": [
        {"from_deg": 75, "depth_mm": 40, "second_depth_mm": 40},
        {"from_deg": -75, "depth_mm": 40, "second_depth_mm": 40},
        {"depth_mm": 40, "second_depth_mm": 40, "second_corner": "left rear"},
        {"depth_mm": 0, "second_depth_mm": 20, "second_corner": "right rear"},
    ],
    "pull line": [
        {"forward_mm": 0, "left_mm": 0, "up_mm": 12},
        {"bearing_deg": 90, "rise_deg": 60, "up_mm": -40},
        {"pull_height_mm": 100, "hold_height_mm": 600},
    ],
    "springback": [
        {"load_kn": 36, "stage": "let go", "relief_percent": 40},
        {"load_kn": 21, "stage": "hammered", "relief_percent": 80},
        {"wall_mm": 1.5, "load_kn": 16, "stage": "let go", "needed_mm": 6},
        {"load_kn": 20, "stage": "let go", "earlier_kn": 18, "needed_mm": 25},
    ],
    "sheet edge": [
        {"pull_kn": 14},
        {"pull_kn": 36, "edge_mm": 40, "sheet_mm": 2, "strength_n_per_mm2": 350},
        {"clamps": "two", "between_deg": 120, "edge_mm": 15},
        {"clamps": "two", "between_deg": 0, "pull_kn": 30},
    ],
    "final check": [
        {"first_mm": 5, "second_mm": -5, "third_mm": 5},
        {"load_kn": 8, "loaded_point": "left-tip", "shown": "diagonal"},
        {"load_kn": 8, "loaded_point": "left-cross", "first_mm": 5},
        {"shown": "length"},
    ],
    "rams": [
        {"first_angle_deg": 45, "second_angle_deg": -45, "third_angle_deg": 45},
        {"first_angle_deg": -45, "second_angle_deg": 45, "supply_bar": 450},
        {"first_valve": "closed", "second_valve": "closed", "third_valve": "closed"},
        {"supply_bar": 20, "third_valve": "closed", "third_angle_deg": 30},
        {"first_resists_kn": 24, "third_resists_kn": 12, "third_bore_mm": 30},
    ],
    "steps": [
        {"moment": "2 let go"},
        {"moment": "2 under load", "load_1_kn": 20, "decision_2": "new line"},
        {"moment": "3 let go", "decision_2": "new line", "load_2_kn": 34},
        {"moment": "4 under load", "decision_2": "move the clamp", "load_3_kn": 34},
        {"moment": "5 let go", "decision_2": "stop"},
    ],
    "holding": [
        {"hold_mm": 600, "arm_mm": 1400, "pull_kn": 35},
        {"up_mm": 2000, "pulley_mm": 1000, "hold_mm": 2200},
        {"up_mm": 0, "pulley_mm": 100, "arm_mm": 300},
        {"way": "up", "hold_mm": 2200, "arm_mm": 300},
        {"way": "up", "hold_mm": 600, "arm_mm": 1400, "pull_kn": 35},
    ],
    "roller": [{"between_deg": 0}, {"between_deg": 135}, {"between_deg": 180}],
}


def levels(field):
    """Return nine values of a number, ends included, or every option."""
    if isinstance(field, Choice):
        return list(field.options)
    step = (field.high - field.low) / 8
    return [field.checked(field.low + k * step) for k in range(9)]


def stands(subject, values):
    """Tell whether the engine answers to values."""
    try:
        subject.solve(checked(subject.fields, values))
    except WorkbookError:
        return False
    return True


@pytest.fixture(autouse=True)
def own_folder(settings_folder):
    """Each test of an explorer is a reader of its own."""


@pytest.fixture(params=EXPLORERS)
def subject(request):
    """Return each subject that is declared."""
    return subjects()[request.param]


@pytest.fixture
def made(subject):
    """Return what makes the explorer of a subject."""
    return EXPLORERS[subject.name]


@pytest.fixture
def explorer(made):
    return made()


@pytest.fixture
def values_of():
    """Return a function: nine values of a number, ends included, or every option."""
    return levels


@pytest.fixture
def numbers(explorer):
    """Return the controls of numbers, by name."""
    fields = explorer.subject.fields
    return {
        name: control
        for name, control in explorer.controls.items()
        if isinstance(fields[name], Number)
    }


@pytest.fixture
def settings(subject):
    """Return settings that stretch the picture, the start first."""
    one_by_one = [
        {name: value}
        for name, field in subject.fields.items()
        for value in levels(field)[:: len(levels(field)) - 1 or 1]
        if value != field.start
    ]
    found = SETTINGS.get(subject.name) or [
        values for values in one_by_one if stands(subject, values)
    ]
    return [{}, *found]


@pytest.fixture
def moved(settings):
    """Return a setting that stands and is not the start."""
    return settings[1]


@pytest.fixture
def clock(monkeypatch):
    """Time that stands still until it is set."""
    now = SimpleNamespace(monotonic=lambda: now.seconds, seconds=100.0)
    monkeypatch.setattr(moves, "time", now)
    return now
