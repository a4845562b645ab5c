"""A catenary against a public problem sheet (scribd.com/document/447009656)."""

import numpy as np
import pytest

from workbook.mechanics.pull.tension_length_sag import from_length_and_sag

FT, LBF = 0.3048, 4.4482216152605


@pytest.mark.kind(
    "from_length_and_sag",
    "span of a wire of known length and sag",
    "catenary problem sheet",
)
def test_wire_of_625_ft_with_a_sag_of_25_ft():
    # 2 lb/ft. Printed: c 1940.625 ft, spacing 622.33 ft, Tmax 3931.25 lb, 9 degrees
    # at the ends; tolerances are half of the last place.
    chain = from_length_and_sag(625 * FT, sag=25 * FT, weight_per_length=2 * LBF / FT)

    assert chain.span / FT == pytest.approx(622.33, abs=5e-3)
    assert chain.catenary_parameter / FT == pytest.approx(1940.625, abs=5e-4)
    assert chain.far_tension / LBF == pytest.approx(3931.25, abs=5e-3)
    assert np.degrees(chain.far_angle_from_horizontal) == pytest.approx(9, abs=0.5)
