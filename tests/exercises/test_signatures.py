"""Every known mistake leads to the number that was worked out by hand.

The numbers are in ``by_hand``, a file a lesson. Then each signature is broken on
purpose, and must be noticed.
"""

from dataclasses import replace
from math import cos, sin
from types import FunctionType

import pytest
from by_hand import ANYWHERE, BY_HAND, MADE

from workbook.exercises import EXERCISES, exercise
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.engine import variant_from
from workbook.exercises.marking import mark
from workbook.quantities.units import factor


def gives(mistake, variant):
    """Return what a mistake gives, in the unit of the answer."""
    return float(mistake.answer(variant.given)) / factor(variant.exercise.answer.unit)


def is_as_by_hand(mistake, variant, expected):
    near = pytest.approx(expected, rel=5e-4, abs=1e-9)
    return gives(mistake, variant) == near


CASES = [
    pytest.param(key, place, id=f"{key[0]} v{key[1]} {place} {name}")
    for key, (_, expected) in BY_HAND.items()
    for place, (name, _) in enumerate(expected)
]


def case(key, place):
    """Return a mistake, the numbers, its name and what it gives by hand."""
    one, (numbers, expected) = EXERCISES[key], BY_HAND[key]
    return one.mistakes[place], variant_from(one, numbers), *expected[place]


def test_every_mistake_of_every_exercise_has_a_number_worked_by_hand():
    names = {
        key: [mistake.name for mistake in one.mistakes]
        for key, one in EXERCISES.items()
        if isinstance(one.answer, Quantity)
    }

    assert names == {
        key: [name for name, _ in expected] for key, (_, expected) in BY_HAND.items()
    }


@pytest.mark.parametrize(("key", "place"), CASES)
def test_a_mistake_gives_the_number_worked_by_hand(key, place):
    mistake, variant, name, expected = case(key, place)

    assert mistake.name == name
    assert gives(mistake, variant) == pytest.approx(expected, rel=5e-4, abs=1e-9)


@pytest.mark.parametrize("id", ANYWHERE)
def test_what_can_go_wrong_anywhere_gives_the_number_worked_by_hand(id):
    one = exercise(id, 1)
    variant = variant_from(one, one.by_hand.numbers)

    slips = variant.routes[len(one.mistakes) :]

    names = [f"slip_{name}" for name, _ in ANYWHERE[id]]
    assert [slip.name for slip in slips] == names
    expected = [value for _, value in ANYWHERE[id]]
    assert [gives(slip, variant) for slip in slips] == pytest.approx(expected, rel=5e-4)
    assert {slip.score for slip in slips} == {0.6}


# ------------------------------------------------------------- broken on purpose


def swapped(route):
    """Return a route with sine and cosine exchanged in its own working."""
    names = {**route.__globals__, "sin": cos, "cos": sin}
    return FunctionType(
        route.__code__, names, None, route.__defaults__, route.__closure__
    )


def broken(mistake):
    """Yield a mistake broken in each way there is."""
    route = mistake.answer
    yield replace(mistake, answer=lambda g: 1.1 * route(g) or 1e-2)
    yield replace(mistake, answer=lambda g: -route(g) or 1e-2)
    if {"sin", "cos"} & {*route.__code__.co_names}:
        yield replace(mistake, answer=swapped(route))


@pytest.mark.parametrize(("key", "place"), CASES)
def test_a_signature_that_is_broken_on_purpose_is_noticed(key, place):
    mistake, variant, _, expected = case(key, place)

    survivors = [
        number
        for number, mutant in enumerate(broken(mistake))
        if is_as_by_hand(mutant, variant, expected)
    ]

    assert is_as_by_hand(mistake, variant, expected)
    assert survivors == []


# ------------------------------------------------------------ answers that are made


def test_every_answer_that_is_made_has_its_cases_by_hand():
    assert {*MADE} == {
        key for key, one in EXERCISES.items() if not isinstance(one.answer, Quantity)
    }


@pytest.mark.parametrize("key", MADE)
def test_every_mistake_of_an_answer_that_is_made_has_a_case_by_hand(key):
    one = EXERCISES[key]

    declared = dict.fromkeys(mistake.name for mistake in one.mistakes)
    assert [*MADE[key]] == [*declared, *one.answer.also]


@pytest.mark.parametrize(
    ("key", "name"), [(key, name) for key, cases in MADE.items() for name in cases]
)
def test_a_mistake_is_found_in_the_answer_worked_by_hand(key, name):
    changed, typed = MADE[key][name]
    one = EXERCISES[key]
    numbers = {**one.by_hand.numbers, **changed}

    outcome = mark(variant_from(one, numbers), typed)

    assert outcome.name == name
    without = tuple(m for m in one.mistakes if m.name != name)
    other = variant_from(replace(one, mistakes=without), numbers)
    declared = without != one.mistakes
    assert (mark(other, typed).name != name) == declared


if __name__ == "__main__":  # how many there are, and how many live
    mutants = [
        is_as_by_hand(mutant, variant, expected)
        for mistake, variant, _, expected in (case(*one.values) for one in CASES)
        for mutant in broken(mistake)
    ]
    print(f"{len(mutants) - sum(mutants)} of {len(mutants)} mutants killed")  # noqa: T201
