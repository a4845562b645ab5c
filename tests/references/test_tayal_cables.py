"""Cables against Tayal, Engineering Mechanics, chapter 10.

Problems 10.3 to 10.5, data and results read in a public companion notebook.
"""

import numpy as np
import pytest

from workbook.mechanics.pull.parabola import (
    parabola_from_low_point,
    parabola_from_sag,
    parabola_sag,
    parabola_slack,
)
from workbook.mechanics.pull.tension_length_sag import from_tension


@pytest.mark.kind(
    "parabola_from_sag",
    "cable between unequal supports",
    "Tayal, Engineering Mechanics",
)
def test_tayal_10_3_unequal_supports():
    # 75 kg/m, span 20 m, low point 4.5 m below A and 2 m below the far end B,
    # g = 9.81. Printed: 8.000 m from B, T0 11.772 kN, Tmax 14.715 kN.
    cable = parabola_from_low_point(
        span=20.0, below_near=4.5, below_far=2.0, weight_per_span=75 * 9.81
    )

    assert 20 - cable.low_point == pytest.approx(8.000, abs=5e-4)
    assert -2.5 - cable.low_point_height == pytest.approx(2, rel=1e-12)
    assert cable.horizontal_tension == pytest.approx(11_772, abs=0.5)
    assert cable.near_tension == pytest.approx(14_715, abs=0.5)


@pytest.mark.kind(
    "parabola_from_sag + parabola_slack",
    "tension, slope and length of a level cable",
    "Tayal, Engineering Mechanics",
)
def test_tayal_10_4_level_supports():
    # 0.5 kg/m, span 30 m, sag 0.5 m, g = 9.81. Printed: 1106.07 N, 3.814 degrees,
    # 30.0222 m; tolerances are half of the last place.
    cable = parabola_from_sag(0.5, span=30.0, weight_per_span=0.5 * 9.81)

    slope = np.degrees(np.arccos(cable.horizontal_tension / cable.far_tension))
    assert cable.far_tension == pytest.approx(1106.07, abs=5e-3)
    assert slope == pytest.approx(3.814, abs=5e-4)
    assert 30 + parabola_slack(0.5, span=30.0) == pytest.approx(30.0222, abs=5e-5)


@pytest.mark.kind(
    "parabola_sag", "sag under a level tension", "Tayal, Engineering Mechanics"
)
def test_tayal_10_5_least_sag_under_a_greatest_tension():
    # 3 N/m, 30 m, at most 400 N. Printed: least sag 0.849141 m as a parabola, for
    # which H = sqrt(400^2 - 45^2) N. Half of the last place.
    horizontal_tension = np.sqrt(400.0**2 - 45.0**2)

    sag = parabola_sag(horizontal_tension, span=30.0, weight_per_length=3.0)

    assert sag == pytest.approx(0.849141, abs=5e-7)


@pytest.mark.kind(
    "from_tension", "sag under a greatest tension", "Tayal, Engineering Mechanics"
)
def test_tayal_10_5_as_a_catenary():
    # The chain is 0.11 % heavier than its load per span says: the sag grows by
    # that order, so the printed parabola is met to 0.2 % only.
    chain = from_tension(400.0, span=30.0, weight_per_length=3.0)

    assert chain.sag == pytest.approx(0.849141, rel=2e-3)
    assert chain.sag > 0.849141
