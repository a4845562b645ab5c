"""A part on a cable between two ties, against the ellipse of pins and string."""

import numpy as np
import pytest

from workbook.mechanics.safety.cable import run_out


@pytest.mark.kind(
    "run_out",
    "where a string through two pins is taut",
    "x²/25 + y²/9 = 1 with its foci at ±4, a textbook's standard ellipse (from memory)",
)
def test_a_string_round_two_pins_draws_the_ellipse_of_its_length():
    # Foci at ±4, half axes 5 and 3, so the string from pin to pin is 10; in polar
    # form from the middle, r = 1/√(cos²/25 + sin²/9). From memory.
    pins = [[-4, 0, 0], [4, 0, 0]]
    turn = np.radians([0, 30, 45, 90, 150, 200, 270])
    way = np.stack([np.cos(turn), np.sin(turn), np.zeros_like(turn)], axis=-1)

    far = run_out([0, 0, 0], way=way, ties=pins, length=10.0)

    assert far == pytest.approx(
        1 / np.sqrt(np.cos(turn) ** 2 / 25 + np.sin(turn) ** 2 / 9)
    )
    assert far[[0, 3]] == pytest.approx([5, 3])
    # The latus rectum, 2 × 9 / 5: from a focus square to the axis, 9/5.
    side = run_out([4, 0, 0], way=[0, 1, 0], ties=pins, length=10.0)
    assert float(side) == pytest.approx(9 / 5)
