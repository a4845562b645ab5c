"""The explorer of a held body: hold, clamps, redirect, hold-downs."""

import numpy as np
import pytest

from workbook.figures.pictures import subjects
from workbook.figures.pictures.holding import describe, holding_sheet
from workbook.quantities.units import METRIC
from workbook.scenes.fields import checked

HOLDING = subjects()["holding"]


def solved(**values):
    return HOLDING.solve(checked(HOLDING.fields, values))


def told(**values):
    return {name: value for name, (value, _) in HOLDING.told(solved(**values)).items()}


def marks(**values):
    drawn = holding_sheet(solved(**values), system=METRIC).panels[0].drawing
    return {mark.name: mark for mark in drawn.marks if mark.visible}


def test_the_start_is_the_redirect_of_the_question():
    # Runs at 45° and at arctan(700 / 1000) = 34.99° from the floor leave 100.0°, and
    # 2 × 15 × cos 50° = 19.28 kN. The line passes 900 × sin 45° = 636 mm off, and
    # 15 × 636 ÷ 1500 = 6.364 kN.
    numbers = told()

    assert np.degrees(numbers["angle between the runs"]) == pytest.approx(100, abs=0.02)
    assert numbers["redirect load"] == pytest.approx(19.28e3, abs=5)
    assert numbers["arm of the main pull"] == pytest.approx(0.6364, abs=1e-4)
    assert numbers["holding pull"] == pytest.approx(6.364e3, abs=1)
    # Level 10.61, upright 10.61 + 6.364 = 16.97: 20.01 kN together.
    assert numbers["clamps at the turning point"] == pytest.approx(20.01e3, abs=10)


def test_a_hold_half_as_far_carries_twice_as_much_and_the_pull_stays():
    near, far = told(hold_mm=750), told(hold_mm=1500)

    assert near["holding pull"] == pytest.approx(2 * far["holding pull"])
    assert near["main pull"] == far["main pull"] == 15e3
    assert near["redirect load"] == far["redirect load"]


def test_where_the_chain_comes_up_changes_the_redirect_alone():
    body = solved(up_mm=np.arange(0.0, 2001, 50))

    assert np.all(np.diff(body.redirect_load) < 0)
    assert np.ptp(body.hold) == 0
    assert np.ptp(body.balance.arm) == 0


def test_a_push_is_shared_by_distance():
    # 15 × 1500 ÷ 2400 and 15 × 900 ÷ 2400.
    numbers = told(way="up")

    assert numbers["front hold-down"] == pytest.approx(9.375e3)
    assert numbers["rear hold-down"] == pytest.approx(5.625e3)
    assert "holding pull" not in numbers
    assert "redirect load" not in numbers


@pytest.mark.parametrize(
    "values", [{}, {"hold_mm": 600, "arm_mm": 1400}, {"way": "up"}]
)
def test_the_arrows_drawn_on_the_body_add_up_to_nothing(values):
    seen = marks(**values)
    names = ("push", "front", "rear") if "way" in values else ("main", "hold", "clamps")

    arrows = [seen[name].head - seen[name].tail for name in names]
    assert np.sum(arrows, axis=0) == pytest.approx(np.zeros(2), abs=1e-9)
    longest = max(np.hypot(*arrow) for arrow in arrows)
    assert longest <= 0.75 + 1e-9


def test_what_is_drawn_is_what_there_is():
    assert {"pulley", "run to the ram", "hold chain", "turning point"} <= {*marks()}
    up = {*marks(way="up")}
    assert {"jack", "front chain", "rear chain"} <= up
    assert not {"pulley", "ram", "turning point"} & up


def test_the_words_say_the_same():
    assert "holds it with 6.4 kN" in describe(solved(), system=METRIC)
    assert "the floor redirect carries 19.3 kN" in describe(solved(), system=METRIC)
    assert "carries 9.4 kN" in describe(solved(way="up"), system=METRIC)
