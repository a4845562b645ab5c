"""Conductors between towers, from two books on power transmission.

Data as in the open textbook-companion scripts, which print what the books' formulas
give; recomputed.
"""

import pytest

from workbook.mechanics.pull.catenary import from_horizontal_tension
from workbook.mechanics.pull.parabola import (
    parabola_from_sag,
    parabola_sag,
    parabola_slack,
    parabola_tension,
)

GONEN = "Gonen, Electric Power Transmission"
WADHWA = "Wadhwa, Electrical Power Systems"
FT, LBF = 0.3048, 4.4482216152605

# T. Gonen, Electric Power Transmission System Engineering, 2nd ed., CRC Press,
# Example 13.1: catenary parameter 1600 ft, span 500 ft, 4122 lb/mi. The formulas give
# a length of 502.037 ft (by a series 502.0345 ft), a sag of 19.6 ft, tensions of
# 1264.4 and 1249.1 lb, and 1246.55 lb by the parabola through that sag.
WEIGHT = 4122 / 5280 * LBF / FT
LINE = {"span": 500 * FT, "weight_per_length": WEIGHT}


@pytest.mark.kind("from_horizontal_tension", "length, sag and tensions", GONEN)
def test_a_conductor_of_known_level_tension():
    line = from_horizontal_tension(1600 * FT * WEIGHT, **LINE)

    assert line.length / FT == pytest.approx(502.037, abs=5e-4)
    assert line.sag / FT == pytest.approx(19.6, abs=0.05)
    assert line.far_tension / LBF == pytest.approx(1264.4, abs=0.05)
    assert line.horizontal_tension / LBF == pytest.approx(1249.1, abs=0.05)


@pytest.mark.kind("parabola_tension", "level tension from a sag", GONEN)
def test_the_tension_that_a_sag_tells_by_the_parabola():
    sag = from_horizontal_tension(1600 * FT * WEIGHT, **LINE).sag

    assert parabola_tension(sag, **LINE) / LBF == pytest.approx(1246.55, abs=5e-3)


@pytest.mark.kind("parabola_sag + parabola_slack", "length by a series", GONEN)
def test_the_length_of_a_tight_conductor_by_its_series():
    # The book's series is L (1 + L^2 / 24 c^2).
    sag = parabola_sag(1600 * FT * WEIGHT, **LINE)

    slack = parabola_slack(sag, span=500 * FT)

    assert 500 + slack / FT == pytest.approx(502.0345, abs=5e-5)


@pytest.mark.kind("parabola_sag", "sag of a conductor in the wind", WADHWA)
def test_the_sag_of_a_conductor_under_weight_and_wind():
    # C. L. Wadhwa, Electrical Power Systems, Example 7.1: 0.65 kg/m and 0.38 kg/m of
    # wind across it, 850 kg/cm2 on a conductor of 0.95 cm, span 160 m; printed 4 m.
    effective = (0.65**2 + 0.38**2) ** 0.5
    tension = 850 * 3.141593 / 4 * 0.95**2

    sag = parabola_sag(tension, span=160, weight_per_length=effective)

    assert sag == pytest.approx(4, abs=0.5)
    # The book takes 800 m for the tension over the weight, 800.2 by its data.
    assert sag == pytest.approx(160**2 / (8 * 800), rel=3e-4)


@pytest.mark.kind("parabola_from_sag", "low point outside the span", WADHWA)
def test_a_conductor_that_climbs_all_the_way_over_a_river():
    # Example 7.4: towers 30 and 90 m high, 300 m apart, 2000 kg, 1 kg/m. The low point
    # of the curve stands 250 m behind the lower tower and the conductor hangs 54.375 m
    # over the water half way. A level tension T sags by w L^2 / 8 T below the chord.
    line = parabola_from_sag(
        parabola_sag(2000, span=300, weight_per_length=1),
        span=300,
        rise=60,
        weight_per_span=1,
    )

    assert line.low_point == pytest.approx(-250)
    half_way = line.low_point_height + (150 - line.low_point) ** 2 / (2 * 2000)
    assert 30 + half_way == pytest.approx(54.375, abs=5e-4)
