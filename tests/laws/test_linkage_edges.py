"""Edges of one pull: the last rig that stands, and what is quoted of the others."""

from dataclasses import fields, replace

import numpy as np
import pytest

from workbook.errors import OutOfRangeError, WorkbookError
from workbook.mechanics.pull.linkage import (
    PLACES,
    Refusal,
    Rig,
    solve_pull,
    solve_pulls,
)
from workbook.mechanics.pull.setting_out import lay_out
from workbook.mechanics.pull.stroke import stroke_path

# A triangle of 3, 4 and 5: the ram of 0.3 m stands upright, the anchor is 0.4 m away.
UPRIGHT = {
    "clamp": [-0.5, 0, 0.1],
    "base": [0, 0, 0],
    "anchor": [0.4, 0, 0],
    "closed_length": 0.2,
    "extension": 0.06,
    "stroke": 0.04,
    "full_stroke": 0.05,
    "anchor_leg": 0.5,
    "swivel": 0.3,
}


def code(ram_force=1e3, **changes):
    """Return why a rig does not stand."""
    rig = Rig(**UPRIGHT | changes)
    return Refusal(int(solve_pulls(rig, ram_force=ram_force).refusal))


def test_an_upright_ram_over_a_right_angle_stands():
    pull = solve_pull(Rig(**UPRIGHT), ram_force=1e3)

    # By the rule of sines at the head: 3 up, the pull leg 2 down over 5 out.
    assert pull.head == pytest.approx([0, 0, 0.3])
    assert pull.pull_leg == pytest.approx(np.hypot(0.5, 0.2))
    level = pull.pull_tension * 5 / np.hypot(5, 2)
    assert level == pytest.approx(pull.anchor_tension * 0.8)
    upward = pull.pull_tension * 2 / np.hypot(5, 2) + pull.anchor_tension * 0.6
    assert upward == pytest.approx(1e3)


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"extension": 0.0, "closed_length": 0.26}, Refusal.STANDS),
        ({"extension": -1e-9}, Refusal.NOT_FINITE),
        ({"extension": 0.26, "closed_length": 0.0}, Refusal.NOT_FINITE),
        ({"anchor_leg": 0.0}, Refusal.NOT_FINITE),
        ({"anchor_leg": -0.5}, Refusal.NOT_FINITE),
        ({"ram_force": 0.0}, Refusal.NOT_FINITE),
        ({"ram_force": 1.5e302}, Refusal.STANDS),
        ({"ram_force": 1.9e302}, Refusal.NOT_FINITE),
        ({"full_stroke": np.inf}, Refusal.NOT_FINITE),
        ({"swivel": np.inf}, Refusal.NOT_FINITE),
        ({"full_stroke": 0.04}, Refusal.STANDS),
        ({"full_stroke": np.nextafter(0.04, 0)}, Refusal.PAST_STROKE),
        ({"stroke": 0.0, "closed_length": 0.24}, Refusal.STANDS),
        ({"stroke": -1e-12, "closed_length": 0.24}, Refusal.PAST_STROKE),
        ({"anchor_leg": 0.7001}, Refusal.LEGS_DO_NOT_CLOSE),
        ({"anchor_leg": 0.0999}, Refusal.LEGS_DO_NOT_CLOSE),
        ({"swivel": 0.0}, Refusal.STANDS),
    ],
)
def test_each_limit_of_a_rig_is_in_or_out(changes, why):
    assert code(**changes) == why


@pytest.mark.parametrize(("by", "stands"), [(0.98, False), (1.02, True)])
def test_a_rig_is_judged_by_its_own_size(by, stands):
    # Ram 0.3 m, anchor leg 0.5 m, base to anchor 0.4 m, and both places measured
    # from where the axes begin, which may be anywhere: here 0.6 m below the base.
    lift = np.array([0, 0, 0.6])
    places = {name: np.array(UPRIGHT[name]) + lift for name in PLACES}
    size = 0.3 + 0.5 + 0.4 + 0.6 + np.hypot(0.5, 0.6)
    low = {**places, "clamp": np.array([-0.5, 0, 0.6 + by * 1e-6 * size])}
    assert (code(**low) != Refusal.CLAMP_ON_LINE) == stands

    size = 0.3 + 0.3 + 0.6 + np.hypot(0.5, 0.7)
    close = {
        **places,
        "anchor": lift + np.array([by * 1e-9 * size, 0, 0]),
        "anchor_leg": 0.3,
    }
    assert (code(**close) != Refusal.NOT_FINITE) == stands

    beside = by * 1e-6 * (0.3 + 0.5)
    at_head = {**places, "clamp": lift + np.array([-beside, 0, 0.3])}
    assert (code(**at_head) != Refusal.NO_PULL_LEG) == stands


