"""The slopes that the search for a chain's half turn goes by, against differences."""

import numpy as np
import pytest

from workbook.mechanics.pull import tension_length_sag as search
from workbook.mechanics.pull.catenary import drop_of, sinhc_excess, sinhc_slope

HALF_TURNS = np.array([0.05, 0.4, 0.999, 1.3, 2.5, 6.0])
STEEPNESS = np.array([[0.0], [0.3], [2.0], [9.0]])


def sags(u):
    drop, slope, _ = drop_of(u, STEEPNESS)
    return drop, slope


@pytest.mark.parametrize(
    "measure",
    [
        lambda u: (sinhc_excess(u), sinhc_slope(u)),
        sags,
        lambda u: search._tension_excess(u, STEEPNESS),
        search._balance_of_loosest,
    ],
)
def test_a_slope_is_what_a_small_turn_changes(measure):
    # Central differences: the error is of the order of the step squared.
    step = 1e-5 * HALF_TURNS

    less, more = (measure(HALF_TURNS + sign * step)[0] for sign in (-1, 1))

    slope = measure(HALF_TURNS)[1]
    scale = np.abs(measure(HALF_TURNS)[0]) / HALF_TURNS
    assert np.all(np.abs((more - less) / (2 * step) - slope) < 1e-6 * (scale + 1))
