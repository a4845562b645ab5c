"""Shape factors and the moment-curvature law from published tables."""

import pytest

from workbook.mechanics.metal.bending import bend_past_yield
from workbook.mechanics.metal.sections import (
    BoxSection,
    RectangularSection,
    ThinBoxSection,
)


@pytest.mark.kind("RectangularSection", "shape factor", "tables of shape factors")
def test_rectangle_has_shape_factor_one_and_a_half():
    # novasolver.jp and examoo.com, shape factor of a rectangle: 1.5.
    assert RectangularSection(width=0.03, depth=0.07).shape_factor == pytest.approx(1.5)


@pytest.mark.kind("ThinBoxSection", "shape factor", "tables of shape factors")
def test_thin_square_box_has_shape_factor_nine_eighths():
    # From memory: 1.125 for a thin-walled square box.
    thin = ThinBoxSection(width=0.06, depth=0.06, thickness=0.001)

    assert thin.shape_factor == pytest.approx(1.125)


def test_exact_box_tends_to_the_thin_box_as_the_wall_thins():
    # Second route: the exact section at wall t differs from the limit by order t.
    for thickness in (1e-4, 1e-5):
        exact = BoxSection(width=0.08, depth=0.06, thickness=thickness)
        thin = ThinBoxSection(
            width=0.08 - thickness, depth=0.06 - thickness, thickness=thickness
        )
        allowed = 2 * thickness / 0.06

        assert exact.area == pytest.approx(thin.area, rel=1e-12)
        assert exact.second_moment == pytest.approx(thin.second_moment, rel=allowed**2)
        assert exact.shape_factor == pytest.approx(thin.shape_factor, rel=allowed)


@pytest.mark.kind("bend_past_yield", "moment against curvature", "novasolver.jp")
def test_moment_curvature_law_of_a_rectangle_past_yield():
    # novasolver.jp, rectangle beyond yield: M/My = 1.5 - 0.5 (ky/k)^2 with
    # ky = 2 fy/(E h).
    bar = RectangularSection(width=0.02, depth=0.05)
    steel = {"youngs_modulus": 210e9, "yield_stress": 300e6}
    yield_moment = 300e6 * bar.elastic_section_modulus
    yield_curvature = 2 * 300e6 / (210e9 * 0.05)

    for stretch in (1, 1.5, 2, 4):
        moment = (1.5 - 0.5 / stretch**2) * yield_moment
        bent = bend_past_yield(bar, moment=moment, **steel)

        assert bent.loaded_curvature == pytest.approx(stretch * yield_curvature)
