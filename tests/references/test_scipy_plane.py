"""The plane through points that should be level, against SciPy."""

import numpy as np
import pytest
from scipy.linalg import lstsq

from workbook.mechanics.survey.tilt import tilt_of_points


@pytest.mark.kind("tilt_of_points", "slopes of the best plane", "SciPy")
@pytest.mark.parametrize("seed", range(3))
def test_points_off_the_level_tilt_as_scipys_plane_does(seed):
    # Least squares of height: exact to rounding, with heights counted from the floor.
    rng = np.random.default_rng(seed)
    points = rng.uniform([0, -0.6, 0.25], [2.5, 0.6, 0.30], (9, 3))

    tilt = tilt_of_points(points)

    x, y, z = points.T
    _, forward, left = lstsq(np.column_stack([np.ones(9), x, y]), z)[0]
    assert np.tan(tilt.nose_up) == pytest.approx(forward, rel=1e-11, abs=1e-14)
    assert np.tan(tilt.left_up) == pytest.approx(left, rel=1e-11, abs=1e-14)
