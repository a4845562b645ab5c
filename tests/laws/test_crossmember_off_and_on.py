"""A welded crossmember off and on again: nothing moves, nothing is lost or made."""

import numpy as np
import pytest

from workbook.mechanics.metal import front
from workbook.mechanics.metal.crossmember import put_on, taken_off
from workbook.mechanics.metal.front_parts import PullOn
from workbook.mechanics.metal.rail_parts import Spring
from workbook.scenes.kestrin_rail import kestrin_front

WELDED, ALONE = kestrin_front(), kestrin_front(crossmember=False)
PULL = PullOn(clamp="left tip", head=(2.6, 2.2, 0.7), stroke=0.03)
STAND = {"stand": Spring(node=(1, 2), stiffness=(0.0, 8e6, 8e6))}


@pytest.fixture(scope="module")
def pulled():
    """Return the front pulled past yield, its crossmember bent with it."""
    return front.load(WELDED, front.undamaged(WELDED), {"rough": PULL}, holds=STAND)


@pytest.fixture(scope="module")
def loose(pulled):
    """Return the metal under the same chain, its crossmember off, and the beam."""
    return taken_off(WELDED, front.release(WELDED, pulled.state, ["crossmember"]).state)


def test_a_welded_crossmember_carries_moment_into_both_rails(pulled):
    *_, left, right = np.abs(pulled.state.metal.load[:, 0, 1])
    assert min(left, right) > 200
    assert np.abs(pulled.state.metal.plastic[2:]).max() > 1e-3


def test_off_and_on_again_it_lies_where_the_rails_are_and_carries_nothing(loose):
    alone, beam = loose
    on = put_on(WELDED, alone, beam)

    assert np.array_equal(on.metal.nodes[:2], alone.metal.nodes)
    assert not on.metal.load[2:].any()
    # It is loaded only by what comes after, and was bent by what came before.
    held = front.hold(WELDED, on)
    assert np.abs(held.state.metal.nodes - on.metal.nodes).max() < 1e-9
    down = front.release(WELDED, on, ["rough"]).state
    assert np.abs(down.metal.load[2:, 0, 1]).min() > 100
    # Its halves meet and run on, by little further bend; a twist alone is left.
    assert np.abs(on.metal.nodes[2, -1] - on.metal.nodes[3, -1]).max() < 1e-9
    assert np.abs(on.metal.rest[:2]).max() < 1e-9
    bent = on.metal.plastic[2:, :, :2] - beam.plastic[..., :2]
    assert np.abs(bent).max() < 0.05
    again, same = taken_off(WELDED, front.release(WELDED, on, ["crossmember"]).state)
    assert again.metal.nodes == pytest.approx(alone.metal.nodes, abs=1e-9)
    assert same.stored == pytest.approx(beam.stored, rel=1e-9)


def test_the_work_is_accounted_for_off_and_on(pulled, loose):
    alone, beam = loose
    states = [
        front.release(ALONE, alone, ["stand"]).state,
        front.release(WELDED, put_on(WELDED, alone, beam), ["rough"]).state,
    ]
    assert beam.stored > 1
    for state in (alone, put_on(WELDED, alone, beam), *states):
        energies = state.metal.energies
        assert abs(energies.imbalance) < 2e-3 * energies.gross
        assert state.metal.gap.shape == state.metal.rest.shape
    assert states[0].holds.keys() == set()
    assert states[1].holds.keys() == {"stand"}
    assert states[1].hold_force["stand"] == pytest.approx(
        front.release(WELDED, put_on(WELDED, alone, beam), ["rough"]).hold_force[
            "stand"
        ][-1]
    )
