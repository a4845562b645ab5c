"""Laws of stretch and of the energy that a pull would let go."""

import numpy as np
import pytest

from workbook.mechanics.pull.stored_energy import (
    stored_energy,
    stored_energy_of_pull,
    stretch,
)


def test_energy_is_the_work_of_a_tension_that_grows_evenly():
    chain = {"length": 2.0, "axial_stiffness": 13e6}
    tension = np.linspace(1.0, 30e3, 5)

    energy = stored_energy(tension, **chain)

    assert energy == pytest.approx(tension * stretch(tension, **chain) / 2, rel=1e-14)


def test_energy_goes_with_the_square_of_tension_and_with_length():
    one = stored_energy(15e3, length=1.0, axial_stiffness=13e6)

    assert stored_energy(30e3, length=1.0, axial_stiffness=13e6) == pytest.approx(
        4 * one, rel=1e-14
    )
    assert stored_energy(15e3, length=3.0, axial_stiffness=13e6) == pytest.approx(
        3 * one, rel=1e-14
    )


def test_parts_in_series_add_their_energies():
    length, stiffness = np.array([1.0, 2.0]), np.array([13e6, 5e6])

    parts = stored_energy(20e3, length=length, axial_stiffness=stiffness).sum()

    whole = stored_energy_of_pull(20e3, stiffness=1 / (length / stiffness).sum())
    assert whole == pytest.approx(parts, rel=1e-14)
