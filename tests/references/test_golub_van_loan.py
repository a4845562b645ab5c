"""A turn among noisy numbers, against a printed example of the Procrustes problem."""

import numpy as np
import pytest

from workbook.mechanics.survey.registration import register


@pytest.mark.kind(
    "register", "a small turn in noise", "Golub & Van Loan, Matrix Computations"
)
def test_the_turn_that_lays_one_table_over_the_other_is_the_printed_one():
    # Golub & Van Loan, Matrix Computations, example 12.4.1, as the tests of Praat have
    # it (test_Procrustes.praat): Q = [0.9999, -0.0126; 0.0126, 0.9999] from the right.
    # There nothing is shifted: each row is put in turned half round as well.
    there = np.array([[1, 2, 0], [3, 4, 0], [5, 6, 0], [7, 8, 0]], dtype=float)
    rows = [[1.2, 2.1, 0], [2.9, 4.3, 0], [5.2, 6.1, 0], [6.8, 8.1, 0]]
    here = np.array(rows)

    fit = register(np.vstack([here, -here]), specified=np.vstack([there, -there]))

    printed = [[0.9999, -0.0126, 0], [0.0126, 0.9999, 0], [0, 0, 1]]
    assert np.allclose(fit.rotation.T, printed, rtol=0, atol=5e-5)
    assert fit.translation == pytest.approx(np.zeros(3), abs=1e-12)
