"""The angle of a person off a chain's line, against the triangle of 3, 4 and 5."""

import numpy as np
import pytest

from workbook.mechanics.safety.line_of_fire import angle_off_line, in_line_of_fire


@pytest.mark.kind(
    "angle_off_line + in_line_of_fire",
    "the angle at a corner of a right triangle by its sides",
    "table of the right triangles 3-4-5 and 5-12-13 (from memory)",
)
def test_the_angles_of_whole_right_triangles_are_those_of_the_tables():
    # 3-4-5 has 36.870° and 53.130°, 5-12-13 has 22.620° and 67.380°. From memory.
    beside = np.array([[4, 3], [3, 4], [12, 5], [5, 12], [-4, 3]])
    by = np.radians([36.870, 53.130, 22.620, 67.380, 180 - 36.870])

    off = angle_off_line(beside, apex=[0, 0], towards=[7, 0])

    assert off == pytest.approx(by, abs=1e-5)
    # Seen from the other end, 8 away, the person 3 aside is as far back as ahead.
    both = in_line_of_fire([[4, 3]], ends=[[[0, 0], [8, 0]]], half_angle=by[:2])
    assert both.all()
    none = in_line_of_fire([[4, 3]], ends=[[[0, 0], [8, 0]]], half_angle=by[0] - 1e-3)
    assert not none.any()
