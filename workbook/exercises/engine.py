"""An exercise with its numbers: drawn for one student, answered, with what goes wrong.

The separation guard sees to it that no armed mistake lies near the right answer.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from workbook.errors import NoConvergenceError
from workbook.exercises.declaration import Exercise, Mistake, Numbers, slip
from workbook.exercises.seeds import Stream, seed_for
from workbook.exercises.sets import BEFORE_SETS
from workbook.quantities.units import INCH, factor

GUARD = 3.0  # tolerances that a mistake keeps from the right answer
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
    def answer(self) -> float:
        """The right answer. [SI]"""
        return float(self.exercise.answer.solve(self.given))

    @cached_property
    def tolerance(self) -> float:
        """The full tolerance. [SI]"""
        return float(self.exercise.answer.tolerance_at(self.answer))

    @cached_property
    def routes(self) -> tuple[Mistake, ...]:
        """The known wrong routes, and the slips that can be made anywhere."""
        known = self.exercise.mistakes
        if self.before_sets:
            return (*(m for m in known if not m.late), *_factor_slips(self))
        return (*known, *_slips(self))

    @cached_property
    def wrong(self) -> tuple[float, ...]:
        """Where each route leads; nan where that is nowhere or near right. [SI]"""
        found = [float(route.answer(self.given)) for route in self.routes]
        return tuple(value if self._clear(value) else math.nan for value in found)

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
        primary = (m for m in self.exercise.mistakes if not m.secondary)
        found = (float(mistake.answer(self.given)) for mistake in primary)
        return all(self._clear(value) for value in found if math.isfinite(value))

    @cached_property
    def worked_copy(self) -> Variant:
        """The same exercise with other numbers and clearly another answer."""
        numbers = json.dumps(dict(self.numbers), sort_keys=True)
        stream = Stream(hashlib.sha256(f"worked copy {numbers}".encode()).digest())
        while True:
            copy = draw(self.exercise, stream)
            if abs(copy.answer - self.answer) > 3 * self.tolerance:
                return copy

    def carrying(self, value: float) -> Variant:
        """Return the variant that goes on from the learner's own earlier value."""
        carry = self.exercise.carry
        assert carry is not None
        unit = self.exercise.unit_of(carry.name)
        numbers = {**self.numbers, carry.name: value / factor(unit)}
        return replace(self, numbers=numbers)

    def _clear(self, value: float) -> bool:
        if not math.isfinite(value):
            return False
        # Rounded, so that the last bit of a sine cannot draw other numbers.
        return round(abs(value - self.answer) / self.tolerance, 6) >= GUARD


def _slips(variant: Variant) -> list[Mistake]:
    """Return slips of sign, decimal place and unit, whatever is asked."""
    answer, right = variant.exercise.answer, variant.answer
    ours, theirs = factor(answer.unit), factor(_other_unit(answer.kind))
    known = [("sign", -right), ("factor10", 10 * right), ("factor10", right / 10)]
    if answer.kind in {"force", "length", "energy"}:
        known += [("factor1000", 1000 * right), ("factor1000", right / 1000)]
    if ours != theirs:
        # The number of the other unit beside ours, and ours beside the other unit.
        name = "radians" if answer.kind == "angle" else "other_units"
        known += [(name, right * ours / theirs), (name, right * theirs / ours)]
    return [slip(name, _fixed(value)) for name, value in known]


def _fixed(value: float) -> Callable[[Numbers], float]:
    return lambda _: value


def _other_unit(kind: str) -> str:
    """Return the unit that is taken for ours by mistake."""
    return "rad" if kind == "angle" else INCH.unit[kind]


def _factor_slips(variant: Variant) -> list[Mistake]:
    """Return a thousand times too much and too little: N for kN, mm for m."""
    if variant.exercise.answer.kind not in {"force", "length"}:
        return []
    right = variant.answer
    return [
        slip("factor1000", lambda _: 1000 * right),
        slip("factor1000", lambda _: right / 1000),
    ]


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
