"""Least squares against certified regressions of NIST, and against SciPy."""

from dataclasses import asdict

import numpy as np
import pytest
from scipy.optimize import curve_fit

from workbook.mechanics.survey.damage import DamageFrame, read_damage
from workbook.mechanics.survey.least_squares import weighted_least_squares

# NIST Statistical Reference Datasets, Longley: 16 years of employment against six
# columns that nearly repeat one another.
LONGLEY = """
60323 83.0 234289 2356 1590 107608 1947
61122 88.5 259426 2325 1456 108632 1948
60171 88.2 258054 3682 1616 109773 1949
61187 89.5 284599 3351 1650 110929 1950
63221 96.2 328975 2099 3099 112075 1951
63639 98.1 346999 1932 3594 113270 1952
64989 99.0 365385 1870 3547 115094 1953
63761 100.0 363112 3578 3350 116219 1954
66019 101.2 397469 2904 3048 117388 1955
67857 104.6 419180 2822 2857 118734 1956
68169 108.4 442769 2936 2798 120445 1957
66513 110.8 444546 4681 2637 121950 1958
68655 112.6 482704 3813 2552 123366 1959
69564 114.2 502601 3931 2514 125368 1960
69331 115.7 518173 4806 2572 127852 1961
70551 116.9 554894 4007 2827 130081 1962
"""


def fit(design, observed, **settings):
    return weighted_least_squares(
        design,
        observed=observed,
        weights=np.ones_like(observed),
        names=[str(column) for column in range(design.shape[1])],
        **settings,
    )


@pytest.mark.kind("weighted_least_squares", "columns that nearly repeat", "NIST StRD")
def test_longley_has_its_certified_coefficients_and_errors():
    table = np.array(LONGLEY.split(), dtype=float).reshape(16, 7)
    design = np.column_stack([np.ones(16), table[:, 1:]])

    found = fit(design, table[:, 0], confusion_tolerance=1e-6)

    # 15 certified digits; columns scaled to one length have a condition of 4e4, and
    # the intercept is the small difference of large terms: six lost of sixteen.
    assert found.coefficients == pytest.approx(
        [
            -3482258.63459582, 15.0618722713733, -0.358191792925910e-01,
            -2.02022980381683, -1.03322686717359, -0.511041056535807e-01,
            1829.15146461355,
        ],
        rel=1e-9,
    )  # fmt: skip
    errors = np.sqrt(np.diag(found.covariance))
    assert errors == pytest.approx(
        [
            890420.383607373, 84.9149257747669, 0.334910077722432e-01,
            0.488399681651699, 0.214274163161675, 0.226073200069370,
            455.478499142212,
        ],
        rel=1e-9,
    )  # fmt: skip
    assert found.residual_deviation == pytest.approx(304.854073561965, rel=1e-10)


@pytest.mark.kind("weighted_least_squares", "one column, no intercept", "NIST StRD")
def test_a_line_through_the_origin_has_its_certified_slope_and_error():
    # NoInt1: y = 130 ... 140 at x = 60 ... 70; 15 certified digits.
    found = fit(np.arange(60.0, 71.0)[:, None], np.arange(130.0, 141.0))

    assert found.coefficients == pytest.approx([2.07438016528926], rel=1e-13)
    error = np.sqrt(found.covariance[0, 0])
    assert error == pytest.approx(0.165289256198347e-01, rel=1e-12)
    assert found.residual_deviation == pytest.approx(3.56753034006338, rel=1e-12)


@pytest.mark.kind("weighted_least_squares", "errors of unequal weights", "SciPy")
def test_weighted_fits_have_scipys_coefficients_and_covariance():
    # Weights are one over the square of SciPy's sigma, whose scale does not count
    # (absolute_sigma is off). Its optimiser stops at 1e-8 of the parameters.
    rng = np.random.default_rng(5)
    x, sigma = rng.uniform(-1, 2, 30), rng.uniform(0.2, 3.0, 30)
    y = 1.5 - 0.7 * x + 0.2 * x**2 + rng.normal(0, 0.1, 30) * sigma

    found = weighted_least_squares(
        np.column_stack([np.ones(30), x, x**2]),
        observed=y,
        weights=sigma**-2,
        names=("level", "slope", "bend"),
    )

    best, covariance = curve_fit(
        lambda x, a, b, c: a + b * x + c * x**2, x, y, sigma=sigma
    )
    assert found.coefficients == pytest.approx(best, rel=1e-6)
    assert found.covariance == pytest.approx(covariance, rel=1e-5)


@pytest.mark.kind("read_damage", "sizes of damage and their errors", "SciPy")
def test_damage_is_read_as_scipy_fits_its_fields():
    # The fields as `damage_basis` states them, over the y and x of every point; twelve
    # invented points with a millimetre of scatter. The optimiser stops at 1e-8.
    rng = np.random.default_rng(11)
    points = rng.uniform([-0.5, -0.6, 0], [2.0, 0.6, 0.5], (12, 3))
    hinge, front, width = 0.4, 1.9, 1.1

    def fields(places, mash, sidesway, sag, diamond, twist):
        x, y, _ = places.T
        along = (x - hinge) / (front - hinge)
        ahead = np.clip(along, 0, None)
        across = -mash * ahead - diamond * y / width
        return np.stack([across, sidesway * ahead, twist * y * along - sag * ahead])

    made = fields(points, 0.020, -0.012, 0.008, 0.005, 0.01)
    measured = made + rng.normal(0, 0.001, made.shape)

    reading = read_damage(
        points,
        differences=measured.T,
        frame=DamageFrame(hinge_x=hinge, front_x=front, width=width),
    )

    best, covariance = curve_fit(
        lambda places, *sizes: fields(places, *sizes).ravel(),
        points,
        measured.ravel(),
        p0=np.zeros(5),
    )
    assert [*asdict(reading.sizes).values()] == pytest.approx(best, rel=1e-6)
    errors = np.sqrt(np.diag(covariance))
    assert [*asdict(reading.standard_errors).values()] == pytest.approx(
        errors, rel=1e-6
    )
