"""What every exercise declares: found by itself, held to a case worked by hand."""

import re
from inspect import Parameter, signature

import numpy as np
import pytest

from workbook.exercises import EXERCISES, exercise, exercises_of
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.engine import variant_for, variant_from
from workbook.exercises.marking import mark
from workbook.figures.sketches.sketches import SCENES
from workbook.language import CAUTIONS
from workbook.quantities.table import KINDS
from workbook.quantities.units import factor

every_exercise = pytest.mark.parametrize("one", EXERCISES.values(), ids=lambda e: e.key)
every_number = pytest.mark.parametrize(
    "one",
    [one for one in EXERCISES.values() if isinstance(one.answer, Quantity)],
    ids=lambda one: one.key,
)
LESSONS = sorted({one.lesson for one in EXERCISES.values()})


def arrays(id, version=None, seeds=50):
    """Return the numbers and answers of some seeds as arrays, in SI units."""
    drawn = [
        variant_for(exercise(id, version), class_key="oak", student=f"student {n}")
        for n in range(seeds)
    ]
    given = {
        n: np.array([getattr(v.given, n) for v in drawn]) for n in drawn[0].numbers
    }
    return type(drawn[0].given)(**given), np.array([v.answer for v in drawn])


@every_exercise
def test_the_solution_gives_what_was_worked_out_by_hand(one):
    variant = variant_from(one, one.by_hand.numbers)

    if not isinstance(one.answer, Quantity):  # several may be right
        assert mark(variant, one.by_hand.answer).name == "right"
        return
    # By hand with four figures of each sine and cosine.
    shown = variant.answer / factor(one.answer.unit)
    assert shown == pytest.approx(one.by_hand.answer, rel=1e-3)


@every_exercise
def test_an_exercise_is_found_under_its_lesson_by_its_number(one):
    number = re.fullmatch(r"(\d{1,2})\.\d[a-z]?", one.id)[1]

    assert one.lesson == f"L{int(number):02}"
    assert exercise(one.id, one.version) is one
    assert exercise(one.id).version == max(v for id, v in EXERCISES if id == one.id)
    assert one.id in {e.id for e in exercises_of(one.lesson)}


@pytest.mark.parametrize("lesson", LESSONS)
def test_exercises_of_a_lesson_stand_in_the_order_of_their_ids(lesson):
    ids = [one.id for one in exercises_of(lesson)]

    assert ids == sorted(ids)


@pytest.mark.parametrize(
    "one", [one for one in EXERCISES.values() if one.sketch], ids=lambda e: e.key
)
def test_a_sketch_names_a_scene_and_binds_all_that_it_draws(one):
    variant = variant_from(one, one.by_hand.numbers)

    bound = one.sketch.numbers(variant.given)

    words, *wanted = signature(SCENES[one.sketch.scene]).parameters.values()
    assert words.name == "words"
    if not any(one.kind is Parameter.VAR_KEYWORD for one in wanted):  # takes them all
        assert set(bound) == {one.name for one in wanted}
    assert np.isfinite([*bound.values()]).all()


@every_exercise
def test_an_easier_exercise_is_there_and_leads_to_an_end(one):
    seen = [one.id]
    while exercise(seen[-1]).easier:
        seen.append(exercise(seen[-1]).easier)
        assert len({*seen}) == len(seen)


@every_exercise
def test_cautions_are_known_and_the_first_always_stands(one):
    assert one.cautions[0] == "S0"
    assert {*one.cautions} <= {*CAUTIONS}


@every_number
def test_no_right_answer_is_below_workshop_sense(one):
    # "12,400 N" is read as thousands because 12.4 N is below workshop sense.
    least = KINDS[one.answer.kind].smallest_sensible

    assert one.answer.smallest * factor(one.answer.unit) >= least
    assert one.answer.unit in KINDS[one.answer.kind].typed


@every_exercise
def test_outcome_names_hold_no_numbers_of_the_variant(one):
    for mistake in one.mistakes:
        assert re.fullmatch(r"(M\d\d_)?[a-z_]+", mistake.name)


# ------------------------------------------------ rules beside what the engine says


@pytest.mark.parametrize("version", [1, 2])
def test_the_head_shifts_as_the_plane_through_base_anchor_and_clamp_says(version):
    g, shift = arrays("8.1", version)

    # offset (clamp height x head out + clamp distance x head up)/(fork x clamp height)
    inside = g.clamp_height * g.head_out + g.clamp_distance * g.head_up

    assert shift == pytest.approx(g.offset * inside / g.fork / g.clamp_height, rel=1e-9)


def test_legs_follow_the_rule_of_sines_at_the_head():
    g, pull_leg = arrays("7.2")
    h, anchor_leg = arrays("7.3")

    leg = g.ram_force * np.sin(g.ram_angle + g.anchor_angle)
    other = h.ram_force * np.sin(h.ram_angle - h.pull_angle)

    both = np.sin(g.anchor_angle + g.pull_angle)
    assert pull_leg == pytest.approx(leg / both, rel=1e-9)
    both = np.sin(h.anchor_angle + h.pull_angle)
    assert anchor_leg == pytest.approx(other / both, rel=1e-9)


def test_at_the_angle_for_equal_legs_the_legs_are_equal():
    for n in range(10):
        legs = variant_for(exercise("7.4"), class_key="oak", student=f"K{n}")
        angles = {**legs.numbers, "ram_angle": np.degrees(legs.answer)}
        rig = {**angles, "ram_force": 30}

        pull = variant_from(exercise("7.2"), rig).answer
        anchor = variant_from(exercise("7.3"), rig).answer

        assert pull == pytest.approx(anchor, rel=1e-9)
