"""The checker: tries, units, ceilings, two thoughts, and answers carried forward."""

import math

import pytest

from workbook.exercises import exercise
from workbook.exercises.engine import continued, variant_from
from workbook.exercises.marking import History, best_score, judge, mark, settle
from workbook.exercises.wording import answer_text, feedback, hint, refutation, rule
from workbook.language import say
from workbook.quantities.units import INCH

PULL = variant_from(exercise("2.1"), {"tension": 20, "angle": 30})  # 17.32 kN
SHIFT = variant_from(
    exercise("8.1", 1),
    {
        "offset": 50, "fork": 600, "clamp_height": 500,
        "clamp_distance": 1500, "head_out": 0, "head_up": 900,
    },
)  # fmt: skip
SIDE_ANGLE = continued(exercise("8.2", 1), SHIFT)  # 225 mm over 1500 mm, 8.53 degrees
RAISED = variant_from(
    exercise("7.6b"),
    {
        "head_height": 1200, "clamp_height": 400, "distance": 1000,
        "extension": 300, "tension": 20,
    },
)  # fmt: skip


@pytest.mark.parametrize(
    "typed", ["17.3 kN", "17,3 kN", "17300 N", "17 300 N", "3894 lbf", "1.766 tf"]
)
def test_the_right_pull_is_right_in_any_unit_of_force(typed):
    assert mark(PULL, typed).name == "right"


@pytest.mark.parametrize(
    ("typed", "name", "score"),
    [
        ("17.32 kN", "right", 1.0),
        ("17.8 kN", "close", 0.8),
        ("20 kN", "M01_whole_tension", 0.0),
        ("10 kN", "M02_sin_cos", 0.0),
        ("13.3 kN", "M04_in_step_with_angle", 0.0),
        ("23.1 kN", "slip_mult_div", 0.6),
        ("3.09 kN", "slip_radians", 0.6),
        ("17300 kN", "slip_factor1000", 0.6),
        ("17.3 N", "slip_factor1000", 0.6),
        ("5 kN", "none_of_these", 0.0),
        ("-17.3 kN", "slip_sign", 0.6),
        ("173 kN", "slip_factor10", 0.6),
        ("1.73 kN", "slip_factor10", 0.6),
        ("3890 kN", "slip_other_units", 0.6),
        ("17.3 lbf", "slip_other_units", 0.6),
    ],
)
def test_each_route_to_a_number_has_its_name_and_score(typed, name, score):
    outcome = mark(PULL, typed)

    assert (outcome.name, outcome.score, outcome.held) == (name, score, False)


def test_bar_and_mpa_mixed_up_are_told_from_a_decimal_place():
    # 300 bar are 30 MPa, or 4351 psi.
    gauge = variant_from(exercise("10.2"), {"ram_force": 47.713, "bore": 45})
    typed = ("30 bar", "300 MPa", "3000 bar", "3 MPa", "43510 psi", "30.5 MPa")

    found = [(o.name, o.score, o.choices) for o in (mark(gauge, t) for t in typed)]

    assert found == [
        ("slip_other_units", 0.6, ("slip_other_units", "none_of_these")),
        ("slip_other_units", 0.6, ("slip_other_units", "none_of_these")),
        ("slip_factor10", 0.6, ("slip_factor10", "none_of_these")),
        ("slip_factor10", 0.6, ("slip_factor10", "none_of_these")),
        ("slip_factor10", 0.6, ("slip_factor10", "none_of_these")),
        ("right", 1.0, ()),
    ]


def test_a_decimal_place_and_another_unit_are_asked_about_with_a_route_beside_them():
    # A bore of 40: the way round it is a tenth of its area, and 3000 bar 300 MPa.
    gauge = variant_from(exercise("10.2"), {"ram_force": 37.7, "bore": 40})

    choices = [mark(gauge, typed).choices[:2] for typed in ("3000 bar", "300 MPa")]

    assert choices == [
        ("way_round_for_area", "slip_factor10"),
        ("way_round_for_area", "slip_other_units"),
    ]


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("", "blank"),
        ("cos(30)*20", "not_a_number"),
        ("9**9**9 kN", "not_a_number"),
        ("17,300 kN", "which_number"),
        ("2 tons", "which_ton"),
        ("17.3", "unit_missing"),
        ("17.3 mm", "unit_wrong_kind"),
        ("17.3 foo", "unit_unknown"),
        ("1" * 100_000, "too_long"),
    ],
)
def test_what_cannot_be_read_holds_the_try(typed, name):
    outcome = mark(PULL, typed, marked_set=True)

    assert (outcome.name, outcome.held, outcome.tries_left) == (name, True, 3)
    assert History().after(outcome).tries == 0


