"""Pulls on the front metal against three facts of the textbooks.

Bending about two axes at once; a hold short of the pull; the torsion of a tube.
"""

import numpy as np
import pytest

from workbook.mechanics.metal.front import load, undamaged
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_parts import FrontEnd, RailClamp, uniform_rail
from workbook.mechanics.metal.sections import BoxSection, RectangularSection

INCH, LINKS = 0.0254, 32


def one_rail(upright, sideways):
    """Return one rail that does not yield, with clamps at half of it and at its tip."""
    rail = uniform_rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        length=1.0,
        links=LINKS,
        upright=upright,
        sideways=sideways,
        youngs_modulus=210e9,
        yield_stress=1e12,
        hardening_ratio=0.0,
    )
    return FrontEnd(
        rails=[rail],
        clamps={
            "tip": RailClamp(node=(0, LINKS)),
            "half": RailClamp(node=(0, LINKS // 2)),
        },
    )


@pytest.mark.kind(
    "load",
    "which way a pull across two axes bends",
    "Beer & Johnston, Mechanics of Materials",
)
def test_beer_johnston_example_4_08_moment_aslant_of_the_axes():
    # Beer, Johnston, DeWolf, Mazurek, Mechanics of Materials, 5th ed., Example 4.08
    # (from memory): 1.5 x 3.5 in., moment turned by 30 degrees; the neutral axis by
    # 72.4. The beam moves square to its neutral axis.
    upright = RectangularSection(width=1.5 * INCH, depth=3.5 * INCH)
    sideways = RectangularSection(width=3.5 * INCH, depth=1.5 * INCH)
    front_end = one_rail(upright, sideways)
    aslant = np.radians(30)
    down = PullOn(
        clamp="tip", direction=(0, np.sin(aslant), -np.cos(aslant)), tension=10.0
    )

    path = load(front_end, undamaged(front_end), {"down": down}, steps=1).path("tip")

    _, across, up = path[-1] - path[0]
    assert np.degrees(np.arctan2(across, -up)) == pytest.approx(72.4, abs=0.05)


@pytest.mark.kind("load", "moment that a hold carries over to the root", "Hardy Cross")
def test_a_hold_carries_half_of_its_moment_over_to_the_root_the_other_way_round():
    # H. Cross, Analysis of Continuous Frames by Distributing Fixed-End Moments, 1930
    # (from memory): of a moment at a held end, half is carried over to a fixed far
    # end. The pull has its arm from the hold on, P c there and - P c / 2 at the root;
    # the hold takes P (1 + 3 c / 2 a).
    tube = BoxSection(width=0.06, depth=0.06, thickness=0.002)
    front_end = one_rail(tube, tube)
    pulls = {
        "pull": PullOn(clamp="tip", direction=(0, 1, 0), tension=10.0),
        "hold": PullOn(clamp="half", head=(0.5, -9.0, 0.0), stroke=0.0),
    }

    act = load(front_end, undamaged(front_end), pulls, steps=1)

    at_hold, at_root = act.history.load[-1, 0, [LINKS // 2, 0], 1]
    assert at_hold == pytest.approx(10.0 * 0.5, rel=1e-3)
    assert at_root / at_hold == pytest.approx(-0.5, rel=0.01)
    assert act.tension["hold"][-1] == pytest.approx(10.0 * 2.5, rel=0.01)


@pytest.mark.kind("BoxSection", "torsion constant of a tube", "EN 10219-2")
def test_torsion_constants_of_square_tubes():
    # EN 10219-2:2006, table of square hollow sections (from memory): I_t of 50 x 3 is
    # 32.1 cm^4 and of 60 x 3, 57.1 cm^4, round corners and St Venant's part and all:
    # Bredt's thin wall leaves 3 % out.
    for side, listed in ((0.05, 32.1e-8), (0.06, 57.1e-8)):
        tube = BoxSection(width=side, depth=side, thickness=0.003)
        assert 0.96 < tube.torsion_constant / listed < 1
