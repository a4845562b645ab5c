"""Bearing and rise of a way in space, against a page's example table."""

import numpy as np
import pytest

from workbook.mechanics.vectors import norm, rise_of, side_angle_of


@pytest.mark.kind(
    "side_angle_of", "azimuth and elevation between points", "codingace.net"
)
def test_what_is_left_has_the_azimuth_and_elevation_of_the_table():
    # codingace.net, "vector direction", example table: from where a point is to where
    # it should be, magnitude, azimuth from x and elevation, four decimals.
    is_at, should = np.array([[1, 2, 0], [0, 0, 1]]), np.array([[4, 6, 0], [2, 1, 5]])
    left = should - is_at

    assert norm(left) == pytest.approx([5.0, 4.5826], abs=5e-5)
    assert np.degrees(side_angle_of(left)) == pytest.approx(
        [53.1301, 26.5651], abs=5e-5
    )
    assert np.degrees(rise_of(left)) == pytest.approx([0.0, 60.7941], abs=5e-5)