@pytest.mark.parametrize("typed", ["17.3", "17.3 mm", "17.3 foo"])
def test_from_the_second_time_a_missing_unit_costs_a_fifth(typed):
    history = History().after(mark(PULL, typed))

    outcome = mark(PULL, typed, history=history)

    assert (outcome.name, outcome.score) == ("right", 0.8)
    assert not outcome.held
    assert outcome.unit_problem


def test_an_ambiguous_answer_is_asked_back_every_time():
    history = History(unit_reminders=5)

    assert mark(PULL, "2 tons", history=history).held
    assert mark(PULL, "17,300", history=history).held


@pytest.mark.parametrize(
    "typed",
    ["17.3 to 99 kN", "17.3 or 20 kN", "17.3 kN = 20 kN", "17.3O kN", "17-19 kN"],
)
def test_the_first_of_two_numbers_is_never_marked(typed):
    outcome = mark(PULL, typed, history=History(unit_reminders=5))

    assert (outcome.held, outcome.score) == (True, 0.0)


@pytest.mark.parametrize(("tries", "score"), [(0, 1.0), (1, 0.9), (2, 0.7), (3, 0.0)])
def test_a_marked_set_has_three_tries_with_falling_ceilings(tries, score):
    outcome = mark(PULL, "17.3 kN", history=History(tries=tries), marked_set=True)

    assert outcome.score == score


def test_a_ceiling_does_not_lower_what_is_below_it():
    outcome = mark(PULL, "17.8 kN", history=History(tries=1), marked_set=True)

    assert outcome.score == 0.8


def test_practice_has_no_limit():
    outcome = mark(PULL, "17.3 kN", history=History(tries=40))

    assert (outcome.score, outcome.tries_left) == (1.0, None)


def test_a_marked_set_keeps_the_best_try():
    history, outcomes = History(), []
    for typed in ("20 kN", "17.3", "17.3 kN", "5 kN"):
        outcomes.append(mark(PULL, typed, history=history, marked_set=True))
        history = history.after(outcomes[-1])

    assert [o.score for o in outcomes] == [0.0, 0.0, 0.9, 0.0]
    assert best_score(outcomes) == 0.9
    assert best_score([]) == 0.0


def test_a_wrong_answer_says_how_many_tries_are_left():
    outcome = mark(PULL, "20 kN", marked_set=True)

    assert outcome.tries_left == 2
    assert feedback(outcome, PULL, History())[-1] == "Tries left: 2."


def test_an_unknown_number_brings_the_first_hint_once():
    outcome = mark(PULL, "5 kN")

    assert hint(PULL, 1) in feedback(outcome, PULL, History())
    assert hint(PULL, 1) not in feedback(outcome, PULL, History(hints=1))


def test_an_answer_is_told_in_the_readers_units():
    outcome = mark(PULL, "5 kN", history=History(tries=2))

    lines = feedback(outcome, PULL, History(tries=2, hints=1), system=INCH)

    told = say("outcome", "answer", answer="17.3 kN (3889 lbf)")
    assert lines[-2:] == (told, rule(PULL.exercise))
    assert answer_text(PULL, system=INCH) == "17.3 kN (3889 lbf)"


def test_a_unit_in_doubt_is_told_and_that_nothing_is_lost_or_what_is():
    held = mark(PULL, "17.3 foo")
    again = mark(PULL, "17.3 foo", history=History(unit_reminders=1))

    unknown = say(
        "typed", "unit_unknown", typed="foo", units=held.trouble.values["units"]
    )
    assert feedback(held, PULL, History()) == (unknown, say("outcome", "held"))
    assert feedback(again, PULL, History()) == (
        say("outcome", "right_number"), unknown, say("outcome", "unit_again")
    )  # fmt: skip


def test_marking_says_nothing(monkeypatch):
    def speak(*_args, **_kwargs):
        raise AssertionError

    monkeypatch.setattr("workbook.language.sentences._entry", speak)

    for typed in ("20 kN", "17.3 kN", "17.3", "5 kN", "", "17,300 kN"):
        assert mark(PULL, typed, marked_set=True).name


def test_after_a_known_mistake_the_learner_is_asked_for_the_thinking():
    outcome = mark(PULL, "20 kN")

    assert outcome.choices == ("M01_whole_tension", "none_of_these")


