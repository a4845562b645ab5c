"""An anchored body by hand: off the centre-line, rising, tied, and many at once."""

import numpy as np
import pytest

from workbook.scenes.anchored import CLAMPS, AnchoringGiven

OFF = {"pull_kn": 24, "side_mm": 400, "width_mm": 1500}
RISING = {
    "pull_kn": 20,
    "rise_deg": 20,
    "hook_ahead_mm": 800,
    "spacing_mm": 2000,
}


def solved(**values):
    return AnchoringGiven(values=values).solved()


def test_a_pull_off_the_centre_line_by_hand():
    # 24/4 = 6; 24 × 400 ÷ (2 × 1500) = 3.2 more on the left and less on the right.
    one = solved(**OFF)

    assert one.forces == pytest.approx([9.2e3, 2.8e3, 9.2e3, 2.8e3])
    assert one.most.tolist() == [True, False, True, False]
    assert CLAMPS[int(one.governing)] == "left front"
    assert one.shares == pytest.approx([0.46, 0.14, 0.46, 0.14])  # of 20 kN
    assert one.slip_shares == pytest.approx(one.forces / 15e3)
    assert float(one.yaw) == pytest.approx(-9.6e3)  # to the right
    assert not one.lifted.any()
    assert np.isnan(one.tie)


def test_clamps_that_hold_across_as_well_share_the_turning_out():
    # About the middle 0.75² + 1² = 1.5625: 9.6 ÷ (4 × 1.5625) = 1.536 kN a metre.
    # Along the car 6 + 1.536 × 0.75 = 7.152, across 1.536 × 1: 7.315 together.
    one = solved(**OFF, spacing_mm=2000, hold="both ways")

    assert np.abs(one.reactions[:, 0]) == pytest.approx(
        [7.152e3, 4.848e3, 7.152e3, 4.848e3]
    )
    assert one.reactions[:, 1] == pytest.approx([1.536e3, 1.536e3, -1.536e3, -1.536e3])
    assert one.forces[0] == pytest.approx(7.3151e3, rel=1e-4)


def test_a_rising_pull_by_its_lever():
    # 20 sin 20° = 6.8404; × (800 + 2000) ÷ 2000 = 9.577 on the front pair, and
    # × 800 ÷ 2000 = 2.736 presses the rear pair.
    one = solved(**RISING)

    assert one.lifts[:2].sum() == pytest.approx(9.577e3, abs=0.5)
    assert one.lifts[2:].sum() == pytest.approx(-2.736e3, abs=0.5)
    assert one.lifted.tolist() == [True, True, False, False]
    assert one.pressed.tolist() == [False, False, True, True]


def test_a_hook_above_the_clamps_lifts_too():
    # Level, 300 mm above clamps 2000 mm apart: 20 × 300 ÷ 2000 = 3 lifts the rear
    # pair and presses the front one.
    one = solved(pull_kn=20, hook_height_mm=300, spacing_mm=2000)

    assert one.lifts[:2].sum() == pytest.approx(-3e3)
    assert one.lifts[2:].sum() == pytest.approx(3e3)


def test_a_tie_back_on_the_line_of_the_pull_shares_as_a_fifth_clamp():
    # Five springs alike along x at ±750 twice and at 400: their middle lies at 80, so
    # the pull is 320 off it. Spread: 2 × 670² + 2 × 830² + 320² = 2.378e6 mm².
    # Turning adds 24 × 320 × (y − 80) ÷ 2.378e6 to 24/5 = 4.8.
    one = solved(**OFF, tie="back", tie_side_mm=400)

    about = 2 * 0.67**2 + 2 * 0.83**2 + 0.32**2
    by_hand = [4.8 + 24 * 0.32 * (y - 0.08) / about for y in (0.75, -0.75, 0.4)]
    left, right, tie = by_hand
    assert one.forces == pytest.approx([left * 1e3, right * 1e3] * 2)
    assert float(one.tie) == pytest.approx(tie * 1e3)
    assert float(one.tie_share) == pytest.approx(tie / 20)


def test_a_tie_cannot_push():
    falling = solved(pull_kn=20, rise_deg=-15, tie="down")
    loose = solved(pull_kn=20, rise_deg=-15)

    assert float(falling.tie) == 0
    assert falling.reactions == pytest.approx(loose.reactions)


@pytest.mark.parametrize("hold", ["along only", "both ways"])
@pytest.mark.parametrize("tie", ["none", "back", "down"])
def test_forces_and_moments_close_and_many_are_as_each_alone(hold, tie):
    fields = {
        "side_mm": np.array([-600.0, 0.0, 250.0]),
        "rise_deg": np.array([[0.0], [35.0]]),
        "spacing_mm": np.array([1200.0, 1800.0, 2200.0]),
        "rating_kn": np.array([[10.0], [20.0]]),
    }
    many = solved(**fields, hold=hold, tie=tie)

    assert many.stands.shape == (2, 3)
    assert many.stands.all()
    given = many.given
    way = {"back": (-1.0, 0.0, 0.0), "down": (0.0, 0.0, -1.0)}.get(tie, (0, 0, 0))
    pulled = np.nan_to_num(many.tie)[..., None] * way
    total = many.pull + many.reactions.sum(axis=-2) + pulled
    assert total == pytest.approx(np.zeros((2, 3, 3)), abs=1e-6)
    turning = np.cross(many.hook, many.pull)
    turning = turning + np.cross(many.places, many.reactions).sum(axis=-2)
    turning = turning + np.cross(np.nan_to_num(given.tie_place), pulled)
    assert turning == pytest.approx(np.zeros((2, 3, 3)), abs=1e-6)
    for k, j in np.ndindex(2, 3):
        one = solved(
            side_mm=float(fields["side_mm"][j]),
            rise_deg=float(fields["rise_deg"][k, 0]),
            spacing_mm=float(fields["spacing_mm"][j]),
            rating_kn=float(fields["rating_kn"][k, 0]),
            hold=hold,
            tie=tie,
        )
        assert many.reactions[k, j] == pytest.approx(one.reactions, abs=1e-9)
        assert many.held.shares[k, j] == pytest.approx(one.held.shares)
