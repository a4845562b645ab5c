"""Answers by letters: chosen, ticked, matched, put in order, and gone on from."""

from dataclasses import replace
from itertools import permutations

import pytest

from workbook.exercises import EXERCISES, exercise
from workbook.exercises.answers.counted import Count
from workbook.exercises.answers.picked import (
    SHUFFLE,
    Choose,
    Match,
    Mispicked,
    Order,
    Picked,
    Tick,
)
from workbook.exercises.declaration import ByHand, Carry
from workbook.exercises.engine import continued, variant_for, variant_from
from workbook.exercises.marking import FRESH, History, mark
from workbook.exercises.wording import feedback, question
from workbook.language import say

ABCD = ("first", "second", "third", "fourth")
AS_SHOWN = {"shuffle": 7.0}  # of these it makes third, fourth, first, second
PICKS = [one for one in EXERCISES.values() if isinstance(one.answer, Picked)]
SEEDS = 60
every_pick = pytest.mark.parametrize("one", PICKS, ids=lambda one: one.key)


def asked(answer, *mistakes):
    """Return a question of a kind about four items, lettered the same way."""
    one = exercise("6.6a")
    one = replace(
        one, given=SHUFFLE, answer=answer, mistakes=mistakes, by_hand=ByHand({}, "")
    )
    return variant_from(one, AS_SHOWN)


def told(variant, typed):
    outcome = mark(variant, typed)
    return " ".join(feedback(outcome, variant, History(hints=1)))


def drawn(one):
    return [
        variant_for(one, class_key="oak", student=f"student {n}") for n in range(SEEDS)
    ]


# ------------------------------------------------------------ every one of the bank


@every_pick
def test_the_right_letters_are_right_and_every_mistake_is_known(one):
    seen = set()
    for variant in drawn(one):
        key = one.answer.in_key(variant)
        best = mark(variant, key["answer"])

        assert (best.name, best.score) == ("right", 1.0)
        for mistake in key["mistakes"]:
            outcome = mark(variant, mistake["gives"])
            assert mistake["name"] in {outcome.name, *outcome.choices}
            assert outcome.score <= 0.6
            seen.add(mistake["name"])

    assert seen == {mistake.name for mistake in one.mistakes}


@every_pick
def test_letters_fall_to_the_items_by_the_numbers_of_the_question(one):
    letterings = {tuple(one.answer.lettered(v.given).items()) for v in drawn(one)}
    orders = [[*map(dict(each).get, "abc")] for each in letterings]

    assert len({*map(tuple, orders)}) > SEEDS / 20
    assert len({tuple(v.answer) for v in drawn(one)}) > 1


@every_pick
def test_every_item_has_its_text_with_its_numbers(one):
    for variant in drawn(one)[:5]:
        rows = one.answer.rows(variant)

        assert [letter for letter, _ in rows] == [*one.answer.lettered(variant.given)]
        assert (
            len({text for _, text in rows})
            == len(rows)
            == len({*one.answer.items(variant.given)})
        )
        assert not any("{" in text for _, text in rows)


@pytest.mark.parametrize(
    "one", [o for o in PICKS if isinstance(o.answer, Choose)], ids=lambda one: one.key
)
def test_every_wrong_choice_is_a_known_mistake(one):
    for variant in drawn(one):
        for letter in one.answer.lettered(variant.given):
            outcome = mark(variant, letter)

            assert outcome.name != "none_of_these"
            assert (outcome.name == "right") == ((letter,) == variant.answer)


# -------------------------------------------------------------------------- choose


CHOICE = asked(
    Choose(items=lambda _: ABCD, right=lambda _: "second"),
    Mispicked("M05_plain_sum", lambda _: "third"),
    Mispicked("M06_half_way", lambda _: "third"),
    Mispicked("M02_sin_cos", lambda _: None),
)


