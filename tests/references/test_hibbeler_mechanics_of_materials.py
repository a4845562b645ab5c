"""Plastic moment of an I shape against Hibbeler."""

import pytest

from workbook.mechanics.metal.sections import ISection


@pytest.mark.kind(
    "ISection",
    "plastic moment and shape factor of an I",
    "Hibbeler, Mechanics of Materials",
)
def test_hibbeler_example_6_21():
    # Hibbeler, Mechanics of Materials, Example 6.21 (p. 341): flanges 8 x 0.5 in,
    # web 0.5 x 9 in, yield 36 ksi; printed Mp 1732.5 kip in, shape factor 1.14.
    # Ratios and kip in need no metres: the section is entered in inches.
    beam = ISection(width=8, depth=10, flange_thickness=0.5, web_thickness=0.5)

    assert 36 * beam.plastic_section_modulus == pytest.approx(1732.5, abs=0.05)
    assert beam.shape_factor == pytest.approx(1.14, abs=0.005)
