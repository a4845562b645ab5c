"""Laws of fixed rollers and bridles."""

import numpy as np
import pytest

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.pull.rigging import bridle, bridle_in_space, redirect
from workbook.mechanics.vectors import angle_between, unit
from workbook.quantities.units import INCH, METRIC

DEG = np.pi / 180
SEEDS = pytest.mark.parametrize("seed", range(8))


# --- bridle -----------------------------------------------------------------------


@SEEDS
def test_bridle_legs_are_those_of_least_squares(seed):
    draw = np.random.default_rng(seed).uniform
    left, right = draw(5, 85, 2) * DEG
    pull = draw(1e3, 50e3)
    # The pull runs along -x at the ring; the legs run back on either side of x.
    legs = np.array([[np.cos(left), np.cos(right)], [np.sin(left), -np.sin(right)]])

    referee, left_over, *_ = np.linalg.lstsq(legs, [pull, 0.0])
    found = bridle(pull, angle_left=left, angle_right=right)

    assert left_over == pytest.approx(0, abs=1e-9)
    assert [float(found.left), float(found.right)] == pytest.approx(referee)


@SEEDS
def test_turned_over_bridle_changes_its_legs(seed):
    left, right = np.random.default_rng(seed).uniform(5, 85, 2) * DEG

    one = bridle(20e3, angle_left=left, angle_right=right)
    other = bridle(20e3, angle_left=right, angle_right=left)

    assert float(one.left) == pytest.approx(float(other.right))
    assert float(one.right) == pytest.approx(float(other.left))


@SEEDS
def test_leg_nearer_the_line_of_pull_carries_more(seed):
    draw = np.random.default_rng(seed).uniform
    near, far = draw(5, 40) * DEG, draw(45, 85) * DEG

    legs = bridle(20e3, angle_left=near, angle_right=far)

    assert legs.left > legs.right


def test_even_bridle_follows_half_the_angle_between_its_legs():
    between = np.linspace(10, 170, 17) * DEG

    legs = bridle(24e3, angle_left=between / 2, angle_right=between / 2)

    # Symmetry: twice the part of a leg along the pull is the pull.
    assert legs.left == pytest.approx(24e3 / (2 * np.cos(between / 2)))
    assert legs.right == pytest.approx(legs.left)
    assert np.all(np.diff(legs.left) > 0)


def test_each_leg_at_120_degrees_between_carries_the_whole_pull():
    legs = bridle(10e3, angle_left=60 * DEG, angle_right=60 * DEG)

    assert (float(legs.left), float(legs.right)) == pytest.approx((10e3, 10e3))


def test_bridles_of_many_pulls_are_each_solved_as_alone():
    pulls = np.array([[5e3], [20e3]])
    angles = np.array([20, 40, 60]) * DEG

    many = bridle(pulls, angle_left=angles, angle_right=0.4)
    alone = bridle(20e3, angle_left=40 * DEG, angle_right=0.4)

    assert many.left.shape == many.right.shape == (2, 3)
    assert float(many.left[1, 1]) == pytest.approx(float(alone.left))
    assert float(many.right[1, 1]) == pytest.approx(float(alone.right))


@pytest.mark.parametrize(
    ("left", "right", "said"),
    [
        (90, 90, "180.0° between its legs the bridle is flat or beyond"),
        (100, 95, "195.0° between its legs the bridle is flat or beyond"),
        (0, 40, "0.0° and 40.0° must be above zero"),
        (40, -5, "40.0° and −5.0° must be above zero"),
        (np.nan, 40, "must be above zero"),
        (40, np.inf, "the bridle is flat or beyond"),
    ],
)
def test_legs_that_cannot_balance_a_pull_are_refused(left, right, said):
    with pytest.raises(MechanismError) as refused:
        bridle(10e3, angle_left=left * DEG, angle_right=right * DEG)

    assert said in refused.value.spoken(METRIC.show)


@pytest.mark.parametrize(
    ("pull", "metric", "inch"),
    [
        (-5e3, "−5.0 kN must be finite", "−1124 lbf must be finite"),
        (np.nan, "nan kN must be finite", "nan lbf must be finite"),
        (np.inf, "inf kN must be finite", "inf lbf must be finite"),
    ],
)
def test_pull_that_no_chain_can_give_is_refused(pull, metric, inch):
    with pytest.raises(OutOfRangeError) as on_bridle:
        bridle([1e3, pull], angle_left=0.5, angle_right=0.5)
    with pytest.raises(OutOfRangeError) as on_roller:
        redirect([1e3, pull], run_a=[1, 0, 0], run_b=[0, 0, 1])

    for refused in (on_bridle.value, on_roller.value):
        assert metric in refused.spoken(METRIC.show)
        assert inch in refused.spoken(INCH.show)


# --- redirect ---------------------------------------------------------------------


