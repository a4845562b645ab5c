"""Stored energy against Hibbeler, Mechanics of Materials, Example 14.1.

Data and results read in a public companion notebook.
"""

import numpy as np
import pytest

from workbook.mechanics.pull.stored_energy import stored_energy

INCH, KIP = 0.0254, 4448.2216152605
KSI = KIP / INCH**2


@pytest.mark.kind(
    "stored_energy",
    "two bolts of the same strength",
    "Hibbeler, Mechanics of Materials",
)
def test_hibbeler_14_1_thinner_shank_stores_more():
    # Two bolts at 44 ksi on the 0.731 in thread, E = 29e3 ksi. A: 2 in of 0.875 in
    # and 0.25 in of thread; B: 2.25 in of 0.731 in. Printed 0.0231 and 0.0315; the
    # notebook calls them J, they are in kip. Half of the last place.
    thread, shank = np.pi / 4 * (np.array([0.731, 0.875]) * INCH) ** 2
    force = 44 * KSI * thread

    bolt_a = stored_energy(
        force,
        length=np.array([0.25, 2.0]) * INCH,
        axial_stiffness=29e3 * KSI * np.array([thread, shank]),
    ).sum()
    bolt_b = stored_energy(
        force, length=2.25 * INCH, axial_stiffness=29e3 * KSI * thread
    )

    assert bolt_a / (INCH * KIP) == pytest.approx(0.0231, abs=5e-5)
    assert bolt_b / (INCH * KIP) == pytest.approx(0.0315, abs=5e-5)
