"""Edges of the survey: the last value that passes, and the first that does not."""

from itertools import combinations

import numpy as np
import pytest

from workbook.errors import OutOfRangeError
from workbook.mechanics.survey.damage import (
    DamageFrame,
    read_damage,
    twist_angle,
)
from workbook.mechanics.survey.disagreement import find_disagreement
from workbook.mechanics.survey.least_squares import weighted_least_squares
from workbook.mechanics.survey.registration import (
    Registration,
    fit_error_at,
    register,
    small_motion_rows,
)
from workbook.mechanics.survey.rigid_motion import (
    _turn_by_svd,
    _turn_in_closed_form,
)
from workbook.mechanics.survey.sides import side_columns, sides_of
from workbook.mechanics.survey.tapes import (
    left_right_difference,
    length_along_datum,
)
from workbook.mechanics.survey.tilt import (
    height_without_tilt,
    read_with_tilt,
    tilt_of_fit,
    tilt_of_points,
)

SQUARE = np.array([[0, 0.5, 0], [1, 0.5, 0.1], [1, -0.5, 0], [0, -0.5, 0.2], [2, 0, 0]])
FRAME = DamageFrame(hinge_x=0.2, front_x=1.2, width=1.0)


def test_nothing_is_unexplained_where_nothing_differs():
    reading = read_damage(
        SQUARE, differences=np.zeros((5, 3)), frame=FRAME, kinds=("mash",)
    )

    assert reading.share_unexplained == 0
    assert reading.rms_residual == 0


@pytest.mark.parametrize("points", [[[1, 2, 3]] * 4, [[1, 2, 3]] * 3 + [[1, 2, 4]]])
def test_points_in_one_place_hold_no_fit(points):
    with pytest.raises(OutOfRangeError, match="keeps the body from turning"):
        register(points, specified=points)


def test_points_read_twice_change_no_fit():
    moved = SQUARE + np.array([0.3, -0.1, 0.2])
    twice = np.concatenate([SQUARE, SQUARE[:2]])

    fit = register(np.concatenate([moved, moved[:2]]), specified=twice)

    assert fit.translation == pytest.approx([-0.3, 0.1, -0.2])


@pytest.mark.parametrize("bad", [[1.0, 2.0], np.zeros((2, 0, 3)), np.ones((4, 2)), 3.0])
def test_a_list_of_points_says_which_shape_it_wants(bad):
    with pytest.raises(OutOfRangeError, match=r"must have the shape \(..., n, 3\)"):
        register(bad, specified=SQUARE)


def test_all_triples_are_tried_up_to_the_limit_and_drawn_beyond():
    measured = SQUARE + np.array([0.1, 0, 0])
    ten = find_disagreement(measured, specified=SQUARE, agreement=1e-3, max_triples=10)
    drawn = find_disagreement(
        measured,
        specified=SQUARE,
        agreement=1e-3,
        max_triples=9,
        rng=np.random.default_rng(0),
    )

    assert (ten.exhaustive, drawn.exhaustive) == (True, False)
    with pytest.raises(OutOfRangeError, match="random generator"):
        find_disagreement(measured, specified=SQUARE, agreement=1e-3, max_triples=9)


def test_a_reading_of_no_weight_is_none_to_spare():
    line = np.column_stack([np.ones(3), np.arange(3.0)])

    with pytest.raises(OutOfRangeError, match="2 readings for 2 unknown sizes"):
        weighted_least_squares(
            line,
            observed=np.array([1.0, 3.0, 5.0]),
            weights=np.array([1.0, 1.0, 0.0]),
            names=["damage.mash", "damage.sag"],
        )


def test_the_error_of_a_difference_is_that_of_a_fit_for_the_difference():
    # A second route: columns for the mean of both sides and for half their difference.
    rng = np.random.default_rng(5)
    y = np.array([0.5, 0.5, -0.5, 0.0, 0.0, 0.5])
    column = rng.normal(size=(6, 3))
    two = side_columns(column, y=y)
    how = {
        "observed": rng.normal(size=18),
        "weights": np.ones(18),
        "names": ["damage.sag"] * 2,
    }

    sides = sides_of(weighted_least_squares(two.reshape(18, 2), **how))
    apart = two @ np.array([[1, 1], [1, -1]]) / [1, 2]
    half = weighted_least_squares(apart.reshape(18, 2), **how)

    assert sides.left - sides.right == pytest.approx(half.coefficients[1])
    error = np.sqrt(half.covariance[1, 1])
    assert sides.difference_error == pytest.approx(error)


