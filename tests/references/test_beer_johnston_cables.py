"""Cables against Beer & Johnston, Vector Mechanics for Engineers: Statics.

Samples 7.9 and 7.10 (pp. 349-350 of the SI edition), read as data and results
in a public companion notebook of that book.
"""

import numpy as np
import pytest

from workbook.mechanics.pull.parabola import parabola_from_sag, parabola_slack
from workbook.mechanics.pull.tension_length_sag import from_sag

FT, LBF = 0.3048, 4.4482216152605


@pytest.mark.kind(
    "parabola_from_sag + parabola_slack",
    "tension, slope and length of a level cable",
    "Beer & Johnston, Statics",
)
def test_beer_johnston_sample_7_9_parabola_between_level_ends():
    # Sample 7.9: 0.75 kg/m, span 40 m, sag 0.5 m, g = 9.81. Printed: 2947 N, 2.9
    # degrees, 40.0167 m; tolerances are half of the last printed place.
    cable = parabola_from_sag(0.5, span=40.0, weight_per_span=0.75 * 9.81)

    assert cable.far_tension == pytest.approx(2947, abs=0.5)
    slope = np.degrees(np.arccos(cable.horizontal_tension / cable.far_tension))
    assert slope == pytest.approx(2.9, abs=0.05)
    assert 40 + parabola_slack(0.5, span=40.0) == pytest.approx(40.0167, abs=5e-5)


@pytest.mark.kind(
    "from_sag", "tight chain against the parabola", "Beer & Johnston, Statics"
)
def test_beer_johnston_sample_7_9_is_a_tight_chain_too():
    # The same cable as a catenary: the parabola of the book is 0.02 % off.
    chain = from_sag(0.5, span=40.0, weight_per_length=0.75 * 9.81)

    assert chain.far_tension == pytest.approx(2947, rel=5e-4)
    assert chain.length == pytest.approx(40.0167, abs=1e-4)


@pytest.mark.kind(
    "from_sag",
    "parameter, tensions and length of a deep chain",
    "Beer & Johnston, Statics",
)
def test_beer_johnston_sample_7_10_catenary_in_si_units():
    # Sample 7.10: 45 N/m, span 150 m, sag 30 m. Printed from the trial value
    # c = 99 m: 4455 N, 5805 N, 165 m. The root of c (cosh(75 m / c) - 1) = 30 m
    # is 98.379 m, 0.6 % less, so that is the value checked to its last place;
    # the printed ones must then agree to 0.7 %.
    chain = from_sag(30.0, span=150.0, weight_per_length=45.0)

    assert chain.catenary_parameter == pytest.approx(98.379, abs=5e-4)
    assert chain.catenary_parameter == pytest.approx(99, rel=7e-3)
    assert chain.horizontal_tension == pytest.approx(4455, rel=7e-3)
    assert chain.far_tension == pytest.approx(5805, rel=7e-3)
    assert chain.length == pytest.approx(165, abs=0.5)


def test_beer_johnston_sample_7_10_catenary_in_us_units():
    # US edition, from memory: 3 lb/ft, 500 ft, sag 100 ft. c 328 ft, 984 lb,
    # 1284 lb, 550 ft; tolerances are half of the last place.
    chain = from_sag(100 * FT, span=500 * FT, weight_per_length=3 * LBF / FT)

    assert chain.catenary_parameter / FT == pytest.approx(328, abs=0.5)
    assert chain.horizontal_tension / LBF == pytest.approx(984, abs=0.5)
    assert chain.near_tension / LBF == pytest.approx(1284, abs=0.5)
    assert chain.length / FT == pytest.approx(550, abs=0.5)
