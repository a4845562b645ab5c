"""Holding pulls from a moment balance, against worked examples of textbooks."""

import numpy as np
import pytest

from workbook.mechanics.holding.levers import hold_lever
from workbook.mechanics.pull.rigging import redirect

OPENSTAX = "OpenStax, University Physics"
BROWN = "Brown, Marks' Calculations for Machine Design"
SINGER = "Singer, Engineering Mechanics"
DOWN = (0.0, -1.0)


def net(forces, at):
    """Return one force and its place that turn as several upright ones (n,) do."""
    forces, at = np.array(forces), np.array(at)
    return (0.0, forces.sum()), ((forces * at).sum() / forces.sum(), 0.0)


@pytest.mark.kind("hold_lever", "weight that balances a meter stick", OPENSTAX)
def test_a_meter_stick_is_held_level():
    # University Physics, volume 1, Example 12.3: 50.0 g at 70.0 cm, 75.0 g at 40.0 cm
    # and the stick's own 150.0 g at 20.0 cm; the answer, from memory, is 317 g
    # at 30.0 cm on the other side and 5.8 N at the fulcrum, with 9.8 m/s².
    force, place = net(-9.8e-3 * np.array([50, 75, 150]), [-0.7, -0.4, -0.2])

    held = hold_lever(force, at=place, hook=(0.3, 0), direction=DOWN)

    assert held.hold / 9.8 == pytest.approx(0.317, abs=5e-4)
    assert held.turning_point == pytest.approx([0, 5.8], abs=0.05)


@pytest.mark.kind("hold_lever", "reactions of a beam with an overhang", BROWN)
@pytest.mark.parametrize(
    ("force", "span", "overhang", "holds", "carries"),
    # T. H. Brown, Marks' Calculations for Machine Design, 2005, section 2.2.7, page 73:
    # the far end has to be held down by F a / L, the support carries F (L + a) / L.
    [(450, 3, 1, 150, 600), (2000, 1, 0.3, 600, 2600)],
)
def test_a_beam_with_an_overhang_is_held_down_at_its_far_end(
    force, span, overhang, holds, carries
):
    held = hold_lever((0, -force), at=(overhang, 0), hook=(-span, 0), direction=DOWN)

    assert held.hold == pytest.approx(holds)
    assert held.turning_point == pytest.approx([0, carries])


@pytest.mark.kind("redirect", "what a chain that is turned does to its axle", SINGER)
def test_a_pulley_on_a_beam_feels_both_runs_of_its_cable():
    # F. L. Singer, Engineering Mechanics, problem 352, as worked at mathalino.com: a
    # load of 200 lb hangs straight down, the other run rises at 30 degrees; the axle
    # feels 173.20 lb level and 100 lb down.
    up = np.radians(30)

    turned = redirect(200, run_a=(0, 0, -1), run_b=(np.cos(up), 0, np.sin(up)))

    assert turned.anchor_force == pytest.approx([173.2, 0, -100], abs=0.01)
    assert turned.anchor_load == pytest.approx(200)


@pytest.mark.kind("hold_lever", "hinge and roller of a beam with a pulley", SINGER)
def test_hinge_and_roller_hold_the_beam_of_that_pulley():
    # The same problem: the pulley at the middle of 8 ft; printed 50 lb at the roller,
    # 180.27 lb at 16.1 degrees at the hinge.
    held = hold_lever((173.2051, -100), at=(4, 0), hook=(8, 0), direction=(0, 1))

    x, y = held.turning_point
    assert held.hold == pytest.approx(50)
    assert np.hypot(x, y) == pytest.approx(180.27, abs=0.01)
    assert np.degrees(np.arctan2(y, -x)) == pytest.approx(16.1, abs=0.05)
