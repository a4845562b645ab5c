"""Edges of holding and of rams: nothing at one end, all there is at the other."""

import numpy as np
import pytest

from workbook.errors import MechanismError, OutOfRangeError
from workbook.mechanics.holding.anchoring import share_load
from workbook.mechanics.holding.holding_pulls import (
    hold_downs,
    pull_that_relieves,
    pull_that_steadies,
    pull_that_stops,
)
from workbook.mechanics.holding.stiffness_centre import stiffness_centre
from workbook.mechanics.holding.supports import Clamps, Stands
from workbook.mechanics.holding.wrenches import central_axis, line_of_action
from workbook.mechanics.hydraulics.pressure import piston_area
from workbook.mechanics.hydraulics.supply import (
    Rams,
    extend_rams,
    first_limit,
    greatest_forces,
    order_of_movement,
)
from workbook.mechanics.magnitudes import (
    LARGEST,
    SMALLEST,
    finite,
    magnitude,
    more_than_zero,
    not_negative,
    numbers,
    one_number,
    refuse_where,
    triples,
)
from workbook.mechanics.vectors import (
    angle_between,
    direction,
    rise_of,
    side_angle_of,
    unit,
)

CORNERS = np.array([[1, 0.75, 0], [1, -0.75, 0], [-1, 0.75, 0], [-1, -0.75, 0]])
SQUARE = np.diag([1.0, 1, 1])


# Who carries.


def test_clamps_alone_leave_no_place_for_stands():
    held = share_load(
        [0, 0, -24e3, 0, 0, 0], clamps=Clamps(positions=CORNERS, stiffness=2e7)
    )

    assert held.clamp_forces.shape == (4, 3)
    assert held.clamp_moments.tolist() == np.zeros((4, 3)).tolist()
    assert held.stand_forces.shape == (0, 3)
    assert held.stand_pushes.shape == (0,)
    assert held.shares.tolist() == [0.0] * 4
    assert held.slip_shares.tolist() == [0.0] * 4
    assert held.lead == 1.0


def test_stands_alone_leave_no_place_for_clamps():
    # Three blocks below, two at the side and one at the end, all pressed upon.
    stands = Stands(
        positions=[
            [1, 0, 0],
            [-1, 1, 0],
            [-1, -1, 0],
            [1, -1, 0],
            [-1, -1, 0],
            [-1, 0, 0],
        ],
        normals=[[0, 0, 1]] * 3 + [[0, 1, 0]] * 2 + [[1, 0, 0]],
        stiffness=2e7,
        ratings=[10e3, np.inf, np.inf, np.inf, np.inf, np.inf],
    )

    held = share_load([-2e3, -4e3, -12e3, 0, 0, 0], stands=stands)

    # Down: half on the one ahead, a quarter on each behind. Aside: half each.
    assert held.stand_pushes == pytest.approx([6e3, 3e3, 3e3, 2e3, 2e3, 2e3])
    assert held.stand_forces[:, 2] == pytest.approx([6e3, 3e3, 3e3, 0, 0, 0])
    assert held.clamp_forces.shape == (0, 3)
    assert held.clamp_moments.shape == (0, 3)
    assert held.slip_shares.shape == (0,)
    assert held.shares == pytest.approx([0.6, 0, 0, 0, 0, 0])
    assert (held.governing, held.lead) == (0, np.inf)


@pytest.mark.parametrize(
    ("ratings", "lead"),
    [
        ([np.inf] * 4, 1.0),
        ([10e3, np.inf, np.inf, np.inf], np.inf),
        ([10e3, 20e3, 40e3, np.inf], 2.0),
        ([10e3, 10e3, 40e3, np.inf], 1.0),
    ],
)
def test_the_first_leads_the_second_by_the_ratio_of_their_shares(ratings, lead):
    clamps = Clamps(positions=CORNERS, stiffness=2e7, ratings=ratings)

    held = share_load([0, 0, -24e3, 0, 0, 0], clamps=clamps)

    assert held.lead == pytest.approx(lead)
    assert held.shares == pytest.approx(6e3 / np.array(ratings))


