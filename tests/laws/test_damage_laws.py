"""Laws of reading differences as kinds of damage."""

from dataclasses import asdict

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.spatial.transform import Rotation

from workbook.errors import OutOfRangeError
from workbook.language import text
from workbook.mechanics.survey.damage import (
    KINDS,
    DamageFrame,
    DamageSizes,
    damage_basis,
    damage_field,
    read_damage,
)
from workbook.mechanics.survey.registration import register

# An invented body: pairs of points along the rails, hinge plane at the cowl.
FRAME = DamageFrame(hinge_x=1.2, front_x=2.2, width=1.1)
BODY = np.array(
    [
        [x, side * 0.55, z]
        for x, z in [(0.0, 0.3), (0.6, 0.2), (1.2, 0.2), (1.7, 0.35), (2.2, 0.4)]
        for side in (1, -1)
    ]
)
SIZES = DamageSizes(mash=0.024, sidesway=-0.015, sag=0.009, diamond=0.006, twist=0.011)


def _array(sizes):
    return np.array(list(asdict(sizes).values()))


@pytest.mark.parametrize("mash_side", ["both", "left", "right"])
@pytest.mark.parametrize("sag_low_x", [None, 1.7])
@pytest.mark.parametrize("free_motion", [False, True])
def test_damage_that_was_made_is_read_back(mash_side, sag_low_x, free_motion):
    frame = DamageFrame(
        hinge_x=1.2, front_x=2.2, width=1.1, mash_side=mash_side, sag_low_x=sag_low_x
    )
    differences = damage_field(BODY, sizes=SIZES, frame=frame)

    reading = read_damage(
        BODY, differences=differences, frame=frame, free_motion=free_motion
    )

    assert _array(reading.sizes) == pytest.approx(_array(SIZES), abs=1e-12)
    assert reading.rms_residual == pytest.approx(0.0, abs=1e-12)
    assert reading.share_unexplained == pytest.approx(0.0, abs=1e-12)
    assert reading.unexplained == pytest.approx(np.zeros(10), abs=1e-12)


def test_each_kind_moves_points_the_way_it_is_named():
    # Left front point, half a width to the left at the front plane, by hand.
    left_front = [[2.2, 0.55, 0.4]]

    basis = damage_basis(left_front, frame=FRAME)[0]

    moved = dict(zip(KINDS, basis.T.tolist(), strict=True))
    assert moved["mash"] == [-1.0, 0.0, 0.0]
    assert moved["sidesway"] == [0.0, 1.0, 0.0]
    assert moved["sag"] == [0.0, 0.0, -1.0]
    assert moved["diamond"] == pytest.approx([-0.5, 0.0, 0.0])
    assert moved["twist"] == pytest.approx([0.0, 0.0, 0.55])


def test_nothing_behind_the_hinge_moves_but_for_diamond_and_twist():
    behind = BODY[BODY[:, 0] < 1.2]

    basis = damage_basis(behind, frame=FRAME)

    assert np.abs(basis[:, :, :3]).max() == 0.0
    assert np.abs(basis[:, :, 3:]).max(axis=(0, 1)).min() > 0.1


def test_a_sag_between_planes_is_lowest_where_stated_and_level_at_both_ends():
    frame = DamageFrame(hinge_x=1.0, front_x=3.0, width=1.0, sag_low_x=1.5)
    line = np.column_stack([[0.5, 1.0, 1.25, 1.5, 2.25, 3.0, 3.5], *np.zeros((2, 7))])

    moved = damage_field(line, sizes=DamageSizes(sag=0.01), frame=frame)

    expected = [0.0, 0.0, -0.005, -0.01, -0.005, 0.0, 0.0]
    assert moved[:, 2] == pytest.approx(expected, abs=1e-15)


def test_one_sided_mash_leaves_the_other_side_alone():
    frame = DamageFrame(hinge_x=1.2, front_x=2.2, width=1.1, mash_side="right")
    middle = [[2.2, 0.0, 0.4]]

    moved = damage_field(BODY, sizes=DamageSizes(mash=0.02), frame=frame)
    centre = damage_field(middle, sizes=DamageSizes(mash=0.02), frame=frame)

    left, right = BODY[:, 1] > 0, BODY[:, 1] < 0
    assert np.abs(moved[left]).max() == 0.0
    assert moved[right, 0].min() == pytest.approx(-0.02)
    assert centre[0, 0] == pytest.approx(-0.01)


