"""A rail on a prop: its root moment before it yields, and the load that it ends at."""

import numpy as np
import pytest
from scipy.optimize import linprog

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

TUBE = BoxSection(width=0.06, depth=0.06, thickness=0.002)
LENGTH, YIELD = 0.6, 300e6
PLASTIC = YIELD * TUBE.plastic_section_modulus


def propped(links):
    """Fix a rail at its root, prop its tip and pull its middle down."""
    rail = uniform_rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        length=LENGTH,
        links=links,
        upright=TUBE,
        sideways=TUBE,
        youngs_modulus=210e9,
        yield_stress=YIELD,
        hardening_ratio=0.0,
    )
    return FrontEnd(
        rails=[rail],
        clamps={"middle": RailClamp(node=(0, links // 2))},
        pulls={"down": RailPull(clamp="middle", direction=(0, 0, -1))},
        springs={"prop": Spring(node=(0, links), stiffness=(0, 0, 1e10))},
    )


@pytest.mark.kind("follow", "root moment of a propped cantilever", "beam tables")
def test_a_prop_leaves_three_sixteenths_at_the_root():
    # Standard beam tables (from memory): a load in the middle of a propped cantilever
    # gives 3 P L / 16 at the root and 5 P / 16 on the prop. Links err by order 1/n^2.
    history = follow(propped(24), [RailStage(name="load", forces={"down": 200.0})])

    root = abs(history.load[-1, 0, 0, 0])
    assert root == pytest.approx(3 * 200 * LENGTH / 16, rel=3e-3)


@pytest.mark.kind("follow", "collapse load of a propped cantilever", "SciPy")
def test_a_propped_rail_ends_at_the_greatest_load_that_no_hinge_forbids():
    # Lower-bound theorem: the greatest load in balance with moments below the plastic
    # one, a linear programme for SciPy; for the whole beam it is 6 Mp / L (B. G. Neal,
    # The Plastic Methods of Structural Analysis, from memory). A travel of 1 % of the
    # length shortens the arms by 1e-4.
    links = 8
    places = np.arange(links) * LENGTH / links
    arms = np.clip(LENGTH / 2 - places, 0, None)
    # Unknown: load and prop; moments R (L - x) - P (L/2 - x) within the plastic one.
    moments = np.column_stack([-arms, LENGTH - places])
    best = linprog(
        [-1, 0],
        A_ub=np.concatenate([moments, -moments]),
        b_ub=np.full(2 * links, PLASTIC),
    ).x[0]
    assert best == pytest.approx(6 * PLASTIC / LENGTH, rel=1e-9)

    history = follow(
        propped(links), [RailStage(name="bend", travels={"down": LENGTH / 100})]
    )

    assert history.force[-1, 0] == pytest.approx(best, rel=2e-3)
