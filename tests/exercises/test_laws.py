"""Laws of every exercise with a number, over 200 seeds: answers, mistakes, ranges."""

from dataclasses import replace
from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest

from workbook.errors import NoConvergenceError
from workbook.exercises import EXERCISES, exercise
from workbook.exercises.answers.counted import Count
from workbook.exercises.answers.quantity import (
    CLOSE,
    OFF,
    RIGHT,
    Mistake,
    Quantity,
    late,
    slip,
)
from workbook.exercises.declaration import stepped
from workbook.exercises.engine import (
    Variant,
    continued,
    draw,
    variant_for,
    variant_from,
)
from workbook.exercises.marking import History, mark
from workbook.exercises.seeds import Stream
from workbook.exercises.wording import answer_text, feedback, rule
from workbook.quantities.units import factor

SEEDS = 200
TYPED = 5  # of them, typed out and read back
# Share of draws that may be dropped because a mistake lies too near the answer. In
# 7.2 the ram force and the pull leg are honestly close for many good set-ups.
MOST_REDRAWN = {"7.2": 0.35}

NUMBERS = [one for one in EXERCISES.values() if isinstance(one.answer, Quantity)]
every_number = pytest.mark.parametrize("one", NUMBERS, ids=lambda e: e.key)


@cache
def variants(key):
    return [
        variant_for(EXERCISES[key], class_key="oak", student=f"student {n}")
        for n in range(SEEDS)
    ]


def drawn(one):
    return variants((one.id, one.version))


def right(one):
    """Return the right answers, one a seed."""
    return np.array([variant.answer for variant in drawn(one)])


def wrong(one):
    """Return the mistakes' numbers, a row a seed; nan where one is not armed."""
    return np.array([variant.wrong for variant in drawn(one)])


def unit_of(one):
    return {"1": "times"}.get(one.answer.unit, one.answer.unit)


def typed(one, value):
    return f"{value / factor(one.answer.unit):.12f} {unit_of(one)}"


@every_number
def test_the_right_answer_is_right(one):
    grades = one.answer.grade(right(one), right=right(one))

    assert (grades == RIGHT).all()


@every_number
@pytest.mark.parametrize("side", [-1, 1])
def test_the_tolerance_passes_twice_it_is_close_and_more_is_off(one, side):
    full = one.answer.tolerance_at(right(one))
    values = right(one) + side * np.outer([0.99, 1.01, 1.99, 2.01], full)

    grades = one.answer.grade(values, right=right(one))

    assert (grades.T == [RIGHT, CLOSE, CLOSE, OFF]).all()


@every_number
def test_every_known_mistake_is_recognised_as_itself_and_never_right(one):
    values = wrong(one)
    armed = ~np.isnan(values)

    grades = one.answer.grade(values, right=right(one)[:, None])
    fits = one.answer.fits(values, wrong=values[:, None, :])

    assert (grades[armed] == OFF).all()
    assert np.diagonal(fits, axis1=1, axis2=2)[armed].all()
    assert armed.any(axis=0).all()  # every one of them for somebody


@every_number
def test_a_number_is_taken_for_a_mistakes_to_one_per_cent_or_a_quarter_tolerance(one):
    values = wrong(one)
    quarter = one.answer.tolerance.absolute * factor(one.answer.unit) / 4
    near = np.maximum(0.01 * np.abs(values), quarter)
    near[near == 0] = np.nan  # nothing is near a mistake that leads to nothing

    def taken(share):
        fits = one.answer.fits(values + share * near, wrong=values[:, None, :])
        return np.diagonal(fits, axis1=1, axis2=2)[~np.isnan(near)]

    assert taken(0.99).all()
    assert taken(-0.99).all()
    assert not taken(1.01).any()
    assert not taken(-1.01).any()


@every_number
def test_no_known_mistake_lies_within_three_tolerances(one):
    away = np.abs(wrong(one) - right(one)[:, None])
    full = one.answer.tolerance_at(right(one))[:, None]

    assert np.nanmin(away / full) > 2.999
    primary = [not m.secondary for m in drawn(one)[0].routes]
    unarmed = np.isnan(wrong(one))[:, primary]
    leads = np.array(
        [
            [np.isfinite(m.answer(v.given)) for m in v.routes if not m.secondary]
            for v in drawn(one)[:TYPED]
        ]
    )
    assert not (unarmed[:TYPED] & leads).any()
    assert all(variant.separated for variant in drawn(one)[:TYPED])


