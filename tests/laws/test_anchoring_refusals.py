"""Bodies that their supports leave free, and layouts that cannot be."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import net_wrench

CORNERS = np.array([[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]])


@pytest.mark.parametrize("size", [1e-3, 1, 1e3])
def test_clamps_on_one_line_cannot_resist_a_twist_about_it(size):
    clamps = Clamps(
        positions=size * np.array([[0, 1, 2], [1, 1, 2], [3, 1, 2]]), stiffness=1e7
    )

    with pytest.raises(MechanismError, match=r"turns about the line .* along x;"):
        share_load(np.ones(6), clamps=clamps)


def test_the_line_of_a_free_turn_is_named_in_the_readers_units():
    clamps = Clamps(positions=[[0, 0.5, 0.2], [2, 0.5, 0.2]], stiffness=1e7)

    with pytest.raises(MechanismError) as refusal:
        share_load(np.ones(6), clamps=clamps)

    assert "through x = 1 m, y = 0.5 m, z = 0.2 m along x" in str(refusal.value)
    assert refusal.value.values["motion"].values["y"] == pytest.approx(0.5)


def test_one_clamp_leaves_the_body_free_to_turn_three_ways():
    clamps = Clamps(positions=[[0.1, 0.1, 0.1]] * 3, stiffness=1e7)

    with pytest.raises(MechanismError) as refusal:
        share_load(np.ones(6), clamps=clamps)

    for axis in "xyz":
        assert f"along {axis}" in str(refusal.value)
    assert "slides" not in str(refusal.value)


def test_clamps_that_slide_along_the_sill_leave_the_body_free_along_it():
    clamps = Clamps(positions=CORNERS, stiffness=[0, 1e7, 1e7])

    with pytest.raises(MechanismError, match=r"free: it slides along x;"):
        share_load(np.ones(6), clamps=clamps)


def test_a_skew_slide_is_named_by_its_direction():
    turned = Rotation.from_euler("z", 30, degrees=True).as_matrix().T
    clamps = Clamps(positions=CORNERS, stiffness=[0, 1e7, 1e7], axes=turned)

    with pytest.raises(MechanismError, match=r"slides along \(0\.87, 0\.50, 0\.00\)"):
        share_load(np.ones(6), clamps=clamps)


@pytest.mark.parametrize(("radius", "slide"), [(1.0, "6.283"), (3.0, "18.85")])
def test_a_screw_motion_is_named_with_its_slide(radius, slide):
    # Slots across a radius, rising 1 in 1: the body can only screw about z.
    angles = np.radians([0, 120, 240])
    spots = np.column_stack([np.cos(angles), np.sin(angles), np.zeros(3)])
    around = np.column_stack([-np.sin(angles), np.cos(angles), np.zeros(3)])
    along_slot = (around + np.array([0, 0, 1])) / np.sqrt(2)
    axes = np.stack([along_slot, np.cross(spots, along_slot), spots], axis=1)
    clamps = Clamps(positions=radius * spots, stiffness=[0, 1e7, 1e7], axes=axes)

    with pytest.raises(MechanismError, match=f"along z, sliding {slide} m along it"):
        share_load(np.ones(6), clamps=clamps)


def test_smooth_stands_alone_leave_the_body_free_to_slide_and_to_yaw():
    prop = Clamps(positions=[[0, 0, 0]], stiffness=[0, 0, 1e7])
    stands = Stands(positions=CORNERS, stiffness=1e7)

    with pytest.raises(MechanismError, match=r"turns about .* along z") as refusal:
        share_load([0, 0, -1e3, 0, 0, 0], clamps=prop, stands=stands)

    assert "slides along x" in str(refusal.value)
    assert "slides along y" in str(refusal.value)


def test_a_pull_that_lifts_the_body_off_its_stands_is_refused_by_the_stand():
    # Front stands and rear clamps that slide upward freely: lifting the rear
    # tips the body off nothing; lifting the front tips it off the front stands.
    rear = Clamps(positions=CORNERS[2:], stiffness=[1e7, 1e7, 1e7])
    front = Stands(positions=CORNERS[:2], stiffness=1e7)
    lift_front = net_wrench([[0, 0, 2e3]], points=[[1.5, 0, 0]])

    with pytest.raises(MechanismError, match=r"lifts the body off stand 1 and 2") as no:
        share_load(lift_front, clamps=rear, stands=front)

    assert "x = -1 m, y = 0 m, z = 0 m along y" in str(no.value)
    assert str(no.value).count("turns") == 1


def test_clamps_nearly_in_line_do_not_count_as_holding_a_twist():
    spots = np.array([[0, 0, 0], [1, 0, 0], [2, 1e-8, 0]])
    clamps = Clamps(positions=spots, stiffness=1e7)

    with pytest.raises(MechanismError, match="along x;"):
        share_load(np.ones(6), clamps=clamps)
    held = share_load(np.ones(6), clamps=clamps, tolerance=1e-12)

    assert np.abs(held.clamp_forces).max() > 1e6


def test_clamps_in_one_place_but_for_rounding_count_as_one():
    spots = np.full((3, 3), 0.1)
    spots[[0, 1, 2], [0, 1, 2]] = np.nextafter(0.1, 1)
    clamps = Clamps(positions=spots, stiffness=1e7)

    with pytest.raises(MechanismError, match="turns about"):
        share_load(np.ones(6), clamps=clamps)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"stiffness": -1.0}, "stiffness -1 N/m must not be negative"),
        ({"stiffness": np.nan}, "stiffness"),
        ({"stiffness": [1e7, 1e7]}, "do not fit 4 supports"),
        ({"ratings": 0.0}, "rating 0 N must be more than zero"),
        ({"slip_limits": np.nan}, "slip limit nan N must be more than zero"),
        ({"axes": 2 * np.eye(3)}, "unit vectors at right angles"),
        ({"positions": [0, 0, 0]}, "give a row of x, y, z for each"),
        ({"positions": np.zeros((0, 3))}, "give a row of x, y, z for each"),
    ],
)
def test_clamps_that_cannot_be_are_refused(wrong, words):
    right = {"positions": CORNERS, "stiffness": 1e7}

    with pytest.raises(OutOfRangeError, match=words):
        Clamps(**right | wrong)


def test_supports_without_any_stiffness_are_refused():
    with pytest.raises(MechanismError, match="no support has any stiffness"):
        share_load(np.ones(6), clamps=Clamps(positions=CORNERS, stiffness=0))


def test_a_hole_in_the_load_is_refused():
    with pytest.raises(OutOfRangeError, match="wrench"):
        share_load(
            [1, 2, np.nan, 0, 0, 0], clamps=Clamps(positions=CORNERS, stiffness=1e7)
        )
