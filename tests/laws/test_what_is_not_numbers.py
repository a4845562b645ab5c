"""Whatever is put in the place of numbers, mechanics answers or gives a reason."""

import inspect
from fractions import Fraction
from importlib import import_module
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

import workbook.mechanics
from workbook.errors import WorkbookError
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import central_axis
from workbook.mechanics.hydraulics.supply import Rams, order_of_movement
from workbook.mechanics.metal.bending import bend_past_yield
from workbook.mechanics.metal.rail_parts import Rail, RailPull, Spring
from workbook.mechanics.metal.sections import BoxSection, RectangularSection
from workbook.mechanics.planner.candidates import Job, ShopFloor
from workbook.mechanics.pull.linkage import Rig
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.survey.damage import DamageFrame, DamageSizes
from workbook.mechanics.survey.tapes import Diagonals

CORNERS = [[1, 0.75, 0.1], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0.2]]
CLAMPS = {"positions": CORNERS, "stiffness": 2e7, "ratings": 20e3}
STEEL = {"youngs_modulus": 200e9, "yield_stress": 240e6}
CHAIN = {"span": 2.0, "rise": 0.3, "weight_per_length": 21.0}
RIG = {
    "clamp": [0, 0, 0.3],
    "base": [1, 0, 0],
    "anchor": [1.5, 0, 0],
    "closed_length": 0.5,
    "extension": 0.0,
    "stroke": 0.1,
    "full_stroke": 0.2,
    "anchor_leg": 0.75,
    "swivel": 0.8,
}
LAID_OUT = {
    "clamp": [0, 0, 0.5],
    "chain_angle": 0.1,
    "clamp_distance": 1.0,
    "fork_distance": 0.5,
    "fork_offset": 0.0,
    "closed_length": 0.5,
    "extension": 0.0,
    "stroke": 0.05,
    "full_stroke": 0.2,
    "swivel": 0.8,
    "lean": 0.2,
}
FLOOR = {
    "sockets": [[1.0, 0.5, 0], [1.0, -0.5, 0]],
    "slots": [[1.6, 0.8, 0], [1.6, -0.8, 0]],
    "slot_ratings": 40e3,
    "extensions": [0.0],
    "closed_lengths": [0.45, 0.45],
    "full_strokes": 0.2,
    "swivels": 0.785,
    "ram_ratings": 60e3,
    "head_ratings": 70e3,
    "chain_pitches": [0.03],
    "chain_ratings": 31e3,
    "links": [24],
}
JOB = {
    "clamp": [0, 0, 0.31],
    "direction": [1, 0, 0.1],
    "useful_pull": 20e3,
    "clamp_rating": 45e3,
}
RAMS = {"areas": [1e-3, 2e-3], "resistances": [10e3, 15e3], "strokes": 0.1}
FRAME = {"hinge_x": 0.0, "front_x": 1.0, "width": 1.5}
HOOK = {"hook": [-1, 0, 0], "direction": [-1, 0, 0], "clamps": Clamps(**CLAMPS)}
SIDE = {"left": [0.2, 0.6, 0], "right": [0.2, -0.6, 0]}
SIDES = SIDE | {"specified_left": [0.2, 0.6, 0.0], "specified_right": [0.2, -0.6, 0]}

