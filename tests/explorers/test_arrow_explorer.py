"""The arrow explorer against the arithmetic of one and of two pulls."""

from math import atan2, cos, degrees, hypot, isnan, radians, sin

import pytest

from widgets import ArrowExplorer


@pytest.fixture
def explorer():
    return ArrowExplorer()


def test_a_pull_has_a_useful_and_a_sideways_part(explorer):
    # Lesson 02: 20 kN at 30 deg gives 17.3 kN along and 10.0 kN across.
    explorer.set(tension_kn=20, angle_deg=-30)

    assert explorer.result.useful == pytest.approx(20e3 * cos(radians(30)))
    assert explorer.result.sideways == pytest.approx(-10e3)
    numbers = dict(explorer.subject.numbers(explorer.result, explorer.system))
    assert numbers["useful pull, on the wanted line"] == "17.3 kN"
    assert numbers["sideways, plus left"] == "−10.0 kN"
    words = explorer.stage.frame["words"]
    assert "20.0 kN 30.0° to the right of the wanted line" in words
    assert "the useful pull, along the wanted line, is 17.3 kN" in words
    assert "10.0 kN pulls sideways, to the right" in words


def test_the_same_useful_pull_costs_more_tension_as_the_angle_opens(explorer):
    # Angle card: x 1.00, 1.15, 1.41, 2.00 and 3.86 at 0, 30, 45, 60 and 75 deg.
    for angle, times in ((0, 1.00), (30, 1.15), (45, 1.41), (60, 2.00), (75, 3.86)):
        explorer.set(held="useful pull", useful_kn=12, angle_deg=angle)

        assert explorer.result.tension / 12e3 == pytest.approx(times, abs=0.005)
        assert explorer.result.useful == pytest.approx(12e3)


def test_a_chain_square_to_the_wanted_line_gives_no_useful_pull(explorer):
    explorer.set(held="useful pull", angle_deg=-90)

    assert explorer.result is None
    assert "−90.0° from the wanted line has no part along it" in explorer.refusal

    explorer.set(held="chain tension")
    assert explorer.result.useful == pytest.approx(0, abs=1e-6)


def test_two_pulls_add_by_the_rule_of_cosines(explorer):
    first, second, between = 20e3, 15e3, radians(60)
    explorer.set(angle_deg=25, second="at the same point", second_kn=15, between_deg=60)

    amounts = explorer.amounts(explorer.result)

    size = (first**2 + second**2 + 2 * first * second * cos(between)) ** 0.5
    turn = atan2(second * sin(between), first + second * cos(between))
    assert amounts["together"][0] == pytest.approx(size)
    angle = amounts["together, left of the first pull"][0]
    assert angle == pytest.approx(turn)
    words = explorer.stage.frame["words"]
    assert f"Together they pull {size / 1e3:.1f} kN" in words
    assert f"{degrees(turn):.1f}° to the left of the first" in words
    assert f"{degrees(turn) + 25:.1f}° to the left of the wanted line" in words


def test_turning_both_pulls_turns_what_they_make_and_nothing_else(explorer):
    pair = {"second": "at the same point", "second_kn": 31, "between_deg": -100}
    seen = set()
    for angle in (-90, -40, 0, 55, 90):
        explorer.set(angle_deg=angle, **pair)
        amounts = explorer.amounts(explorer.result)

        turn = amounts["together, left of the first pull"][0]

        seen.add((round(amounts["together"][0], 3), round(turn, 9)))
        both = explorer.result.resultant
        assert hypot(both[0], both[1]) == pytest.approx(amounts["together"][0])
    assert len(seen) == 1
    assert next(iter(seen))[1] < 0


def test_equal_and_opposite_pulls_cancel_and_have_no_direction(explorer):
    explorer.set(
        second="at the same point", second_kn=20, between_deg=180, angle_deg=33
    )

    assert isnan(explorer.result.resultant_angle)
    assert "The two cancel" in explorer.stage.frame["words"]
    assert "of the first pull" not in explorer.stage.frame["numbers"]


def test_controls_of_a_second_pull_show_only_with_one(explorer):
    def shown(name):
        return explorer.controls[name].widget.layout.display != "none"

    assert not shown("second_kn")
    assert not shown("between_deg")

    explorer.set(second="at the same point", held="useful pull")

    assert shown("second_kn")
    assert shown("between_deg")
    assert shown("useful_kn")
    assert not shown("tension_kn")
