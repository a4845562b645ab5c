"""Senses of the vehicle's angles in ISO 8855, turned by SciPy."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from workbook.mechanics.survey.registration import register
from workbook.mechanics.survey.tilt import tilt_of_fit
from workbook.mechanics.vectors import rise_of, side_angle_of

SOURCE = "ISO 8855"

# ISO 8855: x forward, y to the left, z up, right-handed (read in secondary pages); yaw,
# then pitch about the new y, then roll about the new x, each by the right-hand rule, so
# that yaw is plus to the left, pitch plus nose down and roll plus left side up (senses
# from memory; they follow from the axes).
ATTITUDES = [(25, 0, 0), (-40, 3, 0), (10, -2, 4), (0, 1, -3)]
EACH = pytest.mark.parametrize(("yaw", "pitch", "roll"), ATTITUDES)


def attitude(yaw, pitch, roll):
    """Turn a vehicle's own axes into those of the road."""
    return Rotation.from_euler("ZYX", [yaw, pitch, roll], degrees=True)


@pytest.mark.kind("side_angle_of + rise_of", "senses of yaw and pitch", SOURCE)
@EACH
def test_a_vehicles_nose_points_to_its_yaw_and_below_the_level_by_its_pitch(
    yaw, pitch, roll
):
    nose = attitude(yaw, pitch, roll).apply([1, 0, 0])

    assert np.degrees(side_angle_of(nose)) == pytest.approx(yaw, abs=1e-12)
    assert np.degrees(rise_of(nose)) == pytest.approx(-pitch, abs=1e-12)


@pytest.mark.kind("register + tilt_of_fit", "senses of pitch and roll", SOURCE)
@EACH
def test_a_body_that_pitches_and_rolls_reads_nose_down_and_left_side_up(
    yaw, pitch, roll
):
    # Turned about the upright first, a body is as tilted as before; what a level bench
    # reads is the slope of its plane along the bench's own axes.
    corners = np.array([[0, 0.5, 0], [2.5, 0.5, 0], [2.5, -0.5, 0], [0, -0.5, 0.1]])
    tilted = attitude(0, pitch, roll).apply(corners)

    tilt = tilt_of_fit(register(tilted, specified=corners))

    assert np.degrees(tilt.nose_up) == pytest.approx(-pitch, abs=1e-9)
    # The slope across is tan(roll) over cos(pitch), for roll comes after pitch.
    across = np.arctan(np.tan(np.radians(roll)) / np.cos(np.radians(pitch)))
    assert tilt.left_up == pytest.approx(across, abs=1e-12)
