"""Unit factors against their exact international definitions."""

from fractions import Fraction

import pytest

from workbook.equipment import reference
from workbook.quantities.units import factor

POUND = Fraction("0.45359237")  # kg, exactly (1959 international agreement)
GRAVITY = Fraction("9.80665")  # m/s2, exactly (3rd CGPM, 1901)
INCH = Fraction("0.0254")  # m, exactly (1959 international agreement)


@pytest.mark.kind(
    "factor", "exact factor of a unit", "international definitions of units"
)
@pytest.mark.parametrize(
    ("unit", "exact"),
    [
        ("in", INCH),
        ("lbf", POUND * GRAVITY),
        ("lbf", 4.4482216152605),
        ("ft lbf", 12 * INCH * POUND * GRAVITY),
        ("lb/ft", POUND / (12 * INCH)),
        ("short tf", 8896.443230521),
        ("long tf", 2240 * POUND * GRAVITY),
        ("tf", 9806.65),
        ("kgf", GRAVITY),
        ("psi", POUND * GRAVITY / INCH**2),
        ("bar", 100_000.0),
    ],
)
def test_factor_is_the_exact_definition(unit, exact):
    # The double nearest to it.
    assert factor(unit) == float(exact)


def test_ten_thousand_psi_is_not_seven_hundred_bar():
    # 10,000 psi = 689.476 bar; 700 bar = 10,152.6 psi: 1.5 % apart.
    assert 10_000 * factor("psi") / factor("bar") == pytest.approx(689.476, abs=5e-4)
    assert 700 * factor("bar") / factor("psi") == pytest.approx(10_152.6, abs=0.05)


def test_gravity_of_the_data_is_that_of_the_units():
    assert reference("gravity").value == factor("kgf")
