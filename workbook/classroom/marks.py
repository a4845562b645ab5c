"""Marks, worked out from what was typed on the numbers each student had.

A hand-in's own score is never used. What a line says it came to is compared with
what it does come to, and a difference is said.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from operator import itemgetter

from tqdm import tqdm

from workbook.classroom.chains import some
from workbook.classroom.files import per_cent
from workbook.classroom.hand_ins import Step
from workbook.classroom.keys import Key
from workbook.classroom.roll import ClassList
from workbook.errors import FormError
from workbook.exercises import EXERCISES, exercise
from workbook.exercises.declaration import Exercise
from workbook.exercises.engine import Variant
from workbook.exercises.marking import Outcome
from workbook.exercises.replay import replay, seed_of, variant_of
from workbook.exercises.seeds import plain
from workbook.exercises.sets import BEFORE_SETS, EXIT, MARKED_ATTEMPT, counts, is_marked
from workbook.exercises.wording import hint_count, question
from workbook.language import say, shown

READ = 15  # words/s [1]_; twice what the quickest readers do with understanding
Group = tuple[str, int, str, int]  # exercise, version, set, attempt
Place = tuple[str, str]  # code, exercise or lesson


@dataclass(frozen=True, kw_only=True)
class Corrections:
    """What is marked otherwise than the workbook would.

    Attributes
    ----------
    key : Key
        Numbers and answers in place of drawn ones.
    mark_as : mapping of str to int
        By exercise, the version whose solution counts for older answers too.
    """

    key: Key = field(default_factory=Key)
    mark_as: Mapping[str, int] = field(default_factory=dict)

    @property
    def named(self) -> tuple[str, ...]:
        """What is corrected, to compare one marking with another: `said` in words."""
        by_version = [f"{id}={version}" for id, version in self.mark_as.items()]
        by_key = {
            f"{code} {id}={version} {set}".rstrip()
            for (code, id, version, set), row in self.key.rows.items()
            if row.why
        }
        return tuple(sorted([*by_version, *by_key]))


def said(correction: str) -> str:
    """Say in words one of the corrections that a marking names.

    Examples
    --------
    >>> said("7.2=2"), said("k7mr 7.2=1")
    ('7.2 as version 2', 'k7mr 7.2 version 1')
    """
    where, _, version = correction.rpartition("=")
    code, _, id = where.rpartition(" ")
    entry = "by_key" if code else "by_version"
    return _say(entry, code=code, exercise=id, version=version)


def _say(entry: str, **values: object) -> str:
    return say("classroom", "marks", entry, **values)


@dataclass(frozen=True, kw_only=True, slots=True)
class Marked:
    """One step with what it comes to.

    ``outcome`` is that of an answer in its set, ``as_said`` its outcome in the
    set that a line from before there were sets names, ``carried`` the earlier answer
    it goes on from, ``why`` a correction's reason.
    """

    step: Step
    variant: Variant
    outcome: Outcome | None = None
    as_said: Outcome | None = None
    carried: float | None = None
    tries: int = 0
    hints: int = 0
    why: str = ""


@dataclass(frozen=True, kw_only=True)
class ExerciseMark:
    """What counts for one student's exercise, from 0 to 1.

    ``why`` says what was corrected, or why the mark was set by hand. A ``held`` one
    has no answer that was marked: all were asked back, so that nothing was wrong.
    """

    code: str
    exercise: str
    score: float
    outcome: str
    why: str = ""
    by_hand: bool = False
    held: bool = False


@dataclass(frozen=True, kw_only=True)
class Marking:
    """One student's steps with what they come to, marks, and notes on them.

    ``records`` are apart what files with different records hold.
    """

    code: str
    records: Sequence[Sequence[Marked]]
    marks: tuple[ExerciseMark, ...]
    notes: tuple[str, ...]


def mark_class(
    class_list: ClassList,
    steps: Mapping[str, Sequence[Sequence[Step]]],
    *,
    corrections: Corrections,
    compare: bool = True,
) -> Iterator[Marking]:
    """Mark what a class handed in, student by student.

    Parameters
    ----------
    class_list : ClassList
        The students.
    steps : mapping of str to sequence of sequence of Step
        Each student's records, as `workbook.classroom.hand_ins.read_folder` returns
        them. Each is marked alone, so that none lowers the mark of another.
    corrections : Corrections
        Numbers, answers and versions to use in place of the workbook's own.
    compare : bool
        Whether to note where lines say other than they come to.

    Yields
    ------
    Marking
        Of each student who handed in, in the order of the list. The mark of an
        exercise is that of its best answer among those that count, in the record
        where that is best.

    Raises
    ------
    FormError
        If answers cannot be marked as the version named, or the key's numbers for
        them cannot serve.
    """
    students = [s for s in class_list.students if plain(s.code) in steps]
    for student in tqdm(students, unit="student", disable=None):
        code, files = student.code, steps[plain(student.code)]
        who = say("classroom", "chain", "who", name=shown(student.name), code=code)
        notes: list[str] = []
        records, alone = [], []
        for own in files:
            work = _Work(code, class_list.key, corrections)
            done = work.through(own)
            notes += work.remarks
            if compare:
                notes += _differences(code, class_list.key, done)
                notes += _sooner_than_read(who, done)
            records.append(done)
            alone.append({mark.exercise: mark for mark in _best(code, done)})
        if len(files) > 1 and compare:
            names = [own[0].file for own in files]
            notes.append(_apart(who, dict(zip(names, alone, strict=True))))
        marks = tuple(_best_of(alone))
        yield Marking(code=code, records=records, marks=marks, notes=tuple(notes))


class _Work:
    """One student's steps, worked through exercise by exercise."""

    def __init__(self, code: str, class_key: str, corrections: Corrections) -> None:
        self.code, self.class_key, self.corrections = code, class_key, corrections
        # Places and values of the answers to an exercise in a set and an attempt.
        self.values: dict[tuple[str, str, int], list[tuple[int, float | None]]] = {}
        self.remarks: list[str] = []  # on the key

    def through(self, steps: Sequence[Step]) -> list[Marked]:
        """Return every step with what it comes to, in the same order."""
        groups: dict[Group, list[int]] = defaultdict(list)
        for place, step in enumerate(steps):
            groups[_group_of(step)].append(place)
        done: dict[int, Marked] = {}
        # Later parts go on from earlier ones, so those come first.
        for group in sorted(groups, key=lambda g: EXERCISES[g[:2]].carry is not None):
            places = groups[group]
            marked = self._group(group, places, [steps[place] for place in places])
            done.update(zip(places, marked, strict=True))
        return [done[place] for place in range(len(steps))]

    def _group(
        self, group: Group, places: Sequence[int], steps: Sequence[Step]
    ) -> list[Marked]:
        """Work through one exercise on one set of numbers."""
        id, _, set, attempt = group
        variant, why = self._variant(group)
        own = variant.exercise
        carried = [self._carried(own, set, attempt, place) for place in places]
        marked = _worked(variant, steps, carried, why)
        self.values[id, set, attempt] = [
            (place, one.outcome.value if one.outcome else None)
            for place, one in zip(places, marked, strict=True)
            if one.step.kind == "given_up"
            or (one.outcome and not one.outcome.held and one.outcome.value is not None)
        ]
        return marked

    def _variant(self, group: Group) -> tuple[Variant, str]:
        """Return the numbers and the solution that count, and why if corrected."""
        id, version, set, attempt = group
        one, entry = EXERCISES[id, version], None
        if attempt == MARKED_ATTEMPT:
            entry = self.corrections.key.entry(self.code, one, set=set)
        if entry and entry.remark:
            self.remarks.append(entry.remark)
        variant = entry.variant if entry else self._drawn(one, set, attempt)
        newer = self.corrections.mark_as.get(id, version)
        if newer > version:
            return as_version(variant, newer), _say("as_version", version=newer)
        return variant, entry.why if entry else ""

    def _drawn(self, one: Exercise, set: str, attempt: int) -> Variant:
        return variant_of(
            one, class_key=self.class_key, student=self.code, set=set, attempt=attempt
        )

    def _carried(
        self, one: Exercise, set: str, attempt: int, place: int
    ) -> float | None:
        """Return the learner's own earlier value at this place, not given up. [SI]"""
        if one.carry is None:
            return None
        earlier = self.values.get((one.carry.source, set, attempt), [])
        before = bisect_left(earlier, place, key=itemgetter(0))
        return earlier[before - 1][1] if before else None