def test_a_load_of_nothing_is_led_by_nobody():
    clamps = Clamps(positions=CORNERS, stiffness=2e7, ratings=10e3)

    many = share_load(np.zeros((2, 6)), clamps=clamps)

    assert many.lead.tolist() == [1.0, 1.0]
    assert many.shares.shape == (2, 4)
    assert many.displacement.shape == (2, 6)


def test_a_free_line_is_told_by_round_numbers():
    # The middle of 0.1, 0.2 and 0.3 is not 0.2 to the last figure of a double.
    beside = Clamps(positions=[[0.1, 0, 0], [0.2, 0, 0], [0.3, 0, 0]], stiffness=2e7)

    with pytest.raises(MechanismError) as refusal:
        share_load([0, 0, 0, 1, 0, 0], clamps=beside)

    motion = refusal.value.values["motion"]
    told = {name: motion.values[name] for name in "xyz"}
    assert told == {"x": 0.2, "y": 0.0, "z": 0.0}
    assert motion.values["along"] == "x"


@pytest.mark.parametrize(("off", "fits"), [(1e-8, True), (1e-4, False)])
def test_axes_of_a_clamp_are_square_to_each_other(off, fits):
    axes = SQUARE + np.array([[0, off, 0], [0, 0, 0], [0, 0, 0]])

    if fits:
        Clamps(positions=CORNERS, stiffness=2e7, axes=axes)
        return
    with pytest.raises(OutOfRangeError) as refusal:
        Clamps(positions=CORNERS, stiffness=2e7, axes=[SQUARE] * 3 + [axes])
    assert refusal.value.reason == "anchoring.axes"


@pytest.mark.parametrize("limit", [0.0, -1.0, np.inf, [1e3, 2e3]])
def test_a_chain_that_relieves_has_one_limit(limit):
    clamps = Clamps(positions=CORNERS, stiffness=2e7, ratings=10e3)

    with pytest.raises(OutOfRangeError):
        pull_that_relieves(
            [0, 0, -24e3, 0, 0, 0],
            clamps=clamps,
            hook=[-1, 0, 0],
            direction=[-1, 0, 0],
            chain_limit=limit,
        )


@pytest.mark.parametrize("second", [[1.0, 0, 0], [1.0, 0, 3.0]])
def test_two_hold_downs_over_one_another_share_nothing(second):
    with pytest.raises(OutOfRangeError) as refusal:
        hold_downs([0, 0, 8e3], at=[1.0, 0, 0], first=[1.0, 0, 0], second=second)
    assert refusal.value.reason == "holding.in_one_line"


def test_a_push_that_is_not_between_is_told_where_it_is():
    ends = {"first": [0, 0, 0], "second": [2.0, 0, 0]}

    with pytest.raises(OutOfRangeError) as refusal:
        hold_downs([0, 0, 8e3], at=[2.5, 0.3, 1.0], **ends)
    assert refusal.value.values == pytest.approx(
        {"beside": 0.3, "along": 2.5, "length": 2.0}
    )


@pytest.mark.parametrize("seed", range(30))
def test_a_push_that_is_only_rounding_is_no_push(seed):
    # Alike ahead and behind, pressed down in the middle: a hook at the height of the
    # clamps moves no way along, or by the last figure of a double to either side.
    draw = np.random.default_rng(seed).uniform
    x, y = draw(0.5, 2, 2)
    corners = [[x, y, 0], [x, -y, 0], [-x, y, 0], [-x, -y, 0]]
    clamps = Clamps(positions=corners, stiffness=draw(1e6, 1e8, 3))
    how = {"clamps": clamps, "hook": [-x, 0, 0], "direction": [-1, 0, 0]}
    load = [0, 0, -draw(1e3, 3e4), 0, 0, 0]

    assert pull_that_stops(load, **how).tension < 1e-6
    steady = pull_that_steadies(load, point=[x, 0, 0], **how)
    assert steady.tension < 1e-6


def test_a_holding_pull_is_for_one_load():
    clamps = Clamps(positions=CORNERS, stiffness=2e7)

    with pytest.raises(OutOfRangeError) as refusal:
        pull_that_stops(
            np.zeros((2, 6)), clamps=clamps, hook=[-1, 0, 0], direction=[-1, 0, 0]
        )
    assert refusal.value.values == {"shape": (2, 6)}