FARTHEST = 1e4  # m: a place farther off is a slip of the decimal point


@pytest.mark.parametrize("sign", [1, -1])
def test_a_place_may_be_as_far_as_the_limit_and_no_farther(sign):
    far = np.array([sign * FARTHEST, 0.0, 0.0])

    assert length_along_datum(FARTHEST, rise=0.0) == FARTHEST
    with pytest.raises(OutOfRangeError):
        length_along_datum(1.001 * FARTHEST, rise=0.0)
    twist_angle(sign * FARTHEST, rear_difference=-sign * FARTHEST, width=FARTHEST)
    for front, rear, width in ((1.001, 0, 1), (0, 1.001, 1), (0, 0, 1.001)):
        with pytest.raises(OutOfRangeError):
            twist_angle(
                sign * front * FARTHEST,
                rear_difference=sign * rear * FARTHEST,
                width=width * FARTHEST,
            )
    left_right_difference(far, right=far, specified_left=far, specified_right=far)
    with pytest.raises(OutOfRangeError, match="x"):
        left_right_difference(
            1.001 * far, right=far, specified_left=far, specified_right=far
        )


def test_of_many_surveys_the_thinnest_is_quoted():
    # Four points 2 m apart along x and 8 mm along y: 0.4 % as wide as long.
    wide = np.array([[1.0, 1, 0], [-1, 1, 0], [1, -1, 0], [-1, -1, 0]])
    both = np.stack([wide, wide * [1, 0.004, 1]])

    with pytest.raises(OutOfRangeError) as refusal:
        register(both, specified=both)

    assert refusal.value.values["percent"] == pytest.approx(0.4)


def test_points_in_a_line_are_refused_as_such_before_any_vote():
    # The specified points spread, so that no three of the measured ones agree.
    line = np.outer(np.arange(5.0), [1, 0, 0])

    with pytest.raises(OutOfRangeError, match="keeps the body from turning"):
        find_disagreement(line, specified=SQUARE, agreement=1e-3)


def test_only_the_ratio_of_weights_counts():
    moved = SQUARE + np.array([0.1, 0, 0])
    moved[2] += [0, 0.01, 0]
    weights = np.array([1.0, 2, 3, 4, 5])

    plain = register(moved, specified=SQUARE, weights=weights)
    # So small that its products with squares of millimetres would vanish.
    tiny = register(moved, specified=SQUARE, weights=2.0**-1060 * weights)

    assert tiny.residuals == pytest.approx(plain.residuals, abs=1e-12)
    assert tiny.rms_residual == pytest.approx(plain.rms_residual)


def test_points_move_with_a_small_shift_and_turn_of_the_body():
    shift, turn = np.array([0.01, 0.02, 0.03]), np.array([1e-3, 2e-3, 3e-3])

    moved = small_motion_rows(SQUARE) @ np.concatenate([shift, turn])

    assert moved == pytest.approx(shift + np.cross(turn, SQUARE))


def test_slides_and_turns_of_the_body_are_told_apart_wherever_it_stands():
    # Turns are taken about the middle of the points: about any other place a turn
    # would also slide them, and the two would lean on one another.
    grid = np.array([[x, y, 0.3] for x in (0, 1, 1.5, 2) for y in (0.5, -0.5)])
    reading = read_damage(
        grid + np.array([100.0, 0, 0]),
        differences=np.zeros_like(grid),
        frame=DamageFrame(hinge_x=100.9, front_x=102.0, width=1.0),
        kinds=("mash",),
        free_motion=True,
        confusable_above=0.999,
    )

    assert reading.confusable == ()