def _group_of(step: Step) -> Group:
    return step.exercise, step.version, step.set, step.attempt


def as_version(variant: Variant, version: int) -> Variant:
    """Return the numbers of an older version with the solution of another.

    Raises
    ------
    FormError
        If there is no such version, or it asks for other numbers.
    """
    one = exercise(variant.exercise.id, version)
    if {*one.given, *one.derived} != variant.numbers.keys():
        raise FormError("marks.other_numbers", version=version, exercise=one.id)
    return replace(variant, exercise=one)


def _worked(
    variant: Variant,
    steps: Sequence[Step],
    carried: Sequence[float | None],
    why: str,
) -> list[Marked]:
    """Return steps on one set of numbers with outcomes, tries and hints seen."""
    set, attempt = steps[0].set, steps[0].attempt
    limited = is_marked(set) or counts(set, attempt)
    outcomes = _outcomes(variant, steps, carried, marked_set=limited)
    practice = outcomes
    if limited and set == BEFORE_SETS and not all(map(_said_marked, steps)):
        practice = _outcomes(variant, steps, carried, marked_set=False)
    pairs = iter(zip(outcomes, practice, strict=True))
    marked, tries, hints = [], 0, 0
    for step, own in zip(steps, carried, strict=True):
        one = Marked(step=step, variant=variant, carried=own, hints=hints, why=why)
        if step.kind == "answer":
            outcome, loose = next(pairs)
            tries += not outcome.held
            said = outcome if _said_marked(step) else loose
            one = replace(one, outcome=outcome, as_said=said, tries=tries)
            hints = max(hints, 1) if outcome.shows_hint else hints
        elif step.kind == "hint" and step.number <= hint_count(variant.exercise):
            hints = max(hints, step.number)
        marked.append(one)
    return marked


