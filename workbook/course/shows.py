"""Which set-up of an explorer shows what is right of a question, by its code."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import isclose
from typing import TYPE_CHECKING, Literal

from workbook.course import lessons
from workbook.course.tables import code_of, solved
from workbook.errors import WorkbookError
from workbook.exercises.answers.quantity import Quantity
from workbook.figures.pictures import subjects
from workbook.quantities.table import kind_of
from workbook.quantities.units import factor
from workbook.scenes import codes
from workbook.scenes.fields import Number

if TYPE_CHECKING:
    from workbook.course.lesson import Changes, Exploration
    from workbook.exercises.engine import Variant

How = Literal["numbers", "asked", "lesson"]


@dataclass(frozen=True, kw_only=True)
class ShownBy:
    """A set-up that shows something.

    Attributes
    ----------
    explorer : Exploration
        Where it is set out.
    change : mapping
        What differs from the explorer's start.
    how : {"numbers", "asked", "lesson"}
        It has the question's own numbers and shows the right answer; it is where the
        explorer's prediction offers this mistake; or it is what the lesson looks at.
    """

    explorer: Exploration
    change: Changes
    how: How

    @property
    def code(self) -> str:
        """Its set-up code."""
        return code_of(self.explorer, **self.change)


def shown_by(variant: Variant, mistake: str) -> ShownBy | None:
    """Return the set-up that shows best what breaks a mistake, if any does.

    Parameters
    ----------
    variant : Variant
        A question with its numbers, to which the mistake was made.
    mistake : str
        Its name.

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> from workbook.exercises.engine import variant_from
    >>> legs = variant_from(exercise("8.4"), {"pull": 24.0, "between": 80.0})
    >>> found = shown_by(legs, "M14_bridle_half")
    >>> found.how, dict(found.change), found.code
    ('numbers', {'pull_kn': 24.0, 'between_deg': 80.0}, 'BRIDLE1-2B1G-ZA0')
    """
    own = lessons()[variant.exercise.lesson].explorers
    for one in own:
        change = _with_its_numbers(one, variant)
        if change:
            return ShownBy(explorer=one, change=change, how="numbers")
    others = [e for lesson in lessons().values() for e in lesson.explorers]
    for one in (*own, *others):
        if one.predict and one.observe and mistake in one.predict.wrong:
            return ShownBy(explorer=one, change=one.observe.at[0], how="asked")
    for one in own:
        if one.observe:
            return ShownBy(explorer=one, change=one.observe.at[0], how="lesson")
    return None


def _with_its_numbers(one: Exploration, variant: Variant) -> Changes:
    """Return a question's numbers as set in an explorer that shows its right answer.

    Nothing where a number has no control in its own unit, or where the answer is not
    among what is shown.
    """
    wanted = variant.exercise.answer
    if not isinstance(wanted, Quantity) or variant.exercise.carry:
        return {}
    change = dict(_set(one, variant))
    if len(change) < len(variant.numbers):
        return {}
    try:
        set_out = codes.decode(
            subjects()[one.subject].word,
            subjects()[one.subject].fields,
            code_of(one, **change),
        )
        amounts = subjects()[one.subject].amounts(solved(one, **change))
    except WorkbookError:  # beyond what can be set there
        return {}
    as_given = all(
        isclose(float(set_out[name]), value) for name, value in change.items()
    )
    shown = any(
        kind == wanted.kind and abs(value - variant.answer) <= variant.tolerance
        for value, kind in amounts.values()
    )
    return change if as_given and shown else {}


def _set(one: Exploration, variant: Variant) -> Iterator[tuple[str, float]]:
    for name, number in variant.numbers.items():
        unit = variant.exercise.unit_of(name)
        for field in subjects()[one.subject].fields.values():
            if not isinstance(field, Number) or field.kind != kind_of(unit):
                continue
            if field.name.startswith(f"{name}_"):
                yield field.name, number * factor(unit) / factor(field.unit)
                break
