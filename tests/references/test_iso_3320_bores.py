"""Forces of cylinders with the standard bores on one supply."""

import pytest

from workbook.mechanics.hydraulics.pressure import piston_area
from workbook.mechanics.hydraulics.supply import Rams, greatest_forces


def test_rams_of_the_standard_bores_at_700_bar():
    # ISO 3320 bore series 25, 32, 40, 50 and 63 mm (series from memory); pressure
    # times area, recomputed: 34.36, 56.30, 87.96, 137.44 and 218.21 kN, two decimals.
    bores = [0.025, 0.032, 0.040, 0.050, 0.063]
    rams = Rams(areas=piston_area(bores), resistances=0)

    forces = greatest_forces(700e5, rams=rams)

    assert forces / 1e3 == pytest.approx(
        [34.36, 56.30, 87.96, 137.44, 218.21], abs=6e-3
    )
