"""Predict first: the choice question that opens a lesson.

It is an exercise with fixed numbers. The choices are the right answer and what
the known mistakes lead to, so that every wrong choice means something.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from workbook.exercises import exercise, wording
from workbook.exercises.engine import Variant, variant_from
from workbook.exercises.marking import Outcome
from workbook.exercises.seeds import Stream, seed_for
from workbook.language import say
from workbook.quantities.units import METRIC, UnitSystem


@dataclass(frozen=True, kw_only=True)
class Prediction:
    """The question that a learner answers before any control moves.

    ``wrong`` names the known mistakes of the exercise that are offered.
    """

    lesson: str
    variant: Variant
    wrong: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One choice: ``right``, a mistake or ``none_of_these``, its value and text."""

    name: str
    value: float | None
    text: str


def _prediction(
    lesson: str, id: str, numbers: Mapping[str, float], *wrong: str
) -> Prediction:
    variant = variant_from(exercise(id), numbers)
    return Prediction(lesson=lesson, variant=variant, wrong=wrong)


PREDICTIONS: Mapping[str, Prediction] = {
    p.lesson: p
    for p in (
        _prediction(
            "L02",
            "2.1",
            {"tension": 20, "angle": 20},
            "M01_whole_tension",
            "M04_in_step_with_angle",
            "M02_sin_cos",
        ),
        _prediction(
            "L07",
            "7.2",
            {"ram_force": 40, "ram_angle": 55, "anchor_angle": 45, "pull_angle": 20},
            "M11_ram_half",
            "M10_equal_legs",
            "M12_gauge_is_chain",
        ),
        _prediction(
            "L08",
            "8.1",
            {
                "offset": 50,
                "fork": 600,
                "clamp_height": 500,
                "clamp_distance": 1500,
                "head_out": 0,
                "head_up": 900,
            },
            "M18_slot_shift_only",
            "plan_distance_only",
        ),
        _prediction(
            "L09", "9.1", {"span": 2000, "slack": 30}, "M19_sag_is_slack", "v_shape"
        ),
    )
}
"""The predict-question of each lesson that has one."""


def choices(
    prediction: Prediction,
    *,
    class_key: str,
    student: str,
    system: UnitSystem = METRIC,
) -> tuple[Choice, ...]:
    """Return the choices in the order of one student, "none of these" last.

    Parameters
    ----------
    prediction : Prediction
        Whose choices.
    class_key, student : str
        See `workbook.exercises.seeds.seed_for`; they shuffle the choices, so that
        a letter called across the room tells nothing.
    system : UnitSystem
        The reader's units.

    Returns
    -------
    tuple of Choice

    Examples
    --------
    >>> shown = choices(PREDICTIONS["L02"], class_key="oak", student="K7")
    >>> sorted(choice.text for choice in shown[:-1])
    ['15.6 kN', '18.8 kN', '20 kN', '6.84 kN']
    """
    variant = prediction.variant
    values = [("right", variant.answer)]
    values += [
        (mistake.name, mistake.answer(variant.given))
        for mistake in variant.exercise.mistakes
        if mistake.name in prediction.wrong
    ]
    seed = seed_for(
        class_key=class_key,
        student=student,
        exercise=f"predict {prediction.lesson}",
        version=variant.exercise.version,
        attempt=1,
    )
    shown = [
        Choice(
            name=name,
            value=value,
            text=wording.value_text(variant.exercise, value, system=system),
        )
        for name, value in Stream(seed).shuffled(values)
    ]
    none = Choice(
        name="none_of_these", value=None, text=say("prediction", "none_of_these")
    )
    return (*shown, none)


def judge(prediction: Prediction, name: str) -> Outcome:
    """Decide about the choice of this name; predicting wrong costs nothing.

    Examples
    --------
    >>> judge(PREDICTIONS["L02"], "right").score
    1.0
    """
    if name in prediction.wrong:
        lines = wording.refutation(prediction.variant.exercise, name)
    else:
        lines = (say("prediction", "right" if name == "right" else "other"),)
    return Outcome(name=name, score=float(name == "right"), lines=lines)