# Every public call with arguments that it takes, by module.
CALLS = {
    "holding.anchoring": {
        "share_load": {"wrench": [1e3, 0, 0, 0, 0, 0], "clamps": Clamps(**CLAMPS)},
        "bench_balance": {"loads": [([0, 0, 1], [0, 0, 0])], "about": [0, 0, 0]},
    },
    "holding.holding_pulls": {
        "pull_that_stops": {"wrench": [1e3, 0, 0, 0, 0, 0], **HOOK},
        "pull_that_steadies": {
            "wrench": [1e3, 0, 0, 0, 0, 0],
            "point": [0.5, 0, 0],
            **HOOK,
        },
        "pull_that_balances_moment": {
            "wrench": [0, 0, 0, 0, 0, 9e3],
            "hook": [0, -1, 0],
            "direction": [-1, 0, 0],
            "point": [0, 0, 0],
            "axis": [0, 0, 1],
        },
        "pull_that_relieves": {
            "wrench": [1e3, 0, 0, 0, 0, 0],
            "chain_limit": 5e3,
            **HOOK,
        },
        "hold_downs": {
            "push": [0, 0, 2e3],
            "at": [0, 0, 0],
            "first": [1, 0, 0],
            "second": [-1, 0, 0],
            "tolerance": 1e-3,
        },
    },
    "holding.levers": {
        "hold_lever": {
            "force": [0, -1e4],
            "at": [1.0, 0],
            "hook": [-1.0, 0],
            "direction": [0, -1],
            "turning_point": [0, 0],
        }
    },
    "holding.stiffness_centre": {
        "stiffness_centre": {"clamps": Clamps(**CLAMPS), "normal": [0, 0, 1]},
    },
    "holding.supports": {
        "Clamps": {**CLAMPS, "axes": np.eye(3), "turning_stiffness": 0.0},
        "Stands": {"positions": CORNERS, "stiffness": 1e6, "normals": [0, 0, 1]},
    },
    "holding.wrenches": {
        "net_wrench": {"forces": CORNERS, "points": CORNERS, "about": [0, 0, 0]},
        "moved_wrench": {"wrench": np.ones(6), "to_point": [1, 0, 0]},
        "moment_about_line": {
            "wrench": np.ones(6),
            "point": [1, 0, 0],
            "direction": [1, 0, 0],
        },
        "components": {"value": [0, 0, 5], "name": "hook"},
        "one_vector": {"value": [0, 0, 5], "name": "hook"},
        "direction_of": {"direction": [0, 0, 5], "name": "pull"},
        "central_axis": {"wrench": [0, 0, 10, 0, -20, 5], "about": [0, 0, 0]},
        "line_of_action": {"wrench": [0, 0, 10, 0, -20, 0], "about": [0, 0, 0]},
    },
    "hydraulics.pressure": {
        "piston_area": {"bore": 0.04, "rod": 0.01},
        "bore_from_area": {"piston_area": 1e-3},
        "force_from_pressure": {"pressure": 2e7, "piston_area": 1e-3},
        "pressure_from_force": {"ram_force": 2e4, "piston_area": 1e-3},
        "pump_ratio": {"air_area": 1e-2, "oil_area": 1e-3},
        "oil_pressure": {"air_pressure": 6e5, "pump_ratio": 10},
        "air_pressure": {"oil_pressure": 6e6, "pump_ratio": 10},
        "stroke_from_volume": {"volume": 1e-4, "piston_area": 1e-3},
    },
    "hydraulics.supply": {
        "Rams": RAMS,
        "greatest_forces": {"supply_pressure": 2e7, "rams": Rams(**RAMS)},
        "order_of_movement": {"rams": Rams(**RAMS), "supply_pressure": 2e7},
        "extend_rams": {"rams": Rams(**RAMS), "flow": 2e-5, "supply_pressure": 2e7},
        "first_limit": {
            "factors": [[1.0, 1.1]],
            "ratings": [4e4, 5e4],
            "areas": [1e-3],
        },
    },
    "metal.rail_parts": {
        "uniform_rail": {
            "root": [0, 0, 0],
            "along": [1, 0, 0],
            "length": 1.0,
            "links": 4,
            "upright": BoxSection(width=0.06, depth=0.06, thickness=0.002),
            "sideways": BoxSection(width=0.06, depth=0.06, thickness=0.002),
            "hardening_ratio": 0.01,
            **STEEL,
        },
        "uniform_crossmember": {
            "ends": ((0, 4), (1, 4)),
            "length": 1.0,
            "links": 4,
            "upright": BoxSection(width=0.06, depth=0.06, thickness=0.002),
            "sideways": BoxSection(width=0.06, depth=0.06, thickness=0.002),
            "torsion_constant": 4e-7,
            "shear_modulus": 81e9,
            "hardening_ratio": 0.01,
            **STEEL,
        },
    },
    "metal.edges": {
        "tear_out": {
            "edge_distance": 0.025,
            "thickness": 1.2e-3,
            "shear_strength": 220e6,
        },
    },
    "metal.bending": {
        "bend_past_yield": {
            "section": RectangularSection(width=0.05, depth=0.12),
            "moment": 36.8e3,
            **STEEL,
        },
        "stress_across": {
            "bent": bend_past_yield(
                RectangularSection(width=0.05, depth=0.12), moment=36.8e3, **STEEL
            ),
            "height": [0.01, 0.02],
            **STEEL,
        },
        "springback_ratio": {"bend_radius": 0.01, "thickness": 1e-3, **STEEL},
    },
    "metal.sections": {
        "RectangularSection": {"width": 0.05, "depth": 0.12},
        "BoxSection": {"width": 0.06, "depth": 0.06, "thickness": 0.002},
        "ThinBoxSection": {"width": 0.06, "depth": 0.06, "thickness": 0.002},
        "ISection": {
            "width": 0.1,
            "depth": 0.12,
            "flange_thickness": 0.01,
            "web_thickness": 0.006,
        },
    },
    "planner.candidates": {"Job": JOB, "ShopFloor": FLOOR},
    "planner.keep_out": {"boxes": {"corners": [[[0, 0, 0], [1, 1, 1]]]}},
    "planner.one_ram": {
        "Steps": {"direction": 0.01, "share": 0.01, "stroke": 0.01},
    },
    "planner.two_rams": {
        "plan_two_rams": {
            "job": Job(**JOB),
            "floor": ShopFloor(**FLOOR),
            "second_clamp": [0, 0.1, 0.3],
            "keep": 5,
            "cross_step": 0.01,
            "share_step": 0.01,
        },
    },
    "pull.catenary": {
        "from_horizontal_tension": {"horizontal_tension": 500.0, **CHAIN},
        "supports": CHAIN,
    },
    "pull.linkage": {
        "Rig": RIG,
        "solve_pulls": {"rig": Rig(**RIG), "ram_force": 1e4},
        "solve_pull": {"rig": Rig(**RIG), "ram_force": 1e4},
    },
    "pull.parabola": {
        "parabola_from_sag": {
            "sag": 0.1,
            "span": 2.0,
            "rise": 0.1,
            "weight_per_span": 21.0,
        },
        "parabola_from_low_point": {
            "span": 2.0,
            "below_near": 0.1,
            "below_far": 0.2,
            "weight_per_span": 21.0,
        },
        "parabola_sag": {"tension": 500.0, "span": 2.0, "weight_per_length": 21.0},
        "parabola_tension": {"sag": 0.1, "span": 2.0, "weight_per_length": 21.0},
        "parabola_slack": {"sag": 0.1, "span": 2.0},
        "parabola_sag_from_slack": {"slack": 0.01, "span": 2.0},
    },
    "pull.rigging": {
        "redirect": {"chain_tension": 1e4, "run_a": [1, 0, 0], "run_b": [0, 1, 0]},
        "bridle": {"pull": 1e4, "angle_left": 0.5, "angle_right": 0.4},
        "bridle_in_space": {
            "pull": [1e4, 0, 0],
            "ring": [1, 0, 0],
            "clamps": [[0, 0.4, 0], [0, -0.4, 0]],
        },
    },
    "pull.setting_out": {"lay_out": LAID_OUT},
    "pull.stored_energy": {
        "stretch": {"tension": 1e4, "length": 2.0, "axial_stiffness": 1e7},
        "stored_energy": {"tension": 1e4, "length": 2.0, "axial_stiffness": 1e7},
        "stored_energy_of_pull": {"tension": 1e4, "stiffness": 1e6},
    },
    "pull.stroke": {
        "stroke_path": {"rig": lay_out(**LAID_OUT), "ram_force": 1e4, "points": 5},
    },
    "pull.tension_length_sag": {
        "from_tension": {"tension": 500.0, **CHAIN},
        "least_tension": CHAIN,
        "from_length": {"length": 2.1, **CHAIN},
        "from_length_and_sag": {"length": 2.1, "sag": 0.2, "weight_per_length": 21.0},
        "from_slack": {"slack": 0.05, **CHAIN},
        "from_sag": {"sag": 0.1, **CHAIN},
    },
    "pull.wanted_force": {
        "ram_force_for_tension": {"rig": Rig(**RIG), "pull_tension": 1e4},
        "ram_force_for_useful_pull": {
            "rig": Rig(**RIG),
            "useful_pull": 1e4,
            "line": [1, 0, 0],
        },
    },
    "safety.cable": {
        "run_out": {
            "part": [0, 0, 0.5],
            "way": [1, 0, 0],
            "ties": [[0, 0.3, 0.5], [0, -0.3, 0.5]],
            "length": 1.0,
        },
        "left_past_edge": {"tie": [0, 0, 0], "edge": [0.3, 0, 0], "length": 1.0},
    },
    "safety.line_of_fire": {
        "pairs": {"value": [1, 2], "name": "person"},
        "angle_off_line": {"people": [2, 1], "apex": [0, 0], "towards": [1, 0]},
        "in_wedge": {
            "people": [2, 1],
            "apex": [0, 0],
            "towards": [1, 0],
            "half_angle": 0.5,
        },
        "in_line_of_fire": {
            "people": [[2, 1]],
            "ends": [[[0, 0], [1, 0]]],
            "half_angle": 0.5,
        },
    },
    "survey.damage": {
        "DamageFrame": FRAME,
        "damage_basis": {"positions": CORNERS, "frame": DamageFrame(**FRAME)},
        "damage_field": {
            "positions": CORNERS,
            "sizes": DamageSizes(mash=0.01),
            "frame": DamageFrame(**FRAME),
        },
        "read_damage": {
            "positions": CORNERS,
            "differences": np.full((4, 3), 0.01),
            "frame": DamageFrame(**FRAME),
            "weights": np.ones((4, 3)),
            "kinds": ["mash"],
        },
        "twist_angle": {
            "front_difference": 0.02,
            "rear_difference": 0.01,
            "width": 1.2,
        },
    },
    "survey.disagreement": {
        "find_disagreement": {
            "measured": [*CORNERS, [0.3, 0.2, 0.5]],
            "specified": [*CORNERS, [0.3, 0.2, 0.5]],
            "agreement": 0.01,
        },
    },
    "survey.registration": {
        "register": {
            "measured": CORNERS,
            "specified": CORNERS,
            "datum_points": [0, 1, 2, 3],
            "weights": np.ones(4),
        },
        "fit_error_at": {
            "points": [[0, 0, 0]],
            "datum_points": CORNERS,
            "scatter": 1e-3,
            "weights": np.ones(4),
        },
    },
    "survey.panels": {
        "corner_hit": {
            "stations": 5,
            "passed_on": 0.5,
            "depth": 0.03,
            "came_from": 0.2,
            "front": True,
            "left": True,
        },
        "carried": {
            "points": [[2.0, 0.0]],
            "fixed": [0.0, 0.0],
            "led": [1.0, 0.0],
            "moved": [[0.0, 0.0], [0.5, 0.001]],
        },
    },
    "survey.neighbours": {
        "neighbour_steps": {"differences": [0.001, 0.002, 0.001]},
        "off_neighbours": {"differences": [0.001, 0.002, 0.001]},
        "read_under_load": {"reading": 0.001, "load": 8e3, "stiffness": 2e6},
    },
    "survey.what_is_left": {
        "share_done": {"start": [0.024, 0.018, 0.01], "left": [0.01, 0.006, 0.007]},
        "grew": {"before": 0.001, "after": 0.002},
        "next_force": {"last": 18e3, "lacks": 0.006, "rate": 1.5e-6},
    },
    "survey.tapes": {
        "length_along_datum": {"tape_length": 2.0, "rise": 0.2},
        "middle_off_centre": {"left": 0.5, "right": 0.48},
        "diagonals_of_points": {
            "left_front": [1, 0.5, 0],
            "right_front": [1, -0.5, 0],
            "left_rear": [0, 0.5, 0],
            "right_rear": [0, -0.5, 0],
        },
        "diagonals_of_skew": {"skew": 0.01, "length": 1.5, "width": 1.0},
        "skew_of_diagonals": {
            "diagonals": Diagonals(from_left_front=1.81, from_right_front=1.79),
            "length": 1.5,
        },
        "left_right_difference": SIDES,
    },
    "survey.tilt": {
        "tilt_of_points": {"points": CORNERS},
        "read_with_tilt": {"points": CORNERS, "nose_up": 0.01},
        "height_without_tilt": {"height": 0.3, "x": 1.0, "nose_up": 0.01},
    },
}

