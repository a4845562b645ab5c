"""Laws of the rigid fit: what it must recover, refuse and never do."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.spatial.transform import Rotation

from workbook.errors import OutOfRangeError
from workbook.mechanics.survey.disagreement import find_disagreement
from workbook.mechanics.survey.registration import fit_error_at, register
from workbook.mechanics.survey.tapes import left_right_difference
from workbook.mechanics.survey.tilt import (
    height_without_tilt,
    read_with_tilt,
    tilt_of_fit,
    tilt_of_points,
)

# Invented datum points of a car body: long, half as wide, nearly flat.
BASE = np.array(
    [
        [0.0, 0.52, 0.31], [0.0, -0.52, 0.31], [1.1, 0.60, 0.18], [1.1, -0.60, 0.18],
        [2.0, 0.56, 0.22], [2.0, -0.56, 0.22], [0.6, 0.58, 0.17], [0.6, -0.58, 0.17],
    ]
)  # fmt: skip


def _moved(points, seed):
    rng = np.random.default_rng(seed)
    turn = Rotation.random(rng=rng)
    return turn.apply(points) + rng.uniform(-3, 3, 3)


def test_a_known_turn_and_shift_are_recovered():
    # Eight seeded points within 2 m, Euler angles 3, -2, 25 degrees (about x, y, z),
    # shift (120, -40, 35) mm; own calculation. Rotation to 1e-12, shift to 1e-9 mm.
    rng = np.random.default_rng(20)
    measured = rng.uniform(-2, 2, (8, 3))
    turn = Rotation.from_euler("xyz", [3, -2, 25], degrees=True)
    shift = np.array([0.120, -0.040, 0.035])

    fit = register(measured, specified=turn.apply(measured) + shift)

    assert fit.rotation == pytest.approx(turn.as_matrix(), abs=1e-12)
    assert fit.translation == pytest.approx(shift, abs=1e-12)
    homogeneous = np.append(measured[3], 1.0)
    carried = fit.T_nominal_measured @ homogeneous
    assert carried[:3] == pytest.approx(turn.apply(measured[3]) + shift, abs=1e-12)


@pytest.mark.parametrize("seed", range(20))
def test_a_rigid_motion_leaves_no_residual(seed):
    fit = register(_moved(BASE, seed), specified=BASE)

    assert fit.rms_residual == pytest.approx(0.0, abs=1e-13)
    assert fit.residuals == pytest.approx(np.zeros((8, 3)), abs=1e-13)


def test_more_scatter_leaves_a_larger_residual():
    noise = np.random.default_rng(3).normal(size=BASE.shape)
    scatters = [0.0, 0.001, 0.002, 0.004, 0.008]

    left = [register(BASE + s * noise, specified=BASE).rms_residual for s in scatters]

    assert np.all(np.diff(left) > 0)


def test_the_fit_takes_its_known_share_of_the_scatter():
    # Six of the 3 n readings go into the fit, so the mean square distance left is
    # 3 sigma^2 (1 - 2/n). 4000 surveys: standard error 1.6/sqrt(18 * 4000) = 0.5 %.
    rng = np.random.default_rng(4)
    surveys = BASE + rng.normal(0, 0.001, (4000, 8, 3))

    left = register(surveys, specified=BASE).rms_residual

    assert (left**2).mean() == pytest.approx(3e-6 * (1 - 2 / 8), rel=0.02)


@pytest.mark.parametrize("flat", [1.0, 0.3, 0.0])
def test_a_mirror_image_is_never_fitted_by_a_mirror(flat):
    # flat = 0: all points in one plane, where a turn does what a mirror would.
    rng = np.random.default_rng(5)
    specified = rng.uniform(-1, 1, (9, 3)) * [2.0, 1.0, flat]
    mirrored = specified * [1.0, -1.0, 1.0]

    fit = register(mirrored, specified=specified)

    assert np.linalg.det(fit.rotation) == pytest.approx(1.0, abs=1e-12)
    assert (fit.rms_residual < 1e-12) == (flat == 0.0)


def test_points_in_one_plane_are_fitted_without_loss():
    flat = BASE * [1.0, 1.0, 0.0]

    fit = register(_moved(flat, 6), specified=flat)

    assert fit.rms_residual == pytest.approx(0.0, abs=1e-13)


def test_the_order_of_points_does_not_matter():
    rng = np.random.default_rng(7)
    measured = _moved(BASE, 7) + rng.normal(0, 0.003, BASE.shape)
    weights = rng.uniform(0.5, 2, 8)
    order = rng.permutation(8)

    straight = register(measured, specified=BASE, weights=weights)
    shuffled = register(measured[order], specified=BASE[order], weights=weights[order])

    assert shuffled.rotation == pytest.approx(straight.rotation, abs=1e-12)
    assert shuffled.residuals == pytest.approx(straight.residuals[order], abs=1e-12)


def test_fitting_back_is_the_inverse_of_fitting():
    measured = _moved(BASE, 8) + np.random.default_rng(8).normal(0, 0.003, BASE.shape)

    there = register(measured, specified=BASE)
    back = register(BASE, specified=measured)

    both = there.T_nominal_measured @ back.T_nominal_measured
    assert both == pytest.approx(np.eye(4), abs=1e-12)


def test_a_heavy_point_is_met_more_closely():
    measured = BASE.copy()
    measured[0] += [0.010, 0.0, 0.0]
    heavy = np.array([1000.0, 1, 1, 1, 1, 1, 1, 1])

    even = register(measured, specified=BASE)
    weighted = register(measured, specified=BASE, weights=heavy)

    def left_at_first(fit):
        return np.linalg.norm(fit.residuals[0])

    assert left_at_first(weighted) < 0.1 * left_at_first(even)


def test_points_off_the_datum_show_their_whole_difference():
    measured = BASE + np.array([0.2, 0.1, 0.0])
    measured[4] += [-0.012, 0.004, 0.002]
    rests_on = [0, 1, 2, 3]

    fit = register(measured, specified=BASE, datum_points=rests_on)
    mask = np.isin(np.arange(8), rests_on)
    same = register(measured, specified=BASE, datum_points=mask)

    assert fit.residuals[4] == pytest.approx([-0.012, 0.004, 0.002], abs=1e-13)
    assert fit.rms_residual == pytest.approx(0.0, abs=1e-13)
    assert same.residuals == pytest.approx(fit.residuals, abs=1e-15)


def test_many_surveys_in_one_call_equal_one_at_a_time():
    rng = np.random.default_rng(9)
    surveys = rng.uniform(-2, 2, (2, 3, 6, 3))
    specified = rng.uniform(-2, 2, (3, 6, 3))

    together = register(surveys, specified=specified)

    assert together.T_nominal_measured.shape == (2, 3, 4, 4)
    assert together.rms_residual.shape == (2, 3)
    for i, j in np.ndindex(2, 3):
        alone = register(surveys[i, j], specified=specified[j])
        assert together.rotation[i, j] == pytest.approx(alone.rotation, abs=1e-12)
        assert together.residuals[i, j] == pytest.approx(alone.residuals, abs=1e-12)


@pytest.mark.parametrize("width", [0.5, 0.1, 0.03, 0.015])
def test_thin_bases_are_fitted_as_well_as_wide_ones(width):
    # Both ways of computing the turn are met: closed form, and singular values where
    # the points are thin. Rounding grows as one over the square of the width.
    thin = BASE * [1.0, width, width]

    fit = register(_moved(thin, 10), specified=thin)

    assert fit.rms_residual == pytest.approx(0.0, abs=1e-12)
    assert fit.rotation @ fit.rotation.T == pytest.approx(np.eye(3), abs=1e-11)


def test_a_very_thin_base_that_is_allowed_still_gives_a_true_turn():
    # Closed form would lose digits as one over the fourth power of the width.
    thin = BASE * [1.0, 0.0008, 0.0008]

    fit = register(_moved(thin, 15), specified=thin, spread_tolerance=1e-4)

    assert fit.rotation @ fit.rotation.T == pytest.approx(np.eye(3), abs=1e-12)


def test_the_mirror_image_of_a_thin_base_is_fitted_by_a_turn_too():
    thin = BASE * [1.0, 0.08, 0.08]
    mirrored = thin * [1.0, -1.0, 1.0]

    fit = register(mirrored, specified=thin)

    assert np.linalg.det(fit.rotation) == pytest.approx(1.0, abs=1e-12)
    assert fit.rms_residual > 0.005


# ---- the error of the fit ----------------------------------------------------


@pytest.mark.parametrize("weighted", [False, True])
def test_the_predicted_error_is_what_many_surveys_show(weighted):
    rng = np.random.default_rng(11)
    scatter = rng.uniform(0.5e-3, 2e-3, 8)
    weights = 1 / scatter**2 if weighted else np.ones(8)
    targets = np.array([[1.0, 0.0, 0.2], [3.6, 0.5, 0.5], [-1.0, -0.6, 1.2]])
    surveys = BASE + scatter[:, None] * rng.normal(size=(6000, 8, 3))

    predicted = fit_error_at(
        targets, datum_points=BASE, scatter=scatter, weights=weights
    )
    fits = register(surveys, specified=BASE, weights=weights)

    seen = (fits.transform(targets) - targets).std(axis=0)
    # A standard deviation from 6000 draws is itself good to 1/sqrt(12000) = 0.9 %.
    assert seen == pytest.approx(predicted, rel=0.04)


def test_the_error_is_least_at_the_middle_of_the_base_and_grows_away():
    away = np.linspace(0, 5, 11)[:, None] * [1.0, 0.0, 0.0] + BASE.mean(0)

    error = np.linalg.norm(
        fit_error_at(away, datum_points=BASE, scatter=0.001), axis=-1
    )

    assert np.all(np.diff(error) > 0)
    assert error[0] == pytest.approx(0.001 * np.sqrt(3 / 8), rel=1e-12)


def test_twice_the_scatter_is_twice_the_error():
    target = [[3.5, 0.4, 0.4]]

    once = fit_error_at(target, datum_points=BASE, scatter=0.001)
    twice = fit_error_at(target, datum_points=BASE, scatter=0.002)

    assert twice == pytest.approx(2 * once, rel=1e-12)


# ---- which datum points disagree ----------------------------------------------


@pytest.mark.parametrize("bent", range(8))
def test_one_bent_datum_point_is_named_and_no_other(bent):
    rng = np.random.default_rng(12)
    measured = _moved(BASE, 12) + rng.normal(0, 0.0005, BASE.shape)
    measured[bent] += [0.0, 0.009, -0.009]

    hint = find_disagreement(measured, specified=BASE, agreement=0.003)

    assert np.flatnonzero(hint.disagrees).tolist() == [bent]
    assert hint.distance[bent] == pytest.approx(0.0127, abs=0.003)
    assert hint.exhaustive


def test_three_bent_points_of_eight_are_named_though_the_plain_fit_hides_them():
    measured = _moved(BASE, 13)
    measured[[1, 4, 6]] += np.array([[0.02, 0, 0], [0, 0.02, 0], [0, 0, 0.02]])

    hint = find_disagreement(measured, specified=BASE, agreement=0.002)
    plain = register(measured, specified=BASE)

    assert np.flatnonzero(hint.disagrees).tolist() == [1, 4, 6]
    assert hint.distance[[1, 4, 6]] == pytest.approx(0.02, rel=1e-9)
    # The plain fit blames the sound points, four times over.
    sound = [0, 2, 3, 5, 7]
    assert np.linalg.norm(plain.residuals[sound], axis=-1).max() > 4 * 0.002


def test_drawn_triples_name_what_all_triples_name():
    measured = _moved(BASE, 14)
    measured[3] += [0.0, 0.0, 0.015]

    every = find_disagreement(measured, specified=BASE, agreement=0.002)
    drawn = find_disagreement(
        measured, specified=BASE, agreement=0.002, max_triples=40,
        rng=np.random.default_rng(1),
    )  # fmt: skip

    assert not drawn.exhaustive
    assert drawn.disagrees.tolist() == every.disagrees.tolist()
    assert drawn.distance == pytest.approx(every.distance, abs=1e-12)


def test_two_halves_that_disagree_name_nobody():
    measured = BASE.copy()
    measured[4:] += [0.05, 0.0, 0.0]

    with pytest.raises(OutOfRangeError, match="4 of 8 points agree within 2 mm"):
        find_disagreement(measured, specified=BASE, agreement=0.002)


def test_many_votes_are_those_of_each_survey():
    surveys = np.stack([_moved(BASE, seed) for seed in range(5)])
    for row, bent in enumerate([0, 3, 6]):
        surveys[row, bent] += [0.0, 0.004, 0.015]
    surveys[4, :4] += [0.05, 0.0, 0.0]  # two halves, and no majority

    many = find_disagreement(surveys, specified=BASE, agreement=0.002)

    assert many.settled.tolist() == [True] * 4 + [False]
    for row in range(4):
        alone = find_disagreement(surveys[row], specified=BASE, agreement=0.002)
        assert many.disagrees[row].tolist() == alone.disagrees.tolist()
        assert many.distance[row] == pytest.approx(alone.distance, abs=1e-12)
        assert many.registration.rotation[row] == pytest.approx(
            alone.registration.rotation, abs=1e-12
        )
    assert np.flatnonzero(many.disagrees.any(axis=1)).tolist() == [0, 1, 2]
    assert np.isnan(many.distance[4]).all()
    for name in ("rotation", "translation", "residuals", "rms_residual"):
        assert np.isnan(getattr(many.registration, name)[4]).all()


def test_a_survey_in_one_line_among_many_names_nobody():
    line = BASE * [1.0, 0.0, 0.0]

    many = find_disagreement(np.stack([BASE, line]), specified=BASE, agreement=0.002)

    assert many.settled.tolist() == [True, False]
    assert np.isnan(many.distance[1]).all()


def test_points_that_agree_but_hold_no_turn_name_nobody():
    # Five agree; three of them are just wide enough, all five are not.
    there = np.array(
        [[0, 0, 0], [1, 0, 0], [0.5, 0.03, 0], [20, 0, 0], [21, 0, 0], [10, 1, 0]]
    )
    bent = there.copy()
    bent[5] += [0.2, 0.0, 0.0]

    with pytest.raises(OutOfRangeError, match="as wide as long"):
        find_disagreement(bent, specified=there, agreement=0.002)
    many = find_disagreement(np.stack([there, bent]), specified=there, agreement=0.002)

    assert many.settled.tolist() == [True, False]


# ---- tilt and symmetry ---------------------------------------------------------


def test_a_nose_up_bench_is_seen_the_same_by_fit_and_by_level_points():
    # A turn of 0.5 degrees about the axis to the right raises the nose.
    turn = Rotation.from_euler("y", -0.5, degrees=True)
    level = BASE * [1.0, 1.0, 0.0]

    from_fit = tilt_of_fit(register(turn.apply(BASE), specified=BASE))
    from_plane = tilt_of_points(turn.apply(level))

    assert np.degrees(from_fit.nose_up) == pytest.approx(0.5, abs=1e-9)
    assert from_fit.left_up == pytest.approx(0.0, abs=1e-12)
    assert np.degrees(from_plane.nose_up) == pytest.approx(0.5, abs=1e-9)
    assert from_plane.left_up == pytest.approx(0.0, abs=1e-12)


def test_a_left_up_bench_is_plus():
    turn = Rotation.from_euler("x", 0.8, degrees=True)

    tilt = tilt_of_fit(register(turn.apply(BASE), specified=BASE))

    assert np.degrees(tilt.left_up) == pytest.approx(0.8, abs=1e-9)
    assert np.degrees(tilt.nose_up) == pytest.approx(0.0, abs=1e-9)


def test_many_planes_are_those_of_each_set_of_points():
    rng = np.random.default_rng(5)
    sets = rng.uniform([0, -0.6, 0.25], [2.5, 0.6, 0.30], (2, 3, 9, 3))

    many = tilt_of_points(sets)

    assert many.nose_up.shape == many.left_up.shape == (2, 3)
    for place in np.ndindex(2, 3):
        alone = tilt_of_points(sets[place])
        assert many.nose_up[place] == pytest.approx(float(alone.nose_up), abs=1e-13)
        assert many.left_up[place] == pytest.approx(float(alone.left_up), abs=1e-13)


@given(st.floats(-1.5, 1.5), st.floats(-4, 4), st.floats(-1, 1), st.floats(0, 2))
def test_a_reading_on_a_tilted_base_is_a_turn_that_the_fit_takes_out(tilt, x, y, z):
    points = np.vstack([BASE, [[x, y, z]]])

    read = read_with_tilt(points, nose_up=tilt)

    turn = Rotation.from_euler("y", -tilt)
    assert read == pytest.approx(turn.apply(points), abs=1e-12)
    fit = register(read, specified=points)
    assert fit.residuals == pytest.approx(np.zeros((len(points), 3)), abs=1e-11)
    assert tilt_of_fit(fit).nose_up == pytest.approx(tilt, abs=1e-9)
    # Taken out of the height alone, the tilt leaves it too long by its secant.
    height = height_without_tilt(read[-1, 2], x=read[-1, 0], nose_up=tilt)
    assert height == pytest.approx(z / np.cos(tilt), abs=1e-9)


def test_many_tilts_are_read_at_once():
    tilts = np.array([[0.1], [-0.2]])

    read = read_with_tilt(BASE, nose_up=tilts)

    assert read.shape == (2, 1, *BASE.shape)
    assert read[1, 0] == pytest.approx(read_with_tilt(BASE, nose_up=-0.2), abs=1e-15)


def test_points_alike_on_both_sides_do_not_differ():
    left, right = BASE[::2], BASE[1::2]

    difference = left_right_difference(
        left, right=right, specified_left=left, specified_right=right
    )

    assert difference == pytest.approx(np.zeros((4, 3)), abs=1e-15)


def test_sides_unlike_by_design_are_not_compared():
    left, right = BASE[0], BASE[1] - [0.012, 0.0, 0.0]

    with pytest.raises(OutOfRangeError, match="12 mm by design"):
        left_right_difference(
            left, right=right, specified_left=left, specified_right=right
        )


# ---- refusals ------------------------------------------------------------------

LINE = np.array([[0, 0, 0], [1, 0.001, 0], [2, 0, 0.001], [3, 0.001, 0]], dtype=float)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"datum_points": [0, 1]}, "2 base points with weight"),
        ({"datum_points": [0, 1, 9]}, "from 0 to 7"),
        ({"weights": [0, 0, 0, 0, 0, 0, 1, 1]}, "2 base points with weight"),
        ({"weights": np.zeros(8)}, "0 base points with weight"),
        ({"weights": -np.ones(8)}, "a weight is negative"),
        ({"weights": np.ones(5)}, "give one a point"),
        ({"specified": BASE[:5]}, "8 measured points cannot be laid over 5"),
        ({"specified": BASE + np.inf}, "number 1 of the specified points has x = inf"),
        ({"specified": np.zeros((8, 3))}, "keeps the body from turning"),
        ({"specified": [["a", "b", "c"]]}, "must be numbers"),
    ],
)
def test_a_fit_that_cannot_stand_is_refused_with_the_reason(change, sentence):
    with pytest.raises(OutOfRangeError, match=sentence):
        register(BASE, **{"specified": BASE, **change})


def test_points_in_one_line_are_refused_by_their_width():
    with pytest.raises(OutOfRangeError, match=r"only 0\.0\d+ % as wide as long"):
        register(LINE, specified=LINE)
    with pytest.raises(OutOfRangeError, match="as wide as long"):
        fit_error_at(BASE, datum_points=LINE, scatter=0.001)


def test_a_mirrored_round_body_has_no_best_turn():
    # A square bar: its mirror image fits as badly after every turn about the bar.
    bar = np.array([[x, y, z] for x in (-2, 2) for y in (-1, 1) for z in (-1, 1)])

    with pytest.raises(OutOfRangeError, match="left and right are swapped"):
        register(bar * [1.0, -1.0, 1.0], specified=bar)


def test_a_survey_upside_down_has_no_tilt():
    over = BASE * [1.0, -1.0, -1.0]

    with pytest.raises(OutOfRangeError, match="upside down"):
        tilt_of_fit(register(over, specified=BASE))


def _outcome(solve, *args, **kwargs):
    try:
        return solve(*args, **kwargs)
    except OutOfRangeError as refusal:
        return str(refusal)


@settings(max_examples=80, deadline=None)
@given(
    arrays(float, (5, 3), elements=st.floats(allow_nan=True, allow_infinity=True)),
    arrays(float, (5, 3), elements=st.floats(-5, 5)),
    arrays(float, 5, elements=st.floats(0, 1.7e308)),
)
def test_any_numbers_give_a_finite_fit_or_a_reason(measured, specified, weights):
    fit = _outcome(register, measured, specified=specified, weights=weights)

    assert isinstance(fit, str) or np.isfinite(fit.residuals).all()


@settings(max_examples=80, deadline=None)
@given(
    arrays(float, (5, 3), elements=st.floats(-5, 5)),
    arrays(float, (5, 3), elements=st.floats(-5, 5)),
    st.floats(1e-9, 1e-3),
)
def test_every_fit_is_a_turn_whatever_the_points(measured, specified, scatter):
    fit = _outcome(register, measured, specified=specified)
    error = _outcome(fit_error_at, measured, datum_points=specified, scatter=scatter)

    assert isinstance(fit, str) or np.isclose(np.linalg.det(fit.rotation), 1, atol=1e-6)
    assert isinstance(error, str) or np.isfinite(error).all()


@settings(max_examples=80, deadline=None)
@given(
    arrays(float, (5, 3), elements=st.floats(-0.002, 0.002)),
    st.floats(1e-300, 1e300),
)
def test_any_vote_gives_finite_distances_or_a_reason(scatter, agreement):
    measured = BASE[:5] + scatter

    hint = _outcome(
        find_disagreement, measured, specified=BASE[:5], agreement=agreement
    )

    assert isinstance(hint, str) or np.isfinite(hint.distance).all()
