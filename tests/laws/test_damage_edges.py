"""Edges of reading damage: the last value that passes, and the first that does not."""

from dataclasses import replace

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.survey.damage import (
    SHORTEST_ZONE,
    DamageFrame,
    DamageSizes,
    damage_basis,
    damage_field,
)
from workbook.mechanics.survey.least_squares import weighted_least_squares
from workbook.mechanics.survey.sides import Sides
from workbook.mechanics.survey.tapes import (
    Diagonals,
    diagonals_of_skew,
    left_right_difference,
    length_along_datum,
    skew_of_diagonals,
)

SQUARE = np.array([[0, 0.5, 0], [1, 0.5, 0.1], [1, -0.5, 0], [0, -0.5, 0.2], [2, 0, 0]])
FRAME = DamageFrame(hinge_x=0.2, front_x=1.2, width=1.0)
FARTHEST = 1e4  # m: a place farther off is a slip of the decimal point


def test_the_first_tape_that_is_too_short_is_quoted():
    with pytest.raises(OutOfRangeError) as refusal:
        length_along_datum([2.0, 0.3, 0.1], rise=[0.5, 0.4, 0.9])

    assert refusal.value.values == {"tape": 0.3, "apart": 0.4}


@pytest.mark.parametrize(("left", "right"), [(5.0, 8.0), (8.0, 5.0)])
def test_diagonals_that_belong_to_no_box_are_quoted_by_their_difference(left, right):
    with pytest.raises(OutOfRangeError) as refusal:
        skew_of_diagonals(
            Diagonals(from_left_front=left, from_right_front=right), length=1.0
        )

    assert refusal.value.values["apart"] == pytest.approx(3.0)


def test_sides_may_be_as_unlike_by_design_as_the_tolerance_and_no_more():
    left = np.array([1.0, 0.5, 0.3])
    mirror = left * [1, -1, 1]

    for tolerance, how in ((0.5e-3, {}), (2e-3, {"symmetry_tolerance": 2e-3})):
        near, far = (mirror + np.array([tolerance * by, 0, 0]) for by in (0.999, 1.001))
        left_right_difference(
            left, right=mirror, specified_left=left, specified_right=near, **how
        )
        with pytest.raises(OutOfRangeError, match="by design"):
            left_right_difference(
                left, right=mirror, specified_left=left, specified_right=far, **how
            )


def test_a_size_of_damage_is_a_length_of_this_world():
    damage_field(SQUARE, sizes=DamageSizes(mash=1e4), frame=FRAME)
    for size in (1.001e4, -1.001e4, np.nan):
        with pytest.raises(OutOfRangeError):
            damage_field(SQUARE, sizes=DamageSizes(sag=size), frame=FRAME)


def test_no_minus_stands_before_nothing():
    basis = damage_basis(np.array([[0.2, 0.0, 0.0], [-1, 0.0, 0.0]]), frame=FRAME)

    assert not np.any(np.signbit(basis[basis == 0]))


def test_a_side_stands_alone_only_where_it_differs_from_the_other():
    clear_but_alike = Sides(
        left=1.0e-2,
        right=0.8e-2,
        left_error=3e-3,
        right_error=3e-3,
        difference_error=4e-3,
    )
    apart = replace(clear_but_alike, right=-0.8e-2)

    assert clear_but_alike.only is None
    assert apart.differ
    assert apart.only == "left"


def test_planes_of_damage_may_be_as_near_and_as_far_as_the_limits():
    # 10 mm to 10 km between any two of its planes.
    least = SHORTEST_ZONE
    near = {"hinge_x": 0.0, "front_x": 2 * least, "width": least, "sag_low_x": least}
    far = {"hinge_x": -FARTHEST, "front_x": 0.0, "width": FARTHEST}
    DamageFrame(**near)
    DamageFrame(**far)

    for wrong in (
        {**near, "width": 0.999 * least},
        {**near, "sag_low_x": 0.999 * least},
        {**near, "sag_low_x": 1.001 * least},
        {**near, "sag_low_x": None, "front_x": 0.999 * least},
        {**far, "width": 1.001 * FARTHEST},
        {**far, "front_x": 0.001 * FARTHEST},
        {**far, "hinge_x": 1.001 * FARTHEST, "front_x": 1.5 * FARTHEST},
        {**far, "hinge_x": -1.001 * FARTHEST, "front_x": -0.5 * FARTHEST},
    ):
        with pytest.raises(OutOfRangeError):
            DamageFrame(**wrong)


@pytest.mark.parametrize("sign", [1, -1])
def test_what_no_survey_can_read_does_not_stand_out(sign):
    # A tenth of a millimetre, however small the scatter.
    sides = Sides(
        left=0.0, right=0.0, left_error=0.0, right_error=0.0, difference_error=0.0
    )

    assert not replace(sides, left=sign * 0.99e-4).differ
    assert replace(sides, left=sign * 1.01e-4).only == "left"
    assert replace(sides, right=sign * 1.01e-4).only == "right"


