"""The bridle explorer against Lami's rule and the geometry of its ring."""

from math import cos, pi, radians, sin

import numpy as np
import pytest
from matplotlib.path import Path

from widgets import BridleExplorer
from workbook.errors import MechanismError
from workbook.mechanics.pull.rigging import bridle
from workbook.scenes.bridles import ring_place


@pytest.fixture
def explorer():
    return BridleExplorer()


def test_an_even_bridle_shares_the_pull_by_half_the_angle(explorer):
    # Lesson 08: 24 kN with 80 deg between the legs is 15.7 kN in each.
    explorer.set(between_deg=80)

    assert explorer.result.tensions.left == pytest.approx(24e3 / (2 * cos(radians(40))))
    numbers = dict(explorer.subject.numbers(explorer.result, explorer.system))
    assert numbers["left leg"] == numbers["right leg"] == "15.7 kN"
    assert "carry 15.7 kN at 40.0° (left)" in explorer.stage.frame["words"]


@pytest.mark.parametrize(
    ("between", "share"),
    [(60, 0.58), (90, 0.71), (120, 1.00), (140, 1.46), (160, 2.88)],
)
def test_the_angle_card_is_found_again(explorer, between, share):
    explorer.set(between_deg=between)

    assert explorer.result.tensions.right / 24e3 == pytest.approx(share, abs=0.005)


def test_a_shifted_ring_loads_the_nearer_leg(explorer):
    explorer.set(between_deg=70, shift_mm=150, pull_kn=30)

    result = explorer.result
    left, right = result.angles
    expected = bridle(30e3, angle_left=left, angle_right=right)
    assert result.tensions == expected
    assert left + right == pytest.approx(radians(70))
    assert expected.left > expected.right
    # Forces on the ring balance: across and along the line of pull.
    across = expected.left * sin(left) - expected.right * sin(right)
    along = expected.left * cos(left) + expected.right * cos(right)
    assert across == pytest.approx(0, abs=1e-6)
    assert along == pytest.approx(30e3)


@pytest.mark.parametrize("between", [10, 60, 90, 135, 179])
@pytest.mark.parametrize("shift", [-0.25, 0.0, 0.1, 0.299])
def test_the_ring_sees_the_clamps_at_the_angle_asked_for(between, shift):
    ring = ring_place(between=radians(between), spacing=0.6, shift=shift)

    legs = np.array([[0, 0.3], [0, -0.3]]) - ring[:2]
    cosine = legs[0] @ legs[1] / np.prod(np.linalg.norm(legs, axis=1))
    assert np.degrees(np.arccos(cosine)) == pytest.approx(between, abs=1e-6)
    assert ring[0] > 0
    assert ring[1] == shift


def test_a_ring_beyond_a_clamp_is_refused():
    with pytest.raises(MechanismError, match="not between the clamps"):
        ring_place(between=1.0, spacing=0.6, shift=0.3)


def test_flat_legs_are_refused_in_words(explorer):
    explorer.set(between_deg=180)

    assert explorer.result is None
    assert "180.0° between its legs the bridle is flat" in explorer.refusal
    assert "Use longer legs" in explorer.stage.frame["spoken"]


def test_no_limit_is_set_until_the_school_sets_one(explorer):
    explorer.set(between_deg=175)

    assert np.isnan(explorer.result.limit)
    assert not explorer.result.past_limit
    assert "limit" not in explorer.stage.frame["spoken"].lower()
    assert "pw-hatch" not in explorer.stage.frame["picture"]


@pytest.mark.parametrize("limit", [45, 90, 120, 170])
def test_along_the_edge_of_the_zone_the_ring_sees_the_clamps_at_the_limit(
    explorer, limit
):
    explorer.set(school_limit_deg=limit)

    outline = explorer.result.limit_arc()

    right, left = outline[0], outline[-1]
    assert [*right, *left] == pytest.approx([0, -0.3, 0, 0.3], abs=1e-9)
    for place in outline[1:-1]:
        way_left, way_right = np.subtract(left, place), np.subtract(right, place)
        both = np.linalg.norm(way_left) * np.linalg.norm(way_right)
        seen = np.degrees(np.arccos(way_left @ way_right / both))
        assert seen == pytest.approx(limit, abs=1e-6)
        assert place[0] > 0


def test_past_the_schools_limit_the_ring_lies_in_the_hatched_zone(explorer):
    for between, past in ((119, False), (120, False), (121, True)):
        for shift in (-200, 0, 120):
            explorer.set(between_deg=between, shift_mm=shift, school_limit_deg=120)

            zone = Path(explorer.result.limit_arc(count=2001))
            inside = zone.contains_point(explorer.result.ring[:2])
            assert inside == past or between == 120  # on the edge: either
            assert explorer.result.past_limit == past
            picture = explorer.stage.frame["picture"]
            assert ("past the limit" in picture) == past
            assert ("flatter than the school" in explorer.stage.frame["words"]) == past
            assert "pw-hatch" in picture


def test_legs_at_the_limit_are_half_the_spacing_over_the_sine_of_half(explorer):
    # Lesson 08, exercise 6: half the clamp spacing over sine 30 deg, for 60 deg.
    explorer.set(school_limit_deg=60, spacing_mm=800, between_deg=100)

    assert explorer.result.legs_at_limit == pytest.approx([0.4 / sin(pi / 6)] * 2)
    assert "the legs would be 800 mm and 800 mm long" in explorer.stage.frame["words"]
