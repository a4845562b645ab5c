"""The chain sag explorer against the catenary it shows."""

import pytest

from widgets import ChainSagExplorer
from workbook.equipment import chain, reference
from workbook.mechanics.pull.tension_length_sag import (
    from_sag,
    from_slack,
    from_tension,
)
from workbook.scenes.hanging import Hanging


@pytest.fixture
def explorer():
    return ChainSagExplorer()


def weight(size):
    """Weight per length of a grade 8 chain [N/m]."""
    links = chain(standard="EN 818-2", grade="8", size=size)
    return links.mass_per_length * reference("gravity").value


def test_a_chain_of_given_slack_hangs_as_the_engine_says(explorer):
    explorer.set(slack_mm=50, span_mm=1500, rise_mm=200, chain_size="13 mm")

    expected = from_slack(0.050, span=1.5, rise=0.2, weight_per_length=weight("13 mm"))
    assert explorer.result.hung == expected
    numbers = dict(explorer.subject.numbers(explorer.result, explorer.system))
    assert numbers["chain sag"] == f"{expected.sag * 1e3:.1f} mm"
    assert numbers["level tension"] == f"{expected.horizontal_tension:.0f} N"
    assert numbers["tension at H"] == f"{expected.far_tension:.0f} N"
    words = explorer.stage.frame["words"]
    assert f"the chain sag is {expected.sag * 1e3:.1f} mm." in words
    assert "H 200 mm higher than C" in words


def test_a_chain_of_given_tension_carries_it_at_its_upper_end(explorer):
    explorer.set(set_by="chain tension", take_up_kn=0.8, rise_mm=-300)

    expected = from_tension(
        800.0, span=2.0, rise=-0.3, weight_per_length=weight("10 mm")
    )
    assert explorer.result.hung == expected
    assert expected.near_tension == pytest.approx(800.0)
    assert "Held fixed: chain tension" in explorer.badge.value


def test_a_chain_sag_that_was_read_gives_the_tension(explorer):
    explorer.set(set_by="chain sag", sag_mm=25, span_mm=3000)

    expected = from_sag(0.025, span=3.0, weight_per_length=weight("10 mm"))
    assert explorer.result.hung == expected


def test_the_worked_example_of_the_lesson_is_found_again(explorer):
    # Lesson 09: 30 mm of slack in 2 m hang down root(3 x 2000 x 30 / 8) = 150 mm; a
    # chain of 13 kN/mm for one metre, 2 m long, holds 69 J at 30 kN and 17 J at half
    # of that. The chain here is 2.03 m long, hence 2 %.
    explorer.set(slack_mm=30, span_mm=2000, working_kn=15)

    result = explorer.result
    assert result.sag_by_parabola == pytest.approx(0.150)
    assert result.hung.sag == pytest.approx(0.150, rel=0.01)
    assert result.energy(30e3) == pytest.approx(69, rel=0.02)
    assert result.energy(15e3) == pytest.approx(17, rel=0.04)


def test_twice_the_tension_stores_four_times_the_energy(explorer):
    for basis in explorer.subject.fields["stiffness"].options:
        explorer.set(stiffness=basis, working_kn=12.5)

        once = explorer.amounts(explorer.result)["stored energy at working tension"][0]
        twice = explorer.amounts(explorer.result)["stored energy at twice that"][0]

        assert twice == pytest.approx(4 * once)
        words = explorer.stage.frame["words"]
        assert f"Pulled to 12.5 kN it would store {once:.1f} J" in words
        assert f"at twice that, 25.0 kN, four times as much: {twice:.1f} J" in words
        assert basis in words


def test_a_stiffer_chain_stores_less(explorer):
    energy = {}
    for basis in explorer.subject.fields["stiffness"].options:
        explorer.set(stiffness=basis)
        energy[basis] = explorer.result.energy(15e3)

    soft, hard = (energy[f"{n} kN/mm for one metre"] for n in (10, 20))
    assert soft == pytest.approx(2 * hard)
    # E A of two 10 mm legs of steel, 210 GPa: 33.0 kN/mm for one metre.
    assert energy["straight legs of the links"] == pytest.approx(
        hard * 20 / 32.99, rel=1e-3
    )


@pytest.mark.parametrize("rise_mm", [0, 700, -700])
def test_the_tight_chain_rule_meets_the_exact_curve_as_the_chain_tightens(rise_mm):
    slack = {"slack_mm": 0.1, "span_mm": 2000, "rise_mm": rise_mm}

    tight = Hanging(values=slack).solved()
    loose = Hanging(values={**slack, "slack_mm": 200}).solved()

    assert tight.sag_by_parabola == pytest.approx(tight.hung.sag, rel=1e-3)
    assert tight.slack_by_parabola == pytest.approx(tight.hung.slack, rel=1e-3)
    level = tight.hung.horizontal_tension
    assert tight.tension_by_parabola == pytest.approx(level, rel=2e-3)
    assert loose.sag_by_parabola != pytest.approx(loose.hung.sag, rel=5e-3)


def test_no_tension_hangs_a_chain_straight(explorer):
    explorer.set(slack_mm=0)
    assert (
        "no tension pulls its weight straight. Give it some slack" in explorer.refusal
    )

    explorer.set(set_by="chain sag", sag_mm=0)
    assert "Give it some chain sag" in explorer.refusal
    assert "straight: no tension is enough" in explorer.stage.frame["picture"]


def test_a_tension_below_the_chains_own_weight_is_refused_with_the_least(explorer):
    # Between level ends the least end tension is 0.7544 w L (u tanh u = 1).
    explorer.set(set_by="chain tension", take_up_kn=0.02)

    least = 0.7544 * weight("10 mm") * 2.0
    assert "20 N at the upper end does not carry" in explorer.refusal
    assert f"at least {least:.0f} N" in explorer.refusal

    explorer.use_units("lbf-inch")
    assert f"at least {least / 4.448222:.1f} lbf" in explorer.refusal


def test_only_what_is_held_fixed_can_be_set(explorer):
    amounts = {
        "slack": "slack_mm",
        "chain tension": "take_up_kn",
        "chain sag": "sag_mm",
    }
    for held, name in amounts.items():
        explorer.set(set_by=held)

        shown = {
            n
            for n in amounts.values()
            if explorer.controls[n].widget.layout.display != "none"
        }

        assert shown == {name}
