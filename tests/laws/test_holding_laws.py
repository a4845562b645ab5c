"""What must hold for any holding pull."""

import numpy as np
import pytest

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.holding_pulls import (
    hold_downs,
    pull_that_balances_moment,
    pull_that_relieves,
    pull_that_steadies,
    pull_that_stops,
)
from workbook.mechanics.holding.supports import Clamps
from workbook.mechanics.holding.wrenches import moment_about_line, net_wrench

CORNERS = np.array([[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]])
FOUR = Clamps(positions=CORNERS, stiffness=[2e7, 1e7, 3e7], ratings=20e3)
PULL = net_wrench([[20e3, 6e3, 4e3]], points=[[1.8, 0.5, 0.3]])
HOOK, ALONG = [-1.2, 0.5, 0.1], [-0.9, -0.3, -0.1]


def under(tension, *, load=PULL, hook=HOOK, along=ALONG, clamps=FOUR):
    """Return the body under the load and a chain, at one tension or at each (n,)."""
    one_newton = net_wrench([along / np.linalg.norm(along)], points=[hook])
    chain = np.multiply.outer(tension, one_newton)
    return share_load(load + chain, clamps=clamps)


def test_the_hook_of_a_stopping_pull_stays_on_its_own_line():
    hold = pull_that_stops(PULL, clamps=FOUR, hook=HOOK, direction=ALONG)

    assert hold.tension > 1e3
    assert hold.movement @ ALONG == pytest.approx(0, abs=1e-12)
    assert np.linalg.norm(hold.movement) > 1e-5
    assert hold.held.clamp_forces == pytest.approx(under(hold.tension).clamp_forces)


def test_a_stopping_pull_does_not_depend_on_the_moment_point():
    here = pull_that_stops(PULL, clamps=FOUR, hook=HOOK, direction=ALONG)
    about = np.array([2.0, 1.0, -1.0])
    load = net_wrench([[20e3, 6e3, 4e3]], points=[[1.8, 0.5, 0.3]], about=about)

    there = pull_that_stops(load, clamps=FOUR, hook=HOOK, direction=ALONG, about=about)

    assert there.tension == pytest.approx(here.tension)
    assert there.movement == pytest.approx(here.movement)


def test_a_stopping_pull_against_the_load_at_its_hook_takes_the_whole_load():
    load = net_wrench([[9e3, 0, 3e3]], points=[[0.4, 0.2, 0]])

    hold = pull_that_stops(load, clamps=FOUR, hook=[0.4, 0.2, 0], direction=[-3, 0, -1])

    assert hold.tension == pytest.approx(np.hypot(9e3, 3e3))
    assert hold.held.clamp_forces == pytest.approx(np.zeros((4, 3)), abs=1e-6)


@pytest.mark.parametrize("change", [-1.0, 1.0])
def test_any_other_tension_moves_the_steadied_point_more(change):
    point = [-0.5, 0.7, 0.2]

    hold = pull_that_steadies(
        PULL, clamps=FOUR, hook=HOOK, direction=ALONG, point=point
    )

    other = under(hold.tension + change).movement_at(point)[0]
    assert hold.tension > 1e3
    assert np.linalg.norm(other) > np.linalg.norm(hold.movement)


def test_the_balancing_pull_leaves_no_moment_about_the_line():
    line = {"point": [0.2, -0.3, 0.1], "axis": [0.1, 0.2, 1.0]}

    tension = pull_that_balances_moment(
        PULL, hook=[-0.5, 1.2, 0], direction=[-1, 0.2, 0], **line
    )

    chain = tension * np.array([-1, 0.2, 0]) / np.hypot(1, 0.2)
    both = PULL + net_wrench([chain], points=[[-0.5, 1.2, 0]])
    left = moment_about_line(both, point=line["point"], direction=line["axis"])
    assert tension > 0
    assert float(left) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("seed", range(20))
def test_no_tension_within_the_chain_beats_the_relieving_pull(seed):
    rng = np.random.default_rng(seed)
    clamps = Clamps(
        positions=rng.uniform(-1.5, 1.5, (5, 3)),
        stiffness=rng.uniform(1e6, 1e8, (5, 3)),
        ratings=rng.uniform(1e4, 4e4, 5),
    )
    load = rng.uniform(-2e4, 2e4, 6)
    hook, along = rng.uniform(-2, 2, 3), rng.normal(size=3)

    hold = pull_that_relieves(
        load, clamps=clamps, hook=hook, direction=along, chain_limit=25e3
    )

    tensions = np.linspace(0, 25e3, 101)
    held = under(tensions, load=load, hook=hook, along=along, clamps=clamps)
    tried = held.shares.max(axis=-1)
    assert 0 <= hold.tension <= 25e3
    assert hold.held.shares.max() <= min(tried) + 1e-12
    # The grid's step changes no clamp by more than 250 N of 10 kN.
    assert hold.held.shares.max() >= min(tried) - 0.06


