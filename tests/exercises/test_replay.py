"""Lines worked through at once come to what they come to one by one."""

import random
from functools import reduce

import pytest

from workbook.exercises import exercise
from workbook.exercises.engine import variant_from
from workbook.exercises.replay import Work, replay
from workbook.exercises.wording import hint_count

PULL = variant_from(exercise("2.1"), {"tension": 20.0, "angle": 30.0})
LINES = [
    *({"kind": "answer", "typed": t} for t in ("17.3 kN", "20 kN", "10 kN", "3", "x")),
    *({"kind": "hint", "number": n} for n in (1, 2, 9)),
    *({"kind": "thinking", "choice": c} for c in ("M01_whole_tension", "no", None)),
    {"kind": "gate"},
]


@pytest.mark.parametrize("marked_set", [True, False])
@pytest.mark.parametrize("seed", range(20))
def test_at_once_is_one_by_one(seed, marked_set):
    lines = random.Random(seed).choices(LINES, k=30)

    work = replay(PULL, lines, marked_set=marked_set)

    fresh = Work(variant=PULL, marked_set=marked_set)
    assert work == reduce(Work.after, lines, fresh)
    assert len(work.outcomes) == sum(line["kind"] == "answer" for line in lines)


def test_many_answers_are_not_copied_for_each_one_more(monkeypatch):
    longest = 0
    after = Work.after

    def watched(work, line):
        nonlocal longest
        longest = max(longest, len(work.outcomes))
        return after(work, line)

    monkeypatch.setattr(Work, "after", watched)

    work = replay(PULL, [{"kind": "answer", "typed": "20 kN"}] * 300)

    assert len(work.outcomes) == 300
    assert longest <= 1


def test_hints_are_counted_up_to_the_last_there_is():
    most = hint_count(PULL.exercise)
    work = Work(variant=PULL)

    taken = work.after({"kind": "hint", "number": most})

    assert taken.history.hints == most
    assert work.after({"kind": "hint", "number": most + 1}) == work
    assert work.after({"kind": "hint", "number": "1"}) == work
    assert taken.after({"kind": "hint", "number": 1}).history.hints == most


def test_work_is_practice_and_not_given_up_unless_said():
    work = Work(variant=PULL)

    assert (work.marked_set, work.given_up) == (False, False)
    assert work.after({"kind": "given_up"}).given_up
    # Practice goes on after a right answer, a marked set is over.
    right = {"kind": "answer", "typed": "17.3 kN"}
    assert not work.after(right).over
    assert Work(variant=PULL, marked_set=True).after(right).over
