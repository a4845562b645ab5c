"""Falls from one staff reading to the next, by a printed level book."""

import pytest

from workbook.mechanics.survey.neighbours import neighbour_steps


@pytest.mark.kind(
    "neighbour_steps", "falls in a level book", "askfilo.com, 3337383431343830"
)
def test_falls_along_a_slope_are_those_of_the_level_book():
    # askfilo.com, question 3337383431343830: readings on a slope every 30 m, and the
    # column of falls of the rise and fall method, both printed. [m]
    readings = [0.680, 1.455, 1.855, 2.330, 2.885, 3.380]

    falls = neighbour_steps(readings)
    assert falls == pytest.approx([0.775, 0.400, 0.475, 0.555, 0.495], abs=5e-7)
