"""Weighted least squares against a certified straight line of NIST."""

import numpy as np
import pytest

from workbook.mechanics.survey.least_squares import weighted_least_squares

# NIST Statistical Reference Datasets, linear regression, Norris: 36 readings of y
# against x with certified coefficients, standard errors and residual deviation.
X = """0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 0.4 0.6 775.5
666.9 338.0 447.5 11.6 556.0 228.1 995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999.0
779.0 11.1 118.3 229.2 669.1 448.9 0.5"""
Y = """0.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1
668.8 339.3 448.9 10.8 557.7 228.3 998.0 888.8 119.6 0.3 0.6 557.6 339.3 888.0 998.5
778.9 10.2 117.6 228.9 668.4 449.2 0.2"""
NAMES = ("intercept", "slope")


def _line():
    x = np.array(X.split(), dtype=float)
    y = np.array(Y.split(), dtype=float)
    return np.column_stack([np.ones_like(x), x]), y


@pytest.mark.kind(
    "weighted_least_squares", "line with its standard errors", "NIST StRD"
)
def test_norris_line_has_its_certified_coefficients_and_errors():
    design, y = _line()

    fit = weighted_least_squares(
        design, observed=y, weights=np.ones_like(y), names=NAMES
    )

    # 15 certified digits; the data lose about five of double precision's sixteen.
    certified = [-0.262323073774029, 1.00211681802045]
    assert fit.coefficients == pytest.approx(certified, rel=1e-11)
    errors = np.sqrt(np.diag(fit.covariance))
    assert errors == pytest.approx([0.232818234301152, 0.429796848199937e-3], rel=1e-10)
    assert fit.residual_deviation == pytest.approx(0.884796396144373, rel=1e-11)


def test_a_reading_of_weight_two_counts_as_two_readings():
    design, y = _line()
    weights = np.ones_like(y)
    weights[:5] = 2.0

    weighted = weighted_least_squares(design, observed=y, weights=weights, names=NAMES)
    doubled = weighted_least_squares(
        np.concatenate([design, design[:5]]),
        observed=np.concatenate([y, y[:5]]),
        weights=np.ones(41),
        names=NAMES,
    )

    assert weighted.coefficients == pytest.approx(doubled.coefficients, rel=1e-11)
