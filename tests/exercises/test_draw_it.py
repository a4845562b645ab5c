"""Exercises whose answer is arrows: judged one by one, the first thing wrong told."""

from dataclasses import replace
from functools import cache
from itertools import permutations
from math import cos, degrees, hypot, radians, sin

import pytest

from workbook.exercises import EXERCISES, exercise
from workbook.exercises.answers.draw_it import DrawIt, DrawnArrow
from workbook.exercises.engine import variant_for, variant_from
from workbook.exercises.marking import History, mark
from workbook.exercises.replay import Work, replay
from workbook.exercises.wording import answer_text, feedback, question
from workbook.figures.drawing.marks import Arrow, Label
from workbook.figures.sketches.boards import board, drawn_back
from workbook.quantities.units import INCH

SEEDS = 200
DRAWN = [one for one in EXERCISES.values() if isinstance(one.answer, DrawIt)]
every = pytest.mark.parametrize("one", DRAWN, ids=lambda one: one.key)
HEAD, CLAMP = exercise("7.8"), exercise("2.7")
RAM, PULL, ANCHOR = "H 55° 40 kN", "H 200° 43.46 kN", "H 315° 25.32 kN"
HELD = [
    "", " ; ", "x", "12", "H", "H 30", "H 30°", "H 30° 5", "H 30° 5 mm", "Q 30° 5 kN",
    "H 3 m 5 kN", "H 30° 0 kN", "H 30° -5 kN", "H nan° 5 kN", "H 30° 1e999 kN",
    "H 1° 1 kN;" * 9, "y" * 5000, "<b>", "H 30° 5 kN; C",
]  # fmt: skip


@cache
def variants(key):
    return [
        variant_for(EXERCISES[key], class_key="oak", student=f"student {n}", set="exit")
        for n in range(SEEDS)
    ]


def drawn(one):
    return variants((one.id, one.version))


def by_hand(one):
    return variant_from(one, one.by_hand.numbers)


def marked(*arrows, one=HEAD):
    return mark(by_hand(one), "; ".join(arrows))


def typed(variant, made):
    return variant.exercise.answer.typed(made)


def changed(variant, place, **change):
    """Return the right arrows with one of them changed, typed."""
    made = [*variant.answer]
    made[place] = replace(made[place], **change)
    return typed(variant, made)


@every
def test_the_right_arrows_are_right_in_any_order(one):
    for variant in drawn(one):
        orders = permutations(variant.answer)
        outcomes = [mark(variant, typed(variant, made)) for made in orders]

        assert {(o.name, o.score) for o in outcomes} == {("right", 1.0)}


@every
def test_the_forces_that_act_hold_each_other(one):
    for variant in drawn(one):
        made = variant.answer

        along = sum(a.size * cos(a.angle) for a in made)
        across = sum(a.size * sin(a.angle) for a in made)
        assert hypot(along, across) < 1e-6 * max(a.size for a in made)
        assert any(
            f.name == "closes" for f in mark(variant, typed(variant, made)).findings
        )


@every
@pytest.mark.parametrize(
    ("off", "name"),
    [(4.9, "right"), (-4.9, "right"), (5.1, "close"), (-9.9, "close"), (9.9, "close")],
)
def test_a_direction_may_be_five_degrees_off_and_is_close_to_ten(one, off, name):
    for variant in drawn(one)[:50]:
        for place, arrow in enumerate(variant.answer):
            turned = arrow.angle + radians(off)

            assert mark(variant, changed(variant, place, angle=turned)).name == name


@every
@pytest.mark.parametrize("off", [12.0, -12.0])
def test_a_direction_further_off_is_wrong(one, off):
    for variant in drawn(one)[:50]:
        for place, arrow in enumerate(variant.answer):
            outcome = mark(
                variant, changed(variant, place, angle=arrow.angle + radians(off))
            )

            assert outcome.score < 0.4
            told = outcome.findings[0]
            assert (told.name, told.values) == (
                "arrow_wrong_way",
                {"number": place + 1},
            )


@every
@pytest.mark.parametrize(
    ("share", "name"),
    [(1.049, "right"), (0.951, "right"), (1.09, "close"), (0.91, "close")],
)
def test_a_size_may_be_five_per_cent_off_and_is_close_to_ten(one, share, name):
    for variant in drawn(one)[:50]:
        for place, arrow in enumerate(variant.answer):
            longer = changed(variant, place, size=arrow.size * share)

            assert mark(variant, longer).name == name


@every
def test_a_size_further_off_is_told_long_or_short(one):
    for variant in drawn(one)[:50]:
        for place, arrow in enumerate(variant.answer):
            for share, told in ((1.2, "arrow_too_long"), (0.8, "arrow_too_short")):
                outcome = mark(
                    variant, changed(variant, place, size=arrow.size * share)
                )

                assert outcome.score <= 0.6
                assert outcome.findings[0].name == told
                assert outcome.findings[0].values == {"number": place + 1}


