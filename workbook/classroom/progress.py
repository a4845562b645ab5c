"""Who came how far: each student's exercise, each exercise of a class, predictions.

Only answers that can make a mark are looked at here.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING, Literal

from workbook.classroom import accepted
from workbook.classroom.mistakes import in_order
from workbook.course import lessons
from workbook.exercises.seeds import plain

if TYPE_CHECKING:
    from workbook.classroom.hand_ins import Told
    from workbook.classroom.kept import KeptAnswer

Result = Literal["right", "wrong", "held"]
RIGHT = {"right", accepted.NAME}


@dataclass(frozen=True, kw_only=True)
class Done:
    """What one student did on one exercise.

    Attributes
    ----------
    result : {"right", "wrong", "held"}
        Whether an answer was right, or at least marked.
    at : int
        The try that was right; 0 if none was.
    tries, hints : int
        How many answers were marked, and hints seen before the last.
    seconds : float or None
        Time over all answers, where it is known of all.
    score : float
        The best of them.
    typed, right : str
        The last answer that was marked, or else the last, and what is right.
    names : tuple of str
        What was decided, answer by answer.
    """

    code: str
    exercise: str
    result: Result
    at: int
    tries: int
    hints: int
    seconds: float | None
    score: float
    typed: str
    right: str
    names: tuple[str, ...]


def done_by(answers: Iterable[KeptAnswer]) -> list[Done]:
    """Return what each student did on each exercise, exercise by exercise."""
    groups: dict[tuple[str, str], list[KeptAnswer]] = defaultdict(list)
    for answer in answers:
        if answer.counts:
            groups[answer.exercise.id, answer.code].append(answer)
    ordered = sorted(groups.items(), key=lambda item: in_order(item[0][0]))
    return [_done(code, id, own) for (id, code), own in ordered]


def _done(code: str, id: str, own: Sequence[KeptAnswer]) -> Done:
    at = min((a.tries for a in own if RIGHT & {*a.names}), default=0)
    marked = [answer for answer in own if not answer.held]
    spent = [answer.seconds for answer in own]
    result: Result = "right" if at else "wrong" if marked else "held"
    last = (marked or own)[-1]
    return Done(
        code=code,
        exercise=id,
        result=result,
        at=at,
        tries=max(answer.tries for answer in own),
        hints=max(answer.hints for answer in own),
        seconds=None if None in spent else sum(x or 0.0 for x in spent),
        score=max(answer.score for answer in own),
        typed=last.typed,
        right=last.right,
        names=tuple(name for answer in own for name in answer.names),
    )


@dataclass(frozen=True, kw_only=True)
class ExerciseDone:
    """How a class did on one exercise; students by their codes.

    ``at`` has how many were right by the try, ``seconds`` the middle of their times.
    """

    exercise: str
    at: Mapping[int, int]
    wrong: tuple[str, ...]
    held: tuple[str, ...]
    with_hints: int
    seconds: float | None


def by_exercise(done: Sequence[Done]) -> list[ExerciseDone]:
    """Return how a class did, exercise by exercise."""
    own: dict[str, list[Done]] = defaultdict(list)
    for one in done:
        own[one.exercise].append(one)
    return [_exercise(id, each) for id, each in own.items()]


def _exercise(id: str, each: Sequence[Done]) -> ExerciseDone:
    times = [one.seconds for one in each if one.seconds is not None]
    return ExerciseDone(
        exercise=id,
        at=Counter(one.at for one in each if one.at),
        wrong=tuple(one.code for one in each if one.result == "wrong"),
        held=tuple(one.code for one in each if one.result == "held"),
        with_hints=sum(one.hints > 0 for one in each),
        seconds=median(times) if times else None,
    )


@dataclass(frozen=True, kw_only=True)
class Predicted:
    """What a class predicted of an explorer, and what came of it.

    Attributes
    ----------
    lesson, explorer, exit : str
        Where it was asked, and the exercise that the lesson ends with.
    before : mapping of str to int
        How many chose each, by the name of the choice: the first that each locked.
    known, looked : int
        How many passed it by, and how many typed what they then saw.
    after : mapping of bool to tuple of (int, int)
        Of those who predicted right, and of those who did not: how many had the exit
        question right at the first try, of how many who answered it.
    """

    lesson: str
    explorer: str
    exit: str
    before: Mapping[str, int]
    known: int
    looked: int
    after: Mapping[bool, tuple[int, int]]


def predicted(
    told: Mapping[str, Sequence[Told]], done: Sequence[Done]
) -> list[Predicted]:
    """Return what a class predicted, explorer by explorer.

    Parameters
    ----------
    told : mapping of str to sequence of Told
        What each student told, by code as `plain` makes it.
    done : sequence of Done
        What they did afterwards.
    """
    chosen: dict[tuple[str, str], dict[str, str]] = defaultdict(dict)
    others: dict[tuple[str, str, str], set[str]] = defaultdict(set)
    for code, own in told.items():
        for one in own:
            place = (one.lesson.split(" ")[0], one.of)
            if one.kind == "prediction" and one.outcome:
                chosen[place].setdefault(code, one.outcome)
            elif one.kind == "known" or (one.kind == "observation" and not one.outcome):
                others[(one.kind, *place)].add(code)
    first = {(plain(one.code), one.exercise): one.at == 1 for one in done}
    found = []
    for lesson in lessons().values():
        for explorer in lesson.explorers:
            place = (lesson.id, explorer.name)
            known = others[("known", *place)]
            if chosen[place] or known:
                found.append(
                    Predicted(
                        lesson=lesson.id,
                        explorer=explorer.name,
                        exit=lesson.exit,
                        before=Counter(chosen[place].values()),
                        known=len(known),
                        looked=len(others[("observation", *place)]),
                        after={
                            right: _after(
                                [c for c, x in chosen[place].items()
                                 if (x == "right") is right],
                                lesson.exit,
                                first,
                            )
                            for right in (True, False)
                        },
                    )
                )  # fmt: skip
    return found


def _after(
    codes: Collection[str], exit: str, first: Mapping[tuple[str, str], bool]
) -> tuple[int, int]:
    answered = [first[code, exit] for code in codes if (code, exit) in first]
    return sum(answered), len(answered)
