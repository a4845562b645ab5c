"""Diagonals and shear of a distorted plate against Hibbeler's problems on strain."""

import numpy as np
import pytest

from workbook.mechanics.survey.damage import DamageFrame, read_damage
from workbook.mechanics.survey.tapes import diagonals_of_points

BOOK = "Hibbeler, Mechanics of Materials"
# Mechanics of Materials, 8th ed., problems 2-16 to 2-18 (from memory): a plate of
# 400 x 300 mm, D stays, A goes 3 mm right and 2 up, B 5 right and 4 up, C 2 right and
# 2 up. Printed: shear strain 0.0116 at A and at B, strain of the diagonal AC 0.00160,
# of DB 0.0128.
PLATE = np.array([[0.4, 0, 0], [0.4, 0.3, 0], [0, 0.3, 0], [0, 0, 0]])  # A, B, C, D
MOVED = 1e-3 * np.array([[3, 2, 0], [5, 4, 0], [2, 2, 0], [0, 0, 0]])


def diagonals(corners):
    a, b, c, d = corners
    return diagonals_of_points(left_front=b, right_front=a, left_rear=c, right_rear=d)


@pytest.mark.kind("diagonals_of_points", "diagonals of a distorted plate", BOOK)
def test_the_diagonals_of_a_plate_stretch_as_printed():
    before, after = diagonals(PLATE), diagonals(PLATE + MOVED)

    along_db = after.from_left_front / before.from_left_front - 1
    along_ac = after.from_right_front / before.from_right_front - 1

    # 506.4 - 500 and 500.8 - 500, over 500, as they are printed.
    assert along_db == pytest.approx(0.0128, abs=5e-5)
    assert along_ac == pytest.approx(0.00160, abs=5e-6)


@pytest.mark.kind("read_damage", "shear of a plate", BOOK)
def test_the_shear_of_a_plate_is_its_diamond_over_its_width():
    middle = PLATE - PLATE.mean(axis=0)
    frame = DamageFrame(hinge_x=-0.2, front_x=0.2, width=0.3)

    reading = read_damage(
        middle,
        differences=MOVED,
        frame=frame,
        kinds=["mash", "diamond"],
        free_motion=True,
    )

    # The plate turns too: to the first order its shear is 2/300 + 2/400 = 0.01167. The
    # book takes angles between stretched sides, 0.7 % less.
    assert -reading.sizes.diamond / 0.3 == pytest.approx(0.0116, rel=0.01)
