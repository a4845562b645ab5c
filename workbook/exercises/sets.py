"""Sets: what an exercise is asked for. Each set has numbers of its own.

``practice``, ``review`` (today's five) and ``entry`` (the entry check) are never marked
and use nothing up: any number of tries, and new numbers. ``exit`` and ``test`` are
marked sets: one set of numbers a student, three tries with ceilings. Paper asks the
exit set, so that a handout's numbers are those of the marked card on the same
student's screen.
"""

from __future__ import annotations

PRACTICE, REVIEW, ENTRY = "practice", "review", "entry"
EXIT, TEST = "exit", "test"
SETS = (PRACTICE, REVIEW, ENTRY, EXIT, TEST)
BEFORE_SETS = ""
"""The set of lines written before there were any."""

ON_PAPER = EXIT
MARKED_ATTEMPT = 1  # a marked set has no other


def is_marked(set: str) -> bool:
    """Tell whether a set is a marked one: three tries with ceilings.

    Examples
    --------
    >>> [is_marked(set) for set in SETS]
    [False, False, False, True, True]
    """
    return set in {EXIT, TEST}


def counts(set: str, attempt: int) -> bool:
    """Tell whether answers in a set make a mark: here and nowhere else.

    The exit question counts. Before there were sets, any answer on the first numbers
    did, and still does.

    Examples
    --------
    >>> [set for set in SETS if counts(set, 1)]
    ['exit']
    >>> counts(BEFORE_SETS, 1), counts(BEFORE_SETS, 2)
    (True, False)
    """
    return attempt == MARKED_ATTEMPT and set in {EXIT, BEFORE_SETS}


def passes(set: str) -> bool:
    """Tell whether a right answer in a set passes an exercise: here and nowhere else.

    In any set it does, practice included. What stands behind a gate asks that somebody
    can do it, not how often it was tried; the three tries of a marked set may be used
    up. A right answer after the answer was shown passes nothing: see `Work.passed`.

    Examples
    --------
    >>> [set for set in SETS if passes(set)]
    ['practice', 'review', 'entry', 'exit', 'test']
    """
    return set in SETS
