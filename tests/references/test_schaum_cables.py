"""Cables against Schaum's Outline of Engineering Mechanics, problems of 7.7.

Data and results read in a public companion notebook.
"""

import pytest

from workbook.mechanics.pull.parabola import parabola_from_sag, parabola_slack
from workbook.mechanics.pull.tension_length_sag import from_length_and_sag, from_sag

FT, LBF = 0.3048, 4.4482216152605


@pytest.mark.kind(
    "parabola_from_sag + parabola_slack",
    "tension and length of a level cable",
    "Schaum, Engineering Mechanics",
)
def test_schaum_7_7_7_and_7_7_8_parabola():
    # 800 lb/ft, span 600 ft, sag 40 ft. H 900,000 lb. The notebook's 929,516 lb
    # and 605 ft come from a whole-number division; its next problem prints the
    # right tension, 931,450 lb, checked here to half of its last place but one.
    cable = parabola_from_sag(40 * FT, span=600 * FT, weight_per_span=800 * LBF / FT)

    assert cable.horizontal_tension / LBF == pytest.approx(900_000, rel=1e-9)
    assert cable.far_tension / LBF == pytest.approx(931_450, abs=5)
    # The exact length of that parabola is 607.04 ft; the next term of the series,
    # 32 f^4 / 5 L^3, is 0.076 ft.
    length = 600 + parabola_slack(40 * FT, span=600 * FT) / FT
    assert length == pytest.approx(607.04, abs=0.08)


@pytest.mark.kind(
    "from_sag", "tension and length of a chain", "Schaum, Engineering Mechanics"
)
def test_schaum_7_7_12_catenary_from_its_sag():
    # 0.518 lb/ft, span 500 ft, sag 50 ft. Printed 355 lb and 514 ft with c read
    # off a plot, 0.3 % high; hence rel = 4e-3.
    chain = from_sag(50 * FT, span=500 * FT, weight_per_length=0.518 * LBF / FT)

    assert chain.near_tension / LBF == pytest.approx(355, rel=4e-3)
    assert chain.length / FT == pytest.approx(514, rel=4e-3)


@pytest.mark.kind(
    "from_length_and_sag",
    "span and tension of a chain of known length and sag",
    "Schaum, Engineering Mechanics",
)
def test_schaum_7_7_13_catenary_of_known_length_and_sag():
    # Length 240 m, sag 24 m, 0.6 kg/m, g = 9.8. Printed: Tmax 1835 N, span 234 m;
    # tolerances are half of the last place.
    chain = from_length_and_sag(240.0, sag=24.0, weight_per_length=0.6 * 9.8)

    assert chain.span == pytest.approx(234, abs=0.5)
    assert chain.far_tension == pytest.approx(1835, abs=0.5)
