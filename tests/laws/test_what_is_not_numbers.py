"""Whatever is put in the place of numbers, mechanics answers or gives a reason."""

import inspect
from fractions import Fraction
from importlib import import_module
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from public_calls import CALLS, CORNERS, FLOOR, JOB, LAID_OUT, RAMS, RIG

import workbook.mechanics
from workbook.errors import WorkbookError
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import central_axis
from workbook.mechanics.hydraulics.supply import Rams, order_of_movement
from workbook.mechanics.metal.rail_parts import Rail, RailPull, Spring
from workbook.mechanics.planner.candidates import Job, ShopFloor
from workbook.mechanics.pull.linkage import Rig
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.survey.tapes import Diagonals

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
