"""The roller explorer against twice the tension times the cosine of half the angle."""

from math import cos, radians

import pytest

from widgets import RollerExplorer


@pytest.fixture
def explorer():
    return RollerExplorer()


@pytest.mark.parametrize("between", [0, 60, 90, 120, 140, 160, 180])
def test_the_anchor_carries_twice_the_tension_times_cosine_of_half(explorer, between):
    # Angle card: 2.00, 1.73, 1.41, 1.00, 0.68 and 0.35 from 0 to 160 deg.
    explorer.set(between_deg=between, tension_kn=22)

    load = 2 * 22e3 * cos(radians(between / 2))
    assert explorer.result.anchor_load == pytest.approx(load, abs=1e-6)
    assert dict(explorer.subject.numbers(explorer.result, explorer.system))[
        "anchor load"
    ] == (f"{load / 1e3:.1f} kN")
    words = explorer.stage.frame["words"]
    assert f"anchor carries {load / 1e3:.1f} kN, {load / 22e3:.2f} times" in words


def test_a_chain_that_runs_straight_past_loads_no_anchor(explorer):
    explorer.set(between_deg=180)

    assert "leaves the roller alone" in explorer.stage.frame["words"]
    assert (
        "anchor load"
        not in explorer.stage.frame["picture"]
        .split("</svg>")[0]
        .split('aria-label="')[1]
        .split('">', 1)[1]
    )


def test_the_load_points_halfway_between_the_runs(explorer):
    explorer.set(between_deg=75)

    turned = explorer.result.turned
    assert turned.anchor_force[1:] == pytest.approx([0, 0], abs=1e-9)
    assert turned.anchor_force[0] > 0
    assert "37.5° from each" in explorer.stage.frame["words"]
