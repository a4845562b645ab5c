"""What is to be told of marked answers: what lines say and do not come to, and speed.

None of it bears on a mark.
"""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

from workbook.classroom.files import per_cent
from workbook.classroom.notes import About, Note, some
from workbook.exercises import EXERCISES
from workbook.exercises.replay import seed_of, variant_of
from workbook.exercises.sets import EXIT, counts
from workbook.exercises.wording import question
from workbook.language import say

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from workbook.classroom.hand_ins import Group
    from workbook.classroom.marks import ExerciseMark, Marked

READ = 15  # words/s [1]_; twice what the quickest readers do with understanding


def differences(code: str, class_key: str, marked: Sequence[Marked]) -> Iterator[Note]:
    """Yield a note if the lines of one file say what they do not come to."""
    odd: dict[str, dict[str, None]] = {}  # by exercise, in order
    seeds: dict[Group, str] = {}
    for one in marked:
        step = one.step
        if one.as_said is None or one.why:
            continue
        group = step.group
        if group not in seeds:
            seeds[group] = seed_of(
                EXERCISES[group[:2]],
                class_key=class_key,
                student=code,
                set=step.set,
                attempt=step.attempt,
            ).hex()
        found = dict.fromkeys(_odd(one, seeds[group]))
        if found:
            odd[step.exercise] = odd.get(step.exercise, {}) | found
    if odd:
        where = some([f"{id} ({', '.join(what)})" for id, what in odd.items()])
        file = marked[0].step.file
        said = say("classroom", "marks", "odd", file=file, code=code, where=where)
        yield Note(About.EDITED, said, code, file)


def _odd(one: Marked, seed: str) -> Iterator[str]:
    """Yield what a line says of its answer that is not so."""
    said, outcome = one.step.said, one.as_said
    assert outcome is not None
    if said.get("seed") != seed:
        yield "seed"
    # A line was written before the learner told which of two thoughts it was.
    names = (outcome.name, "two_fit" if len(outcome.choices) > 2 else outcome.name)
    if said.get("outcome") not in names:
        yield "outcome"
    for name, value in (
        ("value", outcome.value),
        ("score", outcome.score),
        ("try", one.tries),
        ("carried", one.carried),
    ):
        if not _same(said.get(name), value):
            yield name
    if said.get("held") is not outcome.held:
        yield "held"


def _same(said: object, value: float | None) -> bool:
    if value is None or said is None:
        return said is None and value is None
    if isinstance(said, bool) or not isinstance(said, int | float):
        return False
    try:
        return math.isclose(said, value, rel_tol=1e-9, abs_tol=1e-12)
    except OverflowError:  # a whole number that no float holds
        return False


def apart(code: str, who: str, alone: Mapping[str, Mapping[str, ExerciseMark]]) -> Note:
    """Say what each of one student's records would give alone."""
    lines = []
    for id in dict.fromkeys(id for own in alone.values() for id in own):
        each = {file: own[id].score for file, own in alone.items() if id in own}
        if len({*each.values()}) > 1:
            scores = [
                say("classroom", "chain", "alone", mark=per_cent(score), file=file)
                for file, score in each.items()
            ]
            told = {"exercise": id, "marks": some(scores)}
            lines.append(say("classroom", "chain", "differ", **told))
    marks = " ".join(lines) or say("classroom", "chain", "alike")
    said = say(
        "classroom", "chain", "apart", who=who, files=some([*alone]), marks=marks
    )
    return Note(About.RECORDS, said, code)


def sooner_than_read(code: str, who: str, marked: Sequence[Marked]) -> Iterator[Note]:
    """Yield a note if answers were right at once sooner than they can be read.

    Both count, the time since the line before and the time in the answer box: whoever
    fills in several boxes and then checks them has a long time in the box.

    References
    ----------
    .. [1] K. Rayner, E. R. Schotter, M. E. J. Masson, M. C. Potter, R. Treiman, "So
       Much to Read, So Little Time", *Psychological Science in the Public Interest*
       17, 2016: 200 to 400 words a minute.
    """
    soon: list[str] = []
    seen: set[Group] = set()
    for one in marked:
        step, before = one.step, one.step.group in seen
        seen.add(step.group)
        if before or one.outcome is None or one.outcome.name != "right":
            continue
        read = _words(step.exercise, step.version) / READ
        # Times are cut to whole seconds, so a second more may have gone by.
        spent = max(step.since + 1, step.seconds or 0.0)
        if counts(step.set, step.attempt) and spent < read:
            soon.append(step.exercise)
    if soon:
        file = marked[0].step.file
        said = say(
            "classroom", "chain", "fast", file=file, who=who, exercises=some(soon)
        )
        yield Note(About.FAST, said, code, file)


@cache
def _words(id: str, version: int) -> int:
    """Return how many words the question of an exercise has."""
    drawn = variant_of(EXERCISES[id, version], class_key="-", student="-", set=EXIT)
    return len(question(drawn).split())