@pytest.mark.parametrize(
    ("column", "weights"), [([0.0] * 4, [1.0] * 4), ([1.0] * 4, [0.0] * 4)]
)
def test_a_kind_that_nothing_shows_is_refused_by_its_name(column, weights):
    with pytest.raises(OutOfRangeError) as refusal:
        weighted_least_squares(
            np.array([column]).T,
            observed=np.zeros(4),
            weights=np.array(weights),
            names=["damage.sag"],
        )
    assert refusal.value.reason == "damage.unseen"
    assert refusal.value.values == {"kinds": ["damage.sag"]}


@pytest.mark.parametrize(("least", "told"), [(0.012, False), (0.009, True)])
def test_columns_are_told_apart_down_to_a_hundredth(least, told):
    # Two columns of unit length with the product c: least singular value root(1 - c).
    product = 1 - least**2
    design = np.zeros((4, 2))
    design[0], design[1, 1] = [1, product], np.sqrt(1 - product**2)
    how = {
        "observed": np.zeros(4),
        "weights": np.ones(4),
        "names": ["damage.sag", "damage.twist"],
    }

    if not told:
        weighted_least_squares(design, **how)
        return
    with pytest.raises(OutOfRangeError) as refusal:
        weighted_least_squares(design, **how)
    assert refusal.value.values == {"some": ["damage.sag"], "last": "damage.twist"}


@pytest.mark.parametrize(
    ("part", "mixed"), [(0.25, ["mash", "sag", "twist"]), (0.15, ["sag", "twist"])]
)
def test_kinds_that_cancel_are_named_down_to_a_fifth_of_the_largest(part, mixed):
    # Twist is all of sag and a part of mash; for unit columns 0.243 and 0.148 of it.
    first, second = np.eye(5)[:2]
    design = np.column_stack([first, second, -part * first - second])

    with pytest.raises(OutOfRangeError) as refusal:
        weighted_least_squares(
            design,
            observed=np.zeros(5),
            weights=np.ones(5),
            names=["mash", "sag", "twist"],
        )
    values = refusal.value.values
    assert [*values["some"], values["last"]] == mixed


def test_a_size_stands_out_from_three_standard_errors_and_a_tenth_of_a_millimetre():
    sides = Sides(
        left=0.0, right=0.0, left_error=1e-3, right_error=1e-3, difference_error=1e-3
    )

    assert replace(sides, left=2.9e-3).only is None
    assert replace(sides, left=3.1e-3).only == "left"
    assert replace(sides, right=-3.1e-3).only == "right"
    sure = replace(sides, left_error=0.0, right_error=0.0, difference_error=0.0)
    # Exactly that much is nothing yet.
    assert replace(sure, left=1e-4).only is None
    assert not replace(sure, left=1e-4).differ
    assert not replace(sides, left=3.0 * 1e-3).differ


def test_diagonals_may_differ_by_all_that_a_box_allows():
    # 2.5 and 1.5 m: squares 6.25 and 2.25, apart by 4 times the square of 1 m.
    widest = Diagonals(from_right_front=2.5, from_left_front=1.5)

    assert skew_of_diagonals(widest, length=1.0) == pytest.approx(1.0)
    with pytest.raises(OutOfRangeError) as refusal:
        skew_of_diagonals(widest, length=[1.0, np.nextafter(1.0, 0)])
    assert refusal.value.values == {"apart": 1.0, "side": np.nextafter(1.0, 0)}


@pytest.mark.parametrize("sign", [1, -1])
def test_readings_of_damage_may_be_as_far_off_as_the_limit(sign):
    far = np.array([[sign * FARTHEST, 0, 0], [0, sign * FARTHEST, 0], [0, 0, 1.0]])

    damage_field(far, sizes=DamageSizes(mash=0.01), frame=FRAME)
    for row, axis in ((0, 0), (1, 1)):
        wrong = far.copy()
        wrong[row, axis] *= 1.001
        with pytest.raises(OutOfRangeError) as refusal:
            damage_field(wrong, sizes=DamageSizes(mash=0.01), frame=FRAME)
        assert refusal.value.values["number"] == row + 1
        assert refusal.value.values["axis"] == "xyz"[axis]
        assert refusal.value.values["value"] == wrong[row, axis]


@pytest.mark.parametrize("bad", [0.0, -0.5])
def test_one_length_of_nothing_among_many_is_told(bad):
    for given in (
        {"length": [1.0, bad], "width": 1.0},
        {"length": 1.0, "width": [1.0, bad]},
    ):
        with pytest.raises(OutOfRangeError) as refusal:
            diagonals_of_skew(0.01, **given)
        assert refusal.value.reason == "registration.length"
        assert refusal.value.values["value"] == bad
    for given in ((bad, 2.0, 1.0), (2.0, bad, 1.0), (2.0, 2.0, bad)):
        right, left, length = given
        with pytest.raises(OutOfRangeError) as refusal:
            skew_of_diagonals(
                Diagonals(from_right_front=right, from_left_front=left), length=length
            )
        assert refusal.value.reason == "registration.length"


def test_of_many_diagonals_those_farthest_apart_are_quoted():
    many = Diagonals(from_right_front=[1.2, 2.5, 1.2], from_left_front=[1.1, 1.5, 1.1])

    with pytest.raises(OutOfRangeError) as refusal:
        skew_of_diagonals(many, length=[0.9, 0.5, 0.8])
    assert refusal.value.values == {"apart": 1.0, "side": 0.5}
