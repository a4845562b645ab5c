"""Damage of one side is not taken for damage that both sides share."""

from dataclasses import replace

import numpy as np
import pytest

from workbook.mechanics.survey.damage import (
    DamageFrame,
    DamageSizes,
    damage_field,
    read_damage,
)

BODY = np.array(
    [[x, side * 0.55, 0.3] for x in (-1.0, 0.2, 1.2, 1.5, 1.9, 2.2) for side in (1, -1)]
    + [[0.4, 0.0, 0.2], [2.0, 0.0, 0.4]]
)
FRAME = DamageFrame(hinge_x=1.2, front_x=2.2, width=1.1)
LEFT, RIGHT = (np.heaviside(sign * BODY[:, 1], 0.5)[:, None] for sign in (1, -1))


def field(**sizes):
    return damage_field(BODY, sizes=DamageSizes(**sizes), frame=FRAME)


def read(differences, seed=0, scatter=3e-4, **how):
    noise = np.random.default_rng(seed).normal(0, scatter, BODY.shape)
    return read_damage(BODY, differences=differences + noise, frame=FRAME, **how)


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("kind", ["mash", "sidesway", "sag"])
@pytest.mark.parametrize(("side", "share"), [("left", LEFT), ("right", RIGHT)])
def test_damage_made_on_one_side_is_read_on_that_side_only(kind, side, share, seed):
    sides = read(share * field(**{kind: 0.008}), seed=seed).sides[kind]

    damaged, whole = (sides.left, sides.right)[:: 1 if side == "left" else -1]
    assert sides.only == side
    assert damaged == pytest.approx(0.008, abs=5 * sides.left_error)
    assert whole == pytest.approx(0, abs=3 * sides.right_error + 1e-4)


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("kind", ["mash", "sidesway", "sag"])
def test_damage_of_both_sides_alike_is_of_neither_alone(kind, seed):
    sides = read(field(**{kind: 0.008}, twist=0.01, diamond=0.004), seed=seed).sides

    assert sides[kind].only is None
    assert abs(sides[kind].left - sides[kind].right) < 5 * sides[kind].difference_error


def test_both_sides_down_but_one_more_are_unlike_and_neither_alone():
    both = LEFT * field(sag=0.012) + RIGHT * field(sag=0.005)

    sag = read(both).sides["sag"]

    assert sag.differ
    assert sag.only is None
    assert (sag.left, sag.right) == pytest.approx((0.012, 0.005), abs=6e-4)


def test_rounding_makes_no_side_of_exact_readings():
    exact = read(field(mash=0.02, sidesway=0.006, sag=0.009, twist=0.01), scatter=0)

    for sides in exact.sides.values():
        assert not sides.differ
        assert sides.only is None


def test_the_two_sides_have_half_the_size_of_both_between_them():
    # One column is the sum of the two: for points in pairs the size of both is the
    # mean of the sides, and the difference carries the errors of both.
    reading = read(LEFT * field(sag=0.008), seed=3)
    sag = reading.sides["sag"]

    assert (sag.left + sag.right) / 2 == pytest.approx(reading.sizes.sag, rel=1e-6)
    assert sag.difference_error > max(sag.left_error, sag.right_error)


def test_a_mash_asked_for_on_one_side_is_not_divided():
    left = replace(FRAME, mash_side="left")
    bent = damage_field(BODY, sizes=DamageSizes(mash=0.02), frame=left)

    reading = read_damage(BODY, differences=bent, frame=left)

    assert set(reading.sides) == {"sidesway", "sag"}


def test_points_of_one_side_say_nothing_of_the_other():
    left = BODY[BODY[:, 1] > 0]

    reading = read_damage(
        left,
        differences=np.full_like(left, 1e-3),
        frame=FRAME,
        kinds=("sidesway", "sag"),
    )

    assert reading.sides == {}


def test_one_kind_alone_has_its_sides_too():
    reading = read(RIGHT * field(sag=-0.006), kinds=("sag",))

    assert reading.sides["sag"].only == "right"
    assert reading.sides["sag"].right == pytest.approx(-0.006, abs=1e-3)
