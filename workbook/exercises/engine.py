"""An exercise with its numbers: drawn for one student, answered, with what goes wrong.

The separation guard sees to it that no armed mistake lies near the right answer.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from workbook.errors import NoConvergenceError
from workbook.exercises.answers.quantity import (
    Mistake,
    Quantity,
    factor_slips,
    slips_anywhere,
)
from workbook.exercises.declaration import Exercise, Numbers
from workbook.exercises.seeds import Stream, seed_for
from workbook.exercises.sets import BEFORE_SETS
from workbook.quantities.units import factor

MOST_DRAWS = 1000


@dataclass(frozen=True)
class Variant:
    """An exercise with its numbers, in the units of the question.

    An answer from ``before_sets`` is looked at as it was then.
    """

    exercise: Exercise
    numbers: Mapping[str, float]
    before_sets: bool = False

    @cached_property
    def given(self) -> Numbers:
        """The numbers in SI units."""
        unit_of = self.exercise.unit_of
        return Numbers(**{n: x * factor(unit_of(n)) for n, x in self.numbers.items()})

    @cached_property
    def answer(self) -> Any:
        """The right answer, or one of them. [SI]"""
        return self.exercise.answer.solve(self.given)

    @property
    def quantity(self) -> Quantity:
        """What is asked for, where that is one number."""
        assert isinstance(self.exercise.answer, Quantity)
        return self.exercise.answer

    @cached_property
    def tolerance(self) -> float:
        """The full tolerance of a number. [SI]"""
        return float(self.quantity.tolerance_at(self.answer))

    @property
    def own_routes(self) -> tuple[Mistake, ...]:
        """The known wrong routes to a number that belong to the exercise itself."""
        return tuple(m for m in self.exercise.mistakes if isinstance(m, Mistake))

    @cached_property
    def routes(self) -> tuple[Mistake, ...]:
        """The known wrong routes to a number, and slips that can be made anywhere."""
        known = self.own_routes
        if not isinstance(self.exercise.answer, Quantity):
            return ()
        if self.before_sets:
            return (*(m for m in known if not m.late), *factor_slips(self))
        return (*known, *slips_anywhere(self))

    @cached_property
    def wrong(self) -> tuple[float, ...]:
        """Where each route leads; nan where that is nowhere or near right. [SI]"""
        found = [float(route.answer(self.given)) for route in self.routes]
        return tuple(v if self._clear(v) else math.nan for v in found)

    @property
    def armed(self) -> tuple[tuple[Mistake, float], ...]:
        """The mistakes that can be told from the right answer, with their numbers."""
        pairs = zip(self.routes, self.wrong, strict=True)
        return tuple((route, value) for route, value in pairs if not math.isnan(value))

    @property
    def named(self) -> tuple[tuple[Mistake, float], ...]:
        """Those of them that belong to the exercise itself, for keys."""
        own = self.exercise.mistakes
        return tuple((m, value) for m, value in self.armed if m in own)

    @property
    def separated(self) -> bool:
        """Whether every primary mistake keeps its distance from the right answer."""
        return self.exercise.answer.separated(self)

    def _clear(self, value: float) -> bool:
        return self.quantity.clear(value, right=self.answer)

    @cached_property
    def worked_copy(self) -> Variant:
        """The same exercise with other numbers and clearly another answer."""
        numbers = json.dumps(dict(self.numbers), sort_keys=True)
        stream = Stream(hashlib.sha256(f"worked copy {numbers}".encode()).digest())
        while True:
            copy = draw(self.exercise, stream)
            if self.exercise.answer.apart(copy.answer, self):
                return copy

    def carrying(self, value: float) -> Variant:
        """Return the variant that goes on from the learner's own earlier value."""
        carry = self.exercise.carry
        assert carry is not None
        unit = self.exercise.unit_of(carry.name)
        numbers = {**self.numbers, carry.name: value / factor(unit)}
        return replace(self, numbers=numbers)


def variant_from(exercise: Exercise, drawn: Mapping[str, float]) -> Variant:
    """Return the variant with these numbers, such as those of a key file.

    Derived numbers that are not among them are worked out and rounded as printed.
    """
    base = Variant(exercise, {name: float(drawn[name]) for name in exercise.given})
    if not exercise.derived:
        return base
    derived = {
        name: drawn.get(
            name, round(one.solve(base.given) / factor(one.unit), one.digits)
        )
        for name, one in exercise.derived.items()
    }
    return Variant(exercise, {**base.numbers, **derived})


def draw(exercise: Exercise, stream: Stream) -> Variant:
    """Draw numbers until they make a sensible question with mistakes told apart.

    Raises
    ------
    NoConvergenceError
        If no such numbers turn up: the ranges of the exercise are at fault.
    """
    for _ in range(MOST_DRAWS):
        numbers = {n: stream.choice(d.values) for n, d in exercise.given.items()}
        base = Variant(exercise, numbers)
        if not exercise.allowed(base.given):
            continue
        variant = variant_from(exercise, numbers) if exercise.derived else base
        if variant.separated:
            return variant
    raise NoConvergenceError("exercise.no_numbers", id=exercise.id, draws=MOST_DRAWS)


def variant_for(
    exercise: Exercise,
    *,
    class_key: str,
    student: str,
    set: str = BEFORE_SETS,
    attempt: int = 1,
) -> Variant:
    """Return the numbers of one student for one attempt in one set.

    Parameters
    ----------
    exercise : Exercise
        What is asked.
    class_key, student, set : str
        See `workbook.exercises.seeds.seed_for`.
    attempt : int
        How often the numbers were drawn anew.

    Returns
    -------
    Variant

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> variant_for(exercise("2.1"), class_key="oak", student="K7").numbers
    {'tension': 18.0, 'angle': 24.0}
    """
    seed = seed_for(
        class_key=class_key,
        student=student,
        exercise=exercise.id,
        version=exercise.version,
        attempt=attempt,
        set=set,
    )
    return draw(exercise, Stream(seed))


def continued(exercise: Exercise, earlier: Variant) -> Variant:
    """Return the variant of a later part on the numbers of the earlier one."""
    return variant_from(exercise, earlier.numbers)
