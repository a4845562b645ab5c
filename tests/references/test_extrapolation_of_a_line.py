"""The next force, against a page on going on in a straight line."""

import pytest

from workbook.mechanics.survey.what_is_left import next_force


@pytest.mark.kind(
    "next_force", "where a line comes to a wanted value", "lengthcalculators.com"
)
def test_the_next_force_is_where_the_line_of_two_points_comes_to_what_is_wanted():
    # lengthcalculators.com, "Extrapolation Calculator", example 2: a line through
    # (1, 3) and (4, 7) comes to 15 at 10; its slope is printed as 4/3.
    (_, _), (last, came) = (1, 3), (4, 7)

    assert next_force(last, lacks=15 - came, rate=4 / 3) == pytest.approx(10)