TENS, OTHER_UNITS = {"bar", "mm"}, "slip_other_units"


@every_number
def test_what_is_typed_earns_what_it_is_worth(one):
    for variant in drawn(one)[:TYPED]:
        best = mark(variant, typed(one, variant.answer))
        near = mark(variant, typed(one, variant.answer + 1.1 * variant.tolerance))

        assert (best.name, best.score) == ("right", 1.0)
        if isinstance(one.answer, Count):  # beside a count is wrong
            assert (near.name, near.score) == ("not_whole", 0.0)
        else:
            assert (near.name, near.score) == ("close", 0.8)
        for mistake, value in variant.armed:
            outcome = mark(variant, typed(one, value))

            names = outcome.choices if outcome.name == "two_fit" else (outcome.name,)
            other = mistake.name == "slip_factor10" and value < variant.answer
            # A tenth of the bar are as many MPa, and a tenth of the mm as many cm.
            name = OTHER_UNITS if other and one.answer.unit in TENS else mistake.name
            assert name in names
            assert outcome.score <= mistake.score <= 0.6


@every_number
def test_answers_are_numbers_inside_their_stated_range(one):
    shown = right(one) / factor(one.answer.unit)

    assert (shown >= one.answer.smallest).all()
    assert (shown <= one.answer.largest).all()


@every_number
def test_few_draws_are_dropped_for_lying_near_a_mistake(one):
    stream = Stream(b"redraws of " + one.id.encode())
    allowed = dropped = 0
    while allowed < 150:
        numbers = {name: stream.choice(d.values) for name, d in one.given.items()}
        if one.allowed(Variant(one, numbers).given):
            allowed += 1
            dropped += not variant_from(one, numbers).separated

    assert dropped / allowed <= MOST_REDRAWN.get(one.id, 0.10)


def numbers_in(text):
    words = text.replace("°", " ").split()
    return [float(w.rstrip(".,;")) for w in words if w[:1].isdigit()]


@every_number
def test_the_first_two_tries_never_show_the_answer(one):
    for variant in drawn(one)[:TYPED]:
        answer = float(answer_text(variant).split()[0].rstrip("°%"))
        for value in [*(v for _, v in variant.armed), 7.7 * variant.answer]:
            for tries in (0, 1):
                history = History(tries=tries)
                outcome = mark(variant, typed(one, value), history=history)

                lines = feedback(outcome, variant, history)
                assert outcome.score < 0.8
                assert not outcome.answer_shown
                assert lines
                assert answer not in numbers_in(" ".join(lines))


@every_number
def test_the_third_wrong_try_shows_the_answer_and_the_way(one):
    variant, history = drawn(one)[0], History(tries=2)

    outcome = mark(variant, f"987654 {unit_of(one)}", history=history)

    lines = feedback(outcome, variant, history)
    assert outcome.answer_shown
    assert answer_text(variant) in lines[-2]
    assert lines[-1] == rule(one)


@every_number
def test_a_variant_comes_back_from_its_stored_numbers(one):
    for variant in drawn(one)[:TYPED]:
        again = variant_from(one, dict(variant.numbers))

        assert again.numbers == variant.numbers
        assert again.answer == variant.answer


def test_a_later_part_goes_on_with_the_numbers_of_the_earlier_one():
    earlier = drawn(exercise("8.1", 1))[0]

    later = continued(exercise("8.2", 1), earlier)

    assert later.numbers["offset"] == earlier.numbers["offset"]
    assert later.given.shift == pytest.approx(earlier.answer, abs=0.5e-3)


def test_printed_numbers_of_an_old_sheet_are_kept_as_printed():
    numbers = {**drawn(exercise("8.2", 1))[0].numbers, "shift": 111.0}

    assert variant_from(exercise("8.2", 1), numbers).numbers["shift"] == 111.0