def test_the_seeds_of_the_relieving_pull_show_all_three_kinds_of_lowest_point():
    # A foot (one clamp governs), a crossing (two govern together), an end.
    kinds = set()
    for seed in range(20):
        rng = np.random.default_rng(seed)
        clamps = Clamps(
            positions=rng.uniform(-1.5, 1.5, (5, 3)),
            stiffness=rng.uniform(1e6, 1e8, (5, 3)),
            ratings=rng.uniform(1e4, 4e4, 5),
        )
        load = rng.uniform(-2e4, 2e4, 6)
        hold = pull_that_relieves(
            load,
            clamps=clamps,
            hook=rng.uniform(-2, 2, 3),
            direction=rng.normal(size=3),
            chain_limit=25e3,
        )
        at_end = hold.tension in {0.0, 25e3}
        crossing = float(hold.held.lead) == pytest.approx(1, abs=1e-9)
        kinds.add("end" if at_end else "crossing" if crossing else "foot")

    assert kinds == {"end", "crossing", "foot"}


def test_a_chain_that_only_adds_load_is_left_slack():
    load = net_wrench([[20e3, 0, 0]], points=[[1, 0, 0]])

    hold = pull_that_relieves(
        load, clamps=FOUR, hook=[1, 0, 0], direction=[1, 0, 0], chain_limit=10e3
    )

    assert hold.tension == 0


def test_hold_downs_and_push_are_in_balance():
    push, at = np.array([1e3, 0, 20e3]), np.array([0.3, 0.1, 0.4])
    first = np.array([0.9, -0.5, 0.4])
    second = at - (first - at) * 1.7

    down = hold_downs(push, at=at, first=first, second=second)

    along = -push / np.linalg.norm(push)
    total = net_wrench(
        [push, down[0] * along, down[1] * along], points=[at, first, second]
    )
    assert total == pytest.approx(np.zeros(6), abs=1e-9)
    assert down[0] > down[1] > 0


def test_height_along_the_push_does_not_matter_to_hold_downs():
    level = hold_downs([0, 0, 9e3], at=[0, 0, 0], first=[1, 0, 0], second=[-2, 0, 0])

    stepped = hold_downs(
        [0, 0, 9e3], at=[0, 0, 0.3], first=[1, 0, 0.5], second=[-2, 0, -0.1]
    )

    assert level == pytest.approx([6e3, 3e3])
    assert stepped == pytest.approx(level)


def test_a_chain_that_would_have_to_push_is_refused():
    ahead = {"hook": [1.5, 0, 0], "direction": [1, 0, 0]}

    with pytest.raises(
        OutOfRangeError, match=r"push with .* N, and can only pull: hook it from"
    ):
        pull_that_stops(PULL, clamps=FOUR, **ahead)
    with pytest.raises(OutOfRangeError, match="would have to push"):
        pull_that_steadies(PULL, clamps=FOUR, point=[1.5, 0, 0], **ahead)
    with pytest.raises(OutOfRangeError, match="would have to push with 3000 N"):
        pull_that_balances_moment(
            net_wrench([[3e3, 0, 0]], points=[[0, 1, 0]]),
            hook=[0, 1, 0],
            direction=[1, 0, 0],
            point=[0, 0, 0],
            axis=[0, 0, 1],
        )


@pytest.mark.parametrize("hook", [[0, 0, 0], [1, 0, 0], [0, 0, 2]])
def test_a_holding_pull_without_an_arm_is_refused(hook):
    # At the point, toward it, and in a plane with the line.
    with pytest.raises(OutOfRangeError, match="no arm about the turning line"):
        pull_that_balances_moment(
            PULL, hook=hook, direction=[1, 0, 0], point=[0, 0, 0], axis=[0, 0, 1]
        )


def test_a_chain_that_does_not_move_the_point_is_refused():
    # Equal clamps: a central pull along x moves every point along x, and one
    # across at the middle of turning leaves the far point where it was.
    even = Clamps(positions=CORNERS, stiffness=2e7)
    radius = np.mean(np.sum(CORNERS**2, axis=1))

    with pytest.raises(OutOfRangeError, match="does not move the point"):
        pull_that_steadies(
            PULL,
            clamps=even,
            hook=[1.7, 0, 0],
            direction=[0, 1, 0],
            point=[-radius / 1.7, 0, 0],
        )


def test_a_relieving_pull_needs_a_rating_and_a_chain():
    unrated = Clamps(positions=CORNERS, stiffness=2e7)

    with pytest.raises(OutOfRangeError, match="no clamp has a rating"):
        pull_that_relieves(
            PULL, clamps=unrated, hook=HOOK, direction=ALONG, chain_limit=1e3
        )
    with pytest.raises(OutOfRangeError, match="chain limit 0 N must be more"):
        pull_that_relieves(PULL, clamps=FOUR, hook=HOOK, direction=ALONG, chain_limit=0)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ([1, 0, 0], [2, 0, 0]),
        ([1, 0.2, 0], [-1, 0.2, 0]),
    ],
)
def test_a_push_that_is_not_between_its_hold_downs_is_refused(first, second):
    with pytest.raises(OutOfRangeError, match="stand between its hold-downs"):
        hold_downs([0, 0, 9e3], at=[0, 0, 0], first=first, second=second)


def test_hold_downs_in_line_with_the_push_are_refused():
    with pytest.raises(OutOfRangeError, match="in one line with the push"):
        hold_downs([0, 0, 9e3], at=[0, 0, 0], first=[0, 0, 1], second=[0, 0, 2])


def test_a_holding_pull_on_a_body_free_to_move_is_refused():
    in_line = Clamps(positions=CORNERS[:2], stiffness=2e7)

    with pytest.raises(MechanismError, match="along y"):
        pull_that_stops(PULL, clamps=in_line, hook=HOOK, direction=ALONG)
