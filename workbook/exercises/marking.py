"""The checker: what a typed answer is worth. What to say of it is in `wording`.

The same typed text on the same numbers always gives the same outcome, so marks
can be made again at any time from what was typed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from workbook.exercises.answers.quantity import Quantity, right_in_another_unit
from workbook.exercises.declaration import Finding, ReadAnswer
from workbook.exercises.engine import Variant
from workbook.quantities.typed import Typed
from workbook.quantities.units import factor

UNIT_PENALTY = 0.2
CEILINGS = (1.0, 0.9, 0.7)  # of the three tries in a marked set
TEN, OTHER_UNIT = "slip_factor10", "slip_other_units"
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
    value, unit : float and str, or None
        What was read, in SI units, and the unit typed.
    trouble : Typed, ReadAnswer or None
        What was read where there is a problem with it, a name and values.
    findings : tuple of Finding
        What else there is to say of an answer that was made.
    choices : tuple of str
        Names among which the learner says what the thinking was.
    tries_left : int or None
        In a marked set; ``None`` in practice.
    answer_shown : bool
        Whether the right answer may be shown from now on.
    """

    name: str
    score: float
    held: bool = False
    value: float | None = None
    unit: str | None = None
    trouble: Typed | ReadAnswer | None = None
    findings: tuple[Finding, ...] = ()
    choices: tuple[str, ...] = ()
    tries_left: int | None = None
    answer_shown: bool = False

    @property
    def shows_hint(self) -> bool:
        """Whether the first hint comes with it: not where the answer does."""
        return self.name == "none_of_these" and not self.answer_shown

    @property
    def unit_problem(self) -> str | None:
        """A unit that was missing or wrong where the number was marked all the same."""
        return self.trouble.problem if self.trouble and not self.held else None


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
    read = variant.exercise.answer.read(typed, variant.given)
    again = read.problem in UNIT_PROBLEMS and history.unit_reminders > 0
    if read.problem and not (again and read.number is not None):
        outcome = Outcome(name=str(read.problem), score=0.0, held=True, trouble=read)
    elif isinstance(variant.exercise.answer, Quantity):
        outcome = _number(variant, read, carried, penalty=again * UNIT_PENALTY)
    else:
        outcome = judge(variant, read.made)
    return _in_its_place(outcome, history, marked_set=marked_set)


def _number(
    variant: Variant, read: Typed, carried: float | None, *, penalty: float
) -> Outcome:
    """Decide about a number; less for one that lacked its unit again."""
    value = read.value
    if value is None:
        assert read.number is not None
        value = read.number * factor(variant.quantity.unit)
    against = _to_mark_against(variant, value, carried)
    judged = judge(against, value)
    if TEN in judged.choices and right_in_another_unit(read, against):
        name, *choices = (
            OTHER_UNIT if n == TEN else n for n in (judged.name, *judged.choices)
        )
        judged = replace(judged, name=name, choices=tuple(choices))
    score, trouble = max(0.0, judged.score - penalty), read if penalty else None
    return replace(judged, score=score, unit=read.unit, trouble=trouble)


def judge(variant: Variant, made: Any) -> Outcome:
    """Compare an answer with the right one, then with the known mistakes. [SI]"""
    return Outcome(**vars(variant.exercise.answer.judge(made, variant)))


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
    fair = carry.fair(carried, right=right)
    upright = variant.exercise.unit_of(carry.name) == "deg" and math.isclose(
        carried, math.pi / 2, rel_tol=1e-3
    )
    return variant.carrying(carried) if fair and not upright else variant


def _in_its_place(outcome: Outcome, history: History, *, marked_set: bool) -> Outcome:
    """Put the ceiling on the score, count the tries, and say if the answer is due."""
    tries, left, score = history.after(outcome).tries, None, outcome.score
    if marked_set:
        left = max(0, len(CEILINGS) - tries)
        ceiling = CEILINGS[tries - 1] if 1 <= tries <= len(CEILINGS) else 0.0
        score = min(score, ceiling)
    over = not outcome.held and tries >= len(CEILINGS)
    return replace(
        outcome,
        score=round(score, 6),
        tries_left=left,
        answer_shown=over and outcome.name != "right",
    )


def settle(outcome: Outcome, thinking: str) -> Outcome:
    """Return the outcome named by what the learner says the thinking was.

    Only the name changes, and only where two mistakes fitted: the score comes
    from the typed text alone.
    """
    if outcome.name == "two_fit" and thinking in outcome.choices:
        return replace(outcome, name=thinking)
    return outcome


def best_score(outcomes: Iterable[Outcome]) -> float:
    """Return the score that counts: the best of the tries, nothing without one."""
    return max((outcome.score for outcome in outcomes), default=0.0)
