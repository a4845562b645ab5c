"""What must hold for any wrench, whatever the numbers."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.holding.wrenches import (
    central_axis,
    line_of_action,
    moment_about_line,
    moved_wrench,
    net_wrench,
)

NUMBERS = st.floats(-1e4, 1e4).map(lambda x: round(x, 3))


@pytest.mark.parametrize("seed", range(20))
def test_the_central_axis_carries_the_whole_wrench(seed):
    rng = np.random.default_rng(seed)
    wrench, about = rng.normal(size=6), rng.normal(size=3)

    axis = central_axis(wrench, about=about)

    on_axis = np.concatenate(
        [axis.force * axis.direction, axis.couple * axis.direction]
    )
    assert moved_wrench(on_axis, from_point=axis.point, to_point=about) == (
        pytest.approx(wrench, rel=1e-9)
    )
    assert np.dot(axis.point - about, axis.direction) == pytest.approx(0, abs=1e-9)
    assert axis.pitch * axis.force == pytest.approx(float(axis.couple))


@pytest.mark.parametrize("seed", range(5))
def test_the_central_axis_crosses_a_plane_on_both(seed):
    rng = np.random.default_rng(seed)
    axis = central_axis(rng.normal(size=(4, 6)))
    point, normal = rng.normal(size=3), rng.normal(size=3)

    crossing = axis.crossing(point=point, normal=normal)

    assert (crossing - point) @ normal == pytest.approx(np.zeros(4), abs=1e-9)
    beside = np.cross(crossing - axis.point, axis.direction)
    assert beside == pytest.approx(np.zeros((4, 3)), abs=1e-9)


def test_a_central_axis_along_the_plane_does_not_cross_it():
    axis = central_axis([0, 10, 0, 0, 0, 5])

    with pytest.raises(OutOfRangeError, match="runs along the plane"):
        axis.crossing(point=[0, 0, 0], normal=[0, 0, 1])
    with pytest.raises(OutOfRangeError, match="the plane has no direction"):
        axis.crossing(point=[0, 0, 0], normal=[0, 0, 0])


def test_the_central_axis_does_not_depend_on_the_moment_point():
    rng = np.random.default_rng(7)
    forces, points = rng.normal(size=(2, 5, 3))

    here = central_axis(net_wrench(forces, points=points))
    there = central_axis(net_wrench(forces, points=points, about=[3, -1, 2]))
    seen = central_axis(
        net_wrench(forces, points=points, about=[3, -1, 2]), about=[3, -1, 2]
    )

    assert there.pitch == pytest.approx(here.pitch)
    assert np.cross(seen.point - here.point, here.direction) == (
        pytest.approx(np.zeros(3), abs=1e-9)
    )


def test_two_pulls_in_one_plane_act_as_one_through_their_crossing():
    pulls = [[10, 5, 0], [-2, 8, 0]]

    axis = line_of_action(net_wrench(pulls, points=[[1, 1, 0.5], [1, 1, 0.5]]))

    assert np.cross(np.array([1, 1, 0.5]) - axis.point, axis.direction) == (
        pytest.approx(np.zeros(3), abs=1e-12)
    )
    assert float(axis.force) == pytest.approx(np.hypot(8, 13))


def test_wrenches_of_a_batch_are_those_of_its_members():
    rng = np.random.default_rng(3)
    forces, points = rng.normal(size=(2, 4, 2, 6, 3))

    batch = net_wrench(forces, points=points)

    assert batch.shape == (4, 2, 6)
    assert batch[2, 1] == pytest.approx(net_wrench(forces[2, 1], points=points[2, 1]))
    assert central_axis(batch).point[2, 1] == (
        pytest.approx(central_axis(batch[2, 1]).point)
    )


def test_a_force_has_no_moment_about_a_line_it_meets_or_runs_along():
    wrench = net_wrench([[3, 4, 5]], points=[[1, 2, 3]])

    meeting = moment_about_line(wrench, point=[1, 2, 3], direction=[0, 1, 1])
    along = moment_about_line(wrench, point=[9, 9, 9], direction=[3, 4, 5])

    assert float(meeting) == pytest.approx(0, abs=1e-12)
    assert float(along) == pytest.approx(0, abs=1e-12)


def test_a_pure_couple_is_refused_with_its_size():
    couple = net_wrench([[10, 0, 0], [-10, 0, 0]], points=[[0, 1, 0], [0, -1, 0]])

    with pytest.raises(OutOfRangeError, match=r"a couple of 20 N m"):
        central_axis(couple)


def test_a_couple_left_by_rounding_is_still_refused_as_a_couple():
    pulls = [[0.1, 0, 0], [0.2, 0, 0], [-0.3, 0, 0]]  # sums to 5.6e-17

    with pytest.raises(OutOfRangeError, match="a couple of"):
        central_axis(net_wrench(pulls, points=[[0, 1, 0], [0, 2, 0], [0, -1, 0]]))


def test_pulls_that_cancel_altogether_have_no_line():
    with pytest.raises(OutOfRangeError, match="cancel altogether"):
        central_axis(np.zeros(6))


def test_pulls_that_twist_about_their_own_line_are_no_one_force():
    with pytest.raises(OutOfRangeError, match=r"turn the body by 4 N m"):
        line_of_action([2, 0, 0, 4, 0, 0])


def test_a_direction_of_no_length_and_a_hole_in_the_data_are_refused():
    with pytest.raises(OutOfRangeError, match="no direction"):
        moment_about_line(np.ones(6), point=[0, 0, 0], direction=[0, 0, 0])
    with pytest.raises(OutOfRangeError, match="finite number"):
        net_wrench([[1, np.nan, 0]], points=[[0, 0, 0]])
    with pytest.raises(OutOfRangeError, match="last axis needs 6"):
        central_axis([1, 2, 3])


@settings(max_examples=150, deadline=None)
@given(arrays(float, 6, elements=NUMBERS))
def test_a_wrench_reduces_to_finite_numbers_or_is_refused(wrench):
    try:
        axis = central_axis(wrench)
    except WorkbookError:
        assert norm_of(wrench[:3]) <= norm_of(wrench[3:]) / 1e6
        return

    rebuilt = np.concatenate(
        [axis.force * axis.direction, axis.couple * axis.direction]
    )
    assert moved_wrench(rebuilt, from_point=axis.point, to_point=np.zeros(3)) == (
        pytest.approx(wrench, rel=1e-9, abs=1e-6)
    )


def norm_of(vector):
    return float(np.linalg.norm(vector))


def test_of_many_wrenches_those_without_a_line_are_masked():
    two = [[0, 0, 10, 0, -20, 5], [0, 0, 0, 3, 4, 0], np.zeros(6), [5, 0, 0, 0, 0, 0]]

    axes = central_axis(two)

    assert np.isnan(axes.point).all(axis=-1).tolist() == [False, True, True, False]
    for name in ("force", "couple", "pitch"):
        assert np.isnan(getattr(axes, name)).tolist() == [False, True, True, False]
    assert np.isnan(axes.direction[1:3]).all()
    assert axes.point[0] == pytest.approx(central_axis(two[0]).point)


def test_a_single_couple_is_quoted_as_it_is():
    with pytest.raises(OutOfRangeError, match=r"a couple of 5 N m"):
        central_axis([0, 0, 0, 3, 4, 0])


def test_of_many_wrenches_those_that_also_turn_have_no_line_of_action():
    many = [[0, 0, 10, 0, -20, 5], [0, 0, 10, 0, -20, 0], [0, 0, 10, 0, -20, -7]]

    lines = line_of_action(many)

    for name in ("point", "direction", "force", "couple", "pitch"):
        gone = np.isnan(getattr(lines, name)).reshape(3, -1)
        assert gone.all(axis=1).tolist() == [True, False, True]
    with pytest.raises(OutOfRangeError, match=r"turn the body by 7 N m"):
        line_of_action(many[2])


def test_of_many_axes_those_along_the_plane_cross_it_nowhere():
    axes = central_axis([[0, 10, 0, 0, 0, 5], [0, 0, 10, 0, -20, 5]])

    crossing = axes.crossing(point=[0, 0, 0.5], normal=[0, 0, 1])

    assert np.isnan(crossing[0]).all()
    assert crossing[1] == pytest.approx([2.0, 0.0, 0.5])
