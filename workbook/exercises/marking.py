"""The checker: what a typed answer is worth, and what to say about it.

The same typed text on the same numbers always gives the same outcome, so marks
can be made again at any time from what was typed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from workbook.exercises import wording
from workbook.exercises.engine import Mistake, Variant
from workbook.language import say
from workbook.quantities.typed import Problem, Typed, read_quantity
from workbook.quantities.units import METRIC, UnitSystem, factor

FULL, CLOSE, UNIT_PENALTY = 1.0, 0.8, 0.2
CEILINGS = (1.0, 0.9, 0.7)  # of the three tries in a marked set
SAME = 0.01  # how near a known mistake a typed value lies to be taken for it
UNIT_PROBLEMS = {"unit_missing", "unit_wrong_kind", "unit_unknown"}


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What the checker decided about one typed answer.

    Attributes
    ----------
    name : str
        ``right``, ``close``, a mistake, a slip, ``two_fit``, ``none_of_these``, or
        the problem with the typed text; never with a number in it.
    score : float
        From 0 to 1, ceilings and penalties included.
    held : bool
        The try does not count: nothing was marked.
    lines : tuple of str
        Sentences for the learner; they may quote typed text.
    value, unit : float and str, or None
        What was read, in SI units, and the unit typed.
    unit_problem : str or None
        A unit that was missing or wrong, where the number was marked all the same.
    next_hint : int or None
        Number of the hint that may be asked for next.
    choices : tuple of str
        Names among which the learner says what the thinking was.
    tries_left : int or None
        In a marked set; ``None`` in practice.
    """

    name: str
    score: float
    held: bool = False
    lines: tuple[str, ...] = ()
    value: float | None = None
    unit: str | None = None
    unit_problem: Problem | None = None
    next_hint: int | None = None
    choices: tuple[str, ...] = ()
    tries_left: int | None = None


@dataclass(frozen=True, kw_only=True)
class History:
    """What came before this answer, on the same numbers.

    ``tries`` counts answers that were marked, ``unit_reminders`` answers held for
    their unit, ``hints`` the hints seen.
    """

    tries: int = 0
    unit_reminders: int = 0
    hints: int = 0

    def after(self, outcome: Outcome) -> History:
        """Return the history with one more answer in it."""
        return History(
            tries=self.tries + (not outcome.held),
            unit_reminders=self.unit_reminders + (outcome.name in UNIT_PROBLEMS),
            hints=self.hints,
        )


FRESH = History()


def mark(
    variant: Variant,
    typed: str,
    *,
    history: History = FRESH,
    marked_set: bool = False,
    carried: float | None = None,
    system: UnitSystem = METRIC,
) -> Outcome:
    """Decide about one typed answer.

    Parameters
    ----------
    variant : Variant
        The exercise with its numbers.
    typed : str
        What was typed, whatever it is.
    history : History
        Tries, unit reminders and hints before this one.
    marked_set : bool
        Three tries with ceilings; else practice without a limit.
    carried : float, optional
        The learner's own earlier answer where the exercise goes on from one. [SI]
    system : UnitSystem
        The reader's units, for the answer shown after the last try.

    Returns
    -------
    Outcome

    Examples
    --------
    >>> from workbook.exercises import exercise
    >>> from workbook.exercises.engine import variant_from
    >>> pull = variant_from(exercise("2.1"), {"tension": 20.0, "angle": 30.0})
    >>> [mark(pull, t).name for t in ("17.3 kN", "20 kN", "17,3", "3 tons")]
    ['right', 'M01_whole_tension', 'unit_missing', 'which_ton']
    """
    exercise = variant.exercise
    read = read_quantity(typed, kind=exercise.kind)
    again = read.problem in UNIT_PROBLEMS and history.unit_reminders > 0
    if read.problem and not (again and read.number is not None):
        lines = (read.sentence, say("outcome", "held"))
        return _finish(_held(read, lines), variant, history, marked_set, system)
    value = read.value
    if value is None:
        value = (read.number or 0.0) * factor(exercise.unit)
    outcome = _judge(_to_mark_against(variant, value, carried), value, history)
    outcome = replace(outcome, unit=read.unit)
    if again:
        outcome = _without_unit(outcome, read)
    return _finish(outcome, variant, history, marked_set, system)


def _held(read: Typed, lines: tuple[str, ...]) -> Outcome:
    return Outcome(name=str(read.problem), score=0.0, held=True, lines=lines)


