"""The fit against SciPy's aligned vectors: documented example and random surveys."""

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from workbook.mechanics.survey.registration import register


@pytest.mark.kind("register", "documented fit of three vectors", "SciPy")
def test_documented_example_of_three_vectors():
    # SciPy reference, Rotation.align_vectors, Examples (docs.scipy.org, 1.12 and
    # later): a = C b with rssd 0.141421356237308. That fit has no shift: each
    # vector is given with its opposite, so that both means stay at the origin and
    # the sum of squares doubles. Tolerance: the 15 printed digits.
    a = np.array([[0, 1, 0], [0, 1, 1], [0, 1, 1]])
    b = np.array([[1, 0, 0], [1, 1.1, 0], [1, 0.9, 0]])

    fit = register(np.concatenate([b, -b]), specified=np.concatenate([a, -a]))

    expected = np.array([[0, 0, 1], [1, 0, 0], [0, 1, 0]])
    assert fit.rotation == pytest.approx(expected, abs=1e-14)
    assert fit.translation == pytest.approx(np.zeros(3), abs=1e-14)
    rssd = np.sqrt((fit.residuals**2).sum() / 2)
    assert rssd == pytest.approx(0.141421356237308, rel=1e-14)


@pytest.mark.kind("register", "weighted fits of surveys against align_vectors", "SciPy")
@pytest.mark.parametrize("seed", range(20))
def test_weighted_random_surveys_turn_as_scipy_turns_them(seed):
    rng = np.random.default_rng(seed)
    specified = rng.uniform(-2, 2, (12, 3)) * [1, 0.4, 0.15]
    measured = Rotation.random(rng=rng).apply(specified) + rng.uniform(-3, 3, 3)
    measured += rng.normal(0, 0.005, measured.shape)
    weights = rng.uniform(0.1, 10, 12)

    fit = register(measured, specified=specified, weights=weights)

    mean = weights / weights.sum()
    referee, rssd = Rotation.align_vectors(
        specified - mean @ specified, measured - mean @ measured, weights
    )
    # Both are exact to rounding times the thinness of the points, below 1e-12.
    assert fit.rotation == pytest.approx(referee.as_matrix(), abs=1e-12)
    assert fit.rms_residual == pytest.approx(rssd / np.sqrt(weights.sum()), rel=1e-9)


@pytest.mark.kind("register", "least sum of squares against least_squares", "SciPy")
@pytest.mark.parametrize("seed", range(5))
def test_six_free_numbers_find_no_better_fit(seed):
    # Second referee: scipy.optimize.least_squares on a rotation vector and a shift.
    rng = np.random.default_rng(100 + seed)
    specified = rng.uniform(-2, 2, (8, 3))
    measured = Rotation.from_euler("zyx", [40, -3, 2], degrees=True).apply(specified)
    measured += rng.normal(0, 0.02, measured.shape)
    weights = rng.uniform(0.2, 5, 8)

    def misfit(six):
        carried = Rotation.from_rotvec(six[:3]).apply(measured) + six[3:]
        return (np.sqrt(weights)[:, None] * (carried - specified)).ravel()

    best = least_squares(misfit, np.zeros(6), xtol=1e-15, ftol=1e-15, gtol=1e-15)
    fit = register(measured, specified=specified, weights=weights)

    # The optimiser stops where the sum of squares no longer changes: 1e-8 in angle.
    referee = Rotation.from_rotvec(best.x[:3]).as_matrix()
    assert fit.rotation == pytest.approx(referee, abs=1e-7)
    assert fit.translation == pytest.approx(best.x[3:], abs=1e-7)
    assert weights @ (fit.residuals**2).sum(-1) <= 2 * best.cost * (1 + 1e-12)
