"""Cables against a university statics tutorial, sections 6.6 and 6.7.

Data and results read in public copies of the tutorial sheets
(pdfcoffee.com/cables-9-pdf-free.html; scribd.com documents 340344874, 424267598).
"""

import pytest

from workbook.mechanics.pull.parabola import parabola_from_low_point, parabola_from_sag
from workbook.mechanics.pull.tension_length_sag import from_length

FT, LBF = 0.3048, 4.4482216152605


@pytest.mark.kind(
    "from_length", "parameter, sag and tension from a length", "statics tutorial"
)
def test_tutorial_6_7_example_1_catenary_from_its_length():
    # Length 140 m, span 120 m, 3 kg/m, g = 9.81. Printed: c 61.45 m, sag 31.70 m,
    # Tmax 2.74 kN; tolerances are half of the last place.
    chain = from_length(140.0, span=120.0, weight_per_length=3 * 9.81)

    assert chain.catenary_parameter == pytest.approx(61.45, abs=5e-3)
    assert chain.sag == pytest.approx(31.70, abs=5e-3)
    assert chain.near_tension == pytest.approx(2740, abs=5)


@pytest.mark.kind(
    "parabola_from_sag", "tensions of a suspension bridge", "statics tutorial"
)
def test_tutorial_6_6_example_1_suspension_bridge():
    # 10 kip/ft, span 3800 ft, sag 400 ft. Printed: T0 45,125 kip, Tmax 49,000 kip
    # (two figures; 48,962 to five).
    kip = 1000 * LBF
    cable = parabola_from_sag(400 * FT, span=3800 * FT, weight_per_span=10 * kip / FT)

    assert cable.horizontal_tension / kip == pytest.approx(45_125, abs=0.5)
    assert cable.far_tension / kip == pytest.approx(49_000, abs=500)


def test_tutorial_6_6_example_2_unequal_supports():
    # 3200 lb over 80 ft, B 8 ft above A, low point 30 ft from A. The answers were
    # not to be seen; by hand, moments about B and A of the two parts:
    # T0 = w 30^2 / 2h = w 50^2 / 2(h + 8) gives h = 4.5 ft, T0 = 4000 lb, and
    # Tmax = sqrt(4000^2 + 2000^2) lb.
    cable = parabola_from_low_point(
        span=80 * FT,
        below_near=4.5 * FT,
        below_far=12.5 * FT,
        weight_per_span=40 * LBF / FT,
    )

    assert cable.low_point / FT == pytest.approx(30, rel=1e-12)
    assert cable.low_point_height / FT == pytest.approx(-4.5, rel=1e-12)
    assert cable.horizontal_tension / LBF == pytest.approx(4000, rel=1e-12)
    assert cable.far_tension / LBF == pytest.approx(4472, abs=0.5)