NOT_NUMBERS = {
    "text": "twelve",
    "a number as text": "1.5",
    "nothing": None,
    "complex": 1 + 2j,
    "complex array": np.full(3, 1j),
    "objects": np.array([Fraction(1, 2), None, "x"], dtype=object),
    "ragged": [[1.0, 2.0], [3.0]],
    "rows of nothing": np.zeros((0, 3)),
    "none at all": [],
    "five of them": np.full(5, 0.1),
    "seven rows of five": np.full((7, 5), 0.1),
    "deep": np.full((2, 3, 4, 5), 0.1),
    "not a number": np.nan,
    "endless": np.inf,
    "a mapping": {"x": 1.0},
    "a date": np.datetime64("2026-01-01"),
    "too many digits": 10**400,
}
# Of these an answer would be made up: they are refused everywhere.
NEVER = ["text", "complex", "complex array", "objects", "ragged", "a mapping", "a date"]

PLACES = [
    (module, call, name)
    for module, calls in CALLS.items()
    for call, given in calls.items()
    for name, value in given.items()
    if isinstance(value, int | float | list | np.ndarray)
    and name not in {"kinds", "loads"}
]


def called(module, call, given):
    return getattr(import_module(f"workbook.mechanics.{module}"), call)(**given)


@pytest.mark.parametrize(("module", "call"), sorted({p[:2] for p in PLACES}))
def test_what_is_fit_is_taken(module, call):
    called(module, call, CALLS[module][call])


