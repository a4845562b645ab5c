"""A body on clamps, stands and holding pulls against the open library PyNiteFEA.

The body is a star of bars from its middle to every clamp, stand and hook, stiff by
seven orders over the clamps: agreement to 1e-5 is asked for.
"""

import numpy as np
import pytest
from Pynite import FEModel3D
from scipy.optimize import minimize_scalar

from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.holding_pulls import (
    pull_that_relieves,
    pull_that_steadies,
    pull_that_stops,
)
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import net_wrench

# Metres, newtons; invented.
PLACES = np.array(
    [[1.2, 0.7, 0.0], [1.1, -0.75, 0.05], [-1.0, 0.7, 0.0], [-1.1, -0.7, -0.05]]
)
STIFFNESS = np.array([[8, 20, 15], [9, 18, 14], [7, 22, 16], [10, 19, 12]]) * 1e6
RATINGS = np.array([20e3, 22e3, 18e3, 25e3])
CLAMPS = Clamps(positions=PLACES, stiffness=STIFFNESS, ratings=RATINGS)
MIDDLE = np.array([0.05, 0.02, 0.3])
HOOK, ALONG = np.array([-0.9, 0.6, 0.4]), np.array([-0.8, 0.5, -0.2])
WATCHED = np.array([1.3, 0.1, 0.5])
LOAD = net_wrench([[18e3, 6e3, -4e3]], points=[[1.8, 0.3, 0.6]], about=MIDDLE)
PUSH = net_wrench([ALONG / np.linalg.norm(ALONG)], points=[HOOK], about=MIDDLE)
AXES, TURNS = ("DX", "DY", "DZ"), ("RX", "RY", "RZ")
CLOSE = {"rel": 1e-5, "abs": 1e-9}


def body(wrench, *, points, stiffness, one_way=()):
    """Solve a body on springs; return the model, its nodes named by their place."""
    model = FEModel3D()
    model.add_material("stiff", 1e15, 4e14, 0.3, 0)
    model.add_section("thick", 1.0, 1.0, 1.0, 1.0)
    model.add_node("middle", *MIDDLE)
    for place, (point, springs) in enumerate(zip(points, stiffness, strict=True)):
        model.add_node(f"{place}", *point)
        model.add_member(f"m{place}", "middle", f"{place}", "stiff", "thick")
        for axis, rate in zip(AXES, springs, strict=True):
            if rate:
                way = "-" if place in one_way else None
                model.def_support_spring(f"{place}", axis, rate, way)
    for name, part in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), wrench, strict=True):
        model.add_node_load("middle", name, float(part))
    model.analyze()
    return model


def moved(model, place):
    node = model.nodes[f"{place}"]
    return np.array([getattr(node, axis)["Combo 1"] for axis in AXES])


def star(wrench):
    """Solve the clamped body, with the hook (4) and the watched point (5) on it."""
    points = [*PLACES, HOOK, WATCHED]
    return body(wrench, points=points, stiffness=[*STIFFNESS, (0, 0, 0), (0, 0, 0)])


def forces_of_clamps(model):
    return -STIFFNESS * [moved(model, place) for place in range(4)]


@pytest.mark.kind(
    "share_load", "unlike clamps in space, and how the body moves", "PyNite"
)
def test_clamps_share_a_skew_pull_as_pynite_says():
    model = star(LOAD)

    held = share_load(LOAD, clamps=CLAMPS, about=MIDDLE)

    assert held.clamp_forces == pytest.approx(forces_of_clamps(model), **CLOSE)
    assert held.movement_at(WATCHED)[0] == pytest.approx(moved(model, 5), **CLOSE)


@pytest.mark.kind("share_load", "stands that lift off", "PyNite")
def test_stands_lift_off_where_pynites_one_way_springs_do():
    # Four clamps and three stands under them; the pull lifts the nose off two.
    stands = np.array([[1.2, 0.6, 0.0], [1.2, -0.6, 0.0], [-0.9, 0.0, 0.0]])
    lift = net_wrench(
        [[5e3, 1e3, 6e3], [0, 0, -6e3]],
        points=[[1.5, 0.4, 0.5], [-0.9, 0.1, 0.4]],
        about=MIDDLE,
    )
    rates = [*STIFFNESS, *[(0, 0, 3e7)] * 3]
    model = body(lift, points=[*PLACES, *stands], stiffness=rates, one_way=(4, 5, 6))

    held = share_load(
        lift,
        clamps=CLAMPS,
        stands=Stands(positions=stands, stiffness=3e7),
        about=MIDDLE,
    )

    down = np.array([-moved(model, place)[2] for place in (4, 5, 6)])
    assert held.stand_pushes == pytest.approx(3e7 * np.maximum(down, 0), **CLOSE)
    assert held.stand_pushes.tolist()[:2] == [0, 0]
    assert held.stand_pushes[2] > 100
    assert held.clamp_forces == pytest.approx(forces_of_clamps(model), **CLOSE)


@pytest.mark.kind("pull_that_stops", "tension that stops a hook on its line", "PyNite")
def test_a_stopping_pull_stops_the_hook_of_pynites_body():
    along = ALONG / np.linalg.norm(ALONG)
    loaded, pulled = (moved(star(wrench), 4) @ along for wrench in (LOAD, PUSH))

    tie = pull_that_stops(LOAD, clamps=CLAMPS, hook=HOOK, direction=ALONG, about=MIDDLE)

    assert tie.tension == pytest.approx(-loaded / pulled, rel=1e-5)


@pytest.mark.kind(
    "pull_that_steadies", "tension that leaves a point moving least", "PyNite"
)
def test_a_steadying_pull_leaves_the_least_way_of_pynites_point():
    loaded, pulled = (moved(star(wrench), 5) for wrench in (LOAD, PUSH))

    tie = pull_that_steadies(
        LOAD, clamps=CLAMPS, hook=HOOK, direction=ALONG, point=WATCHED, about=MIDDLE
    )

    least = -(loaded @ pulled) / (pulled @ pulled)
    assert tie.tension == pytest.approx(least, rel=1e-5)
    assert tie.movement == pytest.approx(loaded + least * pulled, rel=1e-4, abs=1e-9)


@pytest.mark.kind(
    "pull_that_relieves", "tension that leaves the least worst share", "PyNite"
)
def test_a_relieving_pull_leaves_pynites_worst_clamp_the_least_share():
    # The worst share is convex in the tension; SciPy searches it to 1e-6 of the range.
    loaded, pulled = (forces_of_clamps(star(wrench)) for wrench in (LOAD, PUSH))

    def worst(tension):
        return (np.linalg.norm(loaded + tension * pulled, axis=1) / RATINGS).max()

    best = minimize_scalar(worst, bounds=(0, 40e3), method="bounded").x

    tie = pull_that_relieves(
        LOAD,
        clamps=CLAMPS,
        hook=HOOK,
        direction=ALONG,
        chain_limit=40e3,
        about=MIDDLE,
    )

    assert 0 < best < 40e3
    assert tie.tension == pytest.approx(best, rel=1e-4)
    assert tie.held.shares.max() == pytest.approx(worst(best), rel=1e-5)
