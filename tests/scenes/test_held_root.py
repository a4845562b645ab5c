"""A rail pulled straight with its root held and not held: what comes of either."""

from itertools import pairwise

import numpy as np
import pytest

from workbook.scenes.held_root import bent, lies, straightened

NODES = (0, 1, 2, 3)


@pytest.fixture(scope="module")
def rails():
    return [straightened(node) for node in NODES]


def test_every_pull_leaves_the_tip_at_its_place(rails):
    assert lies(bent())[-1] < -0.015
    for one in rails:
        assert abs(one.out[-1]) < 2e-6
        assert one.out[0] == 0


def test_not_held_the_root_bends_and_held_behind_the_bend_it_does_not(rails):
    free, *_, held = rails
    assert np.abs(free.out[2:5]).max() > 3e-3 > 3 * np.abs(held.out[2:5]).max()
    assert free.turned > np.radians(1.2) > 8 * held.turned > 0
    for nearer, further in pairwise(rails):
        assert abs(further.worst) < abs(nearer.worst)
        assert further.turned < nearer.turned
        # The nearer to the bend, the more both chains have to carry.
        assert further.pull > nearer.pull
        assert further.hold > nearer.hold

    assert held.hold > held.pull
