"""How far the middle of a chord lies off a curve of railway track."""

import numpy as np
import pytest

from workbook.mechanics.survey.neighbours import off_neighbours


@pytest.mark.kind(
    "off_neighbours", "versines of a curve of track", "trackopedia.info, versines"
)
@pytest.mark.parametrize("radius", [300.0, 500.0, 1750.0])
def test_the_versine_of_a_20_m_chord_is_half_chord_squared_over_two_radii(radius):
    # trackopedia.info, versine measurement: h = a² ÷ 2R in the middle of a chord of
    # 20 m, a half of it; 100 mm at 500 m. The curve is stepped off from its tangent.
    along = np.array([-10.0, 0.0, 10.0])
    off_tangent = radius - np.sqrt(radius**2 - along**2)

    assert -off_neighbours(off_tangent) == pytest.approx(10**2 / (2 * radius), rel=3e-4)
