"""A share that is gone, against the percent of decrease of a school page."""

import pytest

from workbook.mechanics.survey.what_is_left import share_done


@pytest.mark.kind(
    "share_done", "percent of decrease and of increase", "basic-mathematics.com"
)
def test_a_share_done_is_the_percent_of_decrease_of_the_page():
    # basic-mathematics.com, "Percent of decrease", examples 1 to 3: from 6 to 4 it is
    # 33.33 %, from 10 to 5 50 %; from 4 to 8 it is an increase of 100 %.
    first, now = [6, 10, 4], [4, 5, 8]

    done = share_done(*([[0, 0, x] for x in xs] for xs in (first, now)))

    assert 100 * done == pytest.approx([33.33, 50, -100], abs=5e-3)
