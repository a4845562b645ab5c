"""Cables against Hibbeler, Engineering Mechanics: Statics (from memory).

Both examples are recalled, not seen in a document; other sources in this folder
support the same functions.
"""

import pytest

from workbook.mechanics.pull.parabola import parabola_from_low_point
from workbook.mechanics.pull.tension_length_sag import from_sag

FT, LBF = 0.3048, 4.4482216152605


@pytest.mark.kind(
    "from_sag", "parameter, tensions and length of a deep chain", "Hibbeler, Statics"
)
def test_hibbeler_catenary_example_from_memory():
    # 5 N/m, span 20 m, sag 6 m. Printed: H 45.9 N, length 24.2 m, Tmax 75.9 N;
    # tolerances are half of the last place.
    chain = from_sag(6.0, span=20.0, weight_per_length=5.0)

    assert chain.horizontal_tension == pytest.approx(45.9, abs=0.05)
    assert chain.length == pytest.approx(24.2, abs=0.05)
    assert chain.far_tension == pytest.approx(75.9, abs=0.05)


@pytest.mark.kind(
    "parabola_from_low_point", "cable between unequal supports", "Hibbeler, Statics"
)
def test_hibbeler_girder_on_unequal_supports_from_memory():
    # 850 lb/ft over 100 ft, supports 40 ft and 20 ft above the low point. Printed:
    # low point 41.42 ft from the lower; 61.7, 36.5, 50.7 kip. Half of the last place.
    cable = parabola_from_low_point(
        span=100 * FT,
        below_near=40 * FT,
        below_far=20 * FT,
        weight_per_span=850 * LBF / FT,
    )

    kip = 1000 * LBF
    assert 100 - cable.low_point / FT == pytest.approx(41.42, abs=5e-3)
    assert cable.low_point_height / FT == pytest.approx(-40, rel=1e-12)
    assert cable.near_tension / kip == pytest.approx(61.7, abs=0.05)
    assert cable.horizontal_tension / kip == pytest.approx(36.5, abs=0.05)
    assert cable.far_tension / kip == pytest.approx(50.7, abs=0.05)
