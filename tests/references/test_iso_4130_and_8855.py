"""Vehicle axes of ISO 4130 carried to those of ISO 8855."""

import numpy as np
import pytest

from workbook.mechanics.survey.registration import register

# ISO 4130:1978: X rearward, Y to the vehicle's right, Z up (senses of X and Z read
# in secondary pages, otherwise from memory). ISO 8855: X forward, Y left, Z up
# (secondary page). So (x, y, z) = (-X, -Y, Z) and a shift of origin. The points are
# invented.
POINTS_4130 = np.array(
    [[-0.6, 0.48, 0.25], [-0.6, -0.48, 0.25], [1.4, 0.5, 0.1], [2.9, -0.5, 0.3]]
)
ORIGIN_SHIFT = np.array([3.1, 0.0, 0.05])


def test_iso_4130_points_turn_by_half_a_turn_about_the_upward_axis():
    points_8855 = np.array(
        [[3.7, -0.48, 0.30], [3.7, 0.48, 0.30], [1.7, -0.5, 0.15], [0.2, 0.5, 0.35]]
    )

    fit = register(POINTS_4130, specified=points_8855)

    assert fit.rotation == pytest.approx(np.diag([-1.0, -1.0, 1.0]), abs=1e-12)
    assert np.linalg.det(fit.rotation) == pytest.approx(1.0, abs=1e-12)
    assert fit.translation == pytest.approx(ORIGIN_SHIFT, abs=1e-12)
    assert fit.rms_residual == pytest.approx(0.0, abs=1e-12)


def test_forgetting_to_turn_one_axis_only_leaves_a_residual_no_fit_removes():
    # Turning X but not Y is a mirror image: right became left.
    mirrored = POINTS_4130 * [-1.0, 1.0, 1.0] + ORIGIN_SHIFT

    fit = register(POINTS_4130, specified=mirrored)

    assert np.linalg.det(fit.rotation) == pytest.approx(1.0, abs=1e-12)
    assert fit.rms_residual > 0.05