def test_one_impossible_scatter_among_many_is_refused():
    fit_error_at(SQUARE, datum_points=SQUARE, scatter=[0, 1e-3, 1e-3, 1e-3, FARTHEST])
    for bad in (-1e-9, 1.001 * FARTHEST, np.nan):
        with pytest.raises(OutOfRangeError):
            fit_error_at(SQUARE, datum_points=SQUARE, scatter=[1e-3] * 4 + [bad])


def test_a_vote_is_held_on_the_same_four_points_or_more():
    def reason(points):
        with pytest.raises(OutOfRangeError) as refusal:
            find_disagreement(points, specified=points, agreement=1e-3)
        return refusal.value.reason

    four = find_disagreement(SQUARE[:4], specified=SQUARE[:4], agreement=1e-3)

    assert not four.disagrees.any()
    assert reason(SQUARE[:3]) == "registration.no_vote"
    with pytest.raises(OutOfRangeError) as refusal:
        find_disagreement(SQUARE, specified=SQUARE[:4], agreement=1e-3)
    assert refusal.value.reason == "registration.one_survey"


def test_three_points_in_a_line_leave_the_vote_to_the_others():
    points = np.array([[0, 0, 0], [1, 0, 0], [2, 0, 0], [0, 1, 0], [2, 1, 0.5]])
    moved = points + np.array([0.2, 0.1, 0.0])
    moved[4] += [0, 0, 0.02]

    hint = find_disagreement(moved, specified=points, agreement=2e-3)

    assert hint.disagrees.tolist() == [False, False, False, False, True]


@pytest.mark.parametrize("tilt", [np.pi / 2, -np.pi / 2, [0.1, -2.0], [-2.0, 0.1]])
def test_a_bench_on_its_edge_has_no_height_without_tilt(tilt):
    steepest = np.degrees(np.max(np.abs(tilt)))
    for call in (
        lambda: height_without_tilt(0.3, x=1.0, nose_up=tilt),
        lambda: read_with_tilt([[1.0, 0.0, 0.3]], nose_up=tilt),
    ):
        with pytest.raises(OutOfRangeError) as refusal:
            call()
        assert refusal.value.values["degrees"] == pytest.approx(steepest)


def test_one_survey_upside_down_among_many_has_no_tilt():
    over = SQUARE * [1, -1, -1]
    both = register(np.stack([SQUARE, over]), specified=np.stack([SQUARE, SQUARE]))

    with pytest.raises(OutOfRangeError) as refusal:
        tilt_of_fit(both)
    assert refusal.value.reason == "registration.upside_down"


def test_level_points_must_spread_in_plan_and_not_in_height():
    with pytest.raises(OutOfRangeError) as refusal:
        tilt_of_points([[0, 0, 0], [1, 0, 1], [2, 0, 0]])
    assert refusal.value.reason == "registration.free_to_turn"


@pytest.mark.parametrize(("row", "axis"), [(0, 2), (4, 0), (3, 1)])
def test_a_place_that_is_none_is_told_by_its_number_and_axis(row, axis):
    wrong = SQUARE.copy()
    wrong[row, axis] = np.nan

    with pytest.raises(OutOfRangeError) as refusal:
        register(SQUARE, specified=wrong)

    values = refusal.value.values
    assert values["where"].values["number"] == row + 1
    assert values["axis"] == "xyz"[axis]
    assert np.isnan(values["value"])


@pytest.mark.parametrize("bad", [-1e-9, np.nan, np.inf])
def test_one_impossible_weight_among_many_is_refused(bad):
    weights = np.ones((5, 3))
    weights[2, 1] = bad
    how = {"differences": np.zeros((5, 3)), "frame": FRAME, "kinds": ("mash",)}

    with pytest.raises(OutOfRangeError) as refusal:
        read_damage(SQUARE, weights=weights, **how)
    assert refusal.value.reason == "damage.weight"
    with pytest.raises(OutOfRangeError) as refusal:
        register(SQUARE, specified=SQUARE, weights=weights[:, 1])
    assert refusal.value.reason == "registration.weight"


