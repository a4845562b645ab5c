"""Every exercise over 200 seeds: right answers, known mistakes, ranges and texts."""

import math
import re
from functools import cache

import pytest

from workbook.exercises import EXERCISES, exercise
from workbook.exercises.engine import Variant, continued, variant_for, variant_from
from workbook.exercises.marking import FULL, History, mark
from workbook.exercises.seeds import Stream
from workbook.exercises.wording import (
    answer_text,
    hint,
    hint_count,
    question,
    refutation,
    rule,
    thought,
    title,
    worked_copy,
)
from workbook.language import entries
from workbook.quantities.table import KINDS
from workbook.quantities.units import INCH, factor

SEEDS = 200
# Share of draws that may be dropped because a mistake lies too near the answer. In
# 7.2 the ram force and the pull leg are honestly close for many good set-ups.
MOST_REDRAWN = {"7.2": 0.35}

every_exercise = pytest.mark.parametrize(
    "one", EXERCISES.values(), ids=lambda e: f"{e.id} v{e.version}"
)


@cache
def variants(key, count=SEEDS):
    return [
        variant_for(EXERCISES[key], class_key="oak", student=f"student {n}")
        for n in range(count)
    ]


def drawn(one):
    return variants((one.id, one.version))


def typed(variant, value):
    return f"{value / factor(variant.exercise.unit):.15g} {unit_of(variant)}"


def unit_of(variant):
    return {"1": "times"}.get(variant.exercise.unit, variant.exercise.unit)


def sentences(text):
    return [s for s in re.split(r"(?<=[.?!])\s+", text) if s]


def numbers_in(text):
    return [float(n) for n in re.findall(r"\d+(?:\.\d+)?", text)]


def test_the_lessons_have_their_exercises():
    found = [e.id for e in EXERCISES.values()]

    assert found == [
        *("2.1", "2.2", "2.3", "2.4", "2.5", "2.6"),
        *("7.1", "7.2", "7.3", "7.4", "7.5", "7.6a", "7.6b"),
        *("8.1", "8.2", "8.3", "8.4", "8.5", "8.6"),
        *("9.1", "9.2", "9.3", "9.4", "9.5", "9.6"),
    ]


@every_exercise
def test_the_right_answer_earns_full_marks(one):
    for variant in drawn(one):
        outcome = mark(variant, typed(variant, variant.answer))

        assert (outcome.name, outcome.score) == ("right", FULL)


@every_exercise
@pytest.mark.parametrize("side", [-1, 1])
def test_nine_tenths_of_the_tolerance_passes_and_eleven_tenths_is_close(one, side):
    for variant in drawn(one):
        near = variant.answer + 0.9 * side * variant.tolerance
        off = variant.answer + 1.1 * side * variant.tolerance
        far = variant.answer + 2.1 * side * variant.tolerance

        assert mark(variant, typed(variant, near)).name == "right"
        assert mark(variant, typed(variant, off)).name == "close"
        assert mark(variant, typed(variant, off)).score == 0.8
        assert mark(variant, typed(variant, far)).score < 0.8


@every_exercise
def test_every_known_mistake_is_recognised_and_never_marked_right(one):
    for variant in drawn(one):
        for mistake, value in variant.armed:
            outcome = mark(variant, typed(variant, value))

            names = outcome.choices if outcome.name == "two_fit" else (outcome.name,)
            assert mistake.name in names
            assert outcome.score <= mistake.score <= 0.6


@every_exercise
def test_every_known_mistake_is_armed_for_somebody(one):
    armed = {m.name for variant in drawn(one) for m, _ in variant.armed}

    assert {m.name for m in one.mistakes} <= armed


@every_exercise
def test_no_known_mistake_lies_within_three_tolerances(one):
    for variant in drawn(one):
        assert variant.separated
        for _, value in variant.armed:
            assert abs(value - variant.answer) > 2.999 * variant.tolerance


@every_exercise
def test_answers_are_numbers_inside_their_stated_range(one):
    for variant in drawn(one):
        shown = variant.answer / factor(one.unit)

        assert one.smallest <= shown <= one.largest


@every_exercise
def test_no_right_answer_is_below_workshop_sense(one):
    # "12,400 N" is read as thousands because 12.4 N is below workshop sense.
    least = KINDS[one.kind].smallest_sensible

    assert one.smallest * factor(one.unit) >= least


