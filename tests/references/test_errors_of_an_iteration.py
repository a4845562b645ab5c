"""Worse on whichever side, against printed errors that jump from side to side."""

import numpy as np
import pytest

from workbook.mechanics.survey.what_is_left import grew


@pytest.mark.kind("grew", "errors on both sides of a root", "slideshare.net, 267028990")
def test_how_a_reading_grew_is_the_difference_of_printed_errors():
    # "Fixed Point Iteration", slideshare.net, 267028990: exp(-x) = x from 0; the root
    # 0.56714329, what was found, and the true error in per cent of the root. What was
    # found lies above and below it in turn; errors have three figures.
    root = 0.56714329
    found = [0, 1.0, 0.367879, 0.692201, 0.500473, 0.606244, 0.545396, 0.579612]
    errors = [100.0, 76.3, 35.1, 22.1, 11.8, 6.89, 3.83, 2.20]
    off = np.array(found) - root

    growth = 100 * grew(off[:-1], off[1:]) / root

    assert growth == pytest.approx(np.diff(errors), abs=0.1)
    assert grew(off[1:], off[:-1]) == pytest.approx(-growth * root / 100)