def test_items_are_lettered_in_the_order_that_the_shuffle_gives():
    assert [*CHOICE.exercise.answer.lettered(CHOICE.given).values()] == [
        "third", "fourth", "first", "second",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "name", "value"),
    [
        ("d", "right", 2),
        (" D. ", "right", 2),
        ("ｄ", "right", 2),
        ("b", "none_of_these", 4),
        ("a", "two_fit", 3),
        ("e: I would ask first", "none_of_these", None),
    ],
)
def test_one_item_is_chosen_and_its_number_goes_on(typed, name, value):
    outcome = mark(CHOICE, typed)

    assert (outcome.name, outcome.value, outcome.held) == (name, value, False)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "No letter is typed"),
        ("e", "Write your own answer behind e"),
        ("e: ...", "Write your own answer behind e"),
        ("d: I think", "Type d alone"),
        ("a b", "Type a alone"),
        ("ab", "none of the choices"),
        ("7", "none of the choices"),
        ("f", "a, b, c, d, e"),
        ("z" * 300, "too long"),
    ],
)
def test_a_choice_that_cannot_be_read_is_asked_back(typed, says):
    assert mark(CHOICE, typed).held
    assert says in told(CHOICE, typed)


# ---------------------------------------------------------------------------- tick


def ticks(*, stoppers=False):
    return asked(
        Tick(items=lambda _: ABCD, right=lambda _: {"first", "second"},
             stoppers=stoppers),
        Mispicked("M05_plain_sum", lambda _: {"first", "third"}),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "score", "as_stoppers"),
    [
        ("c, d", 1.0, 1.0),
        ("dc", 1.0, 1.0),
        ("d c d", 1.0, 1.0),
        ("c", 0.5, 0.0),
        ("c d a", 0.5, 0.5),
        ("a b c d", 0.0, 0.0),
        ("a b", 0.0, 0.0),
        ("c b", 0.0, 0.0),
    ],
)
def test_a_missed_or_wrong_tick_costs_its_share_and_a_missed_stopper_all(
    typed, score, as_stoppers
):
    assert mark(ticks(), typed).score == score
    assert mark(ticks(stoppers=True), typed).score == as_stoppers


def test_what_is_missing_and_too_many_is_counted_and_not_named():
    assert "One that belongs here is missing. One tick is too many." in told(
        ticks(), "c b"
    )
    assert "2 that belong here are missing. 2 ticks are too many." in told(
        ticks(), "a b"
    )
    assert "Stop: one reason to stop is missing" in told(ticks(stoppers=True), "c")


def test_a_known_set_of_ticks_has_its_name():
    assert mark(ticks(), "c a").name == "M05_plain_sum"
    assert mark(ticks(), "c b").name == "none_of_these"


# --------------------------------------------------------------------------- match


PLACED = {"first": "left", "second": "left", "third": "right", "fourth": "right"}
PLACES = asked(
    Match(items=lambda _: ABCD, right=lambda _: PLACED, among=("left", "right")),
    Mispicked("M05_plain_sum", lambda _: {"first": "right"}),
)


@pytest.mark.parametrize(
    ("typed", "name", "score"),
    [
        ("a 2, b 2, c 1, d 1", "right", 1.0),
        ("d1 c1 b2 a2", "right", 1.0),
        ("a2b2c1d1", "right", 1.0),
        ("A: 2; B: 2; C: 1; D: 1", "right", 1.0),
        ("a 1, b 2, c 1, d 1", "none_of_these", 0.75),
        ("a 2, b 2, c 2, d 1", "M05_plain_sum", 0.6),  # no more for a known mistake
        ("a 1, b 1, c 1, d 2", "none_of_these", 0.25),
    ],
)
def test_each_item_in_its_place_has_its_share(typed, name, score):
    outcome = mark(PLACES, typed)

    assert (outcome.name, outcome.score) == (name, score)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("a 3, b 1", "a number from 1 to 2"),
        ("a 2 b", "a number from 1 to 2"),
        ("2 a", "a number from 1 to 2"),
        ("x 1", "a to d"),
        ("a 2, a 1, b 1, c 1, d 1", "The letter a stands there twice"),
        ("a 2, d 1", "Missing: b, c"),
    ],
)
def test_places_that_cannot_be_read_are_asked_back(typed, says):
    assert mark(PLACES, typed).held
    assert says in told(PLACES, typed)


