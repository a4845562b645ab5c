"""Exercises whose answer is a set-up: judged by what the rig does."""

from functools import cache

import numpy as np
import pytest

from workbook.exercises import EXERCISES, exercise
from workbook.exercises.answers.set_it_out import SetItOut
from workbook.exercises.engine import variant_for, variant_from
from workbook.exercises.marking import History, mark
from workbook.exercises.replay import replay
from workbook.exercises.wording import answer_text, feedback, question
from workbook.quantities.units import INCH, METRIC
from workbook.scenes.fields import Number
from workbook.scenes.setups import FIELDS, Setup, from_code

SEEDS = 200
SET_OUT = [one for one in EXERCISES.values() if isinstance(one.answer, SetItOut)]
every = pytest.mark.parametrize("one", SET_OUT, ids=lambda one: one.key)
RISE, TURN, HARD = exercise("7.7"), exercise("8.7"), exercise("10.7")
HELD = [
    "", "x", "12", "extension", "extension 3", "extension 9 kN", "extension 9000 mm",
    "extension 1 mm; extension 2 mm", "width 3 mm", "PULL1-ABCD", "SAG1-0000",
    "ARROW1-1", "extension 1e999 mm", "<b>", ";" * 50, "y" * 5000,
]  # fmt: skip


@cache
def variants(key):
    return [
        variant_for(EXERCISES[key], class_key="oak", student=f"student {n}", set="exit")
        for n in range(SEEDS)
    ]


def drawn(one):
    return variants((one.id, one.version))


def setup_of(variant, made):
    return Setup(values={**variant.exercise.answer.start(variant.given), **made})


@every
def test_every_student_has_a_right_answer_in_steps_of_the_explorer(one):
    for variant in drawn(one):
        made = variant.answer
        outcome = mark(variant, one.answer.typed(made))

        assert (outcome.name, outcome.score) == ("right", 1.0)
        assert {*made} <= {*one.answer.free}
        for name, value in made.items():
            field = FIELDS[name]
            steps = (value - field.low) / field.step
            assert field.low <= value <= field.high
            assert steps == pytest.approx(round(steps), abs=1e-9)


@pytest.mark.parametrize(
    "typed",
    [
        "fork offset, plus to the left = 50 mm; extension height = 100 mm",
        "Extension  Height: 100 mm, FORK OFFSET, plus to the left 50mm",
        "fork_offset 50 mm; extension 100 mm",
        "fork offset 5 cm\nextension 0.1 m",
    ],
)
def test_a_number_goes_by_its_label_or_its_short_name(typed):
    made = TURN.answer.read(typed, drawn(TURN)[0].given).made

    assert made == {"fork_offset_mm": 50.0, "extension_mm": 100.0}


def test_a_set_up_is_typed_with_the_names_of_its_controls():
    assert HARD.answer.typed({"ram_force_kn": 24.0}) == "ram force = 24 kN"


@every
def test_the_code_of_a_set_up_is_as_good_as_its_numbers(one):
    for variant in drawn(one)[:20]:
        code = setup_of(variant, variant.answer).code
        loose = code.replace("-", "").lower()
        spaced = code.replace("-", " - ")

        assert [mark(variant, t).name for t in (code, loose, spaced)] == ["right"] * 3


@every
def test_the_question_gives_the_code_of_its_own_rig_which_is_wrong(one):
    for variant in drawn(one):
        code = one.answer.places(variant)["code"]

        outcome = mark(variant, code)

        assert code in question(variant)
        assert from_code(code).values == setup_of(variant, {}).values
        assert not outcome.held
        assert outcome.score == 0.0


def test_the_pull_rises_as_the_upright_triangle_says():
    for variant in drawn(RISE)[:50]:
        g, made = variant.given, setup_of(variant, variant.answer)
        long = 0.450 + made.si("extension_mm")
        up = long * np.cos(made.si("lean_deg"))
        out = made.si("clamp_distance_mm") + long * np.sin(made.si("lean_deg"))

        rise = np.arctan2(up - g.clamp_height, out)

        assert rise == pytest.approx(g.rise, abs=np.radians(1.0))


