"""Bays drawn for a question: everybody stands clearly, off the car and the chains."""

from math import degrees

import numpy as np
import pytest

from workbook.exercises import bays, exercise
from workbook.exercises.engine import variant_for, variant_from
from workbook.exercises.marking import mark
from workbook.mechanics.safety.line_of_fire import angle_off_line

ONE = exercise("11.3")
DRAWN = [
    variant_for(ONE, class_key="oak", student=f"student {n}").given for n in range(40)
]


def wedge_angles(given):
    """Return how far off each wedge's middle everybody is, (people, wedges) [deg]."""
    at = bays.places(given)
    people, ends = at[:8], at[8:].reshape(2, 2, 2)
    offs = [
        angle_off_line(people, apex=pair[k], towards=pair[1 - k])
        for pair in ends
        for k in (0, 1)
    ]
    return np.degrees(np.stack(offs, axis=-1))


def test_everybody_is_clearly_in_a_wedge_or_out_of_it():
    for given in DRAWN:
        clear = np.abs(wedge_angles(given) - degrees(given.half_angle))

        assert clear.min() > 4.9  # five, but for rounding


def test_nobody_stands_on_the_car_or_on_somebody_else():
    for given in DRAWN:
        people = bays.places(given)[:8]
        apart = np.hypot(*(people[:, None] - people[None]).transpose(2, 0, 1))

        assert not ((np.abs(people[:, 1]) < 1.0) & (np.abs(people[:, 0]) < 2.2)).any()
        assert apart[~np.eye(8, dtype=bool)].min() >= 0.9 - 1e-9


def test_who_must_move_follows_from_the_numbers_as_printed():
    moved = [bays.must_move(given) for given in DRAWN]
    by_angles = [
        {
            bays.PEOPLE[k]
            for k in np.flatnonzero(
                (wedge_angles(g) <= degrees(g.half_angle)).any(axis=1)
            )
        }
        for g in DRAWN
    ]

    assert moved == by_angles
    assert {len(one) for one in moved} == {3, 4, 5}
    assert len({frozenset(one) for one in moved}) > 20


@pytest.mark.parametrize("missed", ["a", "c", "d", "g", "h"])
def test_one_who_was_missed_leaves_nothing(missed):
    variant = variant_from(ONE, ONE.by_hand.numbers)
    letters = [x for x in "acdgh" if x != missed]

    assert mark(variant, " ".join(letters)).score == 0.0
    assert 0 < mark(variant, "a b c d g h").score < 1
