"""Laws of bending past yield."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.errors import OutOfRangeError
from workbook.mechanics.metal.sections import (
    BoxSection,
    ISection,
    RectangularSection,
    bend_past_yield,
    springback_ratio,
    stress_across,
)

BAR = RectangularSection(width=0.040, depth=0.100)
STEEL = {"youngs_modulus": 210e9, "yield_stress": 260e6}
YIELD_MOMENT = 260e6 * 0.040 * 0.100**2 / 6


def test_at_first_yield_nothing_stays():
    bent = bend_past_yield(BAR, moment=YIELD_MOMENT * (1 + 1e-15), **STEEL)

    assert bent.core_depth == pytest.approx(BAR.depth)
    assert bent.residual_curvature == pytest.approx(0, abs=1e-12)
    assert bent.surface_residual_stress == pytest.approx(0, abs=1)


@pytest.mark.parametrize("share", [1.01, 1.2, 1.4, 1.49])
def test_residual_stress_carries_no_force_and_no_moment(share):
    moment = share * YIELD_MOMENT
    bent = bend_past_yield(BAR, moment=moment, **STEEL)
    # Gauss points on each straight piece make the integral exact.
    edges = np.array([-0.05, -bent.core_depth / 2, bent.core_depth / 2, 0.05])
    point, weight = np.polynomial.legendre.leggauss(3)
    middle, half = (edges[1:] + edges[:-1]) / 2, np.diff(edges) / 2
    height = (middle[:, None] + half[:, None] * point).ravel()
    area = (BAR.width * half[:, None] * weight).ravel()

    loaded, residual = stress_across(bent, height=height, **STEEL)

    assert np.sum(residual * area) == pytest.approx(0, abs=1e-6)
    assert np.sum(residual * area * height) == pytest.approx(0, abs=1e-8 * moment)
    assert np.sum(loaded * area * height) == pytest.approx(moment, rel=1e-12)


def test_springback_cubic_is_the_partly_plastic_rectangle():
    strip = RectangularSection(width=1.0, depth=0.002)
    yield_moment = 260e6 * strip.elastic_section_modulus

    bent = bend_past_yield(strip, moment=1.3 * yield_moment, **STEEL)
    ratio = springback_ratio(
        bend_radius=1 / bent.loaded_curvature, thickness=0.002, **STEEL
    )

    assert ratio == pytest.approx(bent.residual_curvature / bent.loaded_curvature)


def test_a_strip_bent_only_to_yield_springs_back_flat():
    radius = 0.5 * 210e9 * 0.002 / 260e6

    flat = springback_ratio(bend_radius=radius, thickness=0.002, **STEEL)

    assert flat == pytest.approx(0, abs=1e-12)


def test_i_shape_is_a_box_with_its_webs_pushed_together():
    box = BoxSection(width=0.06, depth=0.09, thickness=0.002)
    beam = ISection(width=0.06, depth=0.09, flange_thickness=0.002, web_thickness=0.004)

    assert beam.area == pytest.approx(box.area)
    assert beam.second_moment == pytest.approx(box.second_moment)
    assert beam.plastic_section_modulus == pytest.approx(box.plastic_section_modulus)


@pytest.mark.parametrize(
    ("request_", "reason"),
    [
        (
            lambda: RectangularSection(width=-0.05, depth=0.1),
            "width -0.05 m must be more",
        ),
        (
            lambda: RectangularSection(width=0.05, depth=math.nan),
            "depth nan m must be a finite number",
        ),
        (lambda: BoxSection(width=0.05, depth=0.1, thickness=0.025), "hollow"),
        (
            lambda: ISection(
                width=0.05, depth=0.1, flange_thickness=0.05, web_thickness=0.01
            ),
            "do not fit",
        ),
        (lambda: bend_past_yield(BAR, moment=1e3, **STEEL), "yield moment"),
        (
            lambda: bend_past_yield(BAR, moment=1.5 * YIELD_MOMENT * 1.001, **STEEL),
            "plastic moment",
        ),
        (lambda: bend_past_yield(BAR, moment=math.nan, **STEEL), "moment nan"),
        (
            lambda: springback_ratio(bend_radius=9.0, thickness=0.002, **STEEL),
            "leaves this strip elastic",
        ),
    ],
)
def test_what_has_no_answer_is_refused_with_the_reason(request_, reason):
    with pytest.raises(OutOfRangeError, match=reason):
        request_()


@given(
    share=st.floats(1.0001, 1.4999),
    depth=st.floats(1e-3, 1),
    yield_stress=st.floats(1e7, 2e9),
)
def test_springback_is_part_of_the_bend_for_any_section(share, depth, yield_stress):
    bar = RectangularSection(width=0.05, depth=depth)
    moment = share * yield_stress * bar.elastic_section_modulus

    bent = bend_past_yield(
        bar, moment=moment, youngs_modulus=200e9, yield_stress=yield_stress
    )

    assert 0 < bent.springback_curvature < bent.loaded_curvature
    assert bent.surface_residual_stress < 0 < bent.core_edge_residual_stress