def test_who_goes_on_where_one_has_to_stop_is_left_with_nothing():
    stops = Match(
        items=lambda _: ABCD, right=lambda _: PLACED, among=("left", "right"),
        stop="left",
    )  # fmt: skip
    one = asked(stops, Mispicked("M05_plain_sum", lambda _: {"third": "left"}))

    # To stop too often costs a share.
    marks = {typed: mark(one, typed).score for typed in ("a2b2c1d1", "a2b1c1d1")}
    assert marks == {"a2b2c1d1": 1.0, "a2b1c1d1": 0.75}
    assert mark(one, "a2b2c2d1").score == mark(one, "a2b2c1d2").score == 0.0
    assert "2 reasons to stop were let pass" in told(one, "a2b2c2d2")


def test_how_many_are_in_place_is_told():
    assert "In their places: 3 of 4." in told(PLACES, "a 1, b 2, c 1, d 1")


# --------------------------------------------------------------------------- order


def ranked(**ranks):
    return asked(
        Order(items=lambda _: ABCD, right=lambda _: ranks),
        Mispicked("M05_plain_sum", lambda _: {n: -r for n, r in ranks.items()}),
    )


IN_ORDER = ranked(first=1, second=2, third=3, fourth=4)


@pytest.mark.parametrize(
    ("typed", "name", "score"),
    [
        ("c, d, a, b", "right", 1.0),
        ("C > D > A > B", "right", 1.0),
        ("cdab", "right", 1.0),
        ("c → d → b → a", "none_of_these", 0.666667),  # 5 pairs of 6, less 1
        ("d c b a", "none_of_these", 0.333333),  # 4, less 2
        ("a b c d", "none_of_these", 0.0),  # 2, less 4
        ("b a d c", "M05_plain_sum", 0.0),
    ],
)
def test_a_pair_that_is_right_earns_what_a_wrong_one_costs(typed, name, score):
    outcome = mark(IN_ORDER, typed)

    assert (outcome.name, outcome.score) == (name, score)


def test_all_orders_earn_what_a_list_of_their_pairs_says():
    for letters in permutations("abcd"):
        places = [letters.index(one) for one in "cdab"]
        good = sum(p < q for n, p in enumerate(places) for q in places[n + 1 :])

        score = mark(IN_ORDER, "".join(letters)).score

        assert score == pytest.approx(max(0, (good - (6 - good)) / 6), abs=1e-6)


def test_of_two_that_rank_alike_either_may_come_first():
    alike = ranked(first=1, second=1, third=2, fourth=3)

    assert mark(alike, "c d a b").score == mark(alike, "d c a b").score == 1.0
    assert mark(alike, "d a c b").score == 0.6  # 4 pairs of 5, less 1


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("c d a", "Missing: b"),
        ("c d a b a", "The letter a stands there twice"),
        ("c d a x", "letters from a to d"),
        ("1 2 3 4", "letters from a to d"),
        (" , ", "No letter is typed"),
    ],
)
def test_an_order_that_cannot_be_read_is_asked_back(typed, says):
    assert mark(IN_ORDER, typed).held
    assert says in told(IN_ORDER, typed)


def test_how_many_pairs_are_right_is_told():
    assert "Of 6 pairs, 5 stand the right way round." in told(IN_ORDER, "c d b a")


def test_items_as_they_stand_at_the_start_earn_nothing():
    as_shown = ranked(third=1, fourth=2, first=3, second=4)
    one_off = ranked(fourth=1, third=2, first=3, second=4)

    assert not as_shown.separated
    assert not one_off.separated
    assert IN_ORDER.separated  # two pairs of six are right


def test_what_a_mistake_takes_for_right_is_never_right():
    both = Mispicked("M05_plain_sum", lambda _: "second")

    same = asked(CHOICE.exercise.answer, both)

    assert not same.separated
    assert CHOICE.separated


# ------------------------------------------------------------------ gone on from it


LINE = variant_from(exercise("6.6a"), exercise("6.6a").by_hand.numbers)
FORCE = continued(exercise("6.6b"), LINE)


