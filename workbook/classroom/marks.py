"""Marks, worked out from what was typed on the numbers each student had.

A hand-in's own score is never used. What a line says it came to is compared with
what it does come to, and a difference is said.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from operator import itemgetter

from tqdm import tqdm

from workbook.classroom.accepted import Accepted, accepting, why_accepted
from workbook.classroom.compared import apart, differences, sooner_than_read
from workbook.classroom.hand_ins import Group, Step
from workbook.classroom.keys import Key
from workbook.classroom.notes import About, Note
from workbook.classroom.roll import ClassList, who
from workbook.errors import FormError
from workbook.exercises import EXERCISES, exercise
from workbook.exercises.declaration import Exercise
from workbook.exercises.engine import Variant
from workbook.exercises.marking import Outcome
from workbook.exercises.replay import replay, variant_of
from workbook.exercises.seeds import plain
from workbook.exercises.sets import BEFORE_SETS, MARKED_ATTEMPT, counts, is_marked
from workbook.exercises.wording import hint_count
from workbook.language import say

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
    accepted : mapping of str to sequence of str
        By exercise, what is right after all. It stands in the session plan, so that
        leaving it out is no oversight, and no part of `named`.
    """

    key: Key = field(default_factory=Key)
    mark_as: Mapping[str, int] = field(default_factory=dict)
    accepted: Accepted = field(default_factory=dict)

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
    it goes on from, ``why`` a correction's reason, ``accepted`` the entry of the
    session plan by which it is right after all.
    """

    step: Step
    variant: Variant
    outcome: Outcome | None = None
    as_said: Outcome | None = None
    carried: float | None = None
    tries: int = 0
    hints: int = 0
    why: str = ""
    accepted: str = ""


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
    notes: tuple[Note, ...]


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
        named = who(student)
        notes: list[Note] = []
        records, alone = [], []
        for own in files:
            work = _Work(code, class_list.key, corrections)
            done = work.through(own)
            notes += [Note(About.KEY, remark, code) for remark in work.remarks]
            if compare:
                notes += differences(code, class_list.key, done)
                notes += sooner_than_read(code, named, done)
            records.append(done)
            alone.append({mark.exercise: mark for mark in _best(code, done)})
        if len(files) > 1 and compare:
            names = [own[0].file for own in files]
            notes.append(apart(code, named, dict(zip(names, alone, strict=True))))
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
            groups[step.group].append(place)
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
        accepted = self.corrections.accepted.get(id, ())
        marked = _worked(variant, steps, carried, why, accepted)
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
    accepted: Sequence[str],
) -> list[Marked]:
    """Return steps on one set of numbers with outcomes, tries and hints seen."""
    set, attempt = steps[0].set, steps[0].attempt
    limited = is_marked(set) or counts(set, attempt)
    outcomes = _outcomes(variant, steps, carried, marked_set=limited)
    practice = outcomes
    if limited and set == BEFORE_SETS and not all(map(_said_marked, steps)):
        practice = _outcomes(variant, steps, carried, marked_set=False)
    pairs = iter(zip(outcomes, practice, strict=True))
    marked, tries, hints, over = [], 0, 0, False
    for step, own in zip(steps, carried, strict=True):
        one = Marked(step=step, variant=variant, carried=own, hints=hints, why=why)
        if step.kind == "answer":
            outcome, loose = next(pairs)
            tries += not outcome.held
            said = outcome if _said_marked(step) else loose
            one = replace(one, outcome=outcome, as_said=said, tries=tries)
            if accepted and not over:
                one = _accepting(one, accepted, limited=limited)
            hints = max(hints, 1) if outcome.shows_hint else hints
        elif step.kind == "hint" and step.number <= hint_count(variant.exercise):
            hints = max(hints, step.number)
        over = over or step.kind == "given_up"
        marked.append(one)
    return marked


def _accepting(one: Marked, texts: Sequence[str], *, limited: bool) -> Marked:
    """Return an answer as it is with what is right after all."""
    assert one.outcome is not None
    outcome, text = accepting(
        one.outcome,
        texts,
        one=one.variant.exercise,
        tries=one.tries,
        limited=limited,
    )
    why = "; ".join(filter(None, (one.why, why_accepted(text)))) if text else one.why
    return replace(one, outcome=outcome, accepted=text, why=why)


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
