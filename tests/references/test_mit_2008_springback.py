"""Springback of an aluminium sheet against MIT course 2.008."""

import pytest

from workbook.mechanics.metal.bending import springback_ratio

INCH, PSI = 0.0254, 6894.757


@pytest.mark.kind(
    "springback_ratio", "angle of an aluminium sheet after release", "MIT 2.008"
)
def test_mit_2008_homework_5_springback_of_a_right_angle():
    # MIT 2.008, Design and Manufacturing II, homework 5: aluminium, yield
    # 5075 psi, t 1/8 in, Ri 2 in, bent 90 degrees; printed "about 2 degrees".
    # E is 10e6 psi (the stored text prints "106", 10 to the 6 would give 28).
    ratio = springback_ratio(
        bend_radius=2 * INCH,
        thickness=0.125 * INCH,
        youngs_modulus=10e6 * PSI,
        yield_stress=5075 * PSI,
    )

    # The arc keeps its length, so its angle shrinks with the curvature.
    assert 90 * (1 - ratio) == pytest.approx(2, abs=0.5)
