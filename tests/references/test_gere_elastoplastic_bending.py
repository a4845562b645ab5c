"""Boxes and wide flanges bent past yield against Gere, Mechanics of Materials."""

import pytest

from workbook.mechanics.metal.bending import bend_past_yield
from workbook.mechanics.metal.sections import BoxSection, ISection

SOURCE = "Gere & Goodno, Mechanics of Materials"
INCH, KIP = 0.0254, 4448.222
KSI = KIP / INCH**2


@pytest.mark.kind("bend_past_yield", "flanges yielded, web elastic", SOURCE)
def test_gere_problem_6_10_17_wide_flange():
    # Gere & Goodno, Mechanics of Materials, 7th ed., Instructor's Solutions Manual,
    # Problem 6.10-17, p. 567: h = 10.2 in, b = 10.1 in, flanges 0.680 in, web 0.420
    # in, yield 36 ksi. Flanges yielded and web elastic take M = 2551 kip in, of which
    # the elastic core carries 7.7 %. Four figures of M fix the core to 0.3 %.
    beam = ISection(
        width=10.1 * INCH,
        depth=10.2 * INCH,
        flange_thickness=0.680 * INCH,
        web_thickness=0.420 * INCH,
    )
    moment = 2551 * KIP * INCH

    bent = bend_past_yield(
        beam, moment=moment, youngs_modulus=30e3 * KSI, yield_stress=36 * KSI
    )
    core = 36 * KSI * 0.420 * INCH * bent.core_depth**2 / 6

    assert bent.core_depth == pytest.approx((10.2 - 2 * 0.680) * INCH, rel=3e-3)
    assert core / moment == pytest.approx(0.077, abs=5e-4)


@pytest.mark.kind("BoxSection", "yield moment, plastic moment, shape factor", SOURCE)
def test_gere_problems_6_10_11_and_6_10_12_hollow_boxes():
    # Same manual, pp. 564: h = 16 in, b = 8 in, t = 0.75 in, 32 ksi: 4320 and 5450
    # kip in, 1.26; h = 0.5 m, b = 0.18 m, t = 22 mm, 210 MPa: 672 and 878 kN m, 1.31.
    inches = BoxSection(width=8 * INCH, depth=16 * INCH, thickness=0.75 * INCH)
    metres = BoxSection(width=0.18, depth=0.5, thickness=0.022)

    yields = inches.elastic_section_modulus * 32 * KSI
    whole = inches.plastic_section_modulus * 32 * KSI
    assert yields == pytest.approx(4320 * KIP * INCH, rel=1e-3)
    assert whole == pytest.approx(5450 * KIP * INCH, rel=1e-3)
    assert inches.shape_factor == pytest.approx(1.26, abs=0.005)
    assert metres.elastic_section_modulus * 210e6 == pytest.approx(672e3, rel=1e-3)
    assert metres.plastic_section_modulus * 210e6 == pytest.approx(878e3, rel=1e-3)
    assert metres.shape_factor == pytest.approx(1.31, abs=0.005)
