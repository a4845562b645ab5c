"""How the practice rail is stepped: what its limits are measured by."""

from dataclasses import replace

import numpy as np
import pytest
from front_ends import ROUGH_REPAIR, TIP, one_rail, rail, two_rails

from workbook.errors import OutOfRangeError
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import (
    FrontEnd,
    Rail,
    RailClamp,
    RailPull,
    RailStage,
    Relief,
)

HARD = {"name": "hammer", "relief": [Relief(rail=0, hinges=[0, 2], fraction=0.9)]}
STAGES = (
    RailStage(name="pull", forces={"left": 12e3}),
    RailStage(name="ease", forces={"left": 2e3}),
    RailStage(**HARD),
)


@pytest.mark.parametrize("size", [2**-10, 2**10])
def test_a_rail_of_another_size_takes_the_same_steps(size):
    # All lengths times a power of two, which doubles hold exactly, and all forces as
    # they were: moments and bending stiffness grow with the size, stiffness along a
    # link falls, and every turn and every step must be what it was.
    own = one_rail()
    [given] = own.rails
    grow = np.array([size, size, 1 / size])
    other = replace(
        given,
        link_length=np.asarray(given.link_length) * size,
        stiffness=np.asarray(given.stiffness) * grow,
        yield_load=np.asarray(given.yield_load) * [size, size, 1],
    )

    expected = follow(own, STAGES)
    found = follow(replace(own, rails=[other]), STAGES)

    assert found.progress == pytest.approx(expected.progress, rel=1e-9)
    assert found.end.nodes == pytest.approx(expected.end.nodes * size, rel=1e-6)
    assert len(found.progress) > 20


def squeezed(force):
    """Push a soft first link and a stiff second one end on."""
    two = Rail(
        root=(0, 0, 0),
        along=(1, 0, 0),
        link_length=[0.5, 0.5],
        stiffness=[[1e5, 1e5, 1e4], [1e5, 1e5, 1e9]],
        yield_load=np.full((2, 3), 1e12),
        hardening_ratio=0.0,
    )
    front_end = FrontEnd(
        rails=[two],
        clamps={"tip": RailClamp(node=(0, 2))},
        pulls={"push": RailPull(clamp="tip", direction=(-1, 0, 0))},
    )
    return follow(front_end, [RailStage(name="push", forces={"push": force})])


def test_a_link_may_be_squeezed_to_a_tenth_of_its_length_and_no_further():
    # 10 kN/m: 4.4 kN takes 440 of the 500 mm, and leaves 12 %; 4.6 kN leaves 8 %.
    left = squeezed(4.4e3).end.nodes[0, 1, 0] / 0.5

    assert left == pytest.approx(0.12)
    with pytest.raises(OutOfRangeError) as refused:
        squeezed(4.6e3)
    assert refused.value.reason == "rail.bent_too_far"
    assert refused.value.values["left"] == pytest.approx(0.08)


def test_a_front_end_and_a_stage_keep_no_live_view_of_what_they_were_given():
    clamps = {"tip": RailClamp(node=TIP)}
    pulls = {"left": RailPull(clamp="tip", direction=(0, 1, 0))}
    springs, forces, travels = {}, {"left": 1e3}, {}
    front_end = FrontEnd(rails=[rail()], clamps=clamps, pulls=pulls, springs=springs)
    stage = RailStage(name="pull", forces=forces, travels=travels)
    expected = follow(front_end, [stage]).end.nodes

    for given in (clamps, pulls, forces):
        given.clear()
    springs["wall"] = travels["up"] = None

    assert follow(front_end, [stage]).end.nodes.tolist() == expected.tolist()
    with pytest.raises(TypeError):
        stage.forces["left"] = 2e3


def test_a_rail_that_never_yields_keeps_the_tolerance_all_the_same():
    # There is no energy at which it yields to measure an error by: the work is.
    given = rail()
    elastic = replace(given, yield_load=np.full(np.shape(given.yield_load), np.inf))
    pull = RailStage(name="pull", forces={"left": 60e3})

    history = follow(replace(one_rail(), rails=[elastic]), [pull], tolerance=1e-6)

    end = history.energies[-1]
    assert end.gross > 1e3
    assert abs(end.imbalance) <= 1e-6 * end.gross


@pytest.mark.parametrize(
    ("tolerance", "counts"),
    [
        (1e-2, [12, 4, 6, 4, 12, 4]),
        (1e-3, [28, 4, 14, 4, 24, 4]),
        (1e-4, [56, 4, 32, 8, 64, 6]),
    ],
)
def test_a_repair_costs_the_steps_that_it_did(tolerance, counts):
    # Written down as found, two records a step. Other numbers are another control of
    # the steps: look at what it costs, and what it loses, before they go in here.
    history = follow(two_rails(), ROUGH_REPAIR, tolerance=tolerance)

    assert [int(np.sum(history.stage == k)) for k in range(6)] == counts


def test_a_step_grows_to_twice_at_most_and_fits_the_error_of_the_last():
    # As found: half of the stage while nothing yields, a tenth of that where it first
    # does, then as the error allows; the last step ends the stage.
    history = follow(one_rail(), [RailStage(name="pull", forces={"left": 14e3})])

    ends = history.progress[2::2]
    middles = history.progress[1::2]
    steps = np.diff(np.append(0.0, ends))
    found = [0.5, 0.05, 0.024102, 0.025727, 0.051453, 0.023034, 0.021234, 0.042468]
    assert middles == pytest.approx(ends - steps / 2)
    assert steps[:8] == pytest.approx(found, rel=1e-4)
    assert ends[-1] == 1