def _without_unit(outcome: Outcome, read: Typed) -> Outcome:
    return replace(
        outcome,
        score=max(0.0, outcome.score - UNIT_PENALTY),
        unit_problem=read.problem,
        lines=(*outcome.lines, read.sentence, say("outcome", "unit_again")),
    )


def _to_mark_against(variant: Variant, value: float, carried: float | None) -> Variant:
    """Go on from the learner's own earlier value where that is fair.

    Not where the answer is right as it stands, and not from a value that is far
    off or makes the later part empty.
    """
    carry = variant.exercise.carry
    if carried is None or carry is None:
        return variant
    if abs(value - variant.answer) <= variant.tolerance:
        return variant
    right = getattr(variant.given, carry.name)
    fair = math.isfinite(carried) and 0.2 <= carried / right <= 5.0
    upright = variant.exercise.unit_of(carry.name) == "deg" and math.isclose(
        carried, math.pi / 2, rel_tol=1e-3
    )
    return variant.carrying(carried) if fair and not upright else variant


def _judge(variant: Variant, value: float, history: History) -> Outcome:
    """Compare a value with the right answer, then with the known mistakes."""
    away = abs(value - variant.answer) / variant.tolerance
    # Typed decimals carry the last bit of a float; the edge belongs inside.
    if away <= 1 + 1e-9:
        return _named("right", FULL, value)
    if away <= 2 + 1e-9:
        return _named("close", CLOSE, value)
    found = matches(variant, value)
    names = tuple(dict.fromkeys(mistake.name for mistake in found))
    if not names:
        return _not_recognised(variant, value, history)
    score = min(mistake.score for mistake in found)
    if len(names) == 1:
        lines = wording.refutation(variant.exercise, names[0])
        name = names[0]
    else:
        thoughts = [wording.thought(variant.exercise, name) for name in names]
        lines, name = (say("outcome", "two_fit"), *thoughts), "two_fit"
    choices = (*names, "none_of_these")
    return Outcome(name=name, score=score, lines=lines, value=value, choices=choices)


def _named(name: str, score: float, value: float) -> Outcome:
    return Outcome(name=name, score=score, value=value, lines=(say("outcome", name),))


def _not_recognised(variant: Variant, value: float, history: History) -> Outcome:
    lines = [say("outcome", "none_of_these")]
    if history.hints == 0:
        lines.append(wording.hint(variant, 1))
    return Outcome(name="none_of_these", score=0.0, value=value, lines=tuple(lines))


def matches(variant: Variant, value: float) -> list[Mistake]:
    """Return the armed mistakes whose number a value is, within one per cent.

    Where the tolerance is a size and not a share, a quarter of it is allowed at
    least, so that a rounded degree or millimetre is still recognised.
    """
    size = variant.exercise.tolerance.absolute * factor(variant.exercise.unit)
    return [
        mistake
        for mistake, number in variant.armed
        if abs(value - number) <= max(SAME * abs(number), size / 4)
    ]


def _finish(
    outcome: Outcome,
    variant: Variant,
    history: History,
    marked_set: bool,
    system: UnitSystem,
) -> Outcome:
    """Put the ceiling on the score, count the tries and say what comes next."""
    tries = history.after(outcome).tries
    lines, left, score = list(outcome.lines), None, outcome.score
    solved = outcome.name == "right"
    if marked_set:
        left = max(0, len(CEILINGS) - tries)
        ceiling = CEILINGS[tries - 1] if 1 <= tries <= len(CEILINGS) else 0.0
        score = min(score, ceiling)
        if not solved:
            lines.append(say("outcome", "tries_left", count=left))
    if not solved and not outcome.held and tries >= len(CEILINGS):
        answer = wording.answer_text(variant, system=system)
        lines.append(say("outcome", "answer", answer=answer))
        lines.append(wording.rule(variant.exercise))
    hints_left = history.hints < wording.hint_count(variant.exercise)
    return replace(
        outcome,
        score=round(score, 6),
        lines=tuple(lines),
        tries_left=left,
        next_hint=history.hints + 1 if hints_left and not solved else None,
    )


def settle(outcome: Outcome, thinking: str) -> Outcome:
    """Return the outcome named by what the learner says the thinking was.

    Only the name changes, and only where two mistakes fitted: the score comes
    from the typed text alone.
    """
    if outcome.name == "two_fit" and thinking in outcome.choices:
        return replace(outcome, name=thinking)
    return outcome


def best_score(outcomes: list[Outcome]) -> float:
    """Return the score that counts: the best of the tries, nothing without one."""
    return max((outcome.score for outcome in outcomes), default=0.0)
