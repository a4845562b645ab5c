"""Springback of a bent sheet against Kalpakjian & Schmid."""

import pytest

from workbook.mechanics.metal.bending import springback_ratio

INCH, PSI = 0.0254, 6894.757


@pytest.mark.kind(
    "springback_ratio", "radius of a steel sheet after release", "Kalpakjian & Schmid"
)
def test_kalpakjian_springback_example():
    # Kalpakjian & Schmid, Manufacturing Engineering and Technology, sheet-forming
    # chapter, springback example: 20-gage (0.0359 in) steel, Ri 0.5 in, yield
    # 40 ksi, E 30e6 psi; Rf 0.529 in (answer from memory, three figures).
    ratio = springback_ratio(
        bend_radius=0.5 * INCH,
        thickness=0.0359 * INCH,
        youngs_modulus=30e6 * PSI,
        yield_stress=40e3 * PSI,
    )

    assert 0.5 / ratio == pytest.approx(0.529, abs=6e-4)