def test_a_body_seen_in_a_mirror_has_mirrored_sidesway_diamond_and_twist():
    mirror = np.array([1.0, -1.0, 1.0])
    differences = damage_field(BODY, sizes=SIZES, frame=FRAME)

    mirrored = read_damage(
        BODY * mirror, differences=differences * mirror, frame=FRAME
    ).sizes

    # Mash and sag are alike on both sides; the others change sign.
    signs = [1, -1, 1, -1, -1]
    assert _array(mirrored) == pytest.approx(signs * _array(SIZES), abs=1e-12)


def test_on_a_body_alike_left_and_right_the_two_families_do_not_disturb_each_other():
    columns = damage_basis(BODY, frame=FRAME).reshape(-1, 5)

    overlap = columns.T @ columns

    alike, opposite = [0, 2], [1, 3, 4]  # mash, sag; sidesway, diamond, twist
    assert overlap[np.ix_(alike, opposite)] == pytest.approx(0.0, abs=1e-12)
    assert np.diag(overlap).min() > 0.1


def test_standard_errors_cover_the_truth_as_often_as_they_should():
    # 1500 seeded surveys with 1 mm scatter. With 25 readings over, 95 % of Student's
    # t lies within 2.060 standard errors (from memory); the share seen is good to 0.6
    # % (one sigma), hence 93 to 97 %.
    rng = np.random.default_rng(30)
    truth = damage_field(BODY, sizes=SIZES, frame=FRAME)
    score = []
    for _ in range(1500):
        differences = truth + rng.normal(0, 0.001, truth.shape)
        reading = read_damage(BODY, differences=differences, frame=FRAME)
        error = _array(reading.sizes) - _array(SIZES)
        score.append(error / _array(reading.standard_errors))

    covered = (np.abs(score) < 2.060).mean(axis=0)

    assert covered == pytest.approx(np.full(5, 0.95), abs=0.02)


def test_twice_the_scatter_doubles_standard_errors_and_what_is_left():
    truth = damage_field(BODY, sizes=SIZES, frame=FRAME)
    noise = np.random.default_rng(31).normal(0, 0.001, truth.shape)

    once, twice = (
        read_damage(BODY, differences=truth + k * noise, frame=FRAME) for k in (1, 2)
    )

    assert _array(twice.standard_errors) == pytest.approx(
        2 * _array(once.standard_errors), rel=1e-9
    )
    assert twice.rms_residual == pytest.approx(2 * once.rms_residual, rel=1e-9)


def test_what_is_left_is_told_for_each_point_and_as_a_share():
    # One reading 10 mm off where nothing else moved: what the kinds do not take up.
    differences = np.zeros_like(BODY)
    differences[4, 1] = 0.010

    reading = read_damage(BODY, differences=differences, frame=FRAME)

    assert np.argmax(reading.unexplained) == 4
    squares = (reading.residuals**2).sum()
    assert reading.share_unexplained == pytest.approx(squares / 1e-4, rel=1e-12)
    assert reading.rms_residual == pytest.approx(np.sqrt(squares / 30), rel=1e-12)
    assert 0.9 < reading.share_unexplained <= 1.0


def test_a_reading_of_no_weight_changes_nothing():
    differences = damage_field(BODY, sizes=SIZES, frame=FRAME)
    differences[3, 2] += 0.5  # a gauge that was not read
    weights = np.ones_like(BODY)
    weights[3, 2] = 0.0

    reading = read_damage(BODY, differences=differences, frame=FRAME, weights=weights)

    assert _array(reading.sizes) == pytest.approx(_array(SIZES), abs=1e-12)


def test_kinds_not_asked_for_stay_at_nothing_and_show_as_unexplained():
    differences = damage_field(BODY, sizes=SIZES, frame=FRAME)

    reading = read_damage(
        BODY, differences=differences, frame=FRAME, kinds=("mash", "sidesway")
    )

    assert reading.sizes.sag == reading.sizes.diamond == reading.sizes.twist == 0.0
    assert reading.share_unexplained > 0.05


