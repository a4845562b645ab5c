"""A catenary against an engineering review problem (pinoybix.org)."""

import pytest

from workbook.mechanics.pull.tension_length_sag import from_length_and_sag

KGF = 9.80665


@pytest.mark.kind(
    "from_length_and_sag",
    "tension of a cable of known length and sag",
    "engineering review problem",
)
def test_cable_800_m_long_with_a_sag_of_80_m():
    # 0.4 kg/m, sag 80 m. Printed: 416 kgf at the ends; half of the last place.
    chain = from_length_and_sag(800.0, sag=80.0, weight_per_length=0.4 * KGF)

    assert chain.far_tension / KGF == pytest.approx(416, abs=0.5)
