"""What an exercise says to the learner, from the strings of the chosen language."""

from __future__ import annotations

import hashlib
import json

from workbook.exercises.engine import Exercise, Variant, draw
from workbook.exercises.seeds import Stream
from workbook.language import say, text
from workbook.quantities.table import kind_of
from workbook.quantities.units import METRIC, UnitSystem, factor


def title(exercise: Exercise) -> str:
    """Return the title of an exercise."""
    return say("exercise", exercise.lesson, exercise.key, "title")


def question(
    variant: Variant, *, system: UnitSystem = METRIC, carried: bool = False
) -> str:
    """Return the question with its numbers.

    Numbers stand in the unit they were drawn in, the same for everybody; a reader
    who has chosen other units sees those in brackets behind.

    Parameters
    ----------
    variant : Variant
        The exercise with its numbers.
    system : UnitSystem
        The reader's units.
    carried : bool
        Whether it goes on from the learner's own earlier answer, which the
        question then does not give.

    Returns
    -------
    str

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> from workbook.exercises.engine import variant_from
    >>> question(variant_from(exercise("9.6"), {"times": 3.0})).split(". ")[0]
    'The tension in a chain becomes 3 times as large'
    """
    which = "question_carried" if carried else "question"
    return say(
        "exercise",
        variant.exercise.lesson,
        variant.exercise.key,
        which,
        **shown(variant, system),
    )


def rule(exercise: Exercise) -> str:
    """Return the solution in words, for keys and for the last message."""
    return say("exercise", exercise.lesson, exercise.key, "rule")


def hint_count(exercise: Exercise) -> int:
    """Return how many hints there are; the last is a worked copy."""
    return len(text("exercise", exercise.lesson, exercise.key, "hints")) + 1


def hint(variant: Variant, number: int, *, system: UnitSystem = METRIC) -> str:
    """Return hint 1, 2 ...; the last one works a copy with other numbers."""
    at = ("exercise", variant.exercise.lesson, variant.exercise.key)
    hints = text(*at, "hints")
    if number <= len(hints):
        return str(hints[number - 1])
    copy = worked_copy(variant)
    numbers = shown(copy, system)
    return say(*at, "worked", **numbers, answer=answer_text(copy, system=system))


def worked_copy(variant: Variant) -> Variant:
    """Return the same exercise with other numbers and clearly another answer."""
    numbers = json.dumps(dict(variant.numbers), sort_keys=True)
    stream = Stream(hashlib.sha256(f"worked copy {numbers}".encode()).digest())
    while True:
        copy = draw(variant.exercise, stream)
        if abs(copy.answer - variant.answer) > 3 * variant.tolerance:
            return copy


def answer_text(variant: Variant, *, system: UnitSystem = METRIC) -> str:
    """Return the right answer to three figures, with its unit.

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> from workbook.exercises.engine import variant_from
    >>> copy = variant_from(exercise("2.1"), {"tension": 20.0, "angle": 30.0})
    >>> answer_text(copy)
    '17.3 kN'
    """
    return value_text(variant.exercise, variant.answer, system=system)


def value_text(exercise: Exercise, value: float, *, system: UnitSystem = METRIC) -> str:
    """Return an SI value to three figures, in the unit of the exercise's answer."""
    number = float(f"{value / factor(exercise.unit):.3g}")
    return _with_unit(number, exercise.unit, system)


def thought(exercise: Exercise, name: str) -> str:
    """Return a mistake in the learner's own words, for the choice of thinking."""
    return _mistake(exercise, name)["thought"]


def refutation(exercise: Exercise, name: str) -> tuple[str, ...]:
    """Return what was done, why it looks right, what breaks it and what to try.

    A slip of hand or key has what was done and what to try only.
    """
    entry = _mistake(exercise, name)
    return tuple(entry[p] for p in ("did", "why", "breaks", "try") if p in entry)


def _mistake(exercise: Exercise, name: str) -> dict[str, str]:
    """Return the texts of a mistake; an exercise may have its own for some."""
    own = text("exercise", exercise.lesson, exercise.key).get("mistake", {})
    return {**text("mistake", name), **own.get(name, {})}


def shown(variant: Variant, system: UnitSystem = METRIC) -> dict[str, str]:
    """Return the given numbers by name, as the question writes them.

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> from workbook.exercises.engine import variant_from
    >>> shown(variant_from(exercise("2.1"), {"tension": 20.0, "angle": 30.0}))
    {'tension': '20 kN', 'angle': '30°'}
    """
    unit_of = variant.exercise.unit_of
    return {
        name: _with_unit(number, unit_of(name), system)
        for name, number in variant.numbers.items()
    }


def _with_unit(number: float, unit: str, system: UnitSystem) -> str:
    """Return ``17 kN``, with the reader's unit in brackets where it is another."""
    glue = "" if unit in {"deg", "%", "1"} else " "
    sign = {"deg": "°", "1": ""}.get(unit, unit)
    shown = f"{number:.10g}{glue}{sign}".replace("-", "−")
    kind = kind_of(unit)
    if system.unit[kind] in {METRIC.unit[kind], unit}:
        return shown
    return f"{shown} ({system.show(number * factor(unit), kind)})"
