"""Our own worked examples of one pull, recomputed by hand."""

import numpy as np
import pytest

from workbook.mechanics.pull.linkage import solve_pull, solve_pulls
from workbook.mechanics.pull.rigging import bridle
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.pull.stroke import stroke_path
from workbook.mechanics.vectors import norm

F = 40e3
DEG = np.pi / 180
TEACHING_RAM = {"full_stroke": 0.15, "swivel": 45 * DEG}


def upright(phi, alpha, beta, *, clamp_height=0.5, ram=1.0, **ram_data):
    """Set out a ram and two legs by their angles from the floor."""
    out, up = ram * np.cos(phi), ram * np.sin(phi)
    return lay_out(
        clamp=(0, 0, clamp_height),
        chain_angle=0.0,
        clamp_distance=(up - clamp_height) / np.tan(beta) - out,
        fork_distance=out + up / np.tan(alpha),
        lean=np.pi / 2 - phi,
        closed_length=ram,
        **TEACHING_RAM | ram_data,
    )


def test_worked_example_of_a_leaning_ram():
    # By hand, with a table of sines: 40 kN, ram 55, anchor leg 45, pull leg 20
    # degrees from the floor. 40 sin 100/sin 65 = 43.5, 40 sin 35/sin 65 = 25.3 kN;
    # level 43.5 cos 20 = 40.8, up 14.9 kN; 50 mm of stroke move the hook by
    # 50 x 40/43.5 = 46 mm.
    pull = solve_pull(upright(55 * DEG, 45 * DEG, 20 * DEG), ram_force=40e3)

    assert float(pull.pull_tension) == pytest.approx(43.5e3, abs=60)
    assert float(pull.anchor_tension) == pytest.approx(25.3e3, abs=60)
    assert pull.force_on_clamp == pytest.approx([40.8e3, 0, 14.9e3], abs=60)
    assert 50 * float(pull.travel_ratio) == pytest.approx(46, abs=0.6)


def test_worked_example_of_equal_legs():
    # By hand: 90 - (45 - 20)/2 = 77.5 degrees from the floor.
    phi = np.linspace(60, 89, 2901) * DEG
    rigs = upright(phi, 45 * DEG, 20 * DEG)

    pulls = solve_pulls(rigs, ram_force=40e3)

    equal = np.argmin(abs(pulls.pull_tension - pulls.anchor_tension))
    assert phi[equal] / DEG == pytest.approx(77.5, abs=0.006)


def test_worked_example_of_a_fork_slot():
    # By hand: fork 600 mm behind the base, clamp 500 mm up and 1500 mm away, head
    # 900 mm up and none out, slot 50 mm left: 50 x 1500 x 900/(600 x 500) = 225 mm;
    # side angle arctan(225/1500) = 8.5 degrees.
    rig = lay_out(
        clamp=(0, 0, 0.5), chain_angle=0.0, clamp_distance=1.5, fork_distance=0.6,
        fork_offset=0.05, closed_length=np.hypot(0.9, 0.225), lean=0.0, **TEACHING_RAM,
    )  # fmt: skip

    pull = solve_pull(rig, ram_force=40e3)

    assert pull.head - rig.base == pytest.approx([0, 0.225, 0.9], abs=1e-9)
    assert float(pull.side_angle) / DEG == pytest.approx(8.5, abs=0.06)


def test_worked_example_of_a_long_stroke():
    # By hand: 40 kN with ram 55, anchor leg 45 and pull leg 20 degrees from the floor
    # moves the hook 46 mm for 50 mm of stroke at the first ratio; the chord of the
    # real way stays within 2 mm of that.
    out, up = np.cos(55 * DEG), np.sin(55 * DEG)
    rig = lay_out(
        clamp=(0, 0, 0.5), chain_angle=0.0, lean=35 * DEG, closed_length=1.0,
        clamp_distance=(up - 0.5) / np.tan(20 * DEG) - out, fork_distance=out + up,
        full_stroke=0.05, swivel=45 * DEG,
    )  # fmt: skip

    path = stroke_path(rig, ram_force=F)

    assert float(norm(path.clamp[-1] - path.clamp[0])) == pytest.approx(0.046, abs=2e-3)


def test_worked_example_of_an_even_bridle():
    # By hand: 24 kN with 80 degrees between the legs, 24/(2 cos 40) = 15.7 kN each.
    legs = bridle(24e3, angle_left=40 * DEG, angle_right=40 * DEG)

    assert float(legs.left) == pytest.approx(15.7e3, abs=60)
