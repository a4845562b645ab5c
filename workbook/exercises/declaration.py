"""What an exercise is made of: one declaration, all else follows from it.

Numbers are drawn to printed precision first; the answer is worked out from exactly
those. A `Mistake` is a wrong route with its own number.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import SimpleNamespace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from workbook.quantities.typed import Typed, read_quantity
from workbook.quantities.units import factor

SAME = 0.01  # how near a known mistake a typed value lies to be taken for it
EDGE = 1e-9  # typed decimals carry the last bit of a float; the edge belongs inside
RIGHT, CLOSE, OFF = 0, 1, 2  # grades


class Numbers(SimpleNamespace):
    """The numbers of a question by name, in SI units."""


# ----------------------------------------------------------------- what is given


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


@dataclass(frozen=True, kw_only=True)
class Derived:
    """A number given as well that follows from the drawn ones; rounded, then used."""

    unit: str
    digits: int
    solve: Callable[[Numbers], float]


@dataclass(frozen=True, kw_only=True)
class Carry:
    """The given number that may come from the learner's own earlier answer.

    ``source`` and ``version`` say which exercise that answers, ``name`` which of the
    given numbers it is.
    """

    source: str
    name: str
    version: int = 1


# ------------------------------------------------------------------ what is right


@dataclass(frozen=True, kw_only=True)
class Tolerance:
    """How far off still earns full marks: the larger of a share and a size.

    ``absolute`` is in the unit of the answer.
    """

    relative: float = 0.0
    absolute: float = 0.0


TWO_PERCENT = Tolerance(relative=0.02)


@dataclass(frozen=True, kw_only=True)
class Quantity:
    """A kind of answer: a number with its unit, read and judged here alone.

    Values to judge are one or many; they broadcast against the right answers and
    against the numbers of the mistakes, which have one axis more.

    Parameters
    ----------
    kind, unit : str
        Kind of quantity, and the unit it is shown in.
    solve : callable
        The right answer from the given numbers. [SI]
    tolerance : Tolerance
        Full marks within it, most of them within twice that.
    smallest, largest : float
        The range all right answers lie in. [unit]
    """

    kind: str
    unit: str
    solve: Callable[[Numbers], float]
    tolerance: Tolerance
    smallest: float
    largest: float

    def read(self, typed: str) -> Typed:
        """Return what was typed as a value, or the problem with it."""
        return read_quantity(typed, kind=self.kind)

    def tolerance_at(self, right: ArrayLike) -> NDArray[np.float64]:
        """Return the full tolerance round right answers. [SI]"""
        return np.maximum(self.tolerance.relative * np.abs(right), self._size)

    def grade(self, values: ArrayLike, *, right: ArrayLike) -> NDArray[np.int_]:
        """Return for each value whether it is `RIGHT`, `CLOSE` or `OFF`."""
        away = np.abs(np.subtract(values, right)) / self.tolerance_at(right)
        return np.where(away <= 1 + EDGE, RIGHT, np.where(away <= 2 + EDGE, CLOSE, OFF))

    def fits(self, values: ArrayLike, *, wrong: ArrayLike) -> NDArray[np.bool_]:
        """Tell for each value which mistakes' numbers it is, within one per cent.

        Where the tolerance is a size and not a share, a quarter of it is allowed at
        least, so that a rounded degree or millimetre is still recognised.
        """
        near = np.maximum(SAME * np.abs(wrong), self._size / 4)
        away = np.abs(np.subtract(np.expand_dims(values, -1), wrong))
        return np.asarray(away <= near)

    @property
    def _size(self) -> float:
        return self.tolerance.absolute * factor(self.unit)


@dataclass(frozen=True)
class Mistake:
    """A known wrong route and the number it leads to.

    ``answer`` gives that number in SI units. A ``secondary`` mistake is switched
    off where it lies near the right answer; a primary one makes the numbers be
    drawn again. ``score`` is what the route still earns. A ``late`` one is not looked
    for in answers from before there were sets, whose marks stay as they were.
    """

    name: str
    answer: Callable[[Numbers], float]
    secondary: bool = False
    score: float = 0.0
    late: bool = False


def slip(
    name: str, answer: Callable[[Numbers], float], *, late: bool = False
) -> Mistake:
    """Return a slip of hand or key: part marks, and never a reason to draw again."""
    return Mistake(f"slip_{name}", answer, secondary=True, score=0.6, late=late)


def late(name: str, answer: Callable[[Numbers], float]) -> Mistake:
    """Return a mistake that is known since there are sets; it draws nothing again."""
    return Mistake(name, answer, secondary=True, late=True)


def in_radians(answer: Callable[[Numbers], float]) -> Mistake:
    """Return the slip of a calculator that takes degrees for radians."""
    return slip("radians", answer, late=True)


@dataclass(frozen=True)
class ByHand:
    """A case worked by hand, to hold the solution to: numbers and the answer.

    Both are in the units of the question and of the answer.
    """

    numbers: Mapping[str, float]
    answer: float


# ---------------------------------------------------------------- what is shown


@dataclass(frozen=True)
class Sketch:
    """A scene of `workbook.figures.sketches` by name, and what it is drawn with.

    What the scene draws is bound to a given number by its name, to a number of its
    own, or to one that follows from the given ones. [SI]
    """

    scene: str
    bound: Mapping[str, str | float | Callable[[Numbers], float]] = field(
        default_factory=dict
    )

    def numbers(self, given: Numbers) -> dict[str, float]:
        """Return what the scene is drawn with.

        Examples
        --------
        >>> Sketch("one_pull", {"angle": "rise"}).numbers(Numbers(rise=0.5))
        {'angle': 0.5}
        """
        return {name: _bound(to, given) for name, to in self.bound.items()}


def _bound(to: str | float | Callable[[Numbers], float], given: Numbers) -> float:
    if isinstance(to, str):
        return float(getattr(given, to))
    return float(to(given)) if callable(to) else to


# ----------------------------------------------------------------- the exercise


@dataclass(frozen=True, kw_only=True)
class Exercise:
    """One exercise: what is drawn, what is right, what goes wrong, what is shown.

    Its texts stand in the language under ``exercise``, its lesson and its `key`.

    Parameters
    ----------
    id, version, lesson
        ``("2.1", 1, "L02")``. Other ranges or another solution need a new version;
        the old one stays, so that old answers can be marked.
    given : mapping of str to Drawn
        What is drawn, by name.
    allowed : callable
        Which draws make a sensible question.
    derived : mapping of str to Derived
        What is given as well.
    carry : Carry, optional
        The earlier answer this one goes on from.
    answer : Quantity
        What is asked for, and what counts as right.
    mistakes : tuple of Mistake
        Known wrong routes and slips.
    by_hand : ByHand
        A case that was not worked out by the code.
    sketch : Sketch, optional
        How the question is drawn.
    easier : str
        The exercise with the same idea and less round it, where there is one.
    cautions : tuple of str
        Standing texts that stand beside the exercise.
    """

    id: str
    lesson: str
    given: Mapping[str, Drawn]
    answer: Quantity
    mistakes: tuple[Mistake, ...]
    by_hand: ByHand
    cautions: tuple[str, ...]
    version: int = 1
    allowed: Callable[[Numbers], bool] = lambda _: True
    derived: Mapping[str, Derived] = field(default_factory=dict)
    carry: Carry | None = None
    sketch: Sketch | None = None
    easier: str = ""

    @property
    def key(self) -> str:
        """Name of its table in the texts of its lesson."""
        return f"{self.id} v{self.version}"

    def unit_of(self, name: str) -> str:
        """Return the unit in which the question gives a number."""
        return (self.derived if name in self.derived else self.given)[name].unit
