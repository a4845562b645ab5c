"""Laws of neighbours in a list of points."""

import numpy as np
import pytest

from workbook.errors import FormError, OutOfRangeError
from workbook.mechanics.survey.neighbours import (
    neighbour_steps,
    off_neighbours,
    read_under_load,
)


def test_steps_add_up_to_the_way_from_first_to_last_and_know_no_shift():
    rng = np.random.default_rng(16)
    rows = rng.normal(scale=3e-3, size=(50, 12))

    steps = neighbour_steps(rows)
    assert steps.sum(axis=-1) == pytest.approx(rows[:, -1] - rows[:, 0])
    assert neighbour_steps(rows + 0.2) == pytest.approx(steps)
    assert neighbour_steps(rows[:, ::-1]) == pytest.approx(-steps[:, ::-1])


def test_a_row_that_leans_is_in_step_and_a_jump_stands_off_by_itself():
    rng = np.random.default_rng(17)
    k = np.arange(12)
    lean = rng.normal(size=(50, 1)) * k + rng.normal(size=(50, 1))
    assert off_neighbours(lean) == pytest.approx(0, abs=1e-12)

    jumped = lean + 3e-3 * (k == 5)
    off = off_neighbours(jumped)
    # Half of it, the other way, at each neighbour, and nothing beyond.
    assert off[:, 4] == pytest.approx(3e-3)
    assert off[:, [3, 5]] == pytest.approx(-1.5e-3)
    assert np.delete(off, [3, 4, 5], axis=1) == pytest.approx(0, abs=1e-12)
    # It is half the change of the steps before and after it.
    assert off == pytest.approx(-np.diff(neighbour_steps(jumped)) / 2)


def test_a_loaded_reading_goes_back_when_the_load_does():
    rng = np.random.default_rng(18)
    reading, load = rng.normal(size=(2, 40))
    stiffness = 10 ** rng.uniform(5, 8, size=40)

    under = read_under_load(reading, load=load, stiffness=stiffness)
    assert read_under_load(under, load=-load, stiffness=stiffness) == pytest.approx(
        reading
    )
    twice = read_under_load(reading, load=2 * load, stiffness=stiffness)
    assert twice - reading == pytest.approx(2 * (under - reading))


@pytest.mark.parametrize(
    ("ask", "refusal", "words"),
    [
        (lambda: neighbour_steps([1e-3]), FormError, "fewer than 2"),
        (lambda: off_neighbours([1e-3, 2e-3]), FormError, "fewer than 3"),
        (lambda: neighbour_steps(1e-3), FormError, "fewer than 2"),
        (lambda: neighbour_steps([1e-3, np.nan]), OutOfRangeError, "differences"),
        (
            lambda: read_under_load(0, load=1e3, stiffness=0),
            OutOfRangeError,
            "stiffness",
        ),
        (
            lambda: read_under_load(0, load=np.inf, stiffness=1e6),
            OutOfRangeError,
            "load",
        ),
    ],
)
def test_what_cannot_be_compared_is_refused(ask, refusal, words):
    with pytest.raises(refusal, match=words):
        ask()