@pytest.mark.parametrize(("module", "call", "name"), PLACES)
def test_what_is_not_numbers_gets_a_reason(module, call, name):
    unlike = {}
    for kind, value in NOT_NUMBERS.items():
        given = CALLS[module][call] | {name: value}
        try:
            called(module, call, given)
        except WorkbookError as refusal:
            unlike |= {} if len(str(refusal)) > 20 else {kind: str(refusal)}
        except Exception as error:
            unlike[kind] = repr(error)
        else:
            if kind in NEVER:
                unlike[kind] = "taken"

    assert unlike == {}


def several(value, count):
    """Return so many of a number or of a place, or nothing for anything else."""
    shape = np.shape(value)
    if isinstance(value, bool) or shape not in {(), (3,)}:
        return None
    return np.repeat(np.asarray(value, dtype=float)[None], count, axis=0)


PAIRS = sorted(
    (module, call, *names)
    for module, call in sorted({p[:2] for p in PLACES})
    if not call.startswith("uniform_")  # a rail is checked with its front end
    for names in combinations([p[2] for p in PLACES if p[:2] == (module, call)], 2)
    if all(several(CALLS[module][call][name], 2) is not None for name in names)
)


@pytest.mark.parametrize(("module", "call", "one", "other"), PAIRS)
def test_two_of_one_thing_do_not_go_with_three_of_another(module, call, one, other):
    given = CALLS[module][call]
    two, three = several(given[one], 2), several(given[other], 3)

    with pytest.raises(WorkbookError):
        called(module, call, given | {one: two, other: three})


