"""Worked examples: steps from what a set-up gives to what is asked, all computed.

The sentences stand under ``worked`` in the lesson's file of the language: where each
number comes from, and for each step what is done, the rule, the rule with numbers and
the words of its picture.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Self

from workbook.course.tables import Amount, amount_of, solved
from workbook.figures.pictures import subjects
from workbook.language import fill, say, text

if TYPE_CHECKING:
    from workbook.course.lesson import Changes, Exploration, Lesson
    from workbook.quantities.units import UnitSystem

Numbers = Mapping[str, float]  # SI, by name


@dataclass(frozen=True, kw_only=True)
class ExampleStep:
    """One step: what it finds, from the numbers before it.

    Attributes
    ----------
    finds : str
        Name of what it finds.
    of : callable
        Returns it, from all numbers so far by name. [SI]
    kind : str
        Its kind of quantity.
    finer : int
        How many decimals more it has than others of its kind, so that who goes on
        with the number shown comes to what is shown next.
    shown_as : str
        The explorer's amount that must come to the same, if there is one.
    scene : str
        Its picture, one of `workbook.figures.sketches`; the picture of the step
        before serves it too where it has none.
    drawn_with : mapping of str to str
        The scene's numbers by name: each the name of a number of the example.
    """

    finds: str
    of: Callable[[Any], float]
    kind: str
    finer: int = 0
    shown_as: str = ""
    scene: str = ""
    drawn_with: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Worked:
    """One worked example of a lesson.

    Attributes
    ----------
    name : str
        Its name within the lesson.
    explorer : str
        Whose set-up it works out.
    change : mapping
        What the set-up changes from the start.
    given : mapping
        Numbers it starts from, by name: each a field, an amount of the explorer, or a
        function of what was solved.
    steps : tuple of ExampleStep
        In their order.
    """

    name: str
    explorer: str
    change: Changes = field(default_factory=dict)
    given: Mapping[str, str | Callable[[Any], Amount]]
    steps: tuple[ExampleStep, ...]


@dataclass(frozen=True, kw_only=True)
class StepText:
    """One step as a reader sees it.

    ``do`` says what to do, ``rule`` in which way, ``put`` with which numbers, and
    ``agrees`` what the explorer shows, if it shows it. ``scene`` is empty where the
    step has no picture.
    """

    do: str
    rule: str
    put: str
    agrees: str
    scene: str
    words: Mapping[str, str]
    numbers: Numbers


@dataclass(frozen=True, kw_only=True)
class WorkedText:
    """A worked example as a reader sees it: what is given, and the steps."""

    given: tuple[str, ...]
    steps: tuple[StepText, ...]

    def __str__(self) -> str:
        """Return it as text: the given numbers, then the steps, numbered."""
        shown = [f"- {line}" for line in self.given]
        for number, step in enumerate(self.steps, 1):
            rest = filter(None, (step.rule, step.put, step.agrees))
            shown += ["", f"{number}. {step.do}", *(f"   {line}" for line in rest)]
        return "\n".join(shown)


class Found(float):
    """A number that a step found, with the decimals that it has besides."""

    def __new__(cls, value: float, finer: int) -> Self:
        """Return the number."""
        one = super().__new__(cls, value)
        one.finer = finer
        return one

    finer: int


class _ByName(dict[str, float]):
    """Numbers by name, to be read as attributes in a step."""

    __getattr__ = dict.__getitem__


def numbers_of(worked: Worked, one: Exploration) -> dict[str, float]:
    """Return every number of a worked example by name, the given ones first. [SI]"""
    numbers = _ByName(
        (name, amount_of(of, one, change=worked.change)[0])
        for name, of in worked.given.items()
    )
    for step in worked.steps:
        numbers[step.finds] = Found(step.of(numbers), step.finer)
    return dict(numbers)


def worked_text(worked: Worked, lesson: Lesson, *, system: UnitSystem) -> WorkedText:
    """Return a worked example as text, in the reader's units.

    Examples
    --------
    >>> from workbook.course import lesson
    >>> from workbook.quantities.units import METRIC
    >>> l07 = lesson("L07")
    >>> shown = worked_text(l07.worked[0], l07, system=METRIC)
    >>> shown.steps[0].put
    '= 90.0° − 35.0° = 55.0°'
    """
    one, said = lesson.explorer(worked.explorer), text("lesson", lesson.id, "worked")
    subject, numbers = subjects()[one.subject], numbers_of(worked, one)
    words, own = said[worked.name], subject.units(system)
    shown_amounts = subject.told(solved(one, **worked.change))

    def show(value: float, kind: str) -> str:
        more = value.finer if isinstance(value, Found) else 0
        digits = {**own.digits, kind: own.digits[kind] + more}
        return replace(own, digits=digits).show(value, kind)

    def filled(sentence: str) -> str:
        return fill(sentence, show=show, **numbers)

    def agrees(name: str) -> str:
        amount = show(*shown_amounts[name])
        return say("worked", "agrees", name=text("amount", name), amount=amount)

    return WorkedText(
        given=tuple(map(filled, words["given"])),
        steps=tuple(
            StepText(
                do=told["do"],
                rule=told["rule"],
                put=f"= {filled(told['put'])} = {show(numbers[step.finds], step.kind)}",
                agrees=agrees(step.shown_as) if step.shown_as else "",
                scene=step.scene,
                words={n: filled(w) for n, w in told.get("sketch", {}).items()},
                numbers={n: numbers[of] for n, of in step.drawn_with.items()},
            )
            for step, told in zip(worked.steps, words["steps"], strict=True)
        ),
    )
