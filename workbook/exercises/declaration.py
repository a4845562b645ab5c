"""What an exercise is made of: one declaration, all else follows from it.

Numbers are drawn to printed precision first; the answer is worked out from exactly
those. What is asked for is of some kind, each a module of `workbook.exercises.answers`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import isfinite
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, Protocol

from workbook.errors import WorkbookError
from workbook.quantities.units import METRIC

if TYPE_CHECKING:
    from workbook.exercises.engine import Variant
    from workbook.quantities.units import UnitSystem


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
    given numbers it is. Where that part chooses one of several, ``choices`` says of how
    many, and the number is that of the one chosen.
    """

    source: str
    name: str
    version: int = 1
    choices: int = 0

    def fair(self, value: float, *, right: float) -> bool:
        """Tell whether going on from a value makes a question: not from any value.

        Examples
        --------
        >>> Carry(source="7.6a", name="rise").fair(0.3, right=0.5)
        True
        >>> Carry(source="6.6a", name="line", choices=3).fair(4.0, right=2.0)
        False
        """
        if self.choices:
            return value in range(1, self.choices + 1)
        return isfinite(value) and 0.2 <= value / right <= 5.0


# ------------------------------------------------------------------ what is right


@dataclass(frozen=True)
class Known:
    """A known way to go wrong, by its name in ``mistake.toml``."""

    name: str


@dataclass(frozen=True)
class Finding:
    """One thing seen in an answer, beside what it is worth: a name and SI values."""

    name: str
    values: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Judgement:
    """What an answer that could be read is worth.

    Attributes
    ----------
    name : str
        ``right``, ``close``, a mistake, ``two_fit``, ``none_of_these`` ...
    score : float
        From 0 to 1.
    value : float or None
        The answer, where it is one number. [SI]
    choices : tuple of str
        Names among which the learner says what the thinking was.
    findings : tuple of Finding
        What else there is to say of it.
    """

    name: str
    score: float
    value: float | None = None
    choices: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ReadAnswer:
    """What was read from an answer: its ``made`` value, or a problem with it.

    The problem is an outcome's name, and the refusal says what is wrong and the way
    out. It may quote what was typed, so a page of HTML must escape it.
    """

    made: Any = None
    problem: str | None = None
    refusal: WorkbookError | None = None

    @property
    def sentence(self) -> str:
        """What is wrong and the way out; nothing where nothing is wrong."""
        return str(self.refusal or "")


class Wanted(Protocol):
    """A kind of answer: how it is read, judged and written. All of it is one text.

    ``says`` names its texts in ``outcome.toml`` that differ from those of a number,
    ``also`` the mistakes that can be found in every answer of the kind.
    """

    @property
    def says(self) -> str:
        """Name of its own texts."""

    @property
    def also(self) -> tuple[str, ...]:
        """Names of mistakes that no exercise has to declare."""

    def solve(self, given: Numbers, /) -> Any:
        """Return the right answer, or one of them. [SI]"""

    def read(self, typed: str, given: Numbers) -> Any:
        """Return what was typed: something with a ``problem`` and its ``sentence``."""

    def judge(self, made: Any, variant: Variant) -> Judgement:
        """Return what an answer that was read is worth."""

    def separated(self, variant: Variant) -> bool:
        """Tell whether every primary mistake keeps its distance from the answer."""

    def apart(self, made: Any, variant: Variant) -> bool:
        """Tell whether another answer is clearly not the right one."""

    def text(self, made: Any, *, system: UnitSystem = METRIC) -> str:
        """Return an answer as a reader sees it."""

    def typed(self, made: Any) -> str:
        """Return an answer as it may be typed, the same in every language."""

    def places(
        self, variant: Variant, *, system: UnitSystem = METRIC
    ) -> dict[str, str]:
        """Return what else the texts of the exercise have places for."""

    def in_key(self, variant: Variant) -> dict[str, Any]:
        """Return ``answer``, ``unit`` and ``mistakes`` for the key file."""

    def mistakes_text(self, variant: Variant, *, system: UnitSystem = METRIC) -> str:
        """Return what the known mistakes give, each with its outcome name."""


@dataclass(frozen=True)
class ByHand:
    """A case worked by hand, to hold the solution to: numbers and the answer.

    Both are in the units of the question and of the answer; an answer that is made
    is what may be typed.
    """

    numbers: Mapping[str, float]
    answer: float | str


# ---------------------------------------------------------------- what is shown


Bound = str | float | Callable[[Numbers], Any]


@dataclass(frozen=True)
class Sketch:
    """A scene of `workbook.figures.sketches` by name, and what it is drawn with.

    What the scene draws is bound to a given number by its name, to a number of its
    own, or to one or an array that follows from the given ones. [SI] It is ``printed``
    where it tells what neither the question nor its rows do.
    """

    scene: str
    bound: Mapping[str, Bound] = field(default_factory=dict)
    printed: bool = False

    def numbers(self, given: Numbers) -> dict[str, Any]:
        """Return what the scene is drawn with.

        Examples
        --------
        >>> Sketch("one_pull", {"angle": "rise"}).numbers(Numbers(rise=0.5))
        {'angle': 0.5}
        """
        return {name: _bound(to, given) for name, to in self.bound.items()}


def _bound(to: Bound, given: Numbers) -> Any:
    if isinstance(to, str):
        return float(getattr(given, to))
    return to(given) if callable(to) else to


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
    answer : Wanted
        What is asked for, and what counts as right.
    mistakes : tuple of Known
        Known wrong routes and slips, as the kind of answer has them.
    by_hand : ByHand
        A case that was not worked out by the code.
    sketch : Sketch, optional
        How the question is drawn.
    easier : str
        The exercise with the same idea and less round it, where there is one.
    cautions : tuple of str
        Standing texts that stand beside the exercise; the first of all always does.
    """

    id: str
    lesson: str
    given: Mapping[str, Drawn]
    answer: Wanted
    mistakes: tuple[Known, ...]
    by_hand: ByHand
    cautions: tuple[str, ...] = ("S0",)
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
