"""Laws of directions and the angles that name them."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from workbook.mechanics.vectors import (
    angle_between,
    direction,
    dot,
    norm,
    rise_of,
    side_angle_of,
    unit,
)

DEG = np.pi / 180
SEEDS = pytest.mark.parametrize("seed", range(6))


def vectors(seed, shape=(20,)):
    return np.random.default_rng(seed).normal(size=(*shape, 3))


@SEEDS
def test_a_direction_has_the_angles_it_was_made_from(seed):
    draw = np.random.default_rng(seed).uniform
    side, rise = draw(-np.pi, np.pi, 20), draw(-np.pi / 2, np.pi / 2, 20)

    made = direction(side_angle=side, rise=rise)

    assert side_angle_of(made) == pytest.approx(side)
    assert rise_of(made) == pytest.approx(rise)
    assert norm(made) == pytest.approx(np.ones(20))


@SEEDS
def test_a_direction_is_forward_turned_up_and_then_left(seed):
    # Referee: turns about the axes; y points left, so to rise is to turn down about y.
    side, rise = np.random.default_rng(seed).uniform(-1.5, 1.5, 2)

    turned = Rotation.from_euler("yz", [-rise, side]).apply([1, 0, 0])

    assert direction(side_angle=side, rise=rise) == pytest.approx(turned)


@pytest.mark.parametrize(
    ("vector", "side", "rise"),
    [
        ([2, 0, 0], 0, 0), ([0, 3, 0], 90, 0), ([0, -3, 0], -90, 0), ([0, 0, 4], 0, 90),
        ([-1, 0, 0], 180, 0), ([1, 1, 0], 45, 0), ([3, 4, 5], 53.130102, 45),
        ([1, 0, -1], 0, -45),
    ],
)  # fmt: skip
def test_side_angle_is_plus_to_the_left_and_rise_plus_upward(vector, side, rise):
    assert float(side_angle_of(vector)) / DEG == pytest.approx(side)
    assert float(rise_of(vector)) / DEG == pytest.approx(rise)


@SEEDS
def test_a_vector_is_its_length_times_its_direction(seed):
    v = vectors(seed)

    again = norm(v)[:, None] * direction(side_angle=side_angle_of(v), rise=rise_of(v))

    assert again == pytest.approx(v)
    assert norm(v)[:, None] * unit(v) == pytest.approx(v)
    assert dot(v, v) == pytest.approx(norm(v) ** 2)


@SEEDS
def test_angle_between_directions_keeps_when_both_turn(seed):
    a, b = vectors(seed), vectors(seed + 100)
    turn = Rotation.random(rng=seed)

    angle = angle_between(a, b)

    assert np.cos(angle) == pytest.approx(dot(unit(a), unit(b)))
    assert angle_between(turn.apply(a), turn.apply(b)) == pytest.approx(angle)
    assert angle_between(b, -3 * a) == pytest.approx(np.pi - angle)


@pytest.mark.parametrize("angle", [1e-12, 1e-8, 1e-3])
def test_a_small_angle_keeps_its_figures(angle):
    off = direction(side_angle=angle, rise=0.0)

    assert float(angle_between([1, 0, 0], off)) == pytest.approx(angle, rel=1e-9)
    assert np.pi - float(angle_between([-1, 0, 0], off)) == pytest.approx(
        angle, rel=1e-3
    )


@pytest.mark.parametrize("size", [1e-300, 1e-160, 1e160, 1e300])
def test_size_of_a_vector_does_not_change_its_direction(size):
    line = np.array([2.0, -3.0, 6.0])

    assert float(norm(line * size)) == pytest.approx(7 * size)
    assert unit(line * size) == pytest.approx(line / 7)
    assert float(angle_between(line * size, [1, 0, 0])) == pytest.approx(
        np.arccos(2 / 7)
    )


def test_no_vector_has_no_direction_and_no_number_stays_no_number():
    found = unit([[0, 0, 0], [0, 0, 2], [np.nan, 0, 1], [np.inf, 0, 0]])

    assert found[:2].tolist() == [[0, 0, 0], [0, 0, 1]]
    assert np.isnan(found[2:]).all()


def test_one_line_is_compared_with_many():
    many = vectors(1, shape=(3, 4))

    angles = angle_between([0, 0, 1], many)

    assert angles == pytest.approx(np.pi / 2 - rise_of(many))
    assert dot(many, [0, 0, 1]) == pytest.approx(many[..., 2])
