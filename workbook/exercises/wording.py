"""What an exercise says to the learner, from the texts of the chosen language."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from workbook.exercises.answers.quantity import in_both
from workbook.language import fill, say, text
from workbook.quantities.units import METRIC, UnitSystem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from workbook.exercises.declaration import Exercise
    from workbook.exercises.engine import Variant
    from workbook.exercises.marking import History, Outcome


def title(exercise: Exercise) -> str:
    """Return the title of an exercise."""
    return str(_texts(exercise, "title"))


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
    >>> asked = variant_from(exercise("8.3"), {"level_part": 30, "side_angle": 10})
    >>> question(asked).split(". ")[0]
    'The level part of a pull is 30 kN'
    """
    asked = _texts(variant.exercise, "question_carried" if carried else "question")
    return fill(asked, **_places(variant, system))


def rule(exercise: Exercise) -> str:
    """Return the solution in words, for keys and for the last message."""
    return str(_texts(exercise, "rule"))


def hint_count(exercise: Exercise) -> int:
    """Return how many hints there are; the last is a worked copy."""
    return len(_texts(exercise, "hints")) + 1


def hint(variant: Variant, number: int, *, system: UnitSystem = METRIC) -> str:
    """Return hint 1, 2 ...; the last one works a copy with other numbers."""
    hints = _texts(variant.exercise, "hints")
    if number <= len(hints):
        return str(hints[number - 1])
    copy = variant.worked_copy
    answer = answer_text(copy, system=system)
    worked = _texts(variant.exercise, "worked")
    return fill(worked, **_places(copy, system), answer=answer)


def worked_steps(variant: Variant, *, system: UnitSystem = METRIC) -> list[str]:
    """Return the worked copy of an exercise in steps, the answer last."""
    *hints, whole = (
        hint(variant, number, system=system)
        for number in range(1, hint_count(variant.exercise) + 1)
    )
    answer = answer_text(variant.worked_copy, system=system)
    # Whatever stands before the last sentence gives the numbers; where there is
    # one sentence only, it is shown with its answer left open.
    given, stop, last = whole.rpartition(". ")
    before, _, after = whole.rpartition(answer)
    return [f"{given}." if stop else f"{before}…{after}", *hints, last]


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


def value_text(exercise: Exercise, value: Any, *, system: UnitSystem = METRIC) -> str:
    """Return an answer as a reader sees it: a number to three figures with its unit."""
    return exercise.answer.text(value, system=system)


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
    own = _texts(exercise).get("mistake", {})
    return {**text("mistake", name), **own.get(name, {})}


def sketch_words(
    variant: Variant, *, system: UnitSystem = METRIC, carried: bool = False
) -> dict[str, str]:
    """Return the words of an exercise's sketch, by what they stand at.

    A number that is ``carried`` from the learner's own earlier answer is named, and
    its value is not told.
    """
    one, values = variant.exercise, _places(variant, system)
    if carried and one.carry:
        values[one.carry.name] = str(_texts(one, "carried"))
    words = _texts(one, "sketch")
    return {name: fill(sentence, **values) for name, sentence in words.items()}


def feedback(
    outcome: Outcome,
    variant: Variant,
    history: History,
    *,
    system: UnitSystem = METRIC,
) -> tuple[str, ...]:
    """Return what the checker says about an answer, line by line.

    Lines may quote what was typed, so a page of HTML must escape them.

    Parameters
    ----------
    outcome : Outcome
        What the answer came to, settled or not.
    variant : Variant
        The numbers it was an answer to.
    history : History
        What was seen so far: the first hint is said to who has seen none.
    system : UnitSystem
        The reader's units.
    """
    lines = [*_judgement(outcome, variant, history)]
    lines += [
        _say(variant.exercise, finding.name, show=system.show, **finding.values)
        for finding in outcome.findings
    ]
    if outcome.trouble:
        end = "held" if outcome.held else "unit_again"
        lines += [outcome.trouble.sentence, _say(variant.exercise, end)]
    if outcome.tries_left is not None and outcome.name != "right":
        lines.append(say("outcome", "tries_left", count=outcome.tries_left))
    if outcome.answer_shown:
        lines += _answer(variant, system)
    return tuple(lines)


def given_up(variant: Variant, *, system: UnitSystem = METRIC) -> tuple[str, ...]:
    """Return what stands on a card whose exercise was given up, line by line."""
    return (say("outcome", "given_up"), *_answer(variant, system))


def _answer(variant: Variant, system: UnitSystem) -> Iterator[str]:
    """Yield the right answer and the way to it."""
    answer = answer_text(variant, system=system)
    yield _say(variant.exercise, "answer", answer=answer)
    yield rule(variant.exercise)


def _say(exercise: Exercise, entry: str, **values: Any) -> str:
    """Say an outcome as its kind of answer has it, or as all have it."""
    own = text("outcome").get(exercise.answer.says, {})
    at = (exercise.answer.says, entry) if entry in own else (entry,)
    return say("outcome", *at, **values)


def _judgement(outcome: Outcome, variant: Variant, history: History) -> Iterator[str]:
    """Yield what a marked answer is, and why."""
    one, name = variant.exercise, outcome.name
    if outcome.held:
        return
    if name == "right" and outcome.unit_problem:
        yield say("outcome", "right_number")
    elif name in {"right", "close"}:
        yield _say(one, name)
    elif name == "two_fit":
        yield _say(one, name)
        yield from (thought(one, fits) for fits in outcome.choices[:-1])
    elif name != "none_of_these":
        yield from refutation(one, name)
    elif not outcome.choices:  # and not told by the learner, where two mistakes fit
        yield _say(one, name)
        if outcome.shows_hint:
            yield say("outcome", "first_hint")
        if outcome.shows_hint and history.hints == 0:
            yield hint(variant, 1)


def _texts(exercise: Exercise, *keys: str) -> Any:
    return text("exercise", exercise.lesson, exercise.key, *keys)


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
        name: in_both(f"{number:.10g}", unit_of(name), system)
        for name, number in variant.numbers.items()
    }


def _places(variant: Variant, system: UnitSystem) -> dict[str, str]:
    """Return all that the texts of an exercise have places for."""
    more = variant.exercise.answer.places(variant, system=system)
    return {**shown(variant, system), **more}