def test_damage_is_read_whatever_datum_points_the_survey_was_laid_on():
    # A survey in a turned frame, laid on datum points that share in the damage. The
    # rigid part is free, and squares of 0.02 rad times 1 m leave up to 0.4 mm.
    damaged = BODY + damage_field(BODY, sizes=SIZES, frame=FRAME)
    turn = Rotation.from_euler("z", 70, degrees=True)
    measured = turn.apply(damaged) + np.array([3, 1, 0.5])

    for datum in ([0, 1, 2, 3], [0, 1, 8, 9], list(range(10))):
        fit = register(measured, specified=BODY, datum_points=datum)
        reading = read_damage(
            BODY, differences=fit.residuals, frame=FRAME, free_motion=True
        )
        assert _array(reading.sizes) == pytest.approx(_array(SIZES), abs=4e-4)


# ---- what points cannot tell ---------------------------------------------------


def test_points_on_one_rail_cannot_tell_diamond_from_mash():
    # On the left front corner alone both push straight back.
    corner = np.array([[2.2, 0.55, z] for z in (0.3, 0.4, 0.5)])

    with pytest.raises(OutOfRangeError, match="cannot tell mash from diamond"):
        read_damage(
            corner,
            differences=np.zeros_like(corner),
            frame=FRAME,
            kinds=("mash", "diamond"),
        )


def test_points_on_one_rail_cannot_tell_twist_from_sag():
    rail = np.array([[x, 0.55, 0.3] for x in (1.3, 1.6, 1.9, 2.2)])

    with pytest.raises(OutOfRangeError, match="cannot tell sag from twist"):
        read_damage(
            rail,
            differences=np.zeros_like(rail),
            frame=FRAME,
            kinds=("sag", "twist", "sidesway"),
        )


def test_points_ahead_of_the_hinge_alone_cannot_tell_damage_from_a_moved_body():
    front = BODY[BODY[:, 0] > 2.0]
    more = np.concatenate([front, front + np.array([0.0, 0.0, 0.2])])

    with pytest.raises(OutOfRangeError, match="mash from a forward shift of the whole"):
        read_damage(
            more,
            differences=np.zeros_like(more),
            frame=FRAME,
            kinds=("mash",),
            free_motion=True,
        )


def test_points_behind_the_hinge_show_nothing_of_the_front():
    behind = BODY[:4]

    with pytest.raises(OutOfRangeError, match="show nothing of mash, sidesway, sag"):
        read_damage(behind, differences=np.zeros_like(behind), frame=FRAME)