@pytest.mark.parametrize("size", [1.0, 3.0])
def test_a_way_held_a_million_million_times_less_is_not_held(size):
    ends = [[0, 0, 0], [3.0, 0, 0]]

    for softest, held in ((2e-3, True), (0.5e-3, False)):
        stiffness = size * np.array([[1e9, softest, 1e9]])
        clamps = Clamps(positions=ends, stiffness=stiffness)
        if held:
            centre = stiffness_centre(clamps, normal=[0, 0, 1])
            assert centre.point == pytest.approx([1.5, 0, 0])
            continue
        with pytest.raises(MechanismError):
            stiffness_centre(clamps, normal=[0, 0, 1])


# Wrenches.


def test_wrenches_and_the_points_of_their_moments_go_together():
    with pytest.raises(OutOfRangeError) as refusal:
        central_axis(np.ones((2, 6)), about=np.ones((3, 3)))
    assert refusal.value.reason == "magnitudes.unlike"


def test_a_moment_of_a_million_times_the_force_still_has_a_line():
    assert central_axis([1, 0, 0, 0, 0, 1e6]).point[1] == -1e6
    assert central_axis([1, 0, 0, 0, 0, 2.0], farthest=2.0).point[1] == -2.0
    with pytest.raises(OutOfRangeError):
        central_axis([1, 0, 0, 0, 0, 2.0], farthest=np.nextafter(2.0, 0))


def test_nothing_and_a_couple_are_told_apart():
    for wrench, reason in (
        (np.zeros(6), "wrenches.nothing_left"),
        ([0, 0, 0, 0, 0, 5.0], "wrenches.couple"),
    ):
        with pytest.raises(OutOfRangeError) as refusal:
            central_axis(wrench)
        assert refusal.value.reason == reason
    many = central_axis([[0.0] * 6, [0, 0, 0, 0, 0, 5.0], [1.0, 0, 0, 2.0, 0, 0]])
    assert np.isnan(many.force).tolist() == [True, True, False]
    assert many.pitch[2] == 2.0


@pytest.mark.parametrize("sign", [1, -1])
def test_a_line_nearly_along_a_plane_crosses_it_far_away(sign):
    slope = sign * 1e-9
    axis = central_axis([1, 0, slope, 0, 0, 0])

    far = axis.crossing(point=[0, 0, 1.0], normal=[0, 0, 1])

    assert far == pytest.approx([sign * 1e9, 0, 1.0])
    with pytest.raises(OutOfRangeError):
        central_axis([1, 0, sign * 1e-13, 0, 0, 0]).crossing(
            point=[0, 0, 1.0], normal=[0, 0, 1]
        )


@pytest.mark.parametrize(("twist", "one_force"), [(0.9e-6, True), (1.1e-6, False)])
@pytest.mark.parametrize("sign", [1, -1])
def test_a_wrench_is_one_force_but_for_a_millionth_of_twist(twist, one_force, sign):
    wrench = [1.0, 0, 0, sign * twist, 0, 0]

    if one_force:
        assert line_of_action(wrench).force == 1.0
        return
    with pytest.raises(OutOfRangeError) as refusal:
        line_of_action(wrench)
    assert refusal.value.values == {"couple": pytest.approx(twist)}


# Rams.

TWO = {"areas": [1e-3, 2e-3], "resistances": [10e3, 40e3]}  # 100 and 200 bar


def test_a_ram_moves_only_where_the_supply_has_more_than_it_needs():
    rams = Rams(**TWO)

    assert order_of_movement(rams, supply_pressure=200e5).tolist() == [0]
    more = np.nextafter(200e5, 1e9)
    assert order_of_movement(rams, supply_pressure=more).tolist() == [0, 1]
    assert order_of_movement(rams).tolist() == [0, 1]


def test_a_pump_that_reaches_just_what_a_ram_needs_does_not_move_it():
    stalled = extend_rams(Rams(**TWO), flow=1e-5, supply_pressure=100e5)

    assert stalled.strokes[-1].tolist() == [0, 0]
    assert stalled.flows.shape == (0, 2)
    assert stalled.pressures[-1] == 100e5