@every
def test_a_force_without_an_arrow_and_one_too_many_are_told_before_all_else(one):
    for variant in drawn(one)[:50]:
        right = [*variant.answer]
        for place, arrow in enumerate(right):
            rest = [a for k, a in enumerate(right) if k != place]

            missing = mark(variant, typed(variant, rest))
            twice = mark(variant, typed(variant, [*right, arrow]))

            assert missing.name == "missing_force"
            assert twice.name == "same_force_twice"
            assert max(missing.score, twice.score) < 0.2
            assert missing.findings[0].values == {"count": 1}


@every
def test_an_arrow_at_another_point_is_told_before_its_direction(one):
    for variant in drawn(one)[:50]:
        for place, arrow in enumerate(variant.answer):
            other = next(hook for hook in one.answer.hooks[::-1] if hook != arrow.at)
            moved = changed(variant, place, at=other, angle=arrow.angle + radians(12))

            assert mark(variant, moved).name == "wrong_point"


@every
def test_each_arrow_turned_round_is_told_as_what_it_is(one):
    for variant in drawn(one)[:50]:
        forces = one.answer.forces(variant.given)
        for place, (force, arrow) in enumerate(
            zip(forces, variant.answer, strict=True)
        ):
            round_ = changed(variant, place, angle=arrow.angle + radians(180))

            name = "chain_pushes" if force.chain else "sense_reversed"
            outcome = mark(variant, round_)
            assert outcome.name == name
            assert outcome.findings[0].values == {"number": place + 1}


@every
def test_every_declared_mistake_is_found_where_it_can_be_told(one):
    found = set()
    for variant in drawn(one):
        forces = one.answer.forces(variant.given)
        for mistake in one.mistakes:
            (place,) = [k for k, f in enumerate(forces) if f.name == mistake.of]
            if mistake.away(forces[place], variant.given) < 3:
                continue
            what = "angle" if mistake.angle else "size"
            value = getattr(mistake, what)(variant.given)
            if what == "size" and value <= 0:
                continue
            made = [*variant.answer]
            for k, force in enumerate(forces):
                if k == place or force.name == mistake.other:
                    made[k] = replace(made[k], **{what: value})
            outcome = mark(variant, typed(variant, made))
            assert mistake.name in outcome.choices, (variant.numbers, mistake)
            assert outcome.score < 0.6
            found.add((mistake.name, mistake.of))

    assert found == {(m.name, m.of) for m in one.mistakes}


def test_one_leg_alone_is_not_taken_for_equal_legs_or_two_halves():
    one = marked(RAM, PULL, "H 315° 37.2 kN")
    half = marked(RAM, PULL, "H 315° 20 kN")

    assert (one.name, half.name) == ("none_of_these", "none_of_these")


def test_marks_grow_with_what_is_right():
    scores = [
        marked(RAM).score,  # two forces lack
        marked(RAM, PULL).score,  # one
        marked("H 235° 40 kN", "H 20° 43.46 kN", "H 135° 25.32 kN").score,  # all round
        marked(RAM, PULL, "H 135° 25.32 kN").score,  # one
        marked(RAM, PULL, "H 315° 60 kN").score,  # one too long
        marked(RAM, PULL, "H 322° 25.32 kN").score,
        marked(RAM, PULL, ANCHOR).score,
    ]

    assert scores == pytest.approx(
        [0.2 / 3, 0.4 / 3, 0.2, 1 / 3, 1.6 / 3, 0.8, 1.0], abs=1e-5
    )


def test_an_arrow_too_many_costs_when_another_lacks_too():
    lacking = marked(RAM, PULL)
    both = marked(RAM, PULL, "H 10° 20 kN")

    assert both.name == "two_fit"
    assert {*both.choices} == {"missing_force", "force_invented", "none_of_these"}
    assert both.score < lacking.score


def test_arrows_that_do_not_close_are_told_so_and_cost_nothing():
    wide = marked("H 59° 40 kN", "H 196° 43.46 kN", ANCHOR)

    assert wide.name == "right"
    assert wide.findings[-1].name == "open"


def test_what_both_do_together_is_the_hold_turned_round():
    outcome = marked("C 0° 15 kN", "C 120° 15 kN", "C 60° 15 kN", one=CLAMP)

    assert outcome.name == "sense_reversed"


@pytest.mark.parametrize(
    "text",
    [
        "h 55 deg 40 kN; H 200 deg 43.46kN; H -45° 25320 N",
        "H: 415°, 8992 lbf; H 200° 43,46 kN\nH 5.498 rad° 25.32 kN",
    ],
)
def test_arrows_may_be_typed_in_several_ways(text):
    names = [mark(by_hand(HEAD), text).name]

    assert names in (["right"], ["arrows_unread"])
    assert names == (["arrows_unread"] if "rad" in text else ["right"])


