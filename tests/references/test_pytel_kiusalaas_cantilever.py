"""The rail's elastic limit against Pytel & Kiusalaas, Mechanics of Materials."""

import numpy as np
import pytest

from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    Rail,
    RailClamp,
    RailPull,
    RailStage,
)

INCH, LBF, PSI = 0.0254, 4.4482216, 6894.757


@pytest.mark.kind(
    "follow",
    "tip of a cantilever under a spread load",
    "Pytel & Kiusalaas, Mechanics of Materials",
)
def test_pytel_kiusalaas_example_6_1_distributed_load_on_a_cantilever():
    # Pytel & Kiusalaas, Mechanics of Materials, Example 6.1: cantilever 8 ft long,
    # 400 lb/ft, E 29e6 psi, I 285 in^4; wL^4/8EI = 0.0428 in at the tip (three
    # figures). Here 40 rigid links on hinges, the load shared among the nodes;
    # that errs by order (1/40)^2.
    links, length = 40, 96 * INCH
    link = length / links
    bending = 29e6 * PSI * 285 * INCH**4 / link
    stiffness = np.full((links, 3), [bending, bending, 1e12])
    stiffness[0, :2] *= 2
    rail = Rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        link_length=np.full(links, link),
        stiffness=stiffness,
        yield_load=np.full((links, 3), np.inf),
        hardening_ratio=0,
    )
    nodes = range(1, links + 1)
    front_end = FrontEnd(
        rails=[rail],
        clamps={f"{node}": RailClamp(node=(0, node)) for node in nodes},
        pulls={
            f"{node}": RailPull(clamp=f"{node}", direction=(0, 0, -1)) for node in nodes
        },
    )
    share = 400 * LBF / 12 / INCH * link
    forces = {f"{node}": share / (2 if node == links else 1) for node in nodes}

    history = follow(front_end, [RailStage(name="load", forces=forces)])

    assert -history.movement((0, links))[2] / INCH == pytest.approx(0.0428, abs=5e-5)
