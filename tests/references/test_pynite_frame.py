"""The rail's elastic limit against the open frame library PyNiteFEA.

PyNite's members bend continuously, the rail in 48 links, which errs by
1/(2 * 48^2) = 0.02 % at the tip and by 0.07 % a third of the way out: agreement to
0.1 % is asked for. PyNite is linear, so the loads are small.
"""

import pytest
from Pynite import FEModel3D

from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailClamp,
    RailPull,
    RailStage,
    Spring,
    uniform_rail,
)
from workbook.mechanics.metal.sections import BoxSection

TUBE = BoxSection(width=0.05, depth=0.08, thickness=0.002)
TURNED = BoxSection(width=0.08, depth=0.05, thickness=0.002)
LENGTH, MODULUS, LINKS = 0.6, 210e9, 48
CROSSMEMBER, STAND = 3e6, 2e6
FORCES = {"X": 40.0, "Y": 60.0, "Z": -30.0}


def front_end():
    rails = [
        uniform_rail(
            root=(0, y, 0),
            along=(1, 0, 0),
            length=LENGTH,
            links=LINKS,
            upright=TUBE,
            sideways=TURNED,
            youngs_modulus=MODULUS,
            yield_stress=300e6,
            hardening_ratio=0.02,
        )
        for y in (0.4, -0.4)
    ]
    return FrontEnd(
        rails=rails,
        clamps={"tip": RailClamp(node=(0, LINKS))},
        pulls={
            "X": RailPull(clamp="tip", direction=(1, 0, 0)),
            "Y": RailPull(clamp="tip", direction=(0, 1, 0)),
            "Z": RailPull(clamp="tip", direction=(0, 0, -1)),
        },
        springs={
            "crossmember": Spring(
                node=(0, LINKS * 2 // 3),
                other=(1, LINKS * 2 // 3),
                stiffness=(0, CROSSMEMBER, 0),
            ),
            "stand": Spring(node=(0, LINKS // 3), stiffness=(0, 0, STAND)),
        },
    )


def pynite_model():
    model = FEModel3D()
    model.add_material("steel", MODULUS, MODULUS / 2.6, 0.3, 7850)
    model.add_section("tube", TUBE.area, TURNED.second_moment, TUBE.second_moment, 1e-6)
    for side, y in (("L", 0.4), ("R", -0.4)):
        for place, x in enumerate((0, LENGTH / 3, 2 * LENGTH / 3, LENGTH)):
            # PyNite's member axis z is horizontal for a member along X with Y up,
            # so this frame's y is its Z and this frame's z is its Y.
            model.add_node(f"{side}{place}", x, 0, y)
        for place in range(3):
            ends = (f"{side}{place}", f"{side}{place + 1}")
            model.add_member(f"{side}m{place}", *ends, "steel", "tube")
        model.def_support(f"{side}0", True, True, True, True, True, True)
    model.add_spring("crossmember", "L2", "R2", CROSSMEMBER)
    model.def_support_spring("L1", "DY", STAND)
    model.add_node_load("L3", "FX", FORCES["X"])
    model.add_node_load("L3", "FZ", FORCES["Y"])
    model.add_node_load("L3", "FY", FORCES["Z"])
    model.analyze_linear()
    return model


@pytest.mark.kind("follow", "two rails, crossmember and stand", "PyNite")
def test_two_rails_crossmember_and_stand_move_as_pynite_says():
    model = pynite_model()
    forces = {"X": FORCES["X"], "Y": FORCES["Y"], "Z": -FORCES["Z"]}

    history = follow(
        front_end(), [RailStage(name="load", forces=forces)], largest_step=1.0
    )

    for rail, side in ((0, "L"), (1, "R")):
        for place in (1, 2, 3):
            theirs = model.nodes[f"{side}{place}"]
            ours = history.movement((rail, LINKS * place // 3))
            assert ours[1] == pytest.approx(theirs.DZ["Combo 1"], rel=1e-3)
            assert ours[2] == pytest.approx(theirs.DY["Combo 1"], rel=1e-3, abs=1e-12)
    tip = model.nodes["L3"]
    assert history.load[-1, 0, 0, 2] == pytest.approx(FORCES["X"], rel=1e-3)
    assert history.deformation[-1, 0, :, 2].sum() == pytest.approx(
        tip.DX["Combo 1"], rel=1e-3
    )
