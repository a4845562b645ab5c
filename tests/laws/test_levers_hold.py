"""What must hold of any body that is held about a turning point."""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.holding.holding_pulls import (
    hold_downs,
    pull_that_balances_moment,
)
from workbook.mechanics.holding.levers import hold_lever
from workbook.mechanics.holding.wrenches import net_wrench

RNG = np.random.default_rng(14)


def drawn(count=200):
    """Return loads, places, hooks, ways and turning points by chance."""
    force, at, hook, way, about = RNG.uniform(-2, 2, (5, count, 2))
    return {"force": 1e4 * force, "at": at, "hook": hook, "direction": way}, about


def test_forces_and_moments_add_up_to_nothing():
    given, about = drawn()
    force = given.pop("force")
    held = hold_lever(force, **given, turning_point=about)

    way = given["direction"] / np.linalg.norm(given["direction"], axis=-1)[:, None]
    chain = held.hold[:, None] * way
    there = np.isfinite(held.hold)
    assert 60 < there.sum() < 140  # a chain pulls the right way about half the time

    def turning(arm, f):
        return arm[:, 0] * f[:, 1] - arm[:, 1] * f[:, 0]

    # About another point than the turning point.
    total = turning(given["at"], force) + turning(given["hook"], chain)
    total += turning(about, held.turning_point)
    assert np.allclose((force + chain + held.turning_point)[there], 0, atol=1e-6)
    assert np.allclose(total[there], 0, atol=1e-6 * np.abs(chain[there]).max())
    assert (held.hold[there] >= 0).all()


def test_pull_times_arm_is_hold_times_its_arm():
    given, about = drawn()
    force = given.pop("force")
    held = hold_lever(force, **given, turning_point=about)

    there = np.isfinite(held.hold)
    pull = np.linalg.norm(force, axis=-1)
    assert np.allclose((pull * held.arm)[there], (held.hold * held.hold_arm)[there])


def test_it_is_the_holding_pull_that_balances_a_moment_in_space():
    given, about = drawn(40)
    force = given.pop("force")
    held = hold_lever(force, **given, turning_point=about)

    def space(plane):
        return np.array([plane[0], 0.0, plane[1]])

    for k in np.flatnonzero(np.isfinite(held.hold)):
        one = {name: space(value[k]) for name, value in given.items()}
        wrench = net_wrench([space(force[k])], points=[one["at"]])
        tension = pull_that_balances_moment(
            wrench,
            hook=one["hook"],
            direction=one["direction"],
            point=space(about[k]),
            axis=(0, 1, 0),
        )
        assert held.hold[k] == pytest.approx(tension)


def test_about_the_far_hold_down_it_gives_both():
    near, far = 0.9, 1.5
    pushed = hold_lever(
        (0, 20e3),
        at=(0, 0),
        hook=(near, 0),
        direction=(0, -1),
        turning_point=(-far, 0),
    )

    both = hold_downs(
        [0, 0, 20e3], at=[0, 0, 0], first=[near, 0, 0], second=[-far, 0, 0]
    )
    assert [float(pushed.hold), -pushed.turning_point[1]] == pytest.approx(both)


@pytest.mark.parametrize(
    ("hook", "why"),
    [((1.0, 0.0), "it would push"), ((0.0, 1.0), "its line meets the turning point")],
)
def test_a_chain_that_cannot_hold_gives_nothing(hook, why):
    held = hold_lever((0, -1e4), at=(1, 0), hook=hook, direction=(0, -1))

    assert np.isnan(held.hold), why


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"at": (np.nan, 0)}, "magnitudes.at_index"),
        ({"direction": (0, 0)}, "holding.lever_no_direction"),
    ],
)
def test_nonsense_is_refused(change, reason):
    given = {"at": (1, 0), "hook": (-1, 0), "direction": (0, -1), **change}

    with pytest.raises(OutOfRangeError) as refused:
        hold_lever((0, -1e4), **given)

    assert refused.value.reason == reason
