"""Stored energy against Beer & Johnston, Mechanics of Materials, Sample 11.1.

Page 707; data and results read in a public companion notebook.
"""

import numpy as np
import pytest

from workbook.mechanics.pull.stored_energy import (
    stored_energy,
    stored_energy_of_pull,
    stretch,
)

INCH, LBF = 0.0254, 4.4482216152605
PSI = LBF / INCH**2
AREA = np.pi / 4 * (0.75 * INCH) ** 2
LENGTH = 60 * INCH
ROD = {"length": LENGTH, "axial_stiffness": 29e6 * PSI * AREA}


@pytest.mark.kind(
    "stored_energy",
    "energy of a rod at a stress",
    "Beer & Johnston, Mechanics of Materials",
)
def test_beer_johnston_sample_11_1_energy_at_yield():
    # Rod 3/4 in x 60 in, 120 in lb with a factor of 5, E = 29e6 psi: 22.6
    # in lb/in^3 at a yield stress of 36.2 ksi. Three figures, and energy goes with
    # the square of the stress, hence rel = 3e-3 and 5e-3.
    energy = stored_energy(36.2e3 * PSI * AREA, **ROD)

    assert energy / (INCH * LBF) == pytest.approx(5 * 120, rel=5e-3)
    density = energy / (AREA * LENGTH)
    assert density / (LBF * INCH / INCH**3) == pytest.approx(22.6, rel=3e-3)


@pytest.mark.kind(
    "stored_energy_of_pull + stretch",
    "energy of one spring",
    "Beer & Johnston, Mechanics of Materials",
)
def test_beer_johnston_sample_11_1_as_one_spring():
    # The same rod as the stiffness of a whole pull, k = force over its stretch.
    force = 36.2e3 * PSI * AREA

    energy = stored_energy_of_pull(force, stiffness=force / stretch(force, **ROD))

    assert energy / (INCH * LBF) == pytest.approx(5 * 120, rel=5e-3)
