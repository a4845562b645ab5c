"""Twist between two cross-levels of a railway track."""

import numpy as np
import pytest

from workbook.mechanics.survey.damage import DamageFrame, read_damage, twist_angle

# curioustab.com/straight-railway-track-absolute-levels-point-two-rails-48252: levels of
# the two rails 100.550 and 100.530 m at A, 100.585 and 100.515 m at B, 100 m on. The
# cross-level goes from 20 to 70 mm: a twist of 0.5 mm per metre.
AT_A, AT_B, APART = (100.550, 100.530), (100.585, 100.515), 100.0
PRINTED = 0.5e-3
SOURCE = "curioustab.com, question 48252"
GAUGE = 1.5  # m; the printed twist does not depend on it


@pytest.mark.kind("twist_angle", "twist between two cross-levels", SOURCE)
def test_the_twist_of_a_track_is_the_change_of_its_cross_level():
    angle = twist_angle(
        AT_B[0] - AT_B[1], rear_difference=AT_A[0] - AT_A[1], width=GAUGE
    )

    assert np.tan(angle) * GAUGE / APART == pytest.approx(PRINTED, rel=1e-9)


@pytest.mark.kind("read_damage", "twist of four levels", SOURCE)
def test_four_levels_are_read_as_the_same_twist():
    rails = np.array(
        [[x, y, 0.0] for x in (0.0, APART) for y in (GAUGE / 2, -GAUGE / 2)]
    )
    levels = np.zeros(rails.shape)
    levels[:, 2] = [*AT_A, *AT_B]
    frame = DamageFrame(hinge_x=0.0, front_x=APART, width=GAUGE)

    reading = read_damage(
        rails, differences=levels, frame=frame, kinds=["twist"], free_motion=True
    )

    assert reading.sizes.twist * GAUGE / APART == pytest.approx(PRINTED, rel=1e-6)
    assert reading.share_unexplained == pytest.approx(0, abs=1e-9)
