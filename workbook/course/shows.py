"""Which set-up of an explorer shows what is right of a question, by its code."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from math import isclose
from typing import TYPE_CHECKING, Literal

from workbook.course import lessons
from workbook.course.tables import code_of, solved
from workbook.errors import WorkbookError
from workbook.exercises.answers.quantity import Quantity
from workbook.figures.pictures import subjects
from workbook.quantities.table import KINDS, kind_of
from workbook.quantities.units import factor
from workbook.scenes import codes
from workbook.scenes.fields import Number

if TYPE_CHECKING:
    from workbook.course.lesson import Changes, Exploration
    from workbook.exercises.engine import Variant

SAME = 1e-3  # of an answer: the explorer rounds no more than a control does
# Other words that controls have for a number of a question. Which is meant, tells
# whether the right answer is shown.
ALSO: Mapping[str, tuple[str, ...]] = {
    "ahead": ("hook_ahead",),
    "first": ("tension",),
    "off": ("angle",),
    "offset": ("side",),
    "pull": ("tension",),
    "tension": ("pull",),
    "useful_pull": ("useful",),
}

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

    Nothing where a number has no control, or where the answer is not among what is
    shown. They are set over the start, or else over a named set-up.
    """
    if not isinstance(variant.exercise.answer, Quantity) or variant.exercise.carry:
        return {}
    controls = [[*_controls(one, variant, name)] for name in variant.numbers]
    for over in ({}, *one.named.values()):
        for each in product(*controls):
            change = dict(each)
            if len(change) == len(variant.numbers) and _is_shown(
                one, {**over, **change}, variant
            ):
                return {**over, **change}
    return {}


def _controls(
    one: Exploration, variant: Variant, name: str
) -> Iterator[tuple[str, float]]:
    """Yield the controls that may be meant by a number, each with its value there."""
    unit = variant.exercise.unit_of(name)
    called = (name, *ALSO.get(name, ()))
    for field in subjects()[one.subject].fields.values():
        if not isinstance(field, Number) or not _alike(field.kind, kind_of(unit)):
            continue
        if field.name.startswith(tuple(f"{word}_" for word in called)):
            yield field.name, variant.numbers[name] * factor(unit) / factor(field.unit)


def _is_shown(one: Exploration, change: Changes, variant: Variant) -> bool:
    """Tell whether a set-up can be set out, and shows a question's right answer."""
    subject, wanted = subjects()[one.subject], variant.quantity.kind
    try:
        code = code_of(one, **change)
        set_out = codes.decode(subject.word, subject.fields, code)
        amounts = subject.told(solved(one, **change))
    except WorkbookError:  # beyond what can be set there
        return False
    as_given = all(
        value == set_out[name]
        if isinstance(value, str)
        else isclose(float(set_out[name]), value)
        for name, value in change.items()
    )
    near = max(abs(variant.answer) * SAME, 1e-9)
    return as_given and any(
        _alike(kind, wanted) and abs(abs(value) - abs(variant.answer)) <= near
        for value, kind in amounts.values()
    )


def _alike(kind: str, other: str) -> bool:
    """Tell whether two kinds of quantity are measured alike, as a small length is."""
    return KINDS[kind].metric[0] == KINDS[other].metric[0]
