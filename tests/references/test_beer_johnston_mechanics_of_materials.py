"""Elastic-perfectly-plastic bending against Beer, Johnston et al."""

import pytest

from workbook.mechanics.metal.bending import bend_past_yield, stress_across
from workbook.mechanics.metal.sections import ISection, RectangularSection

BAR = RectangularSection(width=0.050, depth=0.120)
STEEL = {"youngs_modulus": 200e9, "yield_stress": 240e6}


@pytest.mark.kind(
    "bend_past_yield",
    "core, curvatures and residual stress of a rectangle",
    "Beer & Johnston, Mechanics of Materials",
)
def test_beer_johnston_examples_4_05_and_4_06():
    # Beer & Johnston, Mechanics of Materials, Examples 4.05 (loading) and 4.06
    # (unloading), pp. 260-262: 50 mm x 120 mm bar, M = 36.8 kN m, E = 200 GPa,
    # yield 240 MPa; figures as in an open companion notebook to the book. The
    # book prints three figures, hence rel=5e-3.
    bent = bend_past_yield(BAR, moment=36.8e3, **STEEL)

    assert bent.yield_moment == pytest.approx(28.8e3, rel=5e-3)
    assert bent.core_depth == pytest.approx(0.080, rel=5e-3)
    assert 1 / bent.loaded_curvature == pytest.approx(33.3, rel=5e-3)
    assert bent.unloading_stress == pytest.approx(306.7e6, rel=5e-4)
    assert bent.core_edge_residual_stress == pytest.approx(35.5e6, rel=5e-3)
    assert 1 / bent.residual_curvature == pytest.approx(225, rel=5e-3)


@pytest.mark.kind(
    "stress_across",
    "stresses across the depth, loaded and left",
    "Beer & Johnston, Mechanics of Materials",
)
def test_beer_johnston_stresses_across_the_depth():
    # Same examples: under the moment 240 MPa from the edge of the core, 40 mm from the
    # middle, outward; left are 35.5 MPa there (the notebook cuts 35.56, hence 0.2 %)
    # and, from memory, -66.7 MPa at the surface.
    bent = bend_past_yield(BAR, moment=36.8e3, **STEEL)

    loaded, left = stress_across(bent, height=[0.020, 0.040, 0.060], **STEEL)

    assert loaded == pytest.approx([120e6, 240e6, 240e6])
    assert left[1] == pytest.approx(35.5e6, rel=2e-3)
    assert left[2] == pytest.approx(-66.7e6, rel=1e-3)
    assert bent.surface_residual_stress == pytest.approx(left[2])


@pytest.mark.kind(
    "bend_past_yield",
    "an I past its flanges: moment, residual stress, permanent radius",
    "Beer & Johnston, Mechanics of Materials",
)
def test_beer_johnston_problem_4_104_i_shaped_bar():
    # Same book, solutions manual, Problems 4.86 and 4.104 (numbers of the 3rd and 4th
    # editions, to be confirmed): flanges 6 in x 3 in, web 3 in x 3 in, I = 357.75
    # in^4, E = 29e6 psi, yield 42 ksi; plastic zones 3 in thick top and bottom take
    # M = 4725 kip in, and after release 17.43 ksi stay at 4.5 in, 22.19 ksi of the
    # other sign at 1.5 in, nought at 3.18 in, and a radius of 1960 in.
    inch, ksi, kip = 0.0254, 6894.757e3, 4448.222
    bar = ISection(
        width=6 * inch,
        depth=9 * inch,
        flange_thickness=3 * inch,
        web_thickness=3 * inch,
    )
    steel = {"youngs_modulus": 29e3 * ksi, "yield_stress": 42 * ksi}

    bent = bend_past_yield(bar, moment=4725 * kip * inch, **steel)
    _, left = stress_across(bent, height=[1.5 * inch, 3.18 * inch, 4.5 * inch], **steel)

    assert bar.second_moment == pytest.approx(357.75 * inch**4, rel=1e-9)
    assert bent.core_depth == pytest.approx(3 * inch, rel=1e-5)
    assert left[0] == pytest.approx(22.19 * ksi, abs=0.005 * ksi)
    assert left[1] == pytest.approx(0, abs=0.02 * ksi)
    assert left[2] == pytest.approx(-17.43 * ksi, abs=0.005 * ksi)
    assert 1 / bent.residual_curvature == pytest.approx(1960 * inch, rel=5e-4)
