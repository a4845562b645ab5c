"""How far a car settles on its springs under somebody, and rises again."""

import pytest

from workbook.mechanics.survey.neighbours import read_under_load


@pytest.mark.kind(
    "read_under_load", "a car settles under one person", "OpenStax College Physics"
)
def test_a_car_settles_by_load_over_stiffness():
    # OpenStax, College Physics, example 16.1, from memory: 80.0 kg, 784 N, let a car
    # settle 1.20 cm; its springs have 6.53e4 N/m.
    settled = read_under_load(0.0, load=784.0, stiffness=6.53e4)

    assert settled == pytest.approx(1.20e-2, abs=5e-5)
