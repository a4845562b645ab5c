"""Stored energy against Gere, Mechanics of Materials, Problem 2.7-2.

Data and result read in a public copy (coursehero.com/file/5583953).
"""

import numpy as np
import pytest

from workbook.mechanics.pull.stored_energy import stored_energy


@pytest.mark.kind(
    "stored_energy", "energy of two parts in series", "Gere, Mechanics of Materials"
)
def test_gere_2_7_2_bar_of_two_diameters():
    # 27 kN on a 600 mm bar, half of it 40 mm thick and half 80 mm,
    # E = 105 GPa: 1.036 J. Half of the last place.
    area = np.pi / 4 * np.array([0.040, 0.080]) ** 2

    energy = stored_energy(27e3, length=0.300, axial_stiffness=105e9 * area)

    assert energy.sum() == pytest.approx(1.036, abs=5e-4)