@pytest.mark.parametrize(("by", "stands"), [(0.95, False), (1.05, True)])
def test_a_clamp_beside_the_line_must_be_above_it(by, stands):
    slope = by * 1e-6
    clamp = [-0.5, 0.3 * np.sqrt(1 - slope**2), 0.3 * slope]

    assert (code(clamp=clamp) != Refusal.CLAMP_TOO_LOW) == stands


@pytest.mark.parametrize("height", [5e-4, 5e-3])
def test_a_rig_with_its_head_just_above_the_bench_stands(height):
    # Ram and anchor leg lie almost flat: the head is at a five-thousandth of the ram.
    along = np.sqrt(0.3**2 - (0.3 * height) ** 2)
    leg = np.hypot(0.4 - along, 0.3 * height)

    assert code(anchor_leg=leg, clamp=[-0.5, 0, 0.4], swivel=np.pi) != (
        Refusal.LEGS_DO_NOT_CLOSE
    )


@pytest.mark.parametrize(("ram_forces", "stands"), [(0.8e6, True), (1.3e6, False)])
def test_a_chain_almost_straight_carries_up_to_a_million_ram_forces(ram_forces, stands):
    # Anchor leg 3 down over 4 out, and the pull leg back up along it, but for an angle
    # of which the pull is the cosine of the anchor leg's rise.
    angle = 0.8 / ram_forces
    way = np.arctan2(3, -4) + angle
    clamp = [0.4 * np.cos(way), 0, 0.3 + 0.4 * np.sin(way)]

    assert (code(clamp=clamp) == Refusal.STANDS) == stands
    if stands:
        pull = solve_pull(Rig(**UPRIGHT | {"clamp": clamp}), ram_force=1.0)
        assert pull.pull_tension == pytest.approx(ram_forces, rel=1e-6)
        assert pull.anchor_tension == pytest.approx(ram_forces, rel=1e-6)


def test_all_that_a_refused_rig_measures_is_quoted():
    rig = Rig(**UPRIGHT | {"anchor_leg": 0.75, "clamp": [-0.5, 0.3, 0.4]})

    with pytest.raises(WorkbookError) as refusal:
        solve_pull(rig, ram_force=2e3)

    told = refusal.value.values
    assert refusal.value.reason == "linkage.legs_do_not_close"
    expected = {
        "ram": 0.3, "closed": 0.2, "extension": 0.06, "stroke": 0.04, "full": 0.05,
        "leg": 0.75, "apart": 0.4, "across": 0.5, "higher": 0.4, "shortest": 0.1,
        "longest": 0.7, "swivel": 0.3, "force": 2e3,
    }  # fmt: skip
    assert {name: told[name] for name in expected} == pytest.approx(expected)


def test_a_lean_past_the_swivel_is_quoted_with_the_pull_leg():
    # Ram 0.5 m and anchor leg 0.3 m: the head is over the anchor, 4 out and 3 up.
    lean = {"closed_length": 0.4, "anchor_leg": 0.3, "swivel": 0.9}

    with pytest.raises(OutOfRangeError) as refusal:
        solve_pull(Rig(**UPRIGHT | lean), ram_force=2e3)

    told = refusal.value.values
    assert refusal.value.reason == "linkage.past_swivel"
    assert told["tilt"] == pytest.approx(np.arctan2(4, 3))
    assert told["pull"] == pytest.approx(np.hypot(0.9, 0.2))


def test_a_ram_under_its_clamp_leans_toward_the_anchor():
    # Straight above the base a clamp has no side of its own: out is to the anchor.
    rig = Rig(**UPRIGHT | {"clamp": [0, 0, 0.1], "anchor_leg": 0.45, "swivel": 1.5})

    pulls = solve_pulls(rig, ram_force=1.0)

    along = (0.3**2 - 0.45**2 + 0.4**2) / 0.8
    head = np.array([along, 0, np.sqrt(0.3**2 - along**2)])
    assert pulls.stands
    assert pulls.lean == pytest.approx(np.arctan2(head[0], head[2]))