def _said_marked(step: Step) -> bool:
    return step.kind != "answer" or step.said.get("marked") is True


def _outcomes(
    variant: Variant,
    steps: Sequence[Step],
    carried: Sequence[float | None],
    *,
    marked_set: bool,
) -> tuple[Outcome, ...]:
    lines = [
        {
            "kind": step.kind, "typed": step.typed, "carried": own,
            "number": step.number, "choice": step.choice,
        }
        for step, own in zip(steps, carried, strict=True)
    ]  # fmt: skip
    return replay(variant, lines, marked_set=marked_set).outcomes


def _best(code: str, marked: Iterable[Marked]) -> Iterator[ExerciseMark]:
    """Yield the mark of each exercise: its best answer among those that count."""
    best: dict[str, ExerciseMark] = {}
    for one in marked:
        if one.outcome is None or not counts(one.step.set, one.step.attempt):
            continue
        id, mark = one.step.exercise, _mark_of(code, one, one.outcome)
        if id not in best or _worth(mark) > _worth(best[id]):
            best[id] = mark
    yield from best.values()


def _mark_of(code: str, one: Marked, outcome: Outcome) -> ExerciseMark:
    return ExerciseMark(
        code=code,
        exercise=one.step.exercise,
        score=outcome.score,
        outcome=outcome.name,
        why=one.why,
        held=outcome.held,
    )


def _worth(mark: ExerciseMark) -> tuple[bool, float]:
    """Return what to compare marks by: an answer that was marked is more than none."""
    return not mark.held, mark.score


def _best_of(alone: Sequence[Mapping[str, ExerciseMark]]) -> Iterator[ExerciseMark]:
    """Yield the best mark of each exercise; the first of several that are alike."""
    for id in dict.fromkeys(id for own in alone for id in own):
        marks = [own[id] for own in alone if id in own]
        yield max(marks, key=_worth)


def _apart(who: str, alone: Mapping[str, Mapping[str, ExerciseMark]]) -> str:
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
    return say(
        "classroom", "chain", "apart", who=who, files=some([*alone]), marks=marks
    )


def _sooner_than_read(who: str, marked: Sequence[Marked]) -> Iterator[str]:
    """Yield a sentence if answers were right at once sooner than they can be read.

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
        step, before = one.step, _group_of(one.step) in seen
        seen.add(_group_of(step))
        if before or one.outcome is None or one.outcome.name != "right":
            continue
        read = _words(step.exercise, step.version) / READ
        # Times are cut to whole seconds, so a second more may have gone by.
        spent = max(step.since + 1, step.seconds or 0.0)
        if counts(step.set, step.attempt) and spent < read:
            soon.append(step.exercise)
    if soon:
        file = marked[0].step.file
        yield say(
            "classroom", "chain", "fast", file=file, who=who, exercises=some(soon)
        )


@cache
def _words(id: str, version: int) -> int:
    """Return how many words the question of an exercise has."""
    drawn = variant_of(EXERCISES[id, version], class_key="-", student="-", set=EXIT)
    return len(question(drawn).split())


# --------------------------------------------------------------- said and come to


def _differences(code: str, class_key: str, marked: Sequence[Marked]) -> Iterator[str]:
    """Yield a sentence if the lines of one file say what they do not come to."""
    odd: Counter[str] = Counter()
    seeds: dict[Group, str] = {}
    for one in marked:
        step = one.step
        if one.as_said is None or one.why:
            continue
        group = _group_of(step)
        if group not in seeds:
            seeds[group] = seed_of(
                EXERCISES[group[:2]],
                class_key=class_key,
                student=code,
                set=step.set,
                attempt=step.attempt,
            ).hex()
        odd.update(f"{step.exercise} {what}" for what in _odd(one, seeds[group]))
    if odd:
        where = [f"{what} ({n})" if n > 1 else what for what, n in odd.items()]
        yield _say("odd", file=marked[0].step.file, code=code, where=where)


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