def test_where_two_mistakes_fit_both_are_asked_and_neither_is_assumed():
    # The cosine of 63 radians is 0.986, so 19.85 kN is within 1 % of both.
    variant = variant_from(exercise("2.1"), {"tension": 20, "angle": 63})

    outcome = mark(variant, "19.85 kN")

    assert outcome.name == "two_fit"
    assert set(outcome.choices) == {
        "M01_whole_tension", "slip_radians", "none_of_these"
    }  # fmt: skip
    assert outcome.score == 0.0
    assert settle(outcome, "slip_radians").name == "slip_radians"
    assert settle(outcome, "slip_radians").score == 0.0
    assert settle(outcome, "something else").name == "two_fit"


def test_where_two_mistakes_fit_what_is_told_is_said():
    variant = variant_from(exercise("2.1"), {"tension": 20, "angle": 63})
    outcome = mark(variant, "19.85 kN")

    said = {
        name: feedback(settle(outcome, name), variant, History())
        for name in ("not told", *outcome.choices)
    }

    assert said["not told"][0] == say("outcome", "two_fit")
    assert len(said["not told"]) == 3
    assert said["M01_whole_tension"] == refutation(PULL.exercise, "M01_whole_tension")
    assert said["slip_radians"] == refutation(PULL.exercise, "slip_radians")
    assert said["none_of_these"] == ()


def test_a_single_known_mistake_keeps_its_name_whatever_the_learner_says():
    outcome = mark(PULL, "20 kN")

    assert settle(outcome, "none_of_these").name == "M01_whole_tension"


def test_no_side_force_at_all_is_recognised():
    variant = variant_from(exercise("8.3"), {"level_part": 30, "side_angle": 10})

    assert mark(variant, "0 kN").name == "M18_slot_shift_only"


def test_a_hanging_v_is_a_fair_estimate():
    variant = variant_from(exercise("9.1"), {"span": 2000, "slack": 30})

    outcome = mark(variant, "174 mm")  # root of 1015² - 1000²

    assert (outcome.name, outcome.score) == ("v_shape", 0.6)


def test_a_later_part_is_marked_against_the_learners_own_fair_value():
    own = 1.5 * SHIFT.answer  # 337.5 mm over 1500 mm is 12.68 degrees

    outcome = mark(SIDE_ANGLE, "12.7 deg", carried=own)

    assert outcome.name == "right"
    assert mark(SIDE_ANGLE, "12.7 deg").name == "none_of_these"


def test_the_true_value_stays_right_whatever_was_carried():
    assert mark(SIDE_ANGLE, "8.5 deg", carried=1.5 * SHIFT.answer).name == "right"


@pytest.mark.parametrize("share", [0.0, 0.19, 5.1, -1.0, math.inf, math.nan])
def test_a_value_far_off_is_not_carried_forward(share):
    own = share * SHIFT.answer
    follows = math.degrees(math.atan2(own, 1.5)) if math.isfinite(own) else 90

    outcome = mark(SIDE_ANGLE, f"{follows:.6f} deg", carried=own)

    assert outcome.score < 0.8


@pytest.mark.parametrize("share", [0.2, 0.21, 0.29, 4.9, 5.0])
def test_a_fifth_to_five_times_the_right_value_is_carried_forward(share):
    own = share * SHIFT.answer
    follows = math.degrees(math.atan2(own, 1.5))

    outcome = mark(SIDE_ANGLE, f"{follows:.6f} deg", carried=own)

    assert outcome.name == "right"


@pytest.mark.parametrize(("short", "carries"), [(0.8e-3, False), (1.2e-3, True)])
def test_an_angle_is_upright_to_a_thousandth(short, carries):
    own = math.pi / 2 * (1 - short)

    outcome = mark(RAISED, f"{20 * math.cos(own):.9f} kN", carried=own)

    assert (outcome.name == "right") == carries


def test_what_is_judged_alone_is_marked_and_shows_no_answer():
    outcome = judge(PULL, PULL.answer)

    assert (outcome.name, outcome.score) == ("right", 1.0)
    assert (outcome.held, outcome.answer_shown) == (False, False)


def test_a_right_angle_is_not_carried_forward():
    # The cosine of 90 degrees leaves nothing, so the later part would be empty.
    nothing = 20 * math.cos(math.pi / 2)

    outcome = mark(RAISED, f"{nothing} kN", carried=math.pi / 2)

    assert outcome.score == 0.0


def test_the_same_text_always_gets_the_same_outcome():
    assert mark(PULL, "13,3 kN") == mark(PULL, "13,3 kN")