@pytest.mark.parametrize(
    ("away", "clear"),
    [(2.99999, False), (3 - 4e-7, True), (3.0, True), (-3.0, True), (-2.99999, False)],
)
def test_a_mistake_keeps_three_tolerances_from_the_answer(away, clear):
    # To six decimals, so that the last bit of a sine draws no other numbers.
    variant = variant_for(exercise("2.1"), class_key="oak", student="K7")
    value = variant.answer + away * variant.tolerance
    near = Mistake("near", lambda _: value)

    alone = replace(variant, exercise=replace(variant.exercise, mistakes=(near,)))

    assert alone.separated == clear
    assert bool(alone.named) == clear
    # A slip of hand or key never draws other numbers, however near it lies.
    slipped = (slip("sign", lambda _: value),)
    assert replace(
        variant, exercise=replace(variant.exercise, mistakes=slipped)
    ).separated


def test_a_slip_counts_in_old_answers_too_and_a_late_mistake_does_not():
    variant = variant_for(exercise("2.1"), class_key="oak", student="K7")
    known = (slip("sign", lambda _: 1.0), late("forgot", lambda _: 2.0))
    old = replace(
        variant,
        exercise=replace(variant.exercise, mistakes=known),
        before_sets=True,
    )

    routes = {(m.name, m.score): m.answer(old.given) for m in old.routes}

    assert routes["slip_sign", 0.6] == 1.0
    assert "forgot" not in {name for name, _ in routes}
    # N for kN, and the other way: exactly a thousand.
    thousand = [m.answer(old.given) for m in old.routes if m.name == "slip_factor1000"]
    assert thousand == [1000 * old.answer, old.answer / 1000]


def test_steps_are_the_decimals_that_are_printed():
    assert stepped("mm", 0.1, 0.3, 0.1).values == (0.1, 0.2, 0.3)
    assert stepped("mm", 2, 4).values == (2.0, 3.0, 4.0)


def test_numbers_are_drawn_anew_until_the_question_makes_sense():
    one = exercise("2.1")
    middle = one.given["angle"].values[len(one.given["angle"].values) // 2]
    steep = replace(one, allowed=lambda g: g.angle > middle * factor("deg"))
    stream = Stream(b"only the steep ones")

    assert all(draw(steep, stream).numbers["angle"] > middle for _ in range(30))
    with pytest.raises(NoConvergenceError) as refusal:
        draw(replace(one, allowed=lambda _: False), stream)
    assert refusal.value.values == {"id": "2.1", "draws": 1000}


def test_a_worked_copy_does_not_hang_on_the_order_of_the_numbers():
    variant = variant_for(exercise("2.1"), class_key="oak", student="K7")
    turned = replace(variant, numbers=dict(reversed([*variant.numbers.items()])))

    assert turned.worked_copy.numbers == variant.worked_copy.numbers


def test_an_answer_that_is_made_has_no_routes_to_a_number():
    made = next(e for e in EXERCISES.values() if not isinstance(e.answer, Quantity))

    assert variant_for(made, class_key="oak", student="K7").routes == ()


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf])
def test_a_route_that_leads_nowhere_is_not_told_apart(value):
    assert not exercise("2.1").answer.clear(value, right=1e3)


@pytest.mark.parametrize(("made", "apart"), [(11.0, False), (11.5, True), (4.0, True)])
def test_another_answer_is_clearly_another_past_three_tolerances(made, apart):
    variant = SimpleNamespace(answer=8.0, tolerance=1.0)

    assert exercise("2.1").answer.apart(made, variant) == apart


@pytest.mark.parametrize(
    ("kind", "unit", "value", "shown"),
    [
        ("force", "kN", 11_000, "11.0 kN"), ("force", "N", 11, "11 N"),
        ("ratio", "1", 2.0, "2"), ("length", "m", 2.0, "2 m"),
        ("angle", "deg", np.radians(30), "30.0°"), ("force", "kN", 123_456, "123 kN"),
    ],
)  # fmt: skip
def test_an_answer_is_told_to_three_figures_and_the_places_of_its_unit(
    kind, unit, value, shown
):
    answer = replace(exercise("2.1").answer, kind=kind, unit=unit)

    assert answer.text(value).split(" (")[0].strip(" ×") == shown


def test_history_begins_with_nothing():
    assert History() == History(tries=0, unit_reminders=0, hints=0)
