"""What was typed is worked out again from the record alone."""

import pytest

from workbook.exercises import exercise
from workbook.exercises.engine import variant_from
from workbook.exercises.replay import replay, seed_of, variant_of

PULL = variant_from(exercise("2.1"), {"tension": 20, "angle": 30})  # 17.32 kN


def answers(*typed):
    return [{"kind": "answer", "typed": t} for t in typed]


def test_work_is_worked_out_again_from_what_was_typed_alone():
    lines = answers("20 kN", "17.3", "17.3 kN")
    lines[0] |= {"score": 1.0, "outcome": "right", "try": 99}

    work = replay(PULL, lines, marked_set=True)

    names = [outcome.name for outcome in work.outcomes]
    assert names == ["M01_whole_tension", "unit_missing", "right"]
    assert work.best == 0.9
    assert (work.history.tries, work.typed) == (2, "17.3 kN")
    assert work.solved
    assert work.value == pytest.approx(17300)


def test_hints_count_once_each_and_the_one_that_was_shown_counts_too():
    shown = replay(PULL, answers("5 kN"))
    asked = replay(PULL, [{"kind": "hint", "number": 2}, *answers("5 kN")])

    assert (shown.history.hints, asked.history.hints) == (1, 2)


def test_the_thinking_is_asked_for_until_it_is_told():
    told = {"kind": "thinking", "choice": "M01_whole_tension"}

    asked = replay(PULL, answers("20 kN"))
    settled = replay(PULL, [*answers("20 kN"), told])

    assert asked.asked_for_thinking
    assert not settled.asked_for_thinking
    assert settled.thought == "M01_whole_tension"


@pytest.mark.parametrize(
    "line",
    [
        {"kind": "answer"},
        {"kind": "answer", "typed": 12},
        {"kind": "hint", "number": "1"},
        {"kind": "hint", "number": 99},
        {"kind": "thinking", "choice": ["M01_whole_tension"]},
        {"kind": "thinking", "choice": "nonsense"},
        {},
    ],
)
def test_a_line_without_what_it_needs_changes_nothing(line):
    before = answers("20 kN")

    assert replay(PULL, [*before, line]) == replay(PULL, before)


def test_an_own_earlier_value_is_gone_on_from():
    whose = {"class_key": "oak", "student": "K7", "set": "exit"}
    angle, forward = (variant_of(exercise(id), **whose) for id in ("7.6a", "7.6b"))
    own = 1.3 * angle.answer
    follows = forward.carrying(own).answer

    typed = {"kind": "answer", "typed": f"{follows:.3f} N"}

    alone = replay(forward, [typed])
    carried = replay(forward, [typed | {"carried": own}])
    assert carried.solved
    assert not alone.solved
    assert replay(forward, [typed | {"carried": "x"}]) == alone


def test_a_later_part_has_the_seed_of_the_part_it_goes_on_from():
    keys = {"class_key": "oak", "student": "K7", "set": "practice", "attempt": 2}

    assert seed_of(exercise("7.6b"), **keys) == seed_of(exercise("7.6a"), **keys)
    assert seed_of(exercise("8.3"), **keys) != seed_of(exercise("7.6a"), **keys)
    before = {**keys, "set": "", "attempt": 1}
    old = [seed_of(exercise(id, 1), **before) for id in ("8.1", "8.2")]
    assert old[0] == old[1]
