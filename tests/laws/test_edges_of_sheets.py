"""Laws of the tear-out estimate."""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.metal.edges import tear_out


def test_the_estimate_grows_with_each_of_the_three_in_step():
    one = tear_out(edge_distance=0.02, thickness=1e-3, shear_strength=200e6)
    many = tear_out(
        edge_distance=np.array([0.04, 0.02, 0.02]),
        thickness=[1e-3, 2e-3, 1e-3],
        shear_strength=[200e6, 200e6, 400e6],
    )

    assert many == pytest.approx(np.full(3, 2 * one))


@pytest.mark.parametrize("name", ["edge_distance", "thickness", "shear_strength"])
def test_what_is_not_there_is_refused_by_its_name(name):
    given = {"edge_distance": 0.02, "thickness": 1e-3, "shear_strength": 200e6}

    with pytest.raises(OutOfRangeError, match=name.replace("_", " ")):
        tear_out(**{**given, name: 0.0})


def test_shapes_that_do_not_fit_are_refused():
    with pytest.raises(OutOfRangeError, match="do not fit"):
        tear_out(edge_distance=[0.02] * 2, thickness=[1e-3] * 3, shear_strength=2e8)
