"""Laws of stiff panels on pillars: what must hold whatever was hit."""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.survey.panels import LEFT, RIGHT, carried, corner_hit
from workbook.scenes.fields import starts
from workbook.scenes.hits import FIELDS, GAPS, STATIONS, HitCar, HitGiven, pillar

SEEDS = range(20)


def hit(**changes):
    given = {
        "stations": 5, "passed_on": 0.25, "depth": 0.01, "came_from": 0.4,
        "front": True, "left": True,
    }  # fmt: skip
    return corner_hit(**{**given, **changes})


def car(**values):
    return HitGiven(values={**starts(FIELDS), **values}).solved()


@pytest.mark.parametrize("seed", SEEDS)
def test_no_gap_changes_where_the_whole_car_moves_as_one(seed):
    # A small turn about any point and a shift of all pillars alike.
    rng = np.random.default_rng(seed)
    turn, shift = rng.normal(0, 1e-3), rng.normal(0, 0.02, size=2)
    at = np.array([[pillar(side, k) for k in range(5)] for side in ("left", "right")])
    moved = shift + turn * np.stack([-at[..., 1], at[..., 0]], axis=-1)

    stiff = HitCar(given=car().given, moved=moved)

    assert [float(stiff.changes[name]) for name in GAPS] == pytest.approx(
        [0.0] * len(GAPS), abs=1e-15
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_a_panel_keeps_its_lengths(seed):
    # To first order: lengths along every line of it are what they were.
    rng = np.random.default_rng(seed)
    points, mounts = rng.normal(size=(4, 2)), rng.normal(size=(2, 2))
    moved = rng.normal(0, 1e-3, size=(2, 2))

    gone = carried(points, fixed=mounts[0], led=mounts[1], moved=moved)

    for a in range(4):
        for b in range(a):
            line = points[a] - points[b]
            assert line @ (gone[a] - gone[b]) == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_panel_follows_both_its_mounts_but_along_the_line_between_them(seed):
    rng = np.random.default_rng(seed)
    mounts, moved = rng.normal(size=(2, 2)), rng.normal(0, 1e-3, size=(2, 2))

    first, second = carried(mounts, fixed=mounts[0], led=mounts[1], moved=moved)

    arm = mounts[1] - mounts[0]
    square = np.array([-arm[1], arm[0]])
    assert first == pytest.approx(moved[0])
    assert second @ square == pytest.approx(moved[1] @ square)
    assert second @ arm == pytest.approx(moved[0] @ arm)


def test_two_hits_do_what_each_does_alone():
    both = car(depth_mm=9, second_depth_mm=7, second_from_deg=-20)
    one, two = car(depth_mm=9), car(depth_mm=0, second_depth_mm=7, second_from_deg=-20)

    for name in GAPS:
        alone = one.changes[name] + two.changes[name]
        assert float(both.changes[name]) == pytest.approx(float(alone))


def test_twice_as_deep_moves_all_twice_as_far_and_no_depth_nothing():
    assert hit(depth=0.02) == pytest.approx(2 * hit(depth=0.01))
    assert not hit(depth=0.0).any()


def test_a_mirrored_hit_moves_mirrored_pillars():
    moved = hit(came_from=0.7)
    mirrored = hit(came_from=-0.7, left=False)

    assert mirrored[RIGHT] == pytest.approx(moved[LEFT] * (1, -1))
    assert mirrored[LEFT] == pytest.approx(moved[RIGHT] * (1, -1))


def test_a_hit_from_behind_is_one_from_ahead_turned_round():
    moved = hit(came_from=0.7)
    behind = hit(came_from=-0.7, front=False)

    assert behind[LEFT] == pytest.approx(moved[LEFT, ::-1] * (-1, -1))


def test_the_corner_goes_the_way_the_hit_ran():
    corner = hit(depth=0.01, came_from=np.radians(30))[LEFT, 0]

    assert corner == pytest.approx([-0.01 * np.cos(np.pi / 6), -0.005])


def test_cross_members_keep_their_length_to_first_order():
    moved = hit(came_from=np.linspace(-1, 1, 7))

    assert moved[:, LEFT, :, 1] == pytest.approx(moved[:, RIGHT, :, 1])


def test_each_pair_moves_a_share_of_the_pair_before():
    moved = hit(passed_on=0.3)

    assert moved[:, 1:] == pytest.approx(0.3 * moved[:, :-1])


def test_many_hits_at_once_are_as_each_alone():
    depth, came_from = np.array([0.0, 0.01, 0.02]), np.array([-1.0, 0.0, 0.5])

    many = hit(depth=depth, came_from=came_from, left=np.array([True, False, True]))

    for k, left in enumerate((True, False, True)):
        alone = hit(depth=depth[k], came_from=came_from[k], left=left)
        assert many[k] == pytest.approx(alone)


@pytest.mark.parametrize("share", [-0.1, 1.1, np.nan])
def test_a_pair_passes_on_no_more_than_all_and_no_less_than_nothing(share):
    with pytest.raises(OutOfRangeError, match="passes on"):
        hit(passed_on=share)


def test_the_stations_of_the_car_stand_from_nose_to_tail():
    assert (np.diff(STATIONS) < 0).all()
