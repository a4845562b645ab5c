"""What nobody has to say: the numbers that a call takes where they are left out.

And the limits that the engine keeps to. All of them are told in the words of the
workbook, so a change here is a change of what it promises.
"""

import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from enum import Enum

import numpy as np
import pytest

from workbook import mechanics, quantities

ORIGIN = (0.0, 0.0, 0.0)
UPWARD = (0.0, 0.0, 1.0)
RIGHT_ANGLE = np.pi / 2
STEERED = {"rise": 0.0, "tolerance": 1e-13}
USED_ONCE = ("socket", "slot", "ram")
IN_CHUNKS = {"keep": 20, "chunk": 8192}

LEFT_OUT = {
    "holding.anchoring": {
        "share_load": {"about": ORIGIN, "tolerance": 1e-6},
        "bench_balance": {"about": ORIGIN},
    },
    "holding.holding_pulls": {
        "pull_that_stops": {"about": ORIGIN},
        "pull_that_steadies": {"about": ORIGIN},
        "pull_that_balances_moment": {"about": ORIGIN},
        "pull_that_relieves": {"about": ORIGIN},
        "hold_downs": {"tolerance": 1e-3},
    },
    "holding.levers": {"hold_lever": {"turning_point": (0.0, 0.0)}},
    "holding.wrenches": {
        "components": {"count": 3},
        "net_wrench": {"about": ORIGIN},
        "moved_wrench": {"from_point": ORIGIN},
        "moment_about_line": {"about": ORIGIN},
        "central_axis": {"about": ORIGIN, "farthest": 1e6},
        "line_of_action": {"about": ORIGIN, "farthest": 1e6, "tolerance": 1e-6},
    },
    "hydraulics.pressure": {"piston_area": {"rod": 0.0}},
    "hydraulics.supply": {"order_of_movement": {"supply_pressure": np.inf}},
    "metal.front": {
        act: {"steps": 8, "tolerance": 1e-3}
        for act in ("load", "hold", "release", "relieve")
    },
    "metal.front_parts": {"FrontState": {"crossmember_on": False}},
    "metal.rail": {"follow": {"tolerance": 1e-3, "largest_step": 0.5}},
    "metal.rail_balance": {
        "Energies": dict.fromkeys(
            (
                *("work", "elastic", "hardening", "dissipated"),
                *("relieved", "removed", "gross"),
            ),
            0.0,
        )
    },
    "metal.rail_parts": {
        "Rail": {"upward": UPWARD},
        "Spring": {"in_place": True},
        "RailClamp": {"rating": np.inf},
        "RailStage": {"fit": (), "take_out": (), "relief": ()},
        "uniform_rail": {"upward": UPWARD},
    },
    "planner.candidates": {
        "Job": {"slack": 0.0, "rating_margin": 1.0, "direction_limit": RIGHT_ANGLE}
    },
    "planner.next_pull": {"replan": {"chosen": 0, "fewest_moved": True, **IN_CHUNKS}},
    "planner.one_ram": {
        "Steps": {"direction": np.radians(1), "share": 0.01, "stroke": 1e-3},
        "plan_pull": IN_CHUNKS,
    },
    "planner.two_rams": {
        "plan_two_rams": {
            "used_once": USED_ONCE,
            "keep": 20,
            "cross_step": 0.01,
            "share_step": 0.01,
            "most_pairs": 20_000_000,
            "chunk": 200_000,
        }
    },
    "pull.catenary": {
        "from_horizontal_tension": {"rise": 0.0},
        "curve_points": {"count": 101},
    },
    "pull.parabola": {"parabola_from_sag": {"rise": 0.0}},
    "pull.rigging": {"bridle_in_space": {"tolerance": 1e-6}},
    "pull.setting_out": {
        "lay_out": {"fork_offset": 0.0, "extension": 0.0, "stroke": 0.0}
    },
    "pull.stroke": {"stroke_path": {"points": 61, "substeps": 4}},
    "pull.tension_length_sag": {
        "from_tension": STEERED,
        "least_tension": STEERED,
        "from_length": STEERED,
        "from_slack": STEERED,
        "from_sag": STEERED,
    },
    "survey.damage": {
        "DamageSizes": dict.fromkeys(
            ("mash", "sidesway", "sag", "diamond", "twist"), 0.0
        ),
        "read_damage": {
            "kinds": ("mash", "sidesway", "sag", "diamond", "twist"),
            "free_motion": False,
            "confusion_tolerance": 0.01,
            "confusable_above": 0.9,
        },
    },
    "survey.disagreement": {
        "find_disagreement": {"max_triples": 5000, "spread_tolerance": 0.01}
    },
    "survey.least_squares": {"weighted_least_squares": {"confusion_tolerance": 0.01}},
    "survey.readings": {"finite_points": {"axes": 2}},
    "survey.registration": {
        "register": {"spread_tolerance": 0.01},
        "fit_error_at": {"spread_tolerance": 0.01},
    },
    "survey.tapes": {"left_right_difference": {"symmetry_tolerance": 0.5e-3}},
    "survey.tilt": {"tilt_of_points": {"spread_tolerance": 0.01}},
    "table": {
        "Unit": {"kept": 1, "boxed": 1, "step": 1.0},
        "Kind": {"typed": (), "smallest_sensible": 0.0, "largest_sensible": np.inf},
    },
    "units": {"figures": {"least": 0}},
}
# Where a limit stands in several modules, it is the same.
LIMITS = {
    # A crossmember has two halves, joined by four ties; on again, they meet.
    "HALVES": 2,
    "JOINT": 4,
    "MEETS": 1e-10,
    "MEETING_ROUNDS": 40,
    "MIDDLE_AND_WAY": 2,
    "SMALLEST": 1e-30,
    "LARGEST": 1e30,
    "NOTHING": 1e-6,
    "SHORTEST_STEP": 1e-6,
    "MOST_TRIES": 3000,
    "LEAST_SHARE": 0.1,
    "LARGEST_BEND": 1.3,
    "TEAR_ACCURACY": 1e-6,
    "NO_WAY": 1e-6,
    "NO_ARM": 1e-9,
    "CORRECTION": 1e-7,
    "ITERATIONS": 14,
    "SLACK": 1e-10,
    "FIT": 1e-6,
    "LOCKED": 1e6,
    "ROUNDING": 1e-12,
    "ON_THE_LINE": 1e-9,
    "EDGES": 2,
    "QUARTER": np.pi / 2,
    "GREATEST_HALF_TURN": 150.0,
    "FARTHEST": 1e4,
    "FEWEST": 4,
    "SHORTEST_ZONE": 0.01,
    "SPREAD_TOLERANCE": 0.01,
    "STANDS_OUT": 3.0,
    "FINEST": 1e-4,
    "LONGEST": 80,
    "LEFT": 0,
    "RIGHT": 1,
}