@every_exercise
def test_few_draws_are_dropped_for_lying_near_a_mistake(one):
    stream = Stream(b"redraws of " + one.id.encode())
    allowed = dropped = 0
    while allowed < 300:
        numbers = {name: stream.choice(d.values) for name, d in one.given.items()}
        if one.allowed(Variant(one, numbers).given):
            allowed += 1
            dropped += not variant_from(one, numbers).separated

    assert dropped / allowed <= MOST_REDRAWN.get(one.id, 0.10)


@every_exercise
def test_the_first_two_tries_never_show_the_answer(one):
    for variant in drawn(one)[:60]:
        answer = float(re.findall(r"[\d.]+", answer_text(variant))[0])
        for value in [*(v for _, v in variant.armed), 7.7 * variant.answer]:
            for tries in (0, 1):
                history = History(tries=tries)
                outcome = mark(variant, typed(variant, value), history=history)

                assert outcome.score < 0.8
                assert answer not in numbers_in(" ".join(outcome.lines))


@every_exercise
def test_the_third_wrong_try_shows_the_answer_and_the_way(one):
    variant = drawn(one)[0]

    outcome = mark(variant, f"987654 {unit_of(variant)}", history=History(tries=2))

    assert answer_text(variant) in " ".join(outcome.lines)
    assert outcome.lines[-1] == rule(one)


@every_exercise
def test_the_last_hint_is_a_worked_copy_with_other_numbers(one):
    for variant in drawn(one)[:40]:
        copy = worked_copy(variant)
        last = hint(variant, hint_count(one))

        assert copy.numbers != variant.numbers
        assert abs(copy.answer - variant.answer) > 3 * variant.tolerance
        assert answer_text(copy) in last


@every_exercise
def test_every_text_of_an_exercise_is_there_and_filled_in(one):
    variant = drawn(one)[0]
    texts = [title(one), question(variant), rule(one)]
    texts += [hint(variant, n + 1) for n in range(hint_count(one))]
    if one.carry:
        texts.append(question(variant, carried=True))

    assert hint_count(one) >= 3
    for text in texts:
        assert text
        assert "{" not in text


@every_exercise
def test_every_mistake_is_refuted_in_four_parts_and_every_slip_in_two(one):
    for mistake in one.mistakes:
        parts = refutation(one, mistake.name)

        assert len(parts) == (2 if mistake.name.startswith("slip_") else 4)
        assert thought(one, mistake.name).startswith(("I ", "My "))


def strings(entry):
    if isinstance(entry, str):
        return [entry]
    values = entry.values() if isinstance(entry, dict) else entry
    return [text for value in values for text in strings(value)]


NOT_FOR_LEARNERS = {"caution", "refusal", "language"}


def test_sentences_for_learners_stay_under_twenty_words():
    for_learners = {k: v for k, v in entries("en").items() if k not in NOT_FOR_LEARNERS}
    long = [
        sentence
        for text in strings(for_learners)
        for sentence in sentences(text)
        if len(sentence.split()) >= 20
    ]

    assert long == []


def test_no_refutation_holds_a_number():
    tables = [entries("en")["mistake"]]
    tables += [
        e.get("mistake", {})
        for e in (
            one
            for lesson in entries("en")["exercise"].values()
            for one in lesson.values()
        )
    ]

    assert [text for text in strings(tables) if re.search(r"\d", text)] == []


def test_outcome_names_hold_no_numbers_of_the_variant():
    names = {m.name for e in EXERCISES.values() for m in e.mistakes}

    for name in names:
        assert re.fullmatch(r"(M\d\d_)?[a-z_]+", name)


