"""L15, what is made: the load after which a bent rail stays where it should."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from workbook.exercises.answers.straighten_it import StraightenIt, StraightenMistake
from workbook.exercises.bank.lesson_15 import CAUTIONS
from workbook.exercises.declaration import (
    ByHand,
    Derived,
    Exercise,
    Numbers,
    Sketch,
    picked,
    stepped,
)
from workbook.scenes.straightening import climb, curve_of, stiffness_of

if TYPE_CHECKING:
    from workbook.mechanics.vectors import Array

FAR = 0.04  # how far the curve of a question is drawn [m]
HALF = 500.0  # loads are told to so much [N]
QUARTERS = 8e3  # its axis of loads goes up to a number of these [N]

RAIL = StraightenIt(
    rig={"load_kn": "load", "needed_mm": "needed", "wall_mm": "wall"},
)


def _stiffness(g: Numbers) -> float:
    return stiffness_of(round(g.wall, 9), round(g.needed, 9))


def _curve(g: Numbers) -> Array:
    """Return movement over load of the question's rail (n, 2), as far as is drawn."""
    parts, _ = climb(round(g.wall, 9), round(g.needed, 9), 0.0, _top(g))
    return curve_of(parts, g.needed)


def _reading(g: Numbers, load: float) -> float:
    """Return the loaded reading under a load. [m]"""
    movement, loads = _curve(g).T
    return float(np.interp(load, loads, movement))


def _first_load(g: Numbers) -> float:
    """Return the load under which the point is just short of its place. [N]"""
    movement, loads = _curve(g).T
    return float(HALF * np.floor(np.interp(g.needed, movement, loads) / HALF))


def _second_load(g: Numbers) -> float:
    """Return a load that is more than enough. [N]"""
    return _first_load(g) + 3 * HALF


def _top(g: Numbers) -> float:
    """Return a load past which the rail moves further than its curve is drawn. [N]"""
    for count in range(1, 8):
        parts, refusal = climb(
            round(g.wall, 9), round(g.needed, 9), 0.0, count * QUARTERS
        )
        if refusal or curve_of(parts, g.needed)[-1, 0] >= FAR:
            break
    return count * QUARTERS


EXERCISES = (
    Exercise(
        id="15.8",
        lesson="L15",
        given={
            "needed": stepped("mm", 8, 22, 2),
            "wall": picked("mm", 2.0, 2.5, 3.0, 3.5, 4.0),
            "load": stepped("kN", 4, 6),
        },
        derived={
            "stiffness": Derived(unit="kN/mm", digits=1, solve=_stiffness),
            "far": Derived(unit="mm", digits=0, solve=lambda _: FAR),
            "top": Derived(unit="kN", digits=0, solve=_top),
            "first_load": Derived(unit="kN", digits=1, solve=_first_load),
            "first_reading": Derived(
                unit="mm", digits=1, solve=lambda g: _reading(g, _first_load(g))
            ),
            "second_load": Derived(unit="kN", digits=1, solve=_second_load),
            "second_reading": Derived(
                unit="mm", digits=1, solve=lambda g: _reading(g, _second_load(g))
            ),
        },
        answer=RAIL,
        mistakes=(
            StraightenMistake("M30_no_springback", lambda g: g.needed),
            StraightenMistake("always_ten_per_cent", lambda g: 1.1 * g.needed),
        ),
        # Read from the curve of the rail: 20.5 kN move it 18.6 mm, and 20.5 ÷ 3.9 = 5.3
        # go back; 13.3 stay. Half a kilonewton more leaves 15.3.
        by_hand=ByHand({"needed": 14, "wall": 4.0, "load": 5}, "load 20.5 kN"),
        sketch=Sketch(
            "curve_to_stop_on",
            {name: name for name in ("wall", "needed", "far", "top")},
        ),
        easier="15.1",
        cautions=CAUTIONS,
    ),
)
