"""Sag between two ends, as a ship's drafts tell it."""

import numpy as np
import pytest

from workbook.mechanics.survey.damage import DamageFrame, read_damage

LONG, WIDE = 100.0, 15.0  # m, of a ship; sag and hog depend on neither
FRAME = DamageFrame(hinge_x=0.0, front_x=LONG, width=WIDE, sag_low_x=LONG / 2)
MARKS = np.array(
    [[x, y, 0.0] for x in (LONG, LONG / 2, 0.0) for y in (WIDE / 2, -WIDE / 2)]
)


def sag_of(forward, amidships, aft):
    """Return the sag read from three drafts, whatever the ship's trim."""
    # A mark lies as deep as the draft there; the whole ship may sink and trim.
    deep = np.zeros(MARKS.shape)
    deep[:, 2] = -np.repeat([forward, amidships, aft], 2)
    reading = read_damage(
        MARKS, differences=deep, frame=FRAME, kinds=["sag"], free_motion=True
    )
    assert reading.share_unexplained == pytest.approx(0, abs=1e-9)
    return reading.sizes.sag


@pytest.mark.kind(
    "read_damage",
    "sag between two ends",
    "Barrass and Derrett, Ship Stability for Masters and Mates",
)
def test_a_ship_is_sagged_by_what_lies_below_the_mean_of_its_ends():
    # Ship Stability for Masters and Mates, p. 236, "Effect of hog and sag on draft
    # amidships": F 8.25 m, A 8.65 m, draft amidships 9.55 - 1.06 = 8.49 m; the
    # average of the ends is 8.45 m and the ship is sagged by 0.04 m.
    assert sag_of(8.25, 8.49, 8.65) == pytest.approx(0.04, abs=1e-9)


@pytest.mark.kind(
    "read_damage", "sag in feet and inches of draft", "oic-nwreviewer.blogspot.com"
)
def test_a_ship_of_feet_and_inches_is_sagged_by_five():
    # oic-nwreviewer.blogspot.com/2014/01, "how to determine whether a ship is": drafts
    # 36' 04", 38' 08" amidships and 40' 02"; the mean of the ends is 38' 03", so the
    # vessel is sagged. Five inches is 38' 08" less that.
    inches = sag_of(36 * 12 + 4, 38 * 12 + 8, 40 * 12 + 2)

    assert inches == pytest.approx(5, abs=1e-9)


def test_a_mark_that_is_less_deep_amidships_is_hog():
    assert sag_of(8.25, 8.40, 8.65) == pytest.approx(-0.05, abs=1e-9)