def test_the_pull_turns_as_the_plane_of_the_rig_says():
    for variant in drawn(TURN)[:50]:
        g, made = variant.given, setup_of(variant, variant.answer)
        offset, along = made.si("fork_offset_mm"), made.si("clamp_distance_mm")
        long, lean = 0.450 + made.si("extension_mm"), made.si("lean_deg")
        # Shift for one metre up, the head at the same slope out; then the length.
        out = np.tan(lean)
        shift = offset * (g.clamp_height * out + along) / (g.fork * g.clamp_height)
        up = long / np.sqrt(1 + out**2 + shift**2)

        turned = np.arctan2(shift * up, along + out * up)

        assert turned == pytest.approx(g.side_angle, abs=np.radians(1.0))


def test_the_pull_leg_carries_what_the_rule_of_sines_gives_it():
    for variant in drawn(HARD)[:50]:
        g, made = variant.given, setup_of(variant, variant.answer)
        long, lean = 0.450 + g.extension, made.si("lean_deg")
        up, out = long * np.cos(lean), long * np.sin(lean)
        pull = np.arctan2(up - g.clamp_height, g.clamp_distance + out)
        anchor, ram = np.arctan2(up, 0.900 - out), np.pi / 2 - lean

        carried = np.sin(ram + anchor) / np.sin(pull + anchor)

        assert carried * made.si("ram_force_kn") >= g.wanted - 200


def test_a_pull_that_is_more_than_wanted_is_right_and_less_is_close_or_not():
    # Leaning 20° it carries 1.0505 of the ram force, so 20 kN give 21.01.
    names = [
        mark(
            variant_from(HARD, {**HARD.by_hand.numbers, "wanted": 21.01 + more}),
            "lean 20 deg; ram_force 20 kN",
        ).name
        for more in (-5, -0.1, 0.18, 0.22, 0.38, 0.42)
    ]

    assert names == ["right", "right", "right", "close", "close", "none_of_these"]


def test_full_marks_end_at_the_tolerance_and_most_of_them_at_twice_it():
    # Upright on 175: 625 up, 175 above the clamp, 1000 along: 9.9262 degrees.
    numbers = dict(RISE.by_hand.numbers)
    names = [
        mark(variant_from(RISE, {**numbers, "rise": 9.9262 + away}), "extension 175 mm")
        for away in (-2.01, -1.99, -1.01, -0.99, 0.99, 1.01, 1.99, 2.01)
    ]

    assert [outcome.name for outcome in names[1:-1]] == [
        "close", "close", "right", "right", "close", "close",
    ]  # fmt: skip
    assert [outcome.score for outcome in names] == [0, 0.8, 0.8, 1, 1, 0.8, 0.8, 0]


@every
def test_nothing_past_the_margin_earns_anything(one):
    for variant in drawn(one)[:30]:
        strong = dict(variant.numbers, ram_force=100)
        over, made = variant_from(one, strong), dict(variant.answer)
        if "ram_force_kn" in one.answer.free:
            made["ram_force_kn"] = 100

        outcome = mark(over, one.answer.typed(made))

        assert (outcome.name, outcome.score) == ("past_the_margin", 0.0)
        told = feedback(outcome, over, History())
        assert told[0].startswith("Stop")
        assert any("Stop: the" in line and "margin" in line for line in told[1:])


def test_no_margin_lets_a_part_past_its_rating():
    numbers = {**RISE.by_hand.numbers, "ram_force": 27, "margin": 150}
    path = setup_of(variant_from(RISE, numbers), {"extension_mm": 175}).solved()

    outcome = mark(variant_from(RISE, numbers), "extension 175 mm")

    assert 1.0 < path.load_path.largest_share < 1.5
    assert outcome.name == "past_the_margin"