@SEEDS
def test_roller_carries_the_sum_of_its_two_runs(seed):
    rng = np.random.default_rng(seed)
    run_a, run_b = rng.normal(size=(2, 5, 3))
    tension = rng.uniform(1e3, 40e3, 5)

    turned = redirect(tension, run_a=run_a, run_b=run_b)

    for k in range(5):
        pull_a = tension[k] * run_a[k] / np.linalg.norm(run_a[k])
        pull_b = tension[k] * run_b[k] / np.linalg.norm(run_b[k])
        assert turned.anchor_force[k] == pytest.approx(pull_a + pull_b)
        assert float(turned.anchor_load[k]) == pytest.approx(
            np.linalg.norm(pull_a + pull_b)
        )


@SEEDS
def test_roller_anchor_carries_twice_the_tension_by_half_the_angle(seed):
    run_a, run_b = np.random.default_rng(seed).normal(size=(2, 3))

    turned = redirect(15e3, run_a=run_a, run_b=run_b)

    half = float(turned.between_runs) / 2
    assert np.cos(2 * half) == pytest.approx(unit(run_a) @ unit(run_b))
    assert float(turned.anchor_load) == pytest.approx(2 * 15e3 * np.cos(half))
    assert float(angle_between(turned.anchor_force, run_a)) == pytest.approx(half)


@pytest.mark.parametrize(
    ("between", "share"), [(0, 2), (60, 1.7320508), (90, 1.4142136), (120, 1), (180, 0)]
)
def test_roller_load_falls_from_twice_the_tension_to_nothing(between, share):
    away = [np.cos(between * DEG), np.sin(between * DEG), 0]

    turned = redirect(10e3, run_a=[2, 0, 0], run_b=away)

    assert float(turned.anchor_load) == pytest.approx(share * 10e3, abs=1e-3)


@pytest.mark.parametrize("run", [[0, 0, 0], [np.nan, 0, 1], [0, np.inf, 0]])
def test_run_without_a_direction_is_refused(run):
    with pytest.raises(OutOfRangeError, match="A run from the roller has no direction"):
        redirect(10e3, run_a=[1, 0, 0], run_b=run)
    with pytest.raises(OutOfRangeError, match="A run from the roller has no direction"):
        redirect(10e3, run_a=run, run_b=[1, 0, 0])


# --- bridle in space ----------------------------------------------------------------


@SEEDS
def test_bridle_in_space_balances_its_pull(seed):
    rng = np.random.default_rng(seed)
    tensions = rng.uniform(1e3, 30e3, 3)
    ring, clamps = rng.normal(size=3), rng.normal(size=(3, 3))
    legs = np.array([(c - ring) / np.linalg.norm(c - ring) for c in clamps])

    found = bridle_in_space(-legs.T @ tensions, ring=ring, clamps=clamps)

    assert found == pytest.approx(tensions, rel=1e-8)


@SEEDS
def test_bridle_in_space_is_the_flat_one_however_it_is_turned(seed):
    rng = np.random.default_rng(seed)
    left, right = rng.uniform(10, 80, 2) * DEG
    turn = np.linalg.qr(rng.normal(size=(3, 3)))[0]
    ends = [[-np.cos(left), np.sin(left), 0], [-np.cos(right), -np.sin(right), 0]]

    found = bridle_in_space(
        turn @ [20e3, 0, 0], ring=[0, 0, 0], clamps=3 * np.array(ends) @ turn.T
    )

    flat = bridle(20e3, angle_left=left, angle_right=right)
    assert found == pytest.approx([float(flat.left), float(flat.right)])


def test_pull_out_of_the_plane_of_two_legs_is_refused_with_what_is_left():
    with pytest.raises(MechanismError, match="would move the ring") as refused:
        bridle_in_space(
            [20e3, 0, 3e3], ring=[0, 0, 0], clamps=[[-1, 1, 0], [-1, -1, 0]]
        )

    assert "3.0 kN" in refused.value.spoken(METRIC.show)


def test_leg_that_would_push_is_refused():
    with pytest.raises(MechanismError, match="have to push"):
        bridle_in_space([20e3, 0, 0], ring=[0, 0, 0], clamps=[[-1, 1, 0], [-1, 2, 0]])


@pytest.mark.parametrize(
    ("clamps", "says"),
    [
        ([[0, 0, 0], [-1, 1, 0]], "needs a length"),
        ([[-1, 1, np.nan], [-1, -1, 0]], "finite"),
        ([[-1, 1, 0]] * 4, "not 4"),
    ],
)
def test_bridle_in_space_refuses_what_is_no_bridle(clamps, says):
    with pytest.raises(OutOfRangeError, match=says):
        bridle_in_space([20e3, 0, 0], ring=[0, 0, 0], clamps=clamps)


@pytest.mark.parametrize("bad", [np.nan, np.inf])
def test_bridle_in_space_refuses_a_pull_that_is_no_number(bad):
    with pytest.raises(OutOfRangeError, match="finite"):
        bridle_in_space([bad, 0, 0], ring=[0, 0, 0], clamps=[[-1, 1, 0], [-1, -1, 0]])
