"""Predict first: the choice question that opens an explorer.

The choices are the right answer and what known mistakes lead to, so that every
wrong choice means something. Where the question is that of an exercise with fixed
numbers, the choices are numbers; else their texts stand in the lesson's sentences.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from workbook.exercises import exercise, wording
from workbook.exercises.engine import Variant, variant_from
from workbook.exercises.marking import mark
from workbook.exercises.seeds import Stream, seed_for
from workbook.language import say, text
from workbook.quantities.units import METRIC, UnitSystem
from workbook.scenes.fields import Number, checked, si

if TYPE_CHECKING:
    from workbook.scenes.fields import Field, Value

RIGHT, NONE = "right", "none_of_these"
LETTERS = "ABCDEFGH"  # by which choices are called where they stand in one order


@dataclass(frozen=True, kw_only=True)
class Prediction:
    """What a learner answers before any control moves.

    Attributes
    ----------
    wrong : tuple of str
        Names of the known mistakes that are offered beside the right answer.
    exercise : str
        Id of the exercise that is asked with ``numbers``; where there is none, the
        options are texts of the lesson.
    numbers : mapping of str to float
        The given numbers, in the units of the exercise.
    givens : tuple of str
        Names of the explorer's fields that are told beside the question, as the
        explorer starts with them.
    lesson, explorer : str
        Where it is asked; the lesson that holds it fills them in.
    """

    wrong: tuple[str, ...]
    exercise: str = ""
    numbers: Mapping[str, float] = field(default_factory=dict)
    givens: tuple[str, ...] = ()
    lesson: str = ""
    explorer: str = ""

    @property
    def question(self) -> str:
        """The question as the screen asks it."""
        return say("lesson", self.lesson, "explorer", self.explorer, "predict")

    @cached_property
    def variant(self) -> Variant | None:
        """The exercise with its numbers, if the question is one."""
        if not self.exercise:
            return None
        return variant_from(exercise(self.exercise), self.numbers)


@dataclass(frozen=True, kw_only=True)
class Option:
    """One choice: ``right``, a mistake or ``none_of_these``, and its text."""

    name: str
    text: str


def options(
    prediction: Prediction,
    *,
    class_key: str,
    student: str,
    system: UnitSystem = METRIC,
) -> tuple[Option, ...]:
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
    tuple of Option

    Examples
    --------
    >>> asked = Prediction(
    ...     exercise="2.1",
    ...     numbers={"tension": 20, "angle": 20},
    ...     wrong=("M01_whole_tension", "M02_sin_cos"),
    ... )
    >>> shown = options(asked, class_key="oak", student="K7")
    >>> sorted(option.text for option in shown[:-1])
    ['18.8 kN', '20.0 kN', '6.84 kN']
    """
    variant = prediction.variant
    seed = seed_for(
        class_key=class_key,
        student=student,
        exercise=f"predict {prediction.lesson}",
        version=variant.exercise.version if variant else 1,
        attempt=1,
    )
    offered = _numbers(prediction, variant, system) if variant else _texts(prediction)
    last = Option(name=NONE, text=say("prediction", NONE))
    return (*Stream(seed).shuffled(offered), last)


def _numbers(
    prediction: Prediction, variant: Variant, system: UnitSystem
) -> list[Option]:
    values = [(RIGHT, variant.answer)] + [
        (mistake.name, mistake.answer(variant.given))
        for mistake in variant.own_routes
        if mistake.name in prediction.wrong
    ]
    return [
        Option(
            name=name, text=wording.value_text(variant.exercise, value, system=system)
        )
        for name, value in values
    ]


def _texts(prediction: Prediction) -> list[Option]:
    at = ("lesson", prediction.lesson, "explorer", prediction.explorer, "options")
    return [Option(name=n, text=say(*at, n)) for n in (RIGHT, *prediction.wrong)]


def givens(
    prediction: Prediction,
    fields: Mapping[str, Field],
    start: Mapping[str, Value],
    *,
    system: UnitSystem,
) -> tuple[tuple[str, str], ...]:
    """Return name and value of what is given beside a question.

    Parameters
    ----------
    prediction : Prediction
        Whose ``givens``.
    fields, start : mapping
        Fields of the explorer, and where it starts if not at their own start values.
    system : UnitSystem
        The reader's units.

    Examples
    --------
    >>> from workbook.scenes.fields import read_fields
    >>> asked = Prediction(wrong=(), givens=("fork_offset_mm",))
    >>> givens(asked, read_fields("pull"), {"fork_offset_mm": 50}, system=METRIC)
    (('fork offset, plus to the left', '50 mm'),)
    """
    values = checked(fields, start)

    def shown(field: Field) -> str:
        value = values[field.name]
        if isinstance(field, Number):
            return system.show(si(field, value), field.kind)
        return field.shown(str(value))

    told = [fields[name] for name in prediction.givens]
    return tuple((field.label, shown(field)) for field in told)


def asked_on_paper(prediction: Prediction, *, system: UnitSystem) -> str:
    """Return the question as paper asks it, where no lesson stands beside it."""
    variant = prediction.variant
    return wording.question(variant, system=system) if variant else prediction.question


def outcome_of(prediction: Prediction, typed: str) -> str:
    """Return what an answer in the learner's own words stands for, if anything.

    Examples
    --------
    >>> asked = Prediction(
    ...     exercise="2.1", numbers={"tension": 20, "angle": 20}, wrong=("M02_sin_cos",)
    ... )
    >>> outcome_of(asked, "18.8 kN"), outcome_of(asked, "a lot")
    ('right', 'none_of_these')
    """
    marked = mark(prediction.variant, typed) if prediction.variant else None
    return marked.name if marked and not marked.held else NONE


def explained(prediction: Prediction, name: str) -> tuple[str, ...]:
    """Return what is said about the choice of this name, once something was seen.

    Examples
    --------
    >>> asked = Prediction(
    ...     exercise="2.1", numbers={"tension": 20, "angle": 20}, wrong=("M02_sin_cos",)
    ... )
    >>> explained(asked, "M02_sin_cos")[0]
    'You seem to have taken the other side of the triangle.'
    """
    if name not in prediction.wrong:
        return (say("prediction", RIGHT if name == RIGHT else "other"),)
    if prediction.variant:
        return wording.refutation(prediction.variant.exercise, name)
    said = text("mistake", name)
    return tuple(said[part] for part in ("did", "why", "breaks", "try") if part in said)
