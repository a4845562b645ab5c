"""What hands go up for: the prediction of a lesson, or one of its exercises."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from workbook.course.predictions import LETTERS, NONE, RIGHT, asked_on_paper, options
from workbook.exercises import exercise, exercises_of, wording
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.engine import variant_for
from workbook.exercises.seeds import Stream, seed_for
from workbook.language import say

if TYPE_CHECKING:
    from workbook.course.lesson import Lesson
    from workbook.course.predictions import Option, Prediction
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem

WHOSE = "script"  # in place of a student: the class votes in one order
CARDS = "ABCDE"  # the cards that a class votes with


@dataclass(frozen=True, kw_only=True)
class Offered:
    """What hands go up for: a letter, a text, and what it tells of who takes it.

    ``name`` is that of the mistake, ``right`` or ``none_of_these``.
    """

    letter: str
    name: str
    text: str
    tells: str
    right: bool


@dataclass(frozen=True, kw_only=True)
class Poll:
    """A question that a class votes on.

    Attributes
    ----------
    about : str
        Id of the exercise; empty for the prediction of the lesson.
    title, question : str
        What it is called, if it has a title, and what is asked.
    choices : tuple of Offered
    variant : Variant or None
        The exercise with the numbers it is asked with.
    """

    about: str
    title: str
    question: str
    choices: tuple[Offered, ...]
    variant: Variant | None


def poll_of(
    lesson: Lesson, about: str = "", *, class_key: str, system: UnitSystem
) -> Poll:
    """Return what a class votes on: by default the prediction of a lesson.

    Parameters
    ----------
    lesson : Lesson
        One with a prediction.
    about : str
        One of `voted_on`.
    class_key : str
        It decides the order of the choices, and the numbers of an exercise.
    system : UnitSystem
        Units of question and choices.
    """
    if not about:
        asked = lesson.prediction
        assert asked is not None
        return Poll(
            about="",
            title="",
            question=asked_on_paper(asked, system=system),
            choices=choices_of(asked, class_key=class_key, system=system),
            variant=asked.variant,
        )
    one = exercise(about)
    variant = variant_for(one, class_key=class_key, student=WHOSE, attempt=1)
    return Poll(
        about=about,
        title=f"{one.id} · {wording.title(one)}",
        question=wording.question(variant, system=system),
        choices=tuple(_choices(variant, class_key, system)),
        variant=variant,
    )


def voted_on(lesson: Lesson) -> tuple[str, ...]:
    """Return ids of the exercises of a lesson that can be asked with letters.

    Those are the ones whose known mistakes lead to numbers of their own.

    Examples
    --------
    >>> from workbook.course import lessons
    >>> voted_on(lessons()["L03"])
    ('3.1', '3.2', '3.3', '3.4')
    """
    return tuple(
        one.id
        for one in exercises_of(lesson.id)
        if isinstance(one.answer, Quantity)
        and one.carry is None
        and len(one.mistakes) > 1
    )


def choices_of(
    asked: Prediction, *, class_key: str, system: UnitSystem
) -> tuple[Offered, ...]:
    """Return the choices of a prediction in the one order in which a class votes.

    Parameters
    ----------
    asked : Prediction
    class_key : str
        It decides the order.
    system : UnitSystem
        Units of the choices.
    """
    offered = options(asked, class_key=class_key, student=WHOSE, system=system)
    return tuple(
        Offered(
            letter=letter,
            name=option.name,
            text=option.text,
            tells=_tells(asked, option),
            right=option.name == RIGHT,
        )
        for letter, option in zip(LETTERS, offered, strict=False)
    )


def _tells(asked: Prediction, option: Option) -> str:
    if option.name == RIGHT:
        return say("script", RIGHT)
    if option.name == NONE or asked.variant is None:
        return say("mistake", option.name, "thought")
    return wording.thought(asked.variant.exercise, option.name)


def _choices(variant: Variant, class_key: str, system: UnitSystem) -> Iterator[Offered]:
    """Yield the choices of an exercise, "none of these" last."""
    none = say("prediction", NONE), NONE
    offered = [*_numbers(variant, class_key, system), none]
    for letter, (text, name) in zip(CARDS, offered, strict=False):
        tells = say("script", RIGHT) if name == RIGHT else _thought(variant, name)
        yield Offered(
            letter=letter, name=name, text=text, tells=tells, right=name == RIGHT
        )


def _numbers(
    variant: Variant, class_key: str, system: UnitSystem
) -> list[tuple[str, str]]:
    """Return the right number and those of known mistakes, each text once."""
    one = variant.exercise
    own = {wording.value_text(one, variant.answer, system=system): RIGHT}
    for mistake, value in variant.named:
        own.setdefault(wording.value_text(one, value, system=system), mistake.name)
    seed = seed_for(
        class_key=class_key, student=WHOSE, exercise=f"vote {one.id}",
        version=one.version, attempt=1,
    )  # fmt: skip
    return Stream(seed).shuffled([*own.items()][: len(CARDS) - 1])


def _thought(variant: Variant, name: str) -> str:
    if name == NONE:
        return say("mistake", NONE, "thought")
    return wording.thought(variant.exercise, name)
