"""The worked examples of the lessons on measuring and on diagonals, by hand."""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.survey.damage import (
    DamageFrame,
    DamageSizes,
    damage_field,
    twist_angle,
)
from workbook.mechanics.survey.tapes import (
    Diagonals,
    diagonals_of_points,
    diagonals_of_skew,
    length_along_datum,
    skew_of_diagonals,
)
from workbook.mechanics.survey.tilt import height_without_tilt

# The printed results are whole millimetres or tenths, hence half the last place.


def test_lesson_04_takes_the_tilt_out_of_a_height():
    # 352 - 2400 tan 0.5 deg = 331 mm; unnoticed, the point reads 21 mm wrong.
    height = height_without_tilt(0.352, x=2.4, nose_up=np.radians(0.5))

    assert height * 1e3 == pytest.approx(331, abs=0.5)
    assert (0.352 - height) * 1e3 == pytest.approx(21, abs=0.5)


def test_lesson_04_turns_a_sloping_tape_into_a_length():
    # Tape 1200 mm between points 350 mm apart in height: 1148 mm, uphill or down.
    length = length_along_datum(1.2, rise=[0.35, -0.35, 0.0])

    assert length * 1e3 == pytest.approx([1148, 1148, 1200], abs=0.5)


def test_lesson_05_a_rail_12_mm_back_makes_diagonals_19_mm_apart():
    # sqrt(1412^2 + 1100^2) - sqrt(1388^2 + 1100^2) = 18.9 mm, and back to 12.0 mm.
    pair = diagonals_of_skew(0.012, length=1.4, width=1.1)

    assert pair.from_right_front == pytest.approx(np.sqrt(1.412**2 + 1.1**2), rel=1e-12)
    assert pair.difference * 1e3 == pytest.approx(18.9, abs=0.05)
    assert skew_of_diagonals(pair, length=1.4) * 1e3 == pytest.approx(12.0, abs=1e-9)


def test_lesson_05_diamond_and_one_sided_mash_differ_in_length_not_in_diagonals():
    # The contrasting pair: 12 mm of each on a box of 1400 x 1100 mm. One-sided mash
    # pulls back one corner, so its difference is half as large and a length changes.
    corners = np.array(
        [[1.4, 0.55, 0.3], [1.4, -0.55, 0.3], [0, 0.55, 0.3], [0, -0.55, 0.3]]
    )
    frame = DamageFrame(hinge_x=0.0, front_x=1.4, width=1.1, mash_side="left")

    diamond = corners + damage_field(
        corners, sizes=DamageSizes(diamond=0.012), frame=frame
    )
    mash = corners + damage_field(corners, sizes=DamageSizes(mash=0.012), frame=frame)

    names = ("left_front", "right_front", "left_rear", "right_rear")
    apart = [
        diagonals_of_points(**dict(zip(names, body, strict=True))).difference * 1e3
        for body in (diamond, mash)
    ]
    lengths = [(body[0] - body[2])[0] * 1e3 for body in (diamond, mash)]
    # 12 mm of one corner: sqrt(1400^2 + 1100^2) - sqrt(1388^2 + 1100^2) = 9.4 mm.
    assert apart == pytest.approx([18.9, 9.4], abs=0.05)
    assert lengths == pytest.approx([1400, 1388], abs=1e-9)


def test_lesson_05_twist_is_the_front_against_the_rear():
    # 18 mm at the front less -4 mm at the rear over 1200 mm: arctan(22/1200).
    angle = twist_angle(0.018, rear_difference=-0.004, width=1.2)

    assert np.degrees(angle) == pytest.approx(np.degrees(np.arctan(22 / 1200)))


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: length_along_datum(0.3, rise=0.35), "300 mm cannot join points 350"),
        (lambda: height_without_tilt(0.3, x=1, nose_up=1.6), "less than 90 degrees"),
        (lambda: height_without_tilt(np.nan, x=1, nose_up=0), "height must be a num"),
        (lambda: diagonals_of_skew(0.01, length=0, width=1), "length 0 mm must be"),
        (lambda: twist_angle(0.01, rear_difference=0, width=0), "more than 0 mm"),
        (
            lambda: skew_of_diagonals(
                Diagonals(
                    from_left_front=np.asarray(1.0), from_right_front=np.asarray(3.0)
                ),
                length=1.0,
            ),
            "do not belong to sides of 1000 mm",
        ),
    ],
)
def test_readings_that_cannot_be_are_refused_with_the_reason(ask, sentence):
    with pytest.raises(OutOfRangeError, match=sentence):
        ask()