def test_a_survey_that_is_slow_to_fit_is_fitted_as_well_beside_a_quick_one():
    # Nearly as wide as long and seen in a mirror: its root is nearly a double one.
    rng = np.random.default_rng(7)
    slow = rng.normal(size=(8, 3)) * [1.0, 0.6, 0.5]
    many = np.stack([slow, SQUARE[[0, 1, 2, 3, 4, 0, 1, 2]]])
    specified = many * [[[1, 1, -1]], [[1, 1, 1]]]

    together = register(many, specified=specified)
    alone = register(slow, specified=specified[0])

    assert together.rotation[0] == pytest.approx(alone.rotation, abs=1e-12)


def scattered(count):
    """Return four points that agree and others that are all somewhere else."""
    away = np.random.default_rng(3).uniform(0.3, 3.0, (count, 3))
    specified = np.concatenate([SQUARE[:4], away])
    measured = specified + np.array([0.2, 0.1, 0.0])
    measured[4:] += np.random.default_rng(4).uniform(0.05, 0.2, (count, 3))
    return measured, specified


def test_a_majority_is_four_points_and_more_than_half():
    measured, specified = scattered(3)
    hint = find_disagreement(measured, specified=specified, agreement=1e-3)
    assert hint.disagrees.tolist() == [False] * 4 + [True] * 3

    for count in (4, 5):
        measured, specified = scattered(count)
        with pytest.raises(OutOfRangeError) as refusal:
            find_disagreement(measured, specified=specified, agreement=1e-3)
        assert refusal.value.reason == "registration.no_majority"
        assert refusal.value.values == {
            "agreeing": 4,
            "count": 4 + count,
            "agreement": 1e-3,
        }
    three = SQUARE[:4].copy()
    three[3] += 0.1
    with pytest.raises(OutOfRangeError) as refusal:
        find_disagreement(three, specified=SQUARE[:4], agreement=1e-3)
    assert refusal.value.values["agreeing"] == 3


@pytest.mark.parametrize("agreement", [0.0, -1e-3, np.nan, np.inf, [1e-3, 1e-3]])
def test_a_distance_within_which_points_agree_is_one_length(agreement):
    with pytest.raises(OutOfRangeError):
        find_disagreement(SQUARE, specified=SQUARE, agreement=agreement)


def test_a_vote_needs_as_many_points_as_there_should_be():
    with pytest.raises(OutOfRangeError) as refusal:
        find_disagreement(SQUARE, specified=SQUARE[:4], agreement=1e-3)
    assert refusal.value.values == {"measured": (5, 3), "specified": (4, 3)}


LINE = np.column_stack([np.ones(4), np.arange(4.0)])


@pytest.mark.parametrize("scale", [1e-24, 1.0, 1e24])
def test_a_fit_weighs_readings_against_each_other_only(scale):
    fit = weighted_least_squares(
        LINE,
        observed=np.array([1.0, 3.0, 5.1, 7.0]),
        weights=scale * np.array([1.0, 2.0, 1.0, 3.0]),
        names=["damage.mash", "damage.sag"],
    )

    plain = np.linalg.lstsq(
        np.sqrt([[1.0], [2], [1], [3]]) * LINE,
        np.sqrt([1.0, 2, 1, 3]) * [1.0, 3.0, 5.1, 7.0],
        rcond=None,
    )[0]
    assert fit.coefficients == pytest.approx(plain)


def test_a_body_on_its_side_has_no_tilt():
    # A quarter turn about x, held exactly: what was up points along y.
    turned = Registration(
        rotation=np.array([[1.0, 0, 0], [0, 0, -1], [0, 1, 0]]),
        translation=np.zeros(3),
        residuals=np.zeros((4, 3)),
        rms_residual=np.float64(0.0),
    )

    with pytest.raises(OutOfRangeError) as refusal:
        tilt_of_fit(turned)
    assert refusal.value.reason == "registration.upside_down"


@pytest.mark.parametrize("shift", [0.0, 40.0])
def test_the_error_of_a_fit_does_not_hang_on_where_or_how_large(shift):
    weights = [1.0, 2.0, 1.0, 3.0, 0.5]
    how = {"scatter": [1e-3, 2e-3, 1e-3, 1e-3, 3e-3], "weights": weights}
    points = np.array([[3.0, 0.2, 0.1], [0.5, 0, 0]])

    here = fit_error_at(points, datum_points=SQUARE, **how)
    there = fit_error_at(
        1e-2 * points + shift, datum_points=1e-2 * SQUARE + shift, **how
    )

    assert there == pytest.approx(here, rel=1e-6)


