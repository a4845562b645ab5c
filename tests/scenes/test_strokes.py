"""A stroke that is played: every step at once, for a clamp that stays or follows."""

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.pull.linkage import Refusal
from workbook.mechanics.pull.stroke import stroke_path
from workbook.scenes.setups import Setup
from workbook.scenes.strokes import followed, strokes

OFFSET = Setup(values={"fork_offset_mm": 100})
FALLS = {  # as soon as the ram makes any stroke, past the swivel of its base
    "lean_deg": 32.7,
    "extension_mm": 425.6,
    "clamp_height_mm": 473.8,
    "clamp_distance_mm": 814.3,
    "fork_distance_mm": 290.8,
    "fork_offset_mm": -77.1,
}


def test_a_clamp_that_stays_is_the_set_up_at_every_stroke():
    played = strokes(OFFSET, steps=5, clamp="stays")
    each = Setup(values={**OFFSET.values, "stroke_mm": np.linspace(0, 200, 5)}).solved()

    assert played.setup.values["stroke_mm"].tolist() == [0, 50, 100, 150, 200]
    assert played.pull.head == pytest.approx(each.pull.head)
    assert played.pull.pull_tension == pytest.approx(each.pull.pull_tension)
    assert np.ptp(played.pull.side_angle) > np.radians(0.5)  # the direction drifts


def test_a_clamp_that_follows_goes_the_way_of_the_mechanics():
    played = strokes(OFFSET, steps=5)
    path = stroke_path(OFFSET.rig(stroke=0.0), ram_force=30e3, points=5)

    assert played.rig.clamp == pytest.approx(path.clamp)
    assert played.pull.pull_tension == pytest.approx(path.pull.pull_tension)
    stays = strokes(OFFSET, steps=5, clamp="stays")
    assert played.rig.clamp[0] == pytest.approx(stays.rig.clamp[0])
    assert np.linalg.norm(played.rig.clamp[-1] - stays.rig.clamp[0]) > 0.2  # its stroke


def test_the_pull_leg_of_a_clamp_that_follows_keeps_its_length():
    played = strokes(OFFSET, steps=9)

    long = np.linalg.norm(played.pull.head - played.rig.clamp, axis=-1)

    assert long == pytest.approx(long[0], rel=1e-6)


@pytest.mark.parametrize("clamp", ["stays", "follows"])
def test_what_is_held_is_held_all_the_way(clamp):
    held = Setup(values={"held": "useful pull", "useful_pull_kn": 12})

    played = strokes(held, steps=6, clamp=clamp)

    assert played.along == pytest.approx(12e3)
    assert np.ptp(played.pull.ram_force) > 100


def test_the_stroke_of_the_set_up_itself_does_not_count():
    out = Setup(values={**OFFSET.values, "stroke_mm": 120})

    one, other = strokes(OFFSET, steps=4), strokes(out, steps=4)

    assert one.pull.head == pytest.approx(other.pull.head)


def test_steps_that_do_not_stand_are_refused():
    played = strokes(Setup(values=FALLS), steps=21)

    assert played.stands[0]
    assert not played.stands.all()
    assert np.isnan(played.pull.pull_tension[~played.stands]).all()


def test_a_clamp_that_does_something_else_is_refused():
    with pytest.raises(OutOfRangeError):
        strokes(OFFSET, clamp="jumps")


def test_each_stroke_alone_is_a_step_of_the_whole():
    played = strokes(OFFSET, steps=11)
    values = {**OFFSET.values, "stroke_mm": np.linspace(0, 200, 11)}

    at_each = followed(Setup(values=values))
    one = followed(Setup(values={**OFFSET.values, "stroke_mm": 120}))

    assert at_each.rig.clamp == pytest.approx(played.rig.clamp, abs=1e-8)
    assert at_each.pull.pull_tension == pytest.approx(played.pull.pull_tension)
    assert one.rig.clamp == pytest.approx(played.rig.clamp[6], abs=1e-8)
    assert at_each.followed[0] == pytest.approx(0, abs=1e-12)
    assert (np.diff(at_each.followed) > 0).all()


def test_past_the_ram_and_past_a_fall_each_is_refused_as_alone():
    played = followed(Setup(values={**FALLS, "stroke_mm": np.linspace(0, 60, 13)}))
    past = followed(Setup(values={**OFFSET.values, "stroke_mm": np.array([250.0])}))

    assert played.stands[0]
    assert not played.stands.all()
    assert np.isfinite(played.rig.clamp).all()
    assert past.pull.refusal == [Refusal.PAST_STROKE]