@pytest.mark.parametrize(
    ("letter", "force"),
    [
        ("a", "2.78 kN"),  # 16 × sin 10°
        ("b", "3.34 kN"),  # 32 × sin 6°
        ("c", "3.75 kN"),  # 10 × sin 22°
    ],
)
def test_the_number_is_marked_on_the_line_that_was_chosen(letter, force):
    chosen = mark(LINE, letter).value

    assert mark(FORCE, force, carried=chosen).name == "right"
    assert mark(FORCE, force).name == ("right" if letter == "a" else "none_of_these")


@pytest.mark.parametrize("carried", [0.0, 4.0, 2.5, -1.0, float("nan"), 1e11])
def test_what_is_no_choice_is_not_gone_on_from(carried):
    assert mark(FORCE, "2.78 kN", carried=carried).name == "right"
    assert mark(FORCE, "3.75 kN", carried=carried).name == "none_of_these"


def test_a_known_mistake_is_found_on_the_own_line_too():
    # 32 × (1 − cos 6°) = 0.1753
    assert mark(FORCE, "175 N", carried=3.0).name == "M07_small_angle_harmless"


def test_the_question_that_goes_on_does_not_tell_the_right_line():
    assert "16 kN" in question(FORCE)
    assert "16 kN" not in question(FORCE, carried=True)


def test_a_choice_of_three_is_fair_to_go_on_from_and_a_far_number_is_not():
    number, choice = Carry(source="x", name="y"), Carry(source="x", name="y", choices=3)

    assert [choice.fair(v, right=2.0) for v in (1, 3, 4, 0)] == [
        True, True, False, False,
    ]  # fmt: skip
    assert [number.fair(v, right=2.0) for v in (0.4, 10, 0.39, 10.1)] == [
        True, True, False, False,
    ]  # fmt: skip


# --------------------------------------------------------------------------- count


SIX = replace(
    LINE,
    exercise=replace(
        LINE.exercise,
        answer=Count(solve=lambda _: 6, smallest=0, largest=9),
        mistakes=(),
    ),
)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("6", "right"),
        (" 6.0 ", "right"),
        ("5", "none_of_these"),
        ("7", "none_of_these"),
        ("60", "none_of_these"),
        ("0", "none_of_these"),
    ],
)
def test_a_count_is_right_or_not(typed, name):
    outcome = mark(SIX, typed)

    assert (outcome.name, outcome.score) == (name, float(name == "right"))


@pytest.mark.parametrize(
    "typed", ["6.5", "-6", "six", "6 points", "6 kN", "6 or 7", "6%"]
)
def test_what_is_no_whole_number_is_asked_back(typed):
    outcome = mark(SIX, typed, history=History(unit_reminders=3))

    assert (outcome.name, outcome.held) == ("not_whole", True)
    assert f"“{typed}” is no count" in outcome.trouble.sentence
    assert mark(SIX, "", history=FRESH).name == "blank"


# ----------------------------------------------------------- order with safety steps

START_UP = asked(
    Order(
        items=lambda _: ABCD,
        right=lambda _: dict(zip(ABCD, (0.0, 1.0, 2.0, 2.0), strict=True)),
        safety=("second",),
    )
)  # a third, b fourth, c first, d second; third and fourth may change places


@pytest.mark.parametrize(
    ("typed", "score", "told_so"),
    [
        ("c d a b", 1.0, False),
        ("c d b a", 1.0, False),
        ("c a d b", 0.0, True),  # one pair of five is wrong, and it is about safety
        ("d c a b", 0.0, True),
        ("a d c b", 0.0, True),
        ("a c d b", 0.0, True),
    ],
)
def test_a_safety_step_out_of_place_leaves_nothing(typed, score, told_so):
    assert mark(START_UP, typed).score == score
    assert (say("outcome", "order", "safety_misplaced") in told(START_UP, typed)) == (
        told_so
    )


def test_other_steps_out_of_place_cost_their_share():
    # The same order with its last as the safety step: only first and second turned.
    one = asked(
        Order(
            items=lambda _: ABCD,
            right=lambda _: dict(zip(ABCD, (0.0, 1.0, 2.0, 3.0), strict=True)),
            safety=("fourth",),
        )
    )

    # First c, then d, a, b: with d first, five of six pairs stand.
    assert mark(one, "d c a b").score == pytest.approx(4 / 6)
    assert mark(one, "c d b a").score == 0.0