def modules():
    """Return the modules of mechanics and quantities by name, short of the folder."""
    for root in (mechanics, quantities):
        for found in pkgutil.walk_packages(root.__path__, f"{root.__name__}."):
            if not found.ispkg:
                name = found.name.removeprefix(f"{root.__name__}.")
                yield name, importlib.import_module(found.name)


MODULES = dict(modules())


def callables(module) -> Iterator[tuple[str, object]]:
    """Return what a module offers to be called that is its own."""
    for name, offered in vars(module).items():
        own = getattr(offered, "__module__", "") == module.__name__
        is_class = inspect.isclass(offered) and not issubclass(offered, Enum)
        if own and not name.startswith("_") and (is_class or callable(offered)):
            yield name, offered


def left_out(offered):
    """Return the numbers, and lists of them, that a call takes where none is given."""
    if inspect.isclass(offered) and issubclass(offered, Enum):
        return {}
    given = inspect.signature(offered).parameters.values()
    return {
        one.name: one.default
        for one in given
        if isinstance(one.default, bool | int | float | tuple)
    }


@pytest.mark.parametrize("name", MODULES)
def test_what_is_left_out_of_a_call_is_what_it_always_was(name):
    found = {one: left_out(offered) for one, offered in callables(MODULES[name])}

    assert {one: given for one, given in found.items() if given} == (
        LEFT_OUT.get(name, {})
    )


@pytest.mark.parametrize("name", [name for name in MODULES if name != "table"])
def test_the_limits_of_the_engine_are_what_they_always_were(name):
    found = {
        one: value
        for one, value in vars(MODULES[name]).items()
        if one[0].isupper() and one.isupper() and type(value) in (int, float)
    }

    assert found == {one: LIMITS.get(one) for one in found}


def test_every_limit_in_the_table_is_one_of_the_engine():
    kept = {one for module in MODULES.values() for one in vars(module)}

    assert {*LIMITS} <= kept