@every
@pytest.mark.parametrize("typed", HELD)
def test_what_cannot_be_read_is_told_and_costs_no_try(one, typed):
    variant = drawn(one)[0]

    outcome = mark(variant, typed, marked_set=True)

    told = feedback(outcome, variant, History())
    assert outcome.held
    assert outcome.tries_left == 3
    assert all(0 < len(line) < 300 for line in told)
    assert len(told) == 3


@every
def test_a_code_of_another_rig_is_refused_with_what_is_other(one):
    variant = drawn(one)[0]
    other = setup_of(variant, {"clamp_height_mm": 770})

    outcome = mark(variant, other.code)

    assert outcome.held
    assert "770 mm" in outcome.trouble.sentence
    assert f"{variant.numbers['clamp_height']:g} mm" in outcome.trouble.sentence


def test_what_the_pull_does_not_depend_on_may_be_other():
    variant = drawn(RISE)[0]
    set_up = setup_of(
        variant, {**variant.answer, "clamp_left_mm": 100, "take_up_kn": 1}
    )

    assert mark(variant, set_up.code).name == "right"


def test_an_anchor_leg_hangs_in_a_slot_only():
    variant = variant_from(TURN, TURN.by_hand.numbers)

    outcome = mark(variant, "fork offset 60 mm")

    assert outcome.held
    assert "60 mm" in outcome.trouble.sentence
    assert mark(variant, "fork offset 50 mm").name == "right"
    assert mark(variant, setup_of(variant, {"fork_offset_mm": 60}).code).held


@every
def test_each_mistake_can_be_made_and_is_found_in_what_the_rig_does(one):
    found, wrong = set(), {mistake.name for mistake in one.mistakes}
    for variant in drawn(one)[:40]:
        for typed in tries(variant):
            outcome = mark(variant, typed)
            found |= {outcome.name, *outcome.choices}
            if outcome.choices:
                assert outcome.score == 0.0
                assert wrong >= {*outcome.choices[:-1]}

    assert wrong <= found


def tries(variant):
    """Yield set-ups all over what may be set, typed."""
    answer = variant.exercise.answer
    for name in answer.free:
        field = FIELDS[name]
        assert isinstance(field, Number)
        step = 50 if name == answer.slots else field.step * 4
        for value in np.arange(field.low, field.high + 1, step):
            if name != answer.slots or abs(value) <= 250:
                yield answer.typed({**variant.answer, name: float(value)})


@every
def test_the_first_two_wrong_tries_never_show_the_answer(one):
    for variant in drawn(one)[:10]:
        history = History()
        for _ in range(2):
            code = one.answer.places(variant)["code"]
            outcome = mark(variant, code, history=history, marked_set=True)
            history = history.after(outcome)

            told = " ".join(feedback(outcome, variant, history))
            assert answer_text(variant) not in told
            assert "margin" in told
        last = mark(variant, code, history=history, marked_set=True)
        assert answer_text(variant) in " ".join(feedback(last, variant, history))


@every
def test_an_answer_is_the_same_text_in_any_units_and_shown_in_the_readers(one):
    for variant in drawn(one)[:10]:
        metric, inch = (answer_text(variant, system=s) for s in (METRIC, INCH))

        assert metric in inch or "mm" in metric
        assert ("in)" in inch) == ("mm" in metric)


def test_a_record_of_set_ups_comes_to_the_same_again():
    variant = drawn(RISE)[0]
    lines = [
        {"kind": "answer", "typed": typed}
        for typed in ("lean 60 deg", "x", RISE.answer.typed(variant.answer))
    ]

    work = replay(variant, lines, marked_set=True)

    names = [outcome.name for outcome in work.outcomes]
    assert names == ["does_not_stand", "set_up_unread", "right"]
    assert work.best == 0.9
