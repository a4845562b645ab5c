"""Exercises: numbers drawn for one student, solved, with the known wrong routes.

An exercise draws printed-precision numbers first and solves with exactly those.
A `Mistake` is a wrong route with its own number; the separation guard sees to it
that no armed mistake lies near the right answer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import SimpleNamespace

from workbook.errors import NoConvergenceError
from workbook.exercises.seeds import Stream, seed_for
from workbook.quantities.units import factor

GUARD = 3.0  # tolerances that a mistake keeps from the right answer
MOST_DRAWS = 1000


class Given(SimpleNamespace):
    """The numbers of a question by name, in SI units."""


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A number that a question gives: its unit and the values it can take."""

    unit: str
    values: tuple[float, ...]


def stepped(unit: str, low: float, high: float, step: float = 1.0) -> Drawn:
    """Return the values from ``low`` to ``high`` by steps, ends included.

    Examples
    --------
    >>> stepped("mm", 0.5, 0.8, 0.1).values
    (0.5, 0.6, 0.7, 0.8)
    """
    count = round((high - low) / step)
    return picked(unit, *(round(low + i * step, 9) for i in range(count + 1)))


def picked(unit: str, *values: float) -> Drawn:
    """Return just these values."""
    return Drawn(unit=unit, values=tuple(float(value) for value in values))


@dataclass(frozen=True)
class Mistake:
    """A known wrong route and the number it leads to.

    ``answer`` gives that number in SI units. A ``secondary`` mistake is switched
    off where it lies near the right answer; a primary one makes the numbers be
    drawn again. ``score`` is what the route still earns.
    """

    name: str
    answer: Callable[[Given], float]
    secondary: bool = False
    score: float = 0.0


def slip(name: str, answer: Callable[[Given], float]) -> Mistake:
    """Return a slip of hand or key: part marks, and never a reason to draw again."""
    return Mistake(f"slip_{name}", answer, secondary=True, score=0.6)


@dataclass(frozen=True, kw_only=True)
class Tolerance:
    """How far off still earns full marks: the larger of a share and a size.

    ``absolute`` is in the unit of the answer.
    """

    relative: float = 0.0
    absolute: float = 0.0


TWO_PERCENT = Tolerance(relative=0.02)


@dataclass(frozen=True, kw_only=True)
class Carry:
    """The given number that may come from the learner's own earlier answer."""

    source: str
    name: str


@dataclass(frozen=True, kw_only=True)
class Exercise:
    """One numeric exercise: what is drawn, how it is solved, what goes wrong.

    Parameters
    ----------
    id, version, lesson
        ``("2.1", 1, "L02")``. Other ranges or another solution need a new version;
        the old one stays, so that old answers can be marked.
    given : mapping of str to Drawn
        What is drawn, by name.
    allowed : callable
        Which draws make a sensible question.
    derived : mapping of str to (unit, digits, callable)
        Numbers given as well that follow from the drawn ones; rounded, then used.
    kind, unit : str
        Kind of quantity of the answer, and the unit it is shown in.
    solve : callable
        The right answer from the given numbers. [SI]
    tolerance : Tolerance
        Full marks within it.
    smallest, largest : float
        The range all right answers lie in. [unit of the answer]
    mistakes : tuple of Mistake
        Armed wrong routes and slips.
    cautions : tuple of str
        Standing texts that stand beside the exercise.
    carry : Carry, optional
        The earlier answer this one goes on from.
    """

    id: str
    lesson: str
    given: Mapping[str, Drawn]
    kind: str
    unit: str
    solve: Callable[[Given], float]
    tolerance: Tolerance
    smallest: float
    largest: float
    mistakes: tuple[Mistake, ...]
    cautions: tuple[str, ...]
    version: int = 1
    allowed: Callable[[Given], bool] = lambda _: True
    derived: Mapping[str, tuple[str, int, Callable[[Given], float]]] = field(
        default_factory=dict
    )
    carry: Carry | None = None

    @property
    def key(self) -> str:
        """Name of its table in the strings file."""
        return f"{self.id} v{self.version}"

    def unit_of(self, name: str) -> str:
        """Return the unit in which the question gives a number."""
        return self.derived[name][0] if name in self.derived else self.given[name].unit

    def tolerance_at(self, answer: float) -> float:
        """Return the full tolerance round a right answer. [SI]"""
        size = self.tolerance.absolute * factor(self.unit)
        return max(self.tolerance.relative * abs(answer), size)


@dataclass(frozen=True)
class Variant:
    """An exercise with its numbers, in the units of the question."""

    exercise: Exercise
    numbers: Mapping[str, float]

    @cached_property
    def given(self) -> Given:
        """The numbers in SI units."""
        unit_of = self.exercise.unit_of
        return Given(**{n: x * factor(unit_of(n)) for n, x in self.numbers.items()})

    @cached_property
    def answer(self) -> float:
        """The right answer. [SI]"""
        return float(self.exercise.solve(self.given))

    @cached_property
    def tolerance(self) -> float:
        """The full tolerance. [SI]"""
        return self.exercise.tolerance_at(self.answer)

    @cached_property
    def armed(self) -> tuple[tuple[Mistake, float], ...]:
        """The mistakes that can be told from the right answer, with their numbers."""
        return tuple((m, v) for m, v, clear in self._routes if clear)

    @property
    def separated(self) -> bool:
        """Whether every primary mistake keeps its distance from the right answer."""
        return all(clear or mistake.secondary for mistake, _, clear in self._routes)

    @cached_property
    def _routes(self) -> list[tuple[Mistake, float, bool]]:
        """Each mistake that has a number here: the number, and whether it is clear."""
        routes = []
        for mistake in (*self.exercise.mistakes, *_factor_slips(self)):
            value = float(mistake.answer(self.given))
            if math.isfinite(value):
                # Rounded, so that the last bit of a sine cannot draw other numbers.
                away = round(abs(value - self.answer) / self.tolerance, 6)
                routes.append((mistake, value, away >= GUARD))
        return routes

    def carrying(self, value: float) -> Variant:
        """Return the variant that goes on from the learner's own earlier value."""
        carry = self.exercise.carry
        if carry is None:
            msg = f"exercise {self.exercise.id} does not go on from an earlier answer"
            raise ValueError(msg)
        unit = self.exercise.unit_of(carry.name)
        numbers = {**self.numbers, carry.name: value / factor(unit)}
        return Variant(self.exercise, numbers)


def _factor_slips(variant: Variant) -> list[Mistake]:
    """Return a thousand times too much and too little: N for kN, mm for m."""
    if variant.exercise.kind not in {"force", "length"}:
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
    derived = {
        name: drawn.get(name, round(solve(base.given) / factor(unit), digits))
        for name, (unit, digits, solve) in exercise.derived.items()
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
        if not exercise.allowed(Variant(exercise, numbers).given):
            continue
        variant = variant_from(exercise, numbers)
        if variant.separated:
            return variant
    msg = f"exercise {exercise.id} found no numbers in {MOST_DRAWS} draws"
    raise NoConvergenceError(msg)


def variant_for(
    exercise: Exercise, *, class_key: str, student: str, attempt: int = 1
) -> Variant:
    """Return the numbers of one student for one attempt.

    Parameters
    ----------
    exercise : Exercise
        What is asked.
    class_key, student : str
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
    )
    return draw(exercise, Stream(seed))


def continued(exercise: Exercise, earlier: Variant) -> Variant:
    """Return the variant of a later part on the numbers of the earlier one."""
    return variant_from(exercise, earlier.numbers)
