"""Today's five: old questions, mixed, with new numbers."""

import itertools
import json
from html import unescape

from on_card import typed_for

from widgets import ExerciseCard, TodaysFive
from workbook.language import say
from workbook.reader.record import FILE, Record, record_here


def past(*ids, right=True):
    """Answer exercises some days ago, one a day."""
    record = record_here()
    for id in ids:
        card = ExerciseCard(id)
        card.answer(
            typed_for(card) if right else f"999 {card.task.exercise.answer.unit}"
        )
    text = record.path.read_text(encoding="utf-8")
    lines = [json.loads(x) for x in text.splitlines()]
    for day, line in enumerate(x for x in lines if x["kind"] == "answer"):
        line["time"] = f"2026-01-{day + 1:02}T09:00:00+01:00"
    text = "".join(json.dumps(x) + "\n" for x in lines)
    record.path.write_text(text, encoding="utf-8")
    return Record(record.path)


OLD = ("2.1", "2.2", "2.4", "7.1", "7.2", "8.4", "9.1")


def test_five_old_questions_are_mixed_and_have_new_numbers():
    record = past(*OLD)

    five = TodaysFive(record=record)

    lessons = [card.first.lesson for card in five.cards]
    assert len(five.cards) == 5
    assert all(one != two for one, two in itertools.pairwise(lessons))
    tasks = [card.task for card in five.cards]
    assert {(task.set, task.attempt) for task in tasks} == {("review", 1)}
    assert tasks[0].variant.numbers != ExerciseCard("2.1").task.variant.numbers
    assert five.cards[0].first.id == "2.1"  # the oldest


def test_what_went_wrong_comes_first():
    past(*OLD[:-1])
    record = past("9.1", right=False)

    assert TodaysFive(record=record).cards[0].first.id == "9.1"


def test_the_five_stay_the_same_all_day_and_are_summed_up():
    record = past(*OLD)
    five = TodaysFive(record=record)

    for card in five.cards[:2]:
        card.answer(typed_for(card))
    again = TodaysFive(record=record)

    assert [c.first.id for c in again.cards] == [c.first.id for c in five.cards]
    assert again.cards[0].task.work.solved
    assert "2 answered, 2 right" in five.summary.value
    for card in again.cards[2:]:
        card.answer(f"999 {card.task.exercise.answer.unit}")
    wrong = again.cards[2].first
    assert f"lesson {wrong.lesson[1:]}, exercise {wrong.id}" in again.summary.value


def test_without_old_answers_there_are_no_five_yet():
    ExerciseCard("7.2").answer("5 kN")

    five = TodaysFive()

    assert five.cards == []
    assert say("five", "none_yet") in unescape(five.summary.value)


def test_the_record_lies_in_the_readers_folder(tmp_path):
    ExerciseCard("7.2").answer("5 kN")

    assert (tmp_path / FILE).is_file()


def test_a_part_that_would_wait_for_another_is_not_asked_without_it():
    record = past("7.6a", "7.6b", "2.1")

    asked = [card.first.id for card in TodaysFive(record=record).cards]

    assert sorted(asked) == ["2.1", "7.6a"]


def test_review_goes_on_from_its_own_numbers_and_not_from_practice():
    card = ExerciseCard("2.1")
    card.new_numbers()
    record = past("2.1")

    (review,) = TodaysFive(record=record).cards

    assert (review.task.set, review.task.attempt) == ("review", 1)
