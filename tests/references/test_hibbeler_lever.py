"""A stiff lever that turns by little, against Hibbeler's Mechanics of Materials."""

import numpy as np
import pytest

from workbook.mechanics.survey.panels import carried


@pytest.mark.kind(
    "carried",
    "how far a point of a stiff panel goes where the panel turns by little",
    "Hibbeler, Mechanics of Materials",
)
def test_hibbeler_example_2_2_lever():
    # R. C. Hibbeler, Mechanics of Materials, 8th ed., Pearson, 2011, Example 2.2, from
    # memory: the rigid lever turns 0.05 degrees about pin A; wire BD of 300 mm hangs on
    # it 400 mm from A and stretches by 0.3491 mm, a strain of 0.00116. Four figures.
    turn = np.radians(0.05)
    far = [[0.0, 0.0], [0.0, 0.6 * turn]]

    moved = carried([[0.4, 0.0]], fixed=[0.0, 0.0], led=[0.6, 0.0], moved=far)

    assert moved[0, 1] == pytest.approx(0.3491e-3, rel=3e-4)
    assert moved[0, 1] / 0.300 == pytest.approx(0.00116, rel=5e-3)
