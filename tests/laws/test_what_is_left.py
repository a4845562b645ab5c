"""Laws of what is left, of readings that got worse, and of the next force."""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.survey.what_is_left import grew, next_force, share_done
from workbook.mechanics.vectors import norm, unit

ANY = np.random.default_rng(13)
MANY = ANY.normal(scale=0.02, size=(2, 500, 3))


def test_a_share_goes_with_no_turn_and_no_unit():
    start, left = MANY
    turned = np.linalg.qr(ANY.normal(size=(3, 3)))[0]

    share = share_done(start, left)
    assert share_done(1000 * start @ turned, 1000 * left @ turned) == pytest.approx(
        share
    )
    assert share == pytest.approx(1 - norm(left) / norm(start))
    assert share_done(start, 0 * start) == pytest.approx(1)
    assert share_done(start, 2 * start) == pytest.approx(-1)


def test_a_reading_is_worse_by_its_size_whichever_side_it_is_on():
    before, after = MANY

    assert grew(before, after) == pytest.approx(grew(-before, after))
    assert grew(before, after) == pytest.approx(-grew(after, before))
    assert np.all(grew(before, 0 * before) <= 0)


def test_two_pulls_and_their_readings_lead_to_the_force_that_a_straight_line_needs():
    first, slope, wanted = 12e3, 1.5e-6, 0.02
    moved = slope * (first - 4e3)  # it begins to move at 4 kN, not at nothing

    force = next_force(first, lacks=wanted - moved, rate=slope)
    assert slope * (force - 4e3) == pytest.approx(wanted)


@pytest.mark.parametrize("rate", [0.0, -1e-6, [1e-6, 0.0]])
def test_a_point_that_does_not_move_asks_for_no_more_force(rate):
    with pytest.raises(OutOfRangeError, match="more force is no answer"):
        next_force(20e3, lacks=0.005, rate=rate)


def test_a_line_toward_what_is_left_brings_every_part_home_at_once():
    start = MANY[0]

    gone = start - 0.5 * norm(start)[:, None] * unit(start)
    assert share_done(start, gone) == pytest.approx(0.5)