@every
@pytest.mark.parametrize("text", HELD)
def test_what_cannot_be_read_is_told_and_costs_no_try(one, text):
    outcome = mark(drawn(one)[0], text, marked_set=True)

    told = feedback(outcome, drawn(one)[0], History())
    assert outcome.held
    assert outcome.tries_left == 3
    assert all(0 < len(line) < 300 for line in told)
    assert len(told) == 3


@every
def test_the_first_two_wrong_tries_never_show_the_answer(one):
    for variant in drawn(one)[:10]:
        history = History()
        for _ in range(2):
            outcome = mark(
                variant,
                changed(variant, 2, size=99e3),
                history=history,
                marked_set=True,
            )
            history = history.after(outcome)
            told = " ".join(feedback(outcome, variant, history))

            right = variant.answer[2]
            assert answer_text(variant) not in told
            assert f"{degrees(right.angle) % 360:.0f}°" not in told
            assert f"{right.size / 1e3:.1f}" not in told
        last = mark(variant, f"{one.answer.hooks[0]} 1° 1 kN", history=history)
        assert answer_text(variant) in " ".join(feedback(last, variant, history))


@every
def test_how_near_an_arrow_has_to_be_stands_in_the_question(one):
    asked = question(drawn(one)[0], system=INCH)

    assert "5° off" in asked
    assert "5%" in asked


@every
def test_the_answer_is_shown_in_the_readers_units_and_typed_in_one(one):
    for variant in drawn(one)[:10]:
        assert "lbf" in answer_text(variant, system=INCH)
        assert "kN" in typed(variant, variant.answer)


def test_a_record_of_arrows_comes_to_the_same_again():
    lines = [
        {"kind": "answer", "typed": text}
        for text in (RAM, "x", f"{RAM}; {PULL}; {ANCHOR}")
    ]

    work = replay(by_hand(HEAD), lines, marked_set=True)

    names = [outcome.name for outcome in work.outcomes]
    assert names == ["missing_force", "arrows_unread", "right"]
    assert work.best == 0.9


# ------------------------------------------------------------------ drawn back


def worked(*texts, one=HEAD):
    work = Work(variant=by_hand(one))
    for text in texts:
        work = work.after({"kind": "answer", "typed": text})
    return work


def labels(work):
    return [m.text for m in drawn_back(work) if isinstance(m, Label)]


def test_arrows_are_drawn_back_where_they_act_and_as_they_point():
    work = worked("H 0° 40 kN; C 90° 20 kN; H 315° 25.32 kN")

    first, second, _ = [m for m in drawn_back(work) if isinstance(m, Arrow)]

    start, places = board(work.variant).places["H"], board(work.variant).places
    assert tuple(first.tail) == (start[0], 340 - start[1])
    assert tuple(first.head - first.tail) == pytest.approx((96.0, 0.0))
    assert tuple(second.tail) == (places["C"][0], 340 - places["C"][1])
    assert tuple(second.head - second.tail) == pytest.approx((0.0, 48.0))


def test_a_wrong_arrow_is_crossed_and_a_right_one_is_not():
    assert labels(worked(f"{RAM}; H 20° 43.46 kN; {ANCHOR}")) == ["✗ 2"]
    assert labels(worked(f"{RAM}; {PULL}; {ANCHOR}")) == []


def test_arrows_that_lack_come_with_their_names_when_the_answer_is_shown():
    wrong = f"{RAM}; {PULL}; H 315° 60 kN"

    before, after = worked(wrong, wrong), worked(wrong, wrong, wrong)
    given_up = Work(variant=by_hand(HEAD)).after({"kind": "given_up"})

    assert labels(before) == ["✗ 3"]
    assert labels(after) == ["✗ 3", "anchor leg"]  # the others have theirs
    assert labels(given_up) == ["ram", "pull leg", "anchor leg"]


def test_nothing_is_drawn_back_before_an_answer_or_of_a_number():
    assert drawn_back(Work(variant=by_hand(HEAD))) == []
    assert drawn_back(worked("x")) == []
    number = Work(variant=by_hand(exercise("7.2")))
    assert drawn_back(number.after({"kind": "answer", "typed": "40 kN"})) == []


@every
def test_right_arrows_have_room_on_the_picture(one):
    for variant in drawn(one):
        on = board(variant)
        for arrow in variant.answer:
            x, y = on.places[arrow.at]
            tip = DrawnArrow(arrow.at, arrow.angle, arrow.size)
            across = x + tip.size * on.scale * cos(tip.angle)
            down = y - tip.size * on.scale * sin(tip.angle)

            assert 0 <= across <= 420
            assert 0 <= down <= 340