def test_unless_told_otherwise_valves_are_open_and_nothing_springs_back():
    rams = Rams(**TWO)

    assert rams.valves_open.tolist() == [True, True]
    assert rams.stiffness.tolist() == [0, 0]
    assert rams.strokes.tolist() == [np.inf, np.inf]
    assert greatest_forces(100e5, rams=rams) == pytest.approx([10e3, 20e3])
    closed = Rams(**TWO, valves_open=[True, False])
    assert greatest_forces([100e5], rams=closed).tolist() == [[1e4, 0]]


def test_the_time_to_a_stroke_runs_from_nothing_to_the_end():
    rams = Rams(areas=[1e-3], resistances=[10e3], strokes=[0.1])
    run = extend_rams(rams, flow=1e-5, supply_pressure=200e5)

    # 0.1 m of 10 square centimetres at 10 cubic centimetres a second: 10 s.
    assert run.time_to_stroke(0, stroke=0.0) == 0
    assert run.time_to_stroke(0, stroke=0.05) == pytest.approx(5.0)
    assert run.time_to_stroke(0, stroke=0.1) == pytest.approx(10.0)
    assert run.fully_out.tolist() == [True]
    for wanted in (-1e-9, 0.1 + 1e-9):
        with pytest.raises(OutOfRangeError) as refusal:
            run.time_to_stroke(0, stroke=wanted)
        assert refusal.value.values == {"wanted": wanted, "end": 0.1}


def test_a_ram_that_is_out_waits_for_the_others():
    # Both need 100 bar; the second has a hair more to go, and the rest of the oil.
    longer = 0.1 * (1 + 1e-8)
    rams = Rams(areas=[1e-3] * 2, resistances=[10e3] * 2, strokes=[0.1, longer])
    run = extend_rams(rams, flow=2e-5, supply_pressure=200e5)

    assert run.strokes @ rams.areas == pytest.approx(2e-5 * run.times, rel=1e-13)
    assert run.time_to_stroke(0, stroke=0.1) == pytest.approx(10.0, rel=1e-12)
    far = extend_rams(
        Rams(areas=[1e-3] * 2, resistances=[10e3] * 2, strokes=[0.1, 0.2]),
        flow=2e-5,
        supply_pressure=200e5,
    )
    assert far.time_to_stroke(0, stroke=0.1) == pytest.approx(10.0)
    assert far.time_to_stroke(1, stroke=0.15) == pytest.approx(12.5)


@pytest.mark.parametrize(
    "wrong",
    [
        {"areas": 1e-3}, {"areas": [[1e-3, 2e-3]]}, {"areas": [0.0, 1e-3]},
        {"resistances": [1e3, -1e-9]}, {"resistances": [1e3] * 3},
        {"stiffness": [-1.0, 0]}, {"strokes": [0.0, 0.1]}, {"strokes": [0.1] * 3},
        {"valves_open": [True] * 3},
    ],
)  # fmt: skip
def test_rams_have_one_of_each_for_each(wrong):
    with pytest.raises(OutOfRangeError):
        Rams(**TWO | wrong)


def test_of_two_limits_at_one_pressure_the_first_is_told():
    found = first_limit(
        [[1.0, 2.0], [0.0, 1.0]], ratings=[20e3, 40e3], areas=[1e-3, 2e-3]
    )

    # 20 kN over 1.0 and 40 kN over 2.0, on 10 square centimetres: 200 bar both; and
    # 40 kN on the second's 20 square centimetres is 200 bar too.
    assert (found.ram, found.part) == (0, 0)
    assert found.pressure == pytest.approx(200e5)
    assert found.ram_force == pytest.approx(20e3)
    assert found.pressures == pytest.approx(np.array([[2e7, 2e7], [np.inf, 2e7]]))
    with pytest.raises(OutOfRangeError) as refusal:
        first_limit([[0.0]], ratings=[1e3], areas=[1e-3])
    assert refusal.value.reason == "supply.nothing_carried"


