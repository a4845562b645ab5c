"""A fit that must turn where a mirror would do, against scikit-surgerycore."""

import numpy as np
import pytest

from workbook.mechanics.survey.registration import register


@pytest.mark.kind(
    "register", "a half turn, not a mirror image", "scikit-surgerycore, test_procrustes"
)
def test_flat_points_that_look_mirrored_are_turned_over():
    # scikit-surgerycore, tests/algorithms/test_procrustes.py, test_reflection_data: the
    # expected rotation is diag(-1, 1, -1), about y, with no shift.
    fixed = np.array([[0, 1, 0], [0, 0, 0], [2, 0, 0], [4, 0, 0]], dtype=float)
    moving = fixed * [-1, 1, 1]

    fit = register(moving, specified=fixed)

    assert fit.rotation == pytest.approx(np.diag([-1.0, 1.0, -1.0]), abs=1e-12)
    assert fit.translation == pytest.approx(np.zeros(3), abs=1e-12)
    assert fit.rms_residual == pytest.approx(0, abs=1e-12)