def public_calls(module):
    """Return the calls of a module that take whatever numpy reads, by name."""
    for name, part in vars(module).items():
        own = getattr(part, "__module__", "") == module.__name__
        if own and not name.startswith("_") and inspect.isfunction(part):
            notes = inspect.signature(part).parameters.values()
            if any("ArrayLike" in str(note.annotation) for note in notes):
                yield name


# What the calls read with, and arithmetic on what they have read.
INNER = {
    "magnitudes",
    "vectors",
    "survey.readings",
    "planner.keep_out.crosses",
    "survey.registration.fit_weights",
}


def test_every_public_call_that_takes_numbers_is_asked():
    root = Path(workbook.mechanics.__file__).parent
    modules = [
        ".".join(path.relative_to(root).with_suffix("").parts)
        for path in root.rglob("*.py")
    ]
    asked = {f"{module}.{call}" for module, calls in CALLS.items() for call in calls}
    taking = {
        f"{module}.{name}"
        for module in modules
        for name in public_calls(import_module(f"workbook.mechanics.{module}"))
        if not INNER & {module, f"{module}.{name}"}
    }

    assert len(taking) > 50
    assert taking - asked == set()


# Inputs made of the caller's arrays, and a field of each with its array.
KEPT = {
    "clamps": lambda a: Clamps(positions=a, stiffness=1e6).positions,
    "clamp axes": lambda a: Clamps(positions=CORNERS, stiffness=1, axes=a[:3]).axes[0],
    "clamp ratings": lambda a: (
        Clamps(positions=CORNERS, stiffness=1, ratings=a[:, 2]).ratings
    ),
    "stands": lambda a: Stands(positions=a, stiffness=1e6).positions,
    "stand normals": lambda a: (
        Stands(positions=CORNERS, stiffness=1e6, normals=a[0]).normals
    ),
    "rams": lambda a: Rams(areas=a[:, 2], resistances=1e3).areas,
    "resistances": lambda a: Rams(areas=[1, 1, 1, 1], resistances=a[:, 2]).resistances,
    "valves": lambda a: (
        Rams(areas=[1, 1, 1, 1], resistances=1, valves_open=VALVES).valves_open
    ),
    "rig": lambda a: Rig(**RIG | {"clamp": a}).clamp,
    "rig length": lambda a: Rig(**RIG | {"anchor_leg": a[:, 2]}).anchor_leg,
    "laid out": lambda a: lay_out(**LAID_OUT | {"stroke": a[:, 2]}).stroke,
    "floor": lambda a: ShopFloor(**FLOOR | {"sockets": a}).sockets,
    "floor rating": lambda a: (
        ShopFloor(
            **FLOOR | {"sockets": CORNERS, "slots": CORNERS, "slot_ratings": a[:, 2]}
        ).slot_ratings
    ),
    "keep out": lambda a: ShopFloor(**FLOOR | {"keep_out": a[None, ::3]}).keep_out,
    "job": lambda a: Job(**JOB | {"clamp": a[0]}).clamp,
    "wanted line": lambda a: Job(**JOB | {"direction": a[0]}).direction,
    "rail root": lambda a: Rail(**RAIL | {"root": a[0]}).root,
    "rail yields": lambda a: Rail(**RAIL | {"yield_load": a}).yield_load,
    "tie": lambda a: Spring(node=(0, 1), stiffness=a[0]).stiffness,
    "pull on a rail": lambda a: RailPull(clamp="tip", head=a[0]).head,
    "diagonals": lambda a: (
        Diagonals(from_left_front=a[0], from_right_front=a[1]).from_left_front
    ),
    "central axis": lambda a: central_axis([1, 0, 0, 0, 0, 0], about=a[0]).point,
}
RAIL = {
    "root": [0, 0, 0],
    "along": [1, 0, 0],
    "link_length": [1, 1],
    "stiffness": np.ones((2, 3)),
    "yield_load": np.ones((2, 3)),
    "hardening_ratio": 0.1,
}
VALVES = np.array([True, False, True, True])


@pytest.mark.parametrize("made", KEPT.values(), ids=KEPT)
def test_what_was_given_may_change_afterwards(made):
    given = np.array([[1.0, 0, 0], [0, 1.0, 0], [0, 0, 1.0], [2, 2, 2]])
    given[:, 2] += 1.0 * (given[:, 2] == 0) * (made is not KEPT["clamp axes"])
    VALVES[:] = [True, False, True, True]
    kept = made(given)
    before = kept.copy()

    given[:] = 77.0
    VALVES[:] = False

    assert np.array_equal(kept, before)


@pytest.mark.parametrize("pressure", [np.nan, -1e5, 0.0, -np.inf, [1e7, 2e7]])
def test_a_supply_of_no_pressure_orders_no_rams(pressure):
    with pytest.raises(WorkbookError, match="supply pressure"):
        order_of_movement(Rams(**RAMS), supply_pressure=pressure)
