"""Depth of yielding against Hearn, Mechanics of Materials 2."""

import pytest

from workbook.mechanics.metal.bending import bend_past_yield
from workbook.mechanics.metal.sections import RectangularSection


@pytest.mark.kind(
    "bend_past_yield", "depth of yielding", "Hearn, Mechanics of Materials 2"
)
def test_hearn_example_core_depth():
    # Hearn, Mechanics of Materials 2, partly plastic rectangular beam 20 mm deep:
    # printed core depth d^2 = 3.2 cm^2, d = 1.79 cm, yielded 1.05 mm on each
    # side. The moment is the one whose ratio to yield is 3/2 - d^2/2D^2 = 1.10.
    bar = RectangularSection(width=0.010, depth=0.020)
    steel = {"youngs_modulus": 200e9, "yield_stress": 250e6}
    yield_moment = 250e6 * bar.elastic_section_modulus

    bent = bend_past_yield(bar, moment=1.10 * yield_moment, **steel)

    assert bent.core_depth**2 == pytest.approx(3.2e-4, rel=1e-9)
    assert bent.core_depth == pytest.approx(0.0179, abs=5e-5)
    assert (bar.depth - bent.core_depth) / 2 == pytest.approx(1.05e-3, abs=1e-5)