@pytest.mark.parametrize("seed", range(12))
def test_the_vote_is_won_as_a_referee_counts_it(seed):
    # Each triple fitted alone, the distance of every point squared, and capped.
    rng = np.random.default_rng(seed)
    specified = rng.uniform(0, 2, (7, 3))
    measured = specified + rng.normal(scale=[[1e-3]] * 5 + [[4e-3]] * 2, size=(7, 3))
    allowed = 2.5e-3
    votes = {}
    for triple in combinations(range(7), 3):
        try:
            fit = register(measured, specified=specified, datum_points=[*triple])
        except OutOfRangeError:
            continue
        away = np.linalg.norm(fit.residuals, axis=1)
        votes[np.sum(np.minimum(away, allowed) ** 2)] = away <= allowed
    agrees = votes[min(votes)]

    if agrees.sum() < 4:
        with pytest.raises(OutOfRangeError):
            find_disagreement(measured, specified=specified, agreement=allowed)
        return
    hint = find_disagreement(measured, specified=specified, agreement=allowed)
    fit = register(measured, specified=specified, datum_points=agrees)
    assert hint.registration.residuals == pytest.approx(fit.residuals, abs=1e-12)


@pytest.mark.parametrize("sign", [1, -1])
def test_a_height_is_one_of_this_world_either_way(sign):
    height_without_tilt(sign * FARTHEST, x=0.0, nose_up=0.0)

    with pytest.raises(OutOfRangeError) as refusal:
        height_without_tilt([0.0, sign * 1.001 * FARTHEST], x=0.0, nose_up=0.0)
    assert refusal.value.values["name"] == "quantity.height"


@pytest.mark.parametrize("chosen", [[0, 1, 5], [-1, 0, 1], [0.0, 1, 2], [[0, 1, 2]]])
def test_datum_points_are_chosen_by_numbers_there_are(chosen):
    register(SQUARE, specified=SQUARE, datum_points=[0, 1, 4])

    with pytest.raises(OutOfRangeError) as refusal:
        register(SQUARE, specified=SQUARE, datum_points=chosen)
    assert refusal.value.values == {"count": 5, "last": 4}


@pytest.mark.parametrize("scatter", [[1e-3, 1e-3], [[1e-3] * 5], [1e-3]])
def test_scatter_is_one_for_all_or_one_for_each(scatter):
    with pytest.raises(OutOfRangeError) as refusal:
        fit_error_at(SQUARE, datum_points=SQUARE, scatter=scatter)
    assert refusal.value.reason == "registration.scatters"


@pytest.mark.parametrize("turn", [False, True])
@pytest.mark.parametrize(("width", "level"), [(0.9e-2, False), (1.1e-2, True)])
def test_level_points_lie_apart_by_a_hundredth_of_their_length(turn, width, level):
    corners = np.array([[x, width * y, 0.0] for x in (-1, 1) for y in (-1, 1)])
    if turn:
        corners = corners[:, [1, 0, 2]]

    if level:
        assert tilt_of_points(corners).nose_up == 0
        return
    with pytest.raises(OutOfRangeError) as refusal:
        tilt_of_points(corners)
    assert refusal.value.values["percent"] == pytest.approx(100 * width)


def test_the_closed_form_turns_wide_points_as_singular_values_do():
    # The two ways there are, side by side: the first is there because it is fast, and
    # must not leave its work to the second.
    rng = np.random.default_rng(11)
    many = rng.normal(size=(200, 8, 3)) * [1.0, 0.8, 0.6]
    turns = np.linalg.qr(rng.normal(size=(200, 3, 3)))[0]
    products = np.swapaxes(many @ turns, -1, -2) @ many

    fast, width = _turn_in_closed_form(products)
    slow, _ = _turn_by_svd(products)

    wide = width > 0.02
    assert wide.mean() > 0.4
    assert fast[wide] == pytest.approx(slow[wide], abs=1e-9)
