"""What is right after all, for everybody, as the session plan says.

An answer counts as right at the try it was given: a value as near as a right one must
be, or a known mistake by its name. Answers that were held stay so, and what was typed
after the answer was shown still earns nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache

from workbook.course.session import value_of
from workbook.exercises import EXERCISES
from workbook.exercises.answers.quantity import RIGHT, Quantity
from workbook.exercises.declaration import Exercise
from workbook.exercises.marking import CEILINGS, UNIT_PENALTY, Outcome
from workbook.language import say, shown

NAME = "accepted"
Accepted = Mapping[str, Sequence[str]]  # by exercise


def accepting(
    outcome: Outcome, texts: Sequence[str], *, one: Exercise, tries: int, limited: bool
) -> tuple[Outcome, str]:
    """Return an outcome as it is with what is right after all, and by which text.

    Parameters
    ----------
    outcome : Outcome
        What the checker decided.
    texts : sequence of str
        What the session plan accepts for the exercise.
    one : Exercise
        The exercise.
    tries : int
        How many answers were marked, this one with them.
    limited : bool
        Whether tries have ceilings.
    """
    if outcome.held or outcome.name == "right":
        return outcome, ""
    text = next((x for x in texts if x == outcome.name or _near(x, one, outcome)), "")
    ceiling = 1.0
    if limited:
        ceiling = CEILINGS[tries - 1] if tries <= len(CEILINGS) else 0.0
    score = ceiling - (UNIT_PENALTY if outcome.unit_problem else 0.0)
    if not text or score <= outcome.score:
        return outcome, ""
    return replace(outcome, name=NAME, score=round(score, 6), choices=()), text


def _near(text: str, one: Exercise, outcome: Outcome) -> bool:
    """Tell whether an answer is this value, as near as a right one has to be."""
    value = _value(one.id, one.version, text)
    if value is None or outcome.value is None or not isinstance(one.answer, Quantity):
        return False
    return bool(one.answer.grade(outcome.value, right=value) == RIGHT)


@cache
def _value(id: str, version: int, text: str) -> float | None:
    return value_of(EXERCISES[id, version], text)


def why_accepted(text: str) -> str:
    """Say that something was right after all.

    Examples
    --------
    >>> why_accepted("12 kN")
    'accepted for all: 12 kN'
    """
    return say("classroom", "marks", "accepted", text=shown(text))
