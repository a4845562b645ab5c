"""How far a cable reaches past an edge, against goats tied to corners of barns."""

import numpy as np
import pytest

from workbook.mechanics.safety.cable import left_past_edge


@pytest.mark.kind(
    "left_past_edge",
    "what a rope still reaches past the corner it lies over",
    "goats tied to barns, algebra.com 551049 and jiskha.com 1336103695",
)
@pytest.mark.parametrize(
    ("barn", "ropes", "areas"),
    [
        # algebra.com, question 551049: 40 ft by 30 ft, 50 ft of rope, 2000 π ft².
        ((40.0, 30.0), [50.0], [2000.0]),
        # jiskha.com, display 1336103695: 15 m by 25 m; 75 π, 306.25 π, and of 30 m
        # three quarters of 900, a quarter of 225 and of 25.
        ((25.0, 15.0), [10.0, 20.0, 30.0], [75.0, 306.25, 737.5]),
    ],
)
def test_a_goat_grazes_what_its_rope_leaves_past_each_corner(barn, ropes, areas):
    tie, length = np.zeros(3), np.array(ropes)
    corners = np.array([[barn[0], 0, 0], [0, barn[1], 0]])

    left = left_past_edge(tie=tie, edge=corners, length=length[:, None])

    # Three quarters of a circle at the tie, and a quarter past each corner.
    grazed = 0.75 * length**2 + 0.25 * (left**2).sum(axis=-1)
    assert grazed == pytest.approx(areas)
