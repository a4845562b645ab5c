"""Laws of bending past yield."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.errors import OutOfRangeError
from workbook.mechanics.metal.bending import (
    bend_past_yield,
    springback_ratio,
    stress_across,
)
from workbook.mechanics.metal.sections import (
    BoxSection,
    ISection,
    RectangularSection,
    ThinBoxSection,
)

BAR = RectangularSection(width=0.040, depth=0.100)
STEEL = {"youngs_modulus": 210e9, "yield_stress": 260e6}
YIELD_MOMENT = 260e6 * 0.040 * 0.100**2 / 6

# Each with its plates once more, as (width, from, to) on one side of the axis.
PLATES = {
    "bar": (BAR, [(0.040, 0.0, 0.050)]),
    "tube": (
        BoxSection(width=0.060, depth=0.060, thickness=0.002),
        [(0.004, 0.0, 0.028), (0.060, 0.028, 0.030)],
    ),
    "thick tube": (
        BoxSection(width=0.030, depth=0.080, thickness=0.009),
        [(0.018, 0.0, 0.031), (0.030, 0.031, 0.040)],
    ),
    "beam": (
        ISection(width=0.100, depth=0.120, flange_thickness=0.012, web_thickness=0.006),
        [(0.006, 0.0, 0.048), (0.100, 0.048, 0.060)],
    ),
}
# Where between first yield and the whole section yielded.
WAYS = [0.001, 0.1, 0.4, 0.7, 0.99]


def moment_at(section, way):
    """Return a moment between first yield and the whole section yielded."""
    share = 1 + way * (section.shape_factor - 1)
    return share * STEEL["yield_stress"] * section.elastic_section_modulus


def fibres(plates, *, point, weight):
    """Return heights and areas of fibres, at points of -1 to 1 in every plate."""
    height, area = [], []
    for width, low, high in plates:
        half = (high - low) / 2
        height.append((high + low) / 2 + half * point)
        area.append(width * half * weight)
    height, area = np.concatenate(height), np.concatenate(area)
    return np.concatenate([-height, height]), np.concatenate([area, area])


@pytest.mark.parametrize(("section", "_"), PLATES.values(), ids=PLATES)
def test_at_first_yield_nothing_stays(section, _):
    moment = 260e6 * section.elastic_section_modulus * (1 + 1e-15)

    bent = bend_past_yield(section, moment=moment, **STEEL)

    assert bent.core_depth == pytest.approx(section.depth)
    assert bent.residual_curvature == pytest.approx(0, abs=1e-12)
    assert bent.surface_residual_stress == pytest.approx(0, abs=1)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(("section", "plates"), PLATES.values(), ids=PLATES)
def test_residual_stress_carries_no_force_and_no_moment(section, plates, way):
    moment = moment_at(section, way)
    bent = bend_past_yield(section, moment=moment, **STEEL)
    # Gauss points on each straight piece make the integral exact.
    core = bent.core_depth / 2
    pieces = [
        (width, low, high)
        for width, start, stop in plates
        for low, high in pairwise(sorted({start, stop, min(max(core, start), stop)}))
    ]
    point, weight = np.polynomial.legendre.leggauss(3)
    height, area = fibres(pieces, point=point, weight=weight)

    loaded, residual = stress_across(bent, height=height, **STEEL)

    assert np.sum(residual * area) == pytest.approx(0, abs=1e-6)
    assert np.sum(residual * area * height) == pytest.approx(0, abs=1e-8 * moment)
    assert np.sum(loaded * area * height) == pytest.approx(moment, rel=1e-12)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(("section", "plates"), PLATES.values(), ids=PLATES)
def test_many_fibres_bent_alike_carry_the_moment_at_the_same_curvature(
    section, plates, way
):
    # A second route: thousands of fibres strained in proportion to their height, and
    # the curvature halved in until their stresses carry the moment.
    point = (np.arange(2000) + 0.5) / 1000 - 1
    height, area = fibres(plates, point=point, weight=np.full(2000, 1e-3))
    moment = moment_at(section, way)

    def short(curvature):
        stress = np.clip(210e9 * curvature * height, -260e6, 260e6)
        return np.sum(stress * height * area) - moment

    low, high = 0.9 * 260e6 / (210e9 * section.depth / 2), 1e3
    for _ in range(60):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if short(middle) < 0 else (low, middle)
    recovered = moment / (210e9 * np.sum(height**2 * area))

    bent = bend_past_yield(section, moment=moment, **STEEL)

    # Fibres this thick miss the kink of the stress by a share of their spacing.
    assert bent.loaded_curvature == pytest.approx(low, rel=1e-4)
    assert bent.residual_curvature == pytest.approx(low - recovered, abs=1e-4 * low)


def test_the_edge_of_the_core_passes_from_flange_to_web_without_a_step():
    beam = ISection(
        width=0.100, depth=0.120, flange_thickness=0.012, web_thickness=0.006
    )
    # Flanges all yielded: 260 MPa on both at 108 mm, and the web just elastic.
    at_the_root = 260e6 * (0.100 * 0.012 * 0.108 + 0.006 * 0.096**2 / 6)

    outside, at, inside = (
        bend_past_yield(beam, moment=at_the_root * by, **STEEL).core_depth
        for by in (1 - 1e-9, 1, 1 + 1e-9)
    )

    assert at == pytest.approx(0.096, rel=1e-9)
    assert outside == pytest.approx(inside, rel=1e-7)
    assert inside < at < outside


def test_a_box_all_wall_bends_like_a_bar_and_one_of_thin_wall_like_lines():
    bar = RectangularSection(width=0.05, depth=0.08)
    full = BoxSection(width=0.05, depth=0.08, thickness=0.025 * (1 - 1e-9))
    moment = 1.3 * 260e6 * bar.elastic_section_modulus

    solid = bend_past_yield(bar, moment=moment, **STEEL)
    filled = bend_past_yield(full, moment=moment, **STEEL)

    assert filled.core_depth == pytest.approx(solid.core_depth, rel=1e-6)

    # Lines of area: the flanges carry all they can from first yield on, and the
    # two webs M = t (d^2/2 - 2 y^2/3) times the yield stress.
    wall, width, depth, core = 1e-7, 0.05, 0.08, 0.025
    moment = 260e6 * wall * (width * depth + depth**2 / 2 - 2 * core**2 / 3)
    lines = bend_past_yield(
        BoxSection(width=width + wall, depth=depth + wall, thickness=wall),
        moment=moment,
        **STEEL,
    )
    assert lines.core_depth == pytest.approx(2 * core, rel=1e-4)


def test_a_box_60_by_60_by_2_keeps_the_bend_its_walls_keep():
    # By hand, 14 % past yield, in mm: M/sy = 1.14 * 8681.96 = 9897.43 and the whole
    # section 10096 mm^3, so 4 y^2/3 = 198.57, y = 12.204; kept is sy/E (1/y - 1.14/30).
    tube, _ = PLATES["tube"]
    steel = {"youngs_modulus": 210e9, "yield_stress": 250e6}

    bent = bend_past_yield(
        tube, moment=1.14 * 250e6 * tube.elastic_section_modulus, **steel
    )

    assert bent.core_depth == pytest.approx(0.024407, abs=1e-6)
    assert 1 / bent.residual_curvature == pytest.approx(19.12, abs=0.01)


@pytest.mark.parametrize(("section", "_"), PLATES.values(), ids=PLATES)
def test_a_bend_has_moments_from_first_yield_to_short_of_the_whole_section(section, _):
    first = STEEL["yield_stress"] * section.elastic_section_modulus
    whole = STEEL["yield_stress"] * section.plastic_section_modulus

    assert bend_past_yield(section, moment=first, **STEEL).yield_moment == first
    for moment in (np.nextafter(first, 0), whole):
        with pytest.raises(OutOfRangeError) as refusal:
            bend_past_yield(section, moment=moment, **STEEL)
        assert refusal.value.values == {
            "moment": moment,
            "yield_moment": first,
            "plastic_moment": whole,
        }


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
            lambda: bend_past_yield(
                ThinBoxSection(width=0.06, depth=0.06, thickness=0.002),
                moment=2.2e3,
                **STEEL,
            ),
            "for rectangle, box and I, not ThinBoxSection",
        ),
        (
            lambda: bend_past_yield("tube", moment=2.2e3, **STEEL),
            "not str: describe",
        ),
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
    way=st.floats(0.0001, 0.9999),
    depth=st.floats(1e-3, 1),
    flange=st.floats(0.001, 0.499),
    web=st.floats(0.001, 0.999),
    yield_stress=st.floats(1e7, 2e9),
)
def test_springback_is_part_of_the_bend_for_any_section(
    way, depth, flange, web, yield_stress
):
    beam = ISection(
        width=0.05,
        depth=depth,
        flange_thickness=flange * depth,
        web_thickness=web * 0.05,
    )
    share = 1 + way * (beam.shape_factor - 1)
    moment = share * yield_stress * beam.elastic_section_modulus

    bent = bend_past_yield(
        beam, moment=moment, youngs_modulus=200e9, yield_stress=yield_stress
    )

    assert 0 < bent.core_depth < depth
    assert 0 < bent.springback_curvature < bent.loaded_curvature
    assert bent.surface_residual_stress < 0 < bent.core_edge_residual_stress
