"""Two rails and a crossmember through a whole history, against the library PyNiteFEA.

Pulls come on, a chain is locked, a stand is fitted under load, a pull goes and the
crossmember is taken out; every step of every act is compared. PyNite is linear, so
the loads are small, and a history is a sum: each act adds what its own structure gives
to what the act adds to the loads. The rail's links are rigid from a hinge to half a
part on: the weld sits on an arm of half a part, in PyNite too.
"""

from dataclasses import replace

import numpy as np
import pytest
from Pynite import FEModel3D

from workbook.mechanics.metal.front import load, release, undamaged
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailClamp,
    Spring,
    uniform_crossmember,
    uniform_rail,
)
from workbook.mechanics.metal.sections import BoxSection

MODULUS, SHEAR = 210e9, 81e9
RAIL = BoxSection(width=0.05, depth=0.08, thickness=0.002)
RAIL_TURNED = BoxSection(width=0.08, depth=0.05, thickness=0.002)
BEAM = BoxSection(width=0.04, depth=0.06, thickness=0.0015)
BEAM_TURNED = BoxSection(width=0.06, depth=0.04, thickness=0.0015)
LENGTH, SPAN, LINKS, WELD = 0.6, 0.8, 18, 15
PART = LENGTH / LINKS
# Of the largest movement: the first act errs by 3.2 % with nine links, by 0.84 % with
# eighteen, the second order of the links.
CLOSE = 0.015
SIDES = {"L": SPAN / 2, "R": -SPAN / 2}
STEEL = {"youngs_modulus": MODULUS, "yield_stress": 300e6, "hardening_ratio": 0.02}
STAND = (0.0, 1e6, 2e6)
# Clamps by their place in PyNite's model.
PLACES = {"L tip": LINKS, "L third": LINKS // 3, "R tip": LINKS, "R third": LINKS // 3}
PULLS = {
    "rough": PullOn(clamp="L tip", head=(1.4, 1.7, 0.5), tension=30.0),
    "second": PullOn(clamp="R tip", head=(1.1, 1.0, -0.7), tension=20.0),
    "hold": PullOn(clamp="L third", head=(0.2, -9.6, 0.0), stroke=0.0),
}


def front():
    rail = {"length": LENGTH, "links": LINKS, "upright": RAIL, "sideways": RAIL_TURNED}
    return FrontEnd(
        rails=[
            uniform_rail(root=(0, y, 0), along=(1, 0, 0), **rail, **STEEL)
            for y in SIDES.values()
        ],
        crossmember=uniform_crossmember(
            ends=((0, WELD), (1, WELD)),
            length=SPAN,
            links=LINKS,
            upright=BEAM,
            sideways=BEAM_TURNED,
            torsion_constant=BEAM.torsion_constant,
            shear_modulus=SHEAR,
            **STEEL,
        ),
        clamps={
            name: RailClamp(node=("LR".index(name[0]), number))
            for name, number in PLACES.items()
        },
    )


def moved_by(loads, *, crossmember=True, stand=False, hold=False):
    """Return how far PyNite moves each clamp under forces on clamps, shape (4, 3)."""
    model = FEModel3D()
    model.add_material("steel", MODULUS, SHEAR, 0.3, 7850)
    model.add_section(
        "rail", RAIL.area, RAIL_TURNED.second_moment, RAIL.second_moment, 1e-3
    )
    model.add_section("arm", 1.0, 1e-2, 1e-2, 1e-2)
    model.add_section(
        "beam",
        BEAM.area * 2 * LINKS / (2 * LINKS + 1),  # the joint gives as one more link
        BEAM_TURNED.second_moment,
        BEAM.second_moment,
        BEAM.torsion_constant,
    )
    for side, y in SIDES.items():
        stops = {
            "root": 0.0,
            " third": PLACES["L third"],
            "mid": WELD - 0.5,
            " tip": LINKS,
        }
        # PyNite's Y is up: this frame's y is its Z and this frame's z is its Y.
        for stop, number in stops.items():
            model.add_node(f"{side}{stop}", number * PART, 0, y)
        for number, (one, other) in enumerate(zip(stops, [*stops][1:], strict=False)):
            model.add_member(
                f"{side}{number}", f"{side}{one}", f"{side}{other}", "steel", "rail"
            )
        model.def_support(f"{side}root", *[True] * 6)
        if crossmember:
            model.add_node(f"{side}weld", WELD * PART, 0, y)
            model.add_member(f"{side}arm", f"{side}mid", f"{side}weld", "steel", "arm")
    if crossmember:
        model.add_member("beam", "Lweld", "Rweld", "steel", "beam")
    if stand:
        model.def_support_spring("R third", "DY", STAND[2])
        model.def_support_spring("R third", "DZ", STAND[1])
    if hold:
        model.def_support_spring("L third", "DZ", 1e12)
    for clamp, (x, y, z) in loads.items():
        for way, force in (("FX", x), ("FZ", y), ("FY", z)):
            model.add_node_load(clamp, way, float(force))
    model.analyze_linear()
    return np.array(
        [
            [getattr(model.nodes[name], way)["Combo 1"] for way in ("DX", "DZ", "DY")]
            for name in PLACES
        ]
    )


def ours(act):
    return np.stack([act.path(name) for name in PLACES], axis=1)


def expected(act, pulls, before, **structure):
    """Return what PyNite adds, step by step, by what each tension has grown."""
    added = np.zeros((len(act.history.progress), len(PLACES), 3))
    for name in pulls:
        force = act.pull_force[name]
        unit = force[-1] if force[-1].any() else force[0]
        share = act.tension[name] / np.linalg.norm(unit)
        added += np.multiply.outer(
            share - share[0], moved_by({PULLS[name].clamp: unit}, **structure)
        )
    return before + added


@pytest.mark.kind("load", "a whole history of acts on a welded front", "PyNite")
def test_every_step_of_a_history_is_where_pynite_says():
    front_end = front()
    state = undamaged(front_end)
    home = np.zeros((len(PLACES), 3))
    places, found, seen = home, [], {"tolerance": 1.0, "steps": 4}

    def done(act, pulls, **structure):
        nonlocal places, state
        told = expected(act, pulls, places, **structure)
        found.append((ours(act) - start, told))
        places, state = told[-1], act.state

    first = load(front_end, state, {n: PULLS[n] for n in ("rough", "second")}, **seen)
    start = ours(first)[0]
    done(first, ["rough", "second"])
    locked = load(front_end, state, {"hold": PULLS["hold"]}, **seen)
    done(locked, [])
    # The stand carries only what comes after it, and so does the locked chain.
    stand = Spring(node=(1, PLACES["R third"]), stiffness=STAND)
    more = {"rough": replace(PULLS["rough"], tension=60.0)}
    pulled = load(front_end, state, more, holds={"stand": stand}, **seen)
    done(pulled, ["rough"], stand=True, hold=True)
    let_go = release(front_end, state, ["second"], **seen)
    done(let_go, ["second"], stand=True, hold=True)

    for moved, told in found:
        assert moved == pytest.approx(told, abs=CLOSE * np.abs(told[-1]).max())
    assert len(found[0][0]) >= 5
    assert let_go.tension["hold"][-1] > 1

    # With chains and stand off and the crossmember out, two rails under one pull.
    free = release(front_end, state, ["hold", "stand"], **seen)
    alone = release(front_end, free.state, ["crossmember"], **seen)
    told = moved_by({"L tip": alone.pull_force["rough"][-1]}, crossmember=False)
    assert ours(alone)[-1] - start == pytest.approx(
        told, abs=CLOSE * np.abs(told).max()
    )
    # Taking chains and stand off again leaves what was there without them.
    whole = moved_by({"L tip": free.pull_force["rough"][-1]})
    assert ours(free)[-1] - start == pytest.approx(
        whole, abs=CLOSE * np.abs(whole).max()
    )
    assert np.abs(told - whole).max() > 0.1 * np.abs(whole).max()
