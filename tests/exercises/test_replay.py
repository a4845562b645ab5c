"""Lines worked through at once come to what they come to one by one."""

import random
from functools import reduce

import pytest

from workbook.exercises import exercise
from workbook.exercises.engine import continued, variant_from
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


def said(typed, **more):
    """Return a line of the record with an answer in it."""
    return {"kind": "answer", "typed": typed, **more}


@pytest.mark.parametrize(("tries", "over"), [(0, False), (2, False), (3, True)])
def test_a_marked_set_is_over_after_three_tries_and_practice_never(tries, over):
    # What is held, as a number without its unit, is no try.
    wrong = [said("5 kN"), said("6 kN"), said("7 kN")]
    lines = [said("5"), *wrong[:tries]]

    assert replay(PULL, lines, marked_set=True).over == over
    assert not replay(PULL, lines).over
    assert replay(PULL, [*lines, {"kind": "given_up"}]).over


def test_one_right_answer_solves_it_whatever_came_before():
    lines = [said("20 kN"), said("x"), said("17.3 kN")]

    assert replay(PULL, lines).solved
    assert replay(PULL, lines, marked_set=True).over
    assert not replay(PULL, lines[:2]).solved


def test_a_bare_nought_is_marked_as_nought_the_second_time():
    work = replay(PULL, [said("0"), said("0")])

    assert [outcome.held for outcome in work.outcomes] == [True, False]
    assert work.value == 0.0


def test_the_last_value_that_was_marked_is_the_one_to_go_on_from():
    assert Work(variant=PULL).value is None
    assert Work(variant=PULL).last is None

    work = replay(PULL, [said("20 kN"), said("5 kN"), said("x")])

    assert work.last.held
    assert work.value == 5000.0
    assert work.after({"kind": "given_up"}).value is None
    assert replay(PULL, [said("x")]).value is None


def test_the_thinking_is_asked_for_until_it_is_told():
    wrong = Work(variant=PULL).after(said("20 kN"))
    told = wrong.after({"kind": "thinking", "choice": "M01_whole_tension"})

    assert wrong.asked_for_thinking
    assert not told.asked_for_thinking
    assert told.thought == "M01_whole_tension"
    assert told.after(said("20 kN")).asked_for_thinking
    assert not Work(variant=PULL).asked_for_thinking
    assert not Work(variant=PULL).after(said("5 kN")).asked_for_thinking


def test_the_thinking_behind_the_first_answer_is_taken_at_once_too():
    lines = [said("20 kN"), {"kind": "thinking", "choice": "M01_whole_tension"}]

    work = replay(PULL, lines)

    assert work.thought == "M01_whole_tension"
    assert work == reduce(Work.after, lines, Work(variant=PULL))


def test_an_unknown_number_counts_as_the_first_hint_seen():
    work = Work(variant=PULL).after(said("5 kN"))

    assert work.history.hints == 1
    assert work.history.tries == 1
    two = work.after({"kind": "hint", "number": 2}).after(said("6 kN"))
    assert two.history.hints == 2
    assert Work(variant=PULL).after(said("20 kN")).history.hints == 0


@pytest.mark.parametrize(
    ("carried", "name"),
    [(0.3375, "right"), (10**400, "none_of_these"), ("0.3375", "none_of_these")],
)
def test_an_answer_goes_on_from_the_number_that_its_line_carries(carried, name):
    # 337.5 mm over 1500 mm is 12.68 degrees; the right shift is 225 mm.
    shift = variant_from(
        exercise("8.1", 1),
        {
            "offset": 50, "fork": 600, "clamp_height": 500,
            "clamp_distance": 1500, "head_out": 0, "head_up": 900,
        },
    )  # fmt: skip
    side_angle = Work(variant=continued(exercise("8.2", 1), shift))

    work = side_angle.after(said("12.7 deg", carried=carried))

    assert work.last.name == name
    assert work.typed == "12.7 deg"


@pytest.mark.parametrize("line", [said(None), said(5), {"kind": "gate"}, {}])
def test_a_line_without_what_it_needs_changes_nothing(line):
    work = Work(variant=PULL).after(said("20 kN"))

    assert work.after(line) == work
    assert work.after({"kind": "thinking", "choice": "M02_sin_cos"}) == work


@pytest.mark.parametrize("marked_set", [True, False])
def test_what_comes_after_giving_up_earns_nothing(marked_set):
    close = {"kind": "answer", "typed": "17.8 kN"}
    right = {"kind": "answer", "typed": "17.3 kN"}

    work = replay(PULL, [close, {"kind": "given_up"}, right], marked_set=marked_set)

    assert [outcome.name for outcome in work.outcomes] == ["close", "right"]
    assert [outcome.score for outcome in work.outcomes] == [0.8, 0.0]
    assert work.best == 0.8
