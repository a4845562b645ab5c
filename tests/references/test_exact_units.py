"""Unit factors against their exact international definitions."""

import pytest

from workbook.equipment import reference
from workbook.quantities.units import factor

POUND = 0.45359237  # kg, exactly (1959 international agreement)
GRAVITY = 9.80665  # m/s2, exactly (3rd CGPM, 1901)
INCH = 0.0254  # m, exactly (1959 international agreement)


@pytest.mark.parametrize(
    ("unit", "exact"),
    [
        ("in", INCH),
        ("lbf", POUND * GRAVITY),
        ("lbf", 4.4482216152605),
        ("short tf", 8896.443230521),
        ("tf", 9806.65),
        ("kgf", GRAVITY),
        ("psi", POUND * GRAVITY / INCH**2),
        ("bar", 100_000.0),
    ],
)
def test_factor_is_the_exact_definition(unit, exact):
    # Only rounding of double precision may stand between them.
    assert factor(unit) == pytest.approx(exact, rel=1e-14)


def test_ten_thousand_psi_is_not_seven_hundred_bar():
    # 10,000 psi = 689.476 bar; 700 bar = 10,152.6 psi: 1.5 % apart.
    assert 10_000 * factor("psi") / factor("bar") == pytest.approx(689.476, abs=5e-4)
    assert 700 * factor("bar") / factor("psi") == pytest.approx(10_152.6, abs=0.05)


def test_gravity_of_the_data_is_that_of_the_units():
    assert reference("gravity").value == factor("kgf")