def test_kinds_that_points_tell_apart_only_poorly_are_named():
    # Nearly one rail: the other side is read 60 mm from the centre plane only.
    near = np.array(
        [[x, y, 0.3] for x in (1.4, 1.8, 2.2) for y in (0.55, 0.45)]
        + [[2.2, 0.30, 0.3]]
    )
    differences = damage_field(near, sizes=SIZES, frame=FRAME)

    reading = read_damage(near, differences=differences, frame=FRAME)

    assert ("sag", "twist") in reading.confusable
    assert (
        read_damage(BODY, differences=np.zeros_like(BODY), frame=FRAME).confusable == ()
    )


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"kinds": ("crumple",)}, "choose one or more of mash, sidesway"),
        ({"kinds": ()}, "choose one or more"),
        ({"kinds": ("mash", "mash")}, "once each"),
        ({"differences": BODY[:3]}, "3 differences do not belong to 10 positions"),
        ({"differences": BODY * np.nan}, "number 1 of the differences has x = nan"),
        ({"weights": np.zeros((10, 3))}, "not all 0"),
        ({"weights": np.ones(7)}, "do not fit readings"),
        ({"weights": np.eye(10, 3)}, "show nothing of"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_with_the_reason(change, sentence):
    request = {"differences": np.zeros_like(BODY), "frame": FRAME, **change}

    with pytest.raises(OutOfRangeError, match=sentence):
        read_damage(BODY, **request)


def test_as_many_sizes_as_readings_leave_no_error_to_judge():
    point = BODY[-2:-1]

    with pytest.raises(OutOfRangeError, match="3 readings for 3 unknown sizes"):
        read_damage(
            point,
            differences=np.zeros_like(point),
            frame=FRAME,
            kinds=("mash", "sidesway", "sag"),
        )


@pytest.mark.parametrize(
    "planes",
    [
        {"hinge_x": 2.0, "front_x": 1.0},
        {"hinge_x": 1.0, "front_x": 1.0},
        {"hinge_x": np.nan},
        {"hinge_x": -np.inf},
        {"width": 0.0},
        {"sag_low_x": 2.5},
    ],
)
def test_a_frame_whose_planes_are_out_of_order_is_refused(planes):
    with pytest.raises(OutOfRangeError, match="must step forward"):
        DamageFrame(**{"hinge_x": 1.2, "front_x": 2.2, "width": 1.1, **planes})


def test_every_kind_has_a_meaning_in_words():
    assert tuple(text("damage")) == KINDS == tuple(asdict(SIZES))


def _outcome(solve, *args, **kwargs):
    try:
        return solve(*args, **kwargs)
    except OutOfRangeError as refusal:
        return str(refusal)


@settings(max_examples=100, deadline=None)
@given(
    arrays(float, (6, 3), elements=st.floats(-1e4, 1e4)),
    arrays(float, (6, 3), elements=st.floats(allow_nan=True, allow_infinity=True)),
    arrays(float, (6, 3), elements=st.floats(0, 1e308)),
    st.sets(st.sampled_from(KINDS), min_size=1),
    st.booleans(),
)
def test_any_numbers_give_a_finite_reading_or_a_reason(
    positions, differences, weights, kinds, free_motion
):
    reading = _outcome(
        read_damage, positions, differences=differences, frame=FRAME,
        kinds=sorted(kinds), weights=weights, free_motion=free_motion,
    )  # fmt: skip

    assert (
        isinstance(reading, str)
        or np.isfinite([*_array(reading.sizes), *_array(reading.standard_errors)]).all()
    )


@settings(max_examples=60, deadline=None)
@given(
    arrays(float, (10, 3), elements=st.floats(-0.05, 0.05)),
    arrays(float, (10, 3), elements=st.floats(0.1, 10)),
)
def test_what_is_left_is_never_more_than_what_was_there(differences, weights):
    reading = read_damage(BODY, differences=differences, frame=FRAME, weights=weights)

    assert 0.0 <= reading.share_unexplained <= 1.0
    assert np.isfinite(_array(reading.standard_errors)).all()


def test_many_surveys_at_once_are_those_of_each():
    rng = np.random.default_rng(40)
    made = {kind: rng.normal(0, 0.01, (4, 3)) for kind in KINDS}
    bent = damage_field(BODY, sizes=DamageSizes(**made), frame=FRAME)
    bent = bent + rng.normal(0, 0.001, bent.shape)
    assert bent.shape == (4, 3, *BODY.shape)

    many = read_damage(BODY, differences=bent, frame=FRAME)

    for place in np.ndindex(4, 3):
        alone = read_damage(BODY, differences=bent[place], frame=FRAME)
        for kind in KINDS:
            size = getattr(many.sizes, kind)[place]
            error = getattr(many.standard_errors, kind)[place]
            assert size == pytest.approx(getattr(alone.sizes, kind), rel=1e-9)
            assert error == pytest.approx(getattr(alone.standard_errors, kind))
        assert many.residuals[place] == pytest.approx(alone.residuals, abs=1e-12)
        assert many.unexplained[place] == pytest.approx(alone.unexplained, abs=1e-12)
        assert many.rms_residual[place] == pytest.approx(alone.rms_residual)
        assert many.share_unexplained[place] == pytest.approx(alone.share_unexplained)
        for kind, sides in alone.sides.items():
            assert many.sides[kind].left[place] == pytest.approx(sides.left)
            assert many.sides[kind].differ[place] == sides.differ
    assert many.confusable == alone.confusable


def test_a_survey_without_differences_among_many_has_nothing_unexplained():
    bent = np.zeros((2, *BODY.shape))
    bent[1, 8, 0] = 0.01  # the left front point alone

    share = read_damage(BODY, differences=bent, frame=FRAME).share_unexplained

    assert share[0] == 0
    assert 0.1 < share[1] < 0.9


def test_sizes_of_unlike_shapes_are_refused():
    sizes = DamageSizes(mash=np.zeros(2), sag=np.zeros(3))

    with pytest.raises(OutOfRangeError, match="mash of shape"):
        damage_field(BODY, sizes=sizes, frame=FRAME)


def test_a_reading_of_many_surveys_is_refused_by_its_point_and_axis():
    bent = np.zeros((3, *BODY.shape))
    bent[2, 4, 1] = np.nan

    with pytest.raises(OutOfRangeError, match="number 5 of the differences has y"):
        read_damage(BODY, differences=bent, frame=FRAME)
