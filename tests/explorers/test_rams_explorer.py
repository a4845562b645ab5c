"""The explorer of three rams on one line: forces, order of movement, what is felt."""

import numpy as np
import pytest

from workbook.figures.pictures import subjects
from workbook.figures.pictures.shared_line import describe, line_sheet
from workbook.mechanics.holding.wrenches import net_wrench
from workbook.quantities.units import METRIC
from workbook.scenes.fields import checked
from workbook.scenes.shared_line import BODY_CLAMPS, HOOKS, MIDDLE

RAMS = subjects()["rams"]
UNLIKE = {"first_resists_kn": 24, "third_resists_kn": 12, "third_bore_mm": 30}
ONE = {"second_valve": "closed", "third_valve": "closed"}


def solved(**values):
    return RAMS.solve(checked(RAMS.fields, values))


def told(**values):
    return {name: value for name, (value, _) in RAMS.told(solved(**values)).items()}


def seen(**values):
    marks = line_sheet(solved(**values), system=METRIC).panels[0].drawing.marks
    return {mark.name for mark in marks if mark.visible}


def test_three_unlike_rams_move_as_the_worked_example_says():
    # teaching.md, lesson 12: 200 bar on 42, 42 and 30 mm give 27.7, 27.7 and 14.1 kN;
    # 24, 18 and 12 kN are moved at 173, 130 and 170 bar, so the second goes first.
    numbers = told(**UNLIKE)

    forces = [numbers[f"force of ram {k}"] / 1e3 for k in (1, 2, 3)]
    needed = [numbers[f"ram {k} moves at"] / 1e5 for k in (1, 2, 3)]
    assert forces == pytest.approx([27.7, 27.7, 14.1], abs=0.05)
    assert needed == pytest.approx([173, 130, 170], abs=0.5)
    assert numbers["first to move"] == 2
    assert solved(**UNLIKE).place.tolist() == [3, 1, 2]
    # 27.709 − 24 = 3.709 kN at 0.5 kN/mm: 7.4 mm; 2.5 mm of the third ram less.
    assert numbers["ram 1 comes out"] == pytest.approx(7.42e-3, abs=1e-5)


def test_two_more_rams_leave_the_force_and_take_three_times_as_long():
    one, three = told(**ONE), told()

    assert three["force of ram 1"] == one["force of ram 1"]
    assert three["time until the stall"] == pytest.approx(
        3 * one["time until the stall"]
    )
    assert three["pulls together"] == pytest.approx(3 * one["pulls together"])
    # 9.71 kN at 0.5 kN/mm: 19.4 mm on 13.85 cm², 26.9 cm³ at 8.33 cm³/s.
    assert one["time until the stall"] == pytest.approx(3.23, abs=0.01)


def test_the_oil_that_the_rams_took_is_what_the_pumps_gave():
    line = solved(**UNLIKE, flow_l_per_min=np.array([0.2, 1.0, 2.0]))

    area = np.pi / 4 * line.given.each("bore_mm") ** 2
    took = (area * line.strokes).sum(axis=-1)
    assert took == pytest.approx(line.given.array("flow_l_per_min") * line.time)


def test_clamps_hold_what_the_rams_pull():
    line = solved(first_angle_deg=30, third_valve="closed", second_angle_deg=-10)

    held = net_wrench(line.on_body, points=BODY_CLAMPS.positions, about=MIDDLE)
    pulled = net_wrench(line.pulls, points=HOOKS, about=MIDDLE)
    assert held == pytest.approx(-pulled, abs=1e-6 * float(line.together))
    # A pull through the middle of four clamps alike: a quarter each.
    straight = solved(first_valve="closed", third_valve="closed")
    assert straight.most_held == pytest.approx(straight.together / 4)
    # 600 mm beside it: a quarter and 0.6 × 0.75 ÷ 4.21 along, 0.6 × 0.7 ÷ 4.21 across,
    # for 4.21 m² is the sum of 0.7² + 0.75² over the four.
    aside = solved(**ONE)
    assert aside.most_held == pytest.approx(0.3706 * aside.together, rel=1e-3)


def test_one_valve_closed_by_mistake_turns_the_sum():
    fan = {"first_angle_deg": 30, "third_angle_deg": -30}

    assert solved(**fan).bearing == pytest.approx(0, abs=1e-12)
    # 27.709 kN at 30° and at 0°: half-way, as they are equal.
    left = told(**fan, third_valve="closed")
    assert left["direction together"] == pytest.approx(np.radians(15))
    words = describe(solved(**fan, third_valve="closed"), system=METRIC)
    assert "15.0° to the left" in words
    assert "two of three" in words


def test_a_closed_valve_lies_across_and_its_hose_is_dotted():
    line = seen(third_valve="closed")

    assert "closed hose to third ram" in line
    assert "hose to third ram" not in line
    assert {"hose to first ram", "hose to second ram"} <= line
    lever = next(
        mark
        for mark in line_sheet(solved(third_valve="closed"), system=METRIC)
        .panels[0]
        .drawing.marks
        if mark.name == "third lever"
    )
    assert np.ptp(lever.points[:, 0]) == 0


@pytest.mark.parametrize(
    ("values", "said"),
    [
        (UNLIKE, "ram 2, then ram 3, then ram 1; the pumps stall after 4.8 s."),
        ({}, "ram 1 with ram 2 with ram 3;"),
        (ONE, "ram 1, alone;"),
        ({"supply_bar": 20}, "No ram moves."),
        ({**ONE, "first_valve": "closed"}, "The clamps of the body feel nothing."),
    ],
)
def test_the_words_say_the_order_of_movement(values, said):
    assert said in describe(solved(**values), system=METRIC)


@pytest.mark.parametrize(
    ("values", "order"),
    [
        (UNLIKE, "order: 2, 3, 1"),
        ({**UNLIKE, "second_valve": "closed"}, "order: 3, 1"),
        ({"second_resists_kn": 24}, "order: 1 with 3, 2"),
        ({"supply_bar": 20}, "no ram moves"),
    ],
)
def test_below_the_pressures_stands_who_moves_when(values, order):
    beside = RAMS.beside(solved(**values), system=METRIC)
    named = {mark.name: mark for mark in beside.panels[1].drawing.marks}

    assert named["note"].text == order


def test_pumps_stand_in_the_order_of_their_rams():
    drawing = line_sheet(solved(), system=METRIC).panels[0].drawing
    at = {mark.name: mark for mark in drawing.marks}

    pumps = [at[f"{name} pump"].points[0, 1] for name in ("first", "second", "third")]
    clamps = [at[f"{name} clamp"].at[1] for name in ("first", "second", "third")]
    assert np.argsort(pumps).tolist() == np.argsort(clamps).tolist() == [2, 1, 0]