@pytest.mark.parametrize("name", [field.name for field in fields(Rig)])
def test_measures_of_rigs_go_together(name):
    many = {key: np.stack([np.array(value)] * 2) for key, value in UPRIGHT.items()}
    wrong = np.stack([np.array(UPRIGHT[name])] * 3)

    assert solve_pulls(Rig(**many), ram_force=1.0).stands.shape == (2,)
    with pytest.raises(OutOfRangeError) as refusal:
        Rig(**many | {name: wrong})
    assert refusal.value.reason == "magnitudes.unlike"


# The stroke.


def test_unless_told_otherwise_a_path_has_61_places_and_the_clamp_follows():
    rig = Rig(**UPRIGHT | {"stroke": 0.0, "closed_length": 0.24})
    rig = replace(rig, swivel=1.5)

    path = stroke_path(rig, ram_force=1.0)

    assert path.stroke.shape == (61,)
    assert path.stroke[[0, -1]].tolist() == [0.0, 0.05]
    same = stroke_path(rig, ram_force=1.0, clamp="follows", points=61, substeps=4)
    other = stroke_path(rig, ram_force=1.0, points=61, substeps=5)
    assert path.clamp.tolist() == same.clamp.tolist()
    assert path.clamp.tolist() != other.clamp.tolist()


@pytest.mark.parametrize(("points", "substeps"), [(2, 1), (2, 3), (3, 1)])
def test_a_rough_path_ends_near_a_fine_one(points, substeps):
    rig = Rig(**UPRIGHT | {"stroke": 0.0, "closed_length": 0.24, "swivel": 1.5})

    rough = stroke_path(rig, ram_force=1.0, points=points, substeps=substeps)
    fine = stroke_path(rig, ram_force=1.0, points=101)

    # One step of the fourth order errs by a hundredth of a millimetre here.
    assert rough.stroke[-1] == fine.stroke[-1]
    assert rough.clamp[-1] == pytest.approx(fine.clamp[-1], abs=2e-5)
    assert np.linalg.norm(fine.clamp[-1] - fine.clamp[0]) > 0.03


def test_a_path_of_one_place_is_where_the_rig_stands():
    rig = Rig(**UPRIGHT)

    path = stroke_path(rig, ram_force=1e3, points=1)

    assert path.stroke.tolist() == [0.04]
    assert path.clamp == pytest.approx(np.array([UPRIGHT["clamp"]]))


@pytest.mark.parametrize(
    "how",
    [
        {"points": 0}, {"points": 1.5}, {"points": np.inf}, {"points": np.nan},
        {"substeps": 0}, {"substeps": 1.5}, {"clamp": "runs"}, {"points": [2, 3]},
    ],
)  # fmt: skip
def test_a_path_has_a_whole_number_of_places(how):
    with pytest.raises(OutOfRangeError):
        stroke_path(Rig(**UPRIGHT), ram_force=1.0, **how)


def test_forces_along_a_path_go_together_with_the_rigs():
    rigs = Rig(**UPRIGHT | {"stroke": [0.03, 0.04]})

    assert stroke_path(rigs, ram_force=[1.0, 2.0], points=3).stroke.shape == (2, 3)
    with pytest.raises(OutOfRangeError) as refusal:
        stroke_path(rigs, ram_force=[1.0, 2.0, 3.0], points=3)
    assert refusal.value.values["one"] == "quantity.ram_force"


def test_a_ram_past_its_stroke_has_a_path_that_goes_nowhere():
    rig = Rig(**UPRIGHT | {"full_stroke": 0.03})

    path = stroke_path(rig, ram_force=1.0, points=3)

    assert path.stroke.tolist() == [0.04] * 3
    assert path.pull.refusal.tolist() == [Refusal.PAST_STROKE] * 3


# Setting out.


def test_a_rig_set_out_has_nothing_in_it_that_was_not_said():
    rig = lay_out(
        clamp=[0, 0, 0.3], chain_angle=0.0, clamp_distance=1.1, fork_distance=0.7,
        closed_length=0.8, full_stroke=0.2, swivel=np.pi / 2, lean=0.3,
    )  # fmt: skip

    assert (rig.extension, rig.stroke) == (0.0, 0.0)
    assert rig.anchor[1] == 0.0
    assert rig.anchor_leg == pytest.approx(
        np.hypot(0.7 - 0.8 * np.sin(0.3), 0.8 * np.cos(0.3))
    )
