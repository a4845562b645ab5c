"""A catenary against an engineering review problem (pinoybix.org)."""

import pytest
from scipy.optimize import brentq

from workbook.mechanics.pull.tension_length_sag import from_length

KGF = 9.80665


@pytest.mark.kind(
    "from_length",
    "tension of a cable of known length and sag",
    "engineering review problem",
)
def test_cable_800_m_long_with_a_sag_of_80_m():
    # 0.4 kg/m, sag 80 m. Printed: 416 kgf at the ends; half of the last place.
    def hang(span):
        return from_length(800.0, span=span, weight_per_length=0.4 * KGF)

    span = brentq(lambda span: hang(span).sag - 80.0, 700.0, 799.0)

    assert hang(span).far_tension / KGF == pytest.approx(416, abs=0.5)
