"""A rail held beside its root by a stand that gives, against a beam on a spring.

J. M. Gere and B. J. Goodno, Mechanics of Materials, chapter 10, statically
indeterminate beams by superposition, one support of which is a spring (from memory):
a cantilever of length L with a load P at its end and a spring k at a from the root has
R = P a^2 (3 L - a) / (6 E I) / (a^3 / (3 E I) + 1 / k), and P L - R a at the root.
"""

import numpy as np
import pytest

from workbook.mechanics.metal.front import load, undamaged
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    RailClamp,
    Spring,
    uniform_rail,
)
from workbook.mechanics.metal.sections import BoxSection

SOURCE = "Gere & Goodno, Mechanics of Materials (from memory)"
MODULUS, LENGTH, LINKS, PULL = 210e9, 0.64, 32, 200.0
UPRIGHT = BoxSection(depth=0.12, width=0.08, thickness=0.002)
SIDEWAYS = BoxSection(depth=0.08, width=0.12, thickness=0.002)
BENDING = MODULUS * SIDEWAYS.second_moment


@pytest.mark.kind("load", "what a hold that gives carries, and the root then", SOURCE)
def test_a_hold_that_gives_carries_what_a_spring_under_a_beam_does():
    rail = uniform_rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        length=LENGTH,
        links=LINKS,
        upright=UPRIGHT,
        sideways=SIDEWAYS,
        youngs_modulus=MODULUS,
        yield_stress=1e12,
        hardening_ratio=0.0,
    )
    front = FrontEnd(rails=[rail], clamps={"tip": RailClamp(node=(0, LINKS))})
    pull = {"pull": PullOn(clamp="tip", direction=(0, 1, 0), tension=PULL)}
    carried = []
    for node, stiffness in ((4, 8e6), (12, 8e6), (12, 1e9), (24, 8e6)):
        at = node * LENGTH / LINKS
        hold = Spring(node=(0, node), stiffness=(0, stiffness, 0))
        steps = load(front, undamaged(front), pull, holds={"hold": hold})

        reaction = PULL * at**2 * (3 * LENGTH - at) / (6 * BENDING)
        reaction /= at**3 / (3 * BENDING) + 1 / stiffness
        found = -steps.hold_force["hold"][-1, 1]
        assert found == pytest.approx(reaction, rel=0.01)
        root = abs(steps.root_load[1][-1, 0, 2])
        assert root == pytest.approx(abs(PULL * LENGTH - reaction * at), abs=1.0)
        carried.append(found / PULL)

    # A stiff hold short of the pull carries more than the pull, a soft one near the
    # root next to nothing.
    assert carried[2] > 2 > 0.2 > carried[0]
    assert np.all(np.array(carried) > 0)
