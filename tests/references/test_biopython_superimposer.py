"""The fit against the printed superposition of four points in Biopython's tests."""

import numpy as np
import pytest

from workbook.mechanics.survey.registration import register

# Biopython, Tests/test_SVDSuperimposer.py (test_oldTest): four atoms in angstrom
# laid over four others, with the printed rotation (applied from the right there,
# hence transposed here), translation, root mean square and carried points.
REFERENCE = [
    [51.65, -1.90, 50.07],
    [50.40, -1.23, 50.65],
    [50.68, -0.04, 51.54],
    [50.22, -0.02, 52.85],
]
MOVED = [
    [51.30, -2.99, 46.54],
    [51.09, -1.88, 47.58],
    [52.36, -1.20, 48.03],
    [52.71, -1.18, 49.38],
]


@pytest.mark.kind("register", "turn, shift and residual of a printed fit", "Biopython")
def test_four_points_are_laid_as_printed():
    fit = register(MOVED, specified=REFERENCE)

    printed = [
        [0.68304983, 0.53664371, 0.49543563],
        [-0.52277295, 0.83293229, -0.18147242],
        [-0.51005037, -0.13504564, 0.84947707],
    ]
    # Eight printed decimals.
    assert np.allclose(fit.rotation.T, printed, rtol=0, atol=6e-9)
    printed_shift = [38.78608157, -20.65451334, -15.42227366]
    assert fit.translation == pytest.approx(printed_shift, abs=6e-9)
    assert fit.rms_residual == pytest.approx(0.00304266526014, rel=1e-9)
    carried = fit.transform(MOVED)
    assert carried[0] == pytest.approx([51.6518846, -1.90018270, 50.0708397], abs=6e-8)
