"""A rail pulled straight, and a clamp that tears out: one metal for both."""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.metal.rail import follow
from workbook.mechanics.metal.rail_parts import RailStage
from workbook.quantities.units import METRIC
from workbook.scenes.straightening import (
    HOOK,
    PULL,
    SpringGiven,
    front_end,
    hit,
    nodes_of,
)
from workbook.scenes.torn_edges import EdgeGiven


def straightened(**values):
    return SpringGiven(values={"stage": "let go", **values}).solved()


@pytest.mark.parametrize(("wall", "needed"), [(1.5, 25), (2.7, 6), (4, 14)])
def test_a_hit_leaves_what_is_needed(wall, needed):
    bent = hit(wall * 1e-3, needed * 1e-3)

    assert nodes_of(bent)[HOOK, 1] == pytest.approx(-needed * 1e-3, abs=1e-5)


def test_springback_is_load_over_stiffness_as_long_as_the_rail_yields_one_way():
    # All that the exercises of lesson 15 rest on: to a tenth of a millimetre.
    rail = straightened(
        load_kn=np.array([8.0, 15, 18, 21, 24, 28]),
        relief_percent=np.array([0.0, 0, 20, 0, 60, 0]),
    )

    assert rail.springback == pytest.approx(rail.straight, abs=1e-4)
    assert rail.left_load[:2] == pytest.approx([8e3, 15e3])


def test_a_rail_pulled_far_too_hard_yields_back_and_springs_further():
    rail = straightened(wall_mm=1.5, load_kn=16)

    assert rail.springback > 1.15 * rail.straight


def test_rungs_that_set_ups_share_lead_to_what_one_pull_does():
    rail = straightened(load_kn=23)
    stages = [RailStage(name="on", forces={PULL: 23e3})]
    stages += [RailStage(name="off", forces={PULL: 0.0})]

    once = follow(front_end(4e-3), stages, start=hit(4e-3, 14e-3))

    assert 14e-3 + nodes_of(once)[HOOK, 1] == pytest.approx(rail.stays, abs=1e-5)


def test_an_earlier_pull_stays_on_the_curve_and_is_joined_where_it_left():
    again = straightened(load_kn=21, earlier_kn=18)
    first = straightened(load_kn=18)

    earlier, later = again.rail.earlier, again.rail.loading
    assert earlier[-1] == pytest.approx(later[0])
    assert earlier[-1, 0] == pytest.approx(first.stays)
    assert again.stays == pytest.approx(straightened(load_kn=21).stays, abs=1e-5)


def test_hammering_with_the_chain_locked_takes_springback_away_and_moves_nothing():
    share = np.array([0.0, 20, 40, 60, 80])
    rail = straightened(load_kn=20.5, relief_percent=share)

    assert np.ptp(rail.rail.hammered[..., 0]) == pytest.approx(0, abs=1e-7)
    assert np.isnan(rail.relieved[0])
    assert (np.diff(rail.relieved[1:]) > 0.15).all()
    assert rail.relieved[1:] == pytest.approx(share[1:] / 100, abs=0.05)
    assert (np.diff(rail.stays) > 0).all()


def test_what_has_not_come_about_yet_is_no_number():
    under = SpringGiven(values={"load_kn": 20}).solved()

    assert under.gauge == pytest.approx(20e3)
    assert np.isnan([under.stays, under.springback, under.off]).all()


def test_a_rail_is_followed_so_far_and_no_further():
    with pytest.raises(OutOfRangeError) as refused:
        straightened(wall_mm=1.5, load_kn=20)
    many = straightened(wall_mm=1.5, load_kn=np.array([8.0, 20]))

    assert "moves further than 150 mm" in refused.value.spoken(METRIC.show)
    assert many.stands.tolist() == [True, False]
    assert np.isfinite(many.rail.loading[1]).all()  # as far as it goes


def test_a_clamp_tears_at_its_estimate_and_lets_the_rail_go():
    # 2 x 25 x 1.2 x 220 = 13.2 kN; two clamps with 60 degrees carry 0.577 of a pull.
    one, two = (
        EdgeGiven(values={"pull_kn": 14, "clamps": clamps}).solved()
        for clamps in ("one", "two")
    )

    assert one.estimate == pytest.approx(13.2e3)
    assert one.torn
    assert one.curve[:, 1].max() == pytest.approx(13.2e3, rel=1e-5)
    assert (one.gauge, one.movement) == pytest.approx((0.0, 0.0), abs=1e-5)
    assert two.at_clamp == pytest.approx(14e3 / (2 * np.cos(np.pi / 6)))
    assert two.rating == pytest.approx(13.2e3 * 2 * np.cos(np.pi / 6))
    assert not two.torn
    same = straightened(load_kn=14)
    assert two.movement == pytest.approx(same.loaded_movement, abs=1e-6)