@pytest.mark.parametrize(("rod", "fits"), [(0.0, True), (0.039, True), (0.04, False)])
def test_a_rod_is_thinner_than_its_bore(rod, fits):
    if fits:
        expected = np.pi / 4 * (0.04**2 - rod**2)
        assert piston_area(0.04, rod=rod) == pytest.approx(expected)
        return
    with pytest.raises(OutOfRangeError) as refusal:
        piston_area(0.04, rod=rod)
    assert refusal.value.values == {"rod": rod, "bore": 0.04}


# Numbers and vectors.


@pytest.mark.parametrize("sign", [1, -1])
def test_numbers_run_as_far_as_their_squares_stay_numbers(sign):
    assert finite(sign * LARGEST, name="span") == sign * LARGEST
    assert finite(0.0, name="span") == 0
    for wrong in (sign * np.nextafter(LARGEST, np.inf), sign * np.inf, np.nan):
        with pytest.raises(OutOfRangeError):
            finite([0.0, wrong], name="span")


def test_sizes_run_from_the_smallest_to_the_largest():
    assert magnitude([SMALLEST, LARGEST], name="span").tolist() == [SMALLEST, LARGEST]
    assert not_negative(0.0, name="span") == 0
    assert more_than_zero(np.inf, name="span") == np.inf
    for reader, wrong in (
        (magnitude, np.nextafter(SMALLEST, 0)),
        (magnitude, 0.0),
        (magnitude, np.inf),
        (not_negative, -SMALLEST),
        (not_negative, np.inf),
        (more_than_zero, 0.0),
        (more_than_zero, np.nan),
    ):
        with pytest.raises(OutOfRangeError):
            reader(wrong, name="span")


@pytest.mark.parametrize("text", ["1", [1, "2"], 1j, [[1], [1, 2]], None, {}])
def test_what_is_no_real_number_is_refused_as_such(text):
    with pytest.raises(OutOfRangeError) as refusal:
        numbers(text, name="span")
    assert refusal.value.values == {"name": "quantity.span"}
    assert numbers([True, 2], name="span").tolist() == [1.0, 2.0]


def test_one_number_is_one_and_three_are_three():
    assert one_number(3, name="span") == 3.0
    assert triples([1, 2, 3], name="span").shape == (3,)
    for reader, wrong in (
        (one_number, [3.0]),
        (triples, 3.0),
        (triples, [1.0, 2.0]),
        (triples, np.ones((3, 4))),
    ):
        with pytest.raises(OutOfRangeError) as refusal:
            reader(wrong, name="span")
        assert refusal.value.values["shape"] == np.shape(wrong)


def test_the_first_bad_element_is_told_with_its_place():
    bad = np.array([[False, False], [True, True]])

    with pytest.raises(OutOfRangeError) as refusal:
        refuse_where(bad, "pressure.rod", rod=[[1.0, 2.0], [3.0, 4.0]], bore=0.04)

    assert refusal.value.values["place"] == [1, 0]
    assert refusal.value.values["refusal"].values == {"rod": 3.0, "bore": 0.04}
    refuse_where(np.array(False), "pressure.rod")
    refuse_where(np.zeros((2, 2), dtype=bool), "pressure.rod")


def test_directions_are_measured_as_the_first_lesson_says():
    # Side angle from x to the left, rise from the level.
    way = direction(side_angle=np.radians(30), rise=np.radians(45))

    assert way == pytest.approx([0.75**0.5 * 0.5**0.5, 0.5 * 0.5**0.5, 0.5**0.5])
    assert side_angle_of(way) == pytest.approx(np.radians(30))
    assert rise_of(way) == pytest.approx(np.radians(45))
    assert angle_between([1, 0, 0], [-1, 0, 0]) == pytest.approx(np.pi)
    assert angle_between([2, 0, 0], [1, 1, 0]) == pytest.approx(np.pi / 4)
    assert unit([0, 0, 0]).tolist() == [0, 0, 0]
    assert np.isnan(unit([np.inf, 0, 0])).all()
    assert unit([[3, 0, 4], [0, 0, -2]]) == pytest.approx(
        np.array([[0.6, 0, 0.8], [0, 0, -1]])
    )
