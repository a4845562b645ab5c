"""Laws of straight parts and the boxes that they must not enter."""

import numpy as np
import pytest

from workbook.mechanics.planner.keep_out import boxes, crosses


@pytest.mark.parametrize("seed", range(5))
def test_a_part_crosses_a_box_where_a_point_of_it_is_inside(seed):
    # The referee walks each part in 2,001 points: none may be missed that has a
    # point inside, and none caught that stays further off than half a step.
    draw = np.random.default_rng(seed)
    corners = np.sort(draw.uniform(-1, 1, (3, 2, 3)), axis=1)
    start, end = draw.uniform(-1.5, 1.5, (2, 400, 3))
    end[:40, 0] = start[:40, 0]  # some along an axis plane
    end[:20, 1] = start[:20, 1]

    found = crosses(start, end, keep_out=boxes(corners))

    way = start + np.linspace(0, 1, 2001)[:, None, None] * (end - start)
    off = [way - np.clip(way, low, high) for low, high in corners]
    square = [np.einsum("...i,...i", o, o).min(axis=0) for o in off]
    nearest = np.sqrt(np.min(square, axis=0))
    step = np.linalg.norm(end - start, axis=-1) / 2000
    assert 50 < found.sum() < 350
    assert found[nearest == 0].all()
    assert (nearest[found] <= step[found]).all()


def test_a_part_along_the_face_of_a_box_touches_it():
    face = boxes([[[0, 0, 0], [1, 1, 1]]])

    along = crosses([-1, 0.5, 1], [2, 0.5, 1], keep_out=face)
    above = crosses([-1, 0.5, 1.001], [2, 0.5, 1.001], keep_out=face)

    assert along
    assert not above
