"""What stays and what springs back: a rod in a tube, Beer & Johnston."""

import numpy as np
import pytest

from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    Rail,
    RailClamp,
    RailPull,
    RailStage,
    Spring,
)

INCH, KIP, KSI = 0.0254, 4448.2216, 6.894757e6
LONG = 30 * INCH
SOURCE = "Beer & Johnston, Mechanics of Materials"
AREA = {"rod": 0.075 * INCH**2, "tube": 0.100 * INCH**2}


def bar(area, *, modulus, limit):
    """Return one link that stretches and hardly bends."""
    stretch = modulus * KSI * area / LONG
    return Rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        link_length=[LONG],
        stiffness=[[1e6, 1e6, stretch]],
        yield_load=[[1e9, 1e9, limit * KSI * area]],
        hardening_ratio=0,
    )


@pytest.fixture(scope="module")
def history():
    # A rigid plate ties both ends: 5.7 kips go on and come off.
    plate = FrontEnd(
        rails=[
            bar(AREA["rod"], modulus=30e3, limit=36),
            bar(AREA["tube"], modulus=15e3, limit=45),
        ],
        clamps={"end": RailClamp(node=(0, 1))},
        pulls={"pull": RailPull(clamp="end", direction=(1, 0, 0))},
        springs={"plate": Spring(node=(0, 1), other=(1, 1), stiffness=(1e13, 0, 0))},
    )
    on = RailStage(name="on", forces={"pull": 5.7 * KIP})
    off = RailStage(name="off", forces={"pull": 0.0})
    return follow(plate, [on, off])


@pytest.mark.kind("follow", "springback and what stays of a rod in a tube", SOURCE)
def test_what_springs_back_is_load_over_stiffness_and_the_rest_stays(history):
    # Beer & Johnston, Mechanics of Materials, Examples 2.14 and 2.15 (from memory): a
    # rod of 0.075 in2, 30e6 psi, 36 ksi in a tube of 0.100 in2, 15e6 psi, 45 ksi, 30 in
    # long. At 5.7 kips 60 thousandths of an inch, 45.6 go back, 14.4 stay.
    loaded, left = (
        history.movement((1, 1), after_stage=k)[0] / INCH * 1e3 for k in (0, 1)
    )

    assert (loaded, loaded - left, left) == pytest.approx((60.0, 45.6, 14.4), abs=0.05)


@pytest.mark.kind("follow", "residual stress in a rod and its tube", SOURCE)
def test_letting_go_leaves_the_rod_pushed_and_the_tube_pulled(history):
    # Example 2.16 (from memory): 36 - 45.6 = -9.6 ksi in the rod, 7.2 in the tube.
    force = history.load[-1, :, 0, 2]

    stress = force / np.array([AREA["rod"], AREA["tube"]]) / KSI

    assert stress == pytest.approx([-9.6, 7.2], abs=0.01)