@pytest.mark.parametrize(
    ("id", "numbers", "answer"),
    [
        # Worked by hand from the triangles, three figures.
        ("2.1", {"tension": 20, "angle": 30}, 17.3e3),
        ("2.2", {"tension": 20, "rise": 30}, 10.0e3),
        ("2.3", {"tension": 20, "angle_from_vertical": 30}, 10.0e3),
        ("2.4", {"first": 3, "second": 4, "between": 90}, 5.0e3),
        ("2.5", {"first": 4, "second": 3, "between": 90}, math.radians(36.87)),
        ("2.6", {"useful_pull": 10, "angle": 60}, 20.0e3),
        (
            "7.2",
            {"ram_force": 40, "ram_angle": 55, "anchor_angle": 45, "pull_angle": 20},
            43.5e3,
        ),
        (
            "7.3",
            {"ram_force": 40, "ram_angle": 55, "anchor_angle": 45, "pull_angle": 20},
            25.3e3,
        ),
        ("7.4", {"anchor_angle": 45, "pull_angle": 20}, math.radians(77.5)),
        (
            "7.5",
            {"stroke": 50, "ram_angle": 55, "anchor_angle": 45, "pull_angle": 20},
            46e-3,
        ),
        (
            "8.1",
            {
                "offset": 50, "fork": 600, "clamp_height": 500,
                "clamp_distance": 1500, "head_out": 0, "head_up": 900,
            },
            225e-3,
        ),
        (
            "8.2",
            {
                "offset": 50, "fork": 600, "clamp_height": 500,
                "clamp_distance": 1500, "head_out": 0, "head_up": 900,
            },
            math.radians(8.53),
        ),
        ("8.3", {"level_part": 30, "side_angle": 8.5}, 4.43e3),
        ("8.4", {"pull": 24, "between": 80}, 15.7e3),
        ("8.5", {"pull": 24, "first_angle": 30, "second_angle": 60}, 20.8e3),
        ("8.6", {"spacing": 600, "between": 60}, 600e-3),
        ("9.1", {"span": 2000, "slack": 30}, 150e-3),
        ("9.2", {"weight": 30, "span": 2, "tension": 1}, 15e-3),
        ("9.3", {"weight": 30, "span": 2, "sag": 15}, 1.0e3),
        ("9.4", {"slack_at_hook": 30, "ratio": 1.5}, 45e-3),
        ("9.5", {"tension": 30, "stiffness": 13, "length": 2}, 69.2),
        ("9.6", {"times": 2}, 4.0),
    ],
)  # fmt: skip
def test_worked_examples_come_out_as_by_hand(id, numbers, answer):
    variant = variant_from(exercise(id), numbers)

    assert variant.answer == pytest.approx(answer, rel=5e-3)


def test_the_head_shifts_as_the_plane_through_base_anchor_and_clamp_says():
    # offset (clamp height x head out + clamp distance x head up)/(fork x clamp height)
    for variant in drawn(exercise("8.1")):
        g = variant.given
        inside = g.clamp_height * g.head_out + g.clamp_distance * g.head_up

        shift = g.offset * inside / g.fork / g.clamp_height

        assert variant.answer == pytest.approx(shift, rel=1e-9)


def test_legs_follow_the_rule_of_sines_at_the_head():
    for pull, anchor in zip(
        drawn(exercise("7.2")), drawn(exercise("7.3")), strict=True
    ):
        g, h = pull.given, anchor.given

        leg = g.ram_force * math.sin(g.ram_angle + g.anchor_angle)
        other = h.ram_force * math.sin(h.ram_angle - h.pull_angle)

        both = math.sin(g.anchor_angle + g.pull_angle)
        assert pull.answer == pytest.approx(leg / both, rel=1e-9)
        both = math.sin(h.anchor_angle + h.pull_angle)
        assert anchor.answer == pytest.approx(other / both, rel=1e-9)


def test_at_the_angle_for_equal_legs_the_legs_are_equal():
    for variant in drawn(exercise("7.4"))[:50]:
        angles = {**variant.numbers, "ram_angle": math.degrees(variant.answer)}
        rig = {**angles, "ram_force": 30}

        pull = variant_from(exercise("7.2"), rig).answer
        anchor = variant_from(exercise("7.3"), rig).answer

        assert pull == pytest.approx(anchor, rel=1e-9)


def test_a_later_part_goes_on_with_the_numbers_of_the_earlier_one():
    earlier = drawn(exercise("8.1"))[0]

    later = continued(exercise("8.2"), earlier)

    assert later.numbers["offset"] == earlier.numbers["offset"]
    assert later.given.shift == pytest.approx(earlier.answer, abs=0.5e-3)


@every_exercise
def test_a_variant_comes_back_from_its_stored_numbers(one):
    for variant in drawn(one)[:40]:
        again = variant_from(one, dict(variant.numbers))

        assert again.numbers == variant.numbers
        assert again.answer == variant.answer


def test_printed_numbers_of_an_old_sheet_are_kept_as_printed():
    numbers = {**drawn(exercise("8.2"))[0].numbers, "shift": 111.0}

    assert variant_from(exercise("8.2"), numbers).numbers["shift"] == 111.0


def test_a_reader_of_inches_sees_the_same_numbers_with_inches_behind():
    variant = variant_from(exercise("2.1"), {"tension": 20, "angle": 30})

    assert "20 kN (4496 lbf)" in question(variant, system=INCH)
    assert "20 kN." in question(variant)
