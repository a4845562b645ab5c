"""Front ends for the laws of the rail: one rail, and two with a crossmember."""

from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailClamp,
    RailPull,
    RailStage,
    Relief,
    Spring,
    uniform_crossmember,
    uniform_rail,
)
from workbook.mechanics.metal.sections import BoxSection

LENGTH, LINKS = 0.6, 6
TIP = (0, LINKS)
TUBE = BoxSection(width=0.07, depth=0.10, thickness=0.002)
TURNED = BoxSection(width=0.10, depth=0.07, thickness=0.002)
BEAM = BoxSection(width=0.05, depth=0.05, thickness=0.0015)
STEEL = {"youngs_modulus": 210e9, "yield_stress": 260e6, "hardening_ratio": 0.03}


def rail(y=0.0, links=LINKS, **changes):
    shape = {"upright": TUBE, "sideways": TURNED, "length": LENGTH, **STEEL, **changes}
    return uniform_rail(root=(0, y, 0), along=(1, 0, 0), links=links, **shape)


def one_rail(**pulls):
    """Return one rail with pulls at its tip, by name and direction."""
    return FrontEnd(
        rails=[rail()],
        clamps={"tip": RailClamp(node=TIP)},
        pulls={
            name: RailPull(clamp="tip", direction=way)
            for name, way in (pulls or {"left": (0, 1, 0), "right": (0, -1, 0)}).items()
        },
    )


def two_rails():
    """Return two rails with a crossmember, pulled at the left one."""
    return FrontEnd(
        rails=[rail(0.4), rail(-0.4)],
        clamps={"tip": RailClamp(node=TIP), "root": RailClamp(node=(0, 1))},
        pulls={
            "hit": RailPull(clamp="tip", direction=(-0.3, -1, -0.2)),
            "rough": RailPull(clamp="tip", head=(1.4, 1.5, 0.3)),
            "hold": RailPull(clamp="root", head=(0.1, -1.5, 0)),
        },
        springs={
            "crossmember": Spring(node=(0, 5), other=(1, 5), stiffness=(2e5, 2e6, 2e5)),
            "stand": Spring(node=(0, 2), stiffness=(1e6, 1e6, 1e6), in_place=False),
        },
    )


def two_rails_and_a_beam():
    """Return the same two rails welded to a beam between them, and clamps, for acts."""
    beam = uniform_crossmember(
        ends=((0, 5), (1, 5)),
        length=0.8,
        links=LINKS,
        upright=BEAM,
        sideways=BEAM,
        torsion_constant=BEAM.torsion_constant,
        shear_modulus=81e9,
        **STEEL,
    )
    return FrontEnd(
        rails=[rail(0.4), rail(-0.4)],
        crossmember=beam,
        clamps={
            "left tip": RailClamp(node=TIP),
            "left root": RailClamp(node=(0, 1)),
            "right tip": RailClamp(node=(1, LINKS)),
            "right root": RailClamp(node=(1, 1)),
        },
    )


ROUGH_REPAIR = (
    RailStage(name="crash", travels={"hit": 0.04}),
    RailStage(name="crash over", forces={"hit": 0.0}),
    RailStage(
        name="pull", forces={"rough": 20e3}, travels={"hold": 0.0}, fit=["stand"]
    ),
    RailStage(name="hammer", relief=[Relief(rail=0, hinges=[0, 1], fraction=0.4)]),
    RailStage(name="take out", take_out=["crossmember"]),
    RailStage(name="release", forces={"rough": 0.0, "hold": 0.0}),
)
