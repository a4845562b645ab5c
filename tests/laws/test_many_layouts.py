"""Many layouts of clamps and stands at once: each as it would be alone."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.holding_pulls import pull_that_stops
from workbook.mechanics.holding.stiffness_centre import stiffness_centre
from workbook.mechanics.holding.supports import Clamps, Springs, Stands, one_layout
from workbook.mechanics.holding.wrenches import net_wrench

CORNERS = np.array([[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]])
NUMBERS = (
    "displacement",
    "clamp_forces",
    "clamp_moments",
    "stand_forces",
    "stand_pushes",
    "shares",
    "slip_shares",
    "governing",
    "lead",
)


def random_layouts(seed, shape, *, turning=False, stands=4):
    rng = np.random.default_rng(seed)
    clamps = {
        "positions": rng.uniform(-2, 2, (*shape, 3, 3)),
        "stiffness": rng.uniform(1e6, 1e8, (*shape, 3, 3)),
        "axes": Rotation.random(3 * int(np.prod(shape)), random_state=rng)
        .as_matrix()
        .reshape(*shape, 3, 3, 3),
        "ratings": rng.uniform(1e4, 5e4, (*shape, 3)),
        "slip_limits": rng.uniform(5e3, 5e4, (*shape, 3)),
    }
    if turning:
        clamps["turning_stiffness"] = rng.uniform(0, 1e7, (*shape, 3, 3))
    under = {
        "positions": rng.uniform(-2, 2, (*shape, stands, 3)),
        "normals": rng.normal(size=(*shape, stands, 3)),
        "stiffness": rng.uniform(1e6, 1e8, (*shape, stands)),
        "ratings": rng.uniform(1e4, 5e4, (*shape, stands)),
    }
    return clamps, under, rng.uniform(-1e4, 1e4, (*shape, 6))


def picked(values, place):
    return {name: array[place] for name, array in values.items()}


@pytest.mark.parametrize("turning", [False, True])
def test_many_layouts_are_what_each_is_alone(turning):
    shape, about = (3, 5), [0.3, -0.2, 0.1]
    clamps, under, loads = random_layouts(3, shape, turning=turning)

    many = share_load(
        loads, clamps=Clamps(**clamps), stands=Stands(**under), about=about
    )

    assert np.any(many.stand_pushes == 0)
    assert np.any(many.stand_pushes > 0)
    for place in np.ndindex(*shape):
        one = share_load(
            loads[place],
            clamps=Clamps(**picked(clamps, place)),
            stands=Stands(**picked(under, place)),
            about=about,
        )
        for name in NUMBERS:
            expected = pytest.approx(getattr(one, name), rel=1e-9, abs=1e-9)
            assert getattr(many, name)[place] == expected, name


def test_one_layout_under_many_loads_is_many_layouts_alike():
    clamps, under, loads = random_layouts(5, (6,))
    first, stands = picked(clamps, 0), picked(under, 0)
    alike = Clamps(**{n: np.stack([a] * 6) for n, a in first.items()})

    one = share_load(loads, clamps=Clamps(**first), stands=Stands(**stands))
    many = share_load(loads, clamps=alike, stands=Stands(**stands))

    for name in NUMBERS:
        assert getattr(many, name) == pytest.approx(getattr(one, name), rel=1e-9)


def test_one_load_meets_every_layout_and_layouts_broadcast_with_loads():
    widths = np.linspace(1.2, 1.7, 4)
    places = CORNERS * np.stack([1 + 0 * widths, widths, 0 * widths], -1)[:, None, :]
    clamps = Clamps(positions=places, stiffness=2e7)
    pulls = net_wrench(
        np.array([[24e3, 0, 0]]), points=np.array([[[2, 0.4, 0]], [[2, 0.0, 0]]])
    )

    held = share_load(pulls[:, None, :], clamps=clamps)

    assert held.clamp_forces.shape == (2, 4, 4, 3)
    assert held.displacement.shape == (2, 4, 6)
    alone = share_load(pulls[0], clamps=Clamps(positions=places[2], stiffness=2e7))
    assert held.clamp_forces[0, 2] == pytest.approx(alone.clamp_forces)
    assert held.clamp_forces[1, :, :, 0] == pytest.approx(np.full((4, 4), -6e3))


def test_stands_alone_may_be_many_layouts():
    # Six smooth stands, as a cube in a corner has; nothing else holds.
    corner = np.array(
        [[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 0], [1, 0, 0], [0, 0, 0]]
    )
    ways = [[0, 0, 1]] * 3 + [[0, 1, 0]] * 2 + [[1, 0, 0]]
    sizes = np.array([0.5, 1.0, 2.0])
    stands = Stands(
        positions=corner * sizes[:, None, None], normals=ways, stiffness=1e7
    )
    press = net_wrench(
        np.full((3, 1, 3), -1e3), points=sizes[:, None, None] * [[[0.2, 0.2, 0]]]
    )

    held = share_load(press, stands=stands)

    assert held.clamp_forces.shape == (3, 0, 3)
    assert held.stand_pushes.sum(axis=-1) == pytest.approx([3e3] * 3)
    assert held.stand_pushes[0] == pytest.approx(held.stand_pushes[2], rel=1e-9)


def test_of_many_layouts_those_that_are_free_have_no_numbers():
    in_line = np.array([[0, 0, 0], [1, 0, 0], [2, 0, 0], [3, 0, 0]])
    stiffness = np.full((3, 4, 3), 2e7)
    stiffness[2] = 0.0
    clamps = Clamps(positions=[CORNERS, in_line, CORNERS], stiffness=stiffness)

    held = share_load([24e3, 0, 0, 1e3, 0, 0], clamps=clamps)

    assert np.isfinite(held.clamp_forces[0]).all()
    for name in ("clamp_forces", "displacement", "shares", "slip_shares"):
        assert np.isnan(getattr(held, name)[1:]).all(), name
    assert held.clamp_forces[0].sum(axis=0) == pytest.approx([-24e3, 0, 0])


def test_a_layout_too_small_to_hold_a_body_is_free_among_many():
    pin = Clamps(positions=[[[0, 0, 0]], [[1, 0, 0]]], stiffness=1e7)

    assert np.isnan(share_load(np.ones(6), clamps=pin).clamp_forces).all()
    with pytest.raises(MechanismError):
        share_load(np.ones(6), clamps=Clamps(positions=[[0, 0, 0]], stiffness=1e7))


def test_of_many_layouts_those_that_lift_off_have_no_numbers():
    # Rear clamps in one line and front stands: a lift ahead tips the body off the
    # stands, a press does not; and one layout alone says so.
    rear = Clamps(positions=[CORNERS[2:]] * 2, stiffness=1e7)
    front = Stands(positions=[CORNERS[:2]] * 2, stiffness=1e7)
    loads = net_wrench([[[0, 0, 2e3]], [[0, 0, -2e3]]], points=[[[1.5, 0, 0]]] * 2)

    held = share_load(loads, clamps=rear, stands=front)

    assert np.isnan(held.clamp_forces[0]).all()
    assert np.isnan(held.stand_pushes[0]).all()
    assert held.stand_pushes[1] == pytest.approx([1.25e3, 1.25e3])
    with pytest.raises(MechanismError, match="lifts the body off stand"):
        share_load(
            loads[0],
            clamps=Clamps(positions=CORNERS[2:], stiffness=1e7),
            stands=Stands(positions=CORNERS[:2], stiffness=1e7),
        )


def test_layouts_and_loads_that_do_not_fit_are_refused():
    two = Clamps(positions=[CORNERS] * 2, stiffness=1e7)
    three = Stands(positions=[CORNERS] * 3, stiffness=1e7)

    with pytest.raises(OutOfRangeError, match="one layout, or as many of each"):
        share_load(np.ones(6), clamps=two, stands=three)
    with pytest.raises(OutOfRangeError, match=r"loads of shape \(3,\) do not fit"):
        share_load(np.ones((3, 6)), clamps=two)


def test_what_takes_one_layout_refuses_many():
    two = Clamps(positions=[CORNERS] * 2, stiffness=1e7)

    for call in (
        lambda: one_layout(two),
        lambda: stiffness_centre(two, normal=[0, 0, 1]),
        lambda: pull_that_stops(
            np.ones(6), clamps=two, hook=[1, 0, 0], direction=[-1, 0, 0]
        ),
    ):
        with pytest.raises(OutOfRangeError, match="this takes one at a time"):
            call()


def test_springs_of_one_of_many_layouts_are_those_of_it_alone():
    clamps, under, _ = random_layouts(8, (4,))
    many = Springs.of(Clamps(**clamps), Stands(**under)).one((2,))
    alone = Springs.of(Clamps(**picked(clamps, 2)), Stands(**picked(under, 2)))

    for name in ("rows", "root", "stiffest", "centre", "length"):
        assert getattr(many, name) == pytest.approx(getattr(alone, name), rel=1e-12)
    assert many.one_way.tolist() == alone.one_way.tolist()
