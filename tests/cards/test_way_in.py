"""A lesson behind a gate: nothing is asked until it was passed, or opened by hand."""

from dataclasses import replace

import pytest
from on_card import answers, press, shown, typed_for

from widgets import ExerciseCard, LessonParts
from workbook import course
from workbook.exercises import exercise, wording
from workbook.language import say
from workbook.reader.record import Record, record_here

GATE = ("7.4", "2.1")
WAITS = say("way_in", "waits")


@pytest.fixture
def here(signed_in):
    """Return the parts of a lesson that stands behind two exercises."""
    return LessonParts(replace(course.lesson("L08"), behind=GATE))


def passed(id, **options):
    card = ExerciseCard(id, **options)
    card.answer(typed_for(card))


def cards_of(here):
    """Return every card of a lesson that asks something."""
    return [
        here.explorer().lock,
        *here.exercises().cards,
        here.gate(),
        here.exit_question(),
    ]


def state(card):
    return card.frame["state"], shown(card)


def test_nothing_is_asked_and_what_is_missing_is_named(here):
    way = here.way_in()

    told, words = state(way)
    assert told == "shut"
    for id in GATE:
        assert f"{id}, {wording.title(exercise(id))}" in words
    for card in cards_of(here):
        assert card.frame["intro"] == [WAITS]
        assert not {"form", "tools", "worked", "hints", "result"} & {*card.frame}


def test_no_card_takes_what_the_page_sends(here):
    card = here.exercises().cards[0]

    press(card, "answer", typed={card._field: typed_for(card)})
    press(card, "hint")
    lock = here.explorer().lock
    press(lock, "know")

    assert answers() == []
    assert lock.answer is None
    assert {x["kind"] for x in record_here().lines()} <= {"start", "identity"}


@pytest.mark.parametrize("set", ["practice", "review", "exit"])
def test_it_opens_once_all_were_right_in_whatever_set(here, set):
    way, cards = here.way_in(), cards_of(here)
    passed("7.4", set=set)
    press(way, "look")
    between = state(way)
    passed("2.1", set=set)

    press(way, "look")

    assert between[0] == "shut"
    assert "7.4" not in between[1]
    assert say("way_in", "still_shut") in between[1]
    assert state(way)[0] == "passed"
    assert "you passed 7.4, 2.1." in state(way)[1]
    assert all(card.frame["form"] for card in cards)


def test_right_after_the_answer_was_shown_passes_nothing(here):
    way = here.way_in()
    passed("7.4")
    card = ExerciseCard("2.1")
    for n in range(3):
        card.answer(f"{90 + n} kN")
    assert card.task.work.last.answer_shown
    card.answer(typed_for(card))
    press(way, "look")
    after_shown = state(way)[0]

    card.new_numbers()
    card.answer(typed_for(card))
    press(way, "look")

    assert after_shown == "shut"
    assert state(way)[0] == "passed"


def test_what_was_right_once_stays_passed(here):
    for id in GATE:
        passed(id)
    card = ExerciseCard("2.1")
    card.new_numbers()
    for n in range(3):
        card.answer(f"{90 + n} kN")

    assert state(here.way_in())[0] == "passed"


def test_an_instructor_opens_one_lesson_and_the_reason_is_kept(here):
    way, cards = here.way_in(), cards_of(here)

    press(way, "open", typed={"reason": "  "})
    assert state(way)[0] == "shut"
    assert say("way_in", "reason_missing") in way.frame["note"]
    press(way, "open", typed={"reason": " shown at the bench "})

    [line] = record_here().mine("opened")
    assert (line["lesson"], line["reason"]) == ("L08", "shown at the bench")
    assert state(way)[0] == "passed"
    assert "shown at the bench" in state(way)[1]
    assert all(card.frame["form"] for card in cards)
    other = LessonParts(replace(course.lesson("L07"), behind=GATE))
    assert state(other.way_in())[0] == "shut"


def test_what_one_reader_passed_opens_nothing_for_another(here):
    for id in GATE:
        passed(id)
    way, card = here.way_in(), here.exercises().cards[0]
    mine = state(way)[0]

    record_here().sign_in(student="K8", class_key="oak")

    assert (mine, state(way)[0]) == ("passed", "shut")
    assert card.frame["intro"] == [WAITS]


def test_opened_again_on_another_computer_it_is_open(here):
    here.way_in().open_by_hand("seen")
    record = Record(record_here().path)

    assert [x["reason"] for x in record.mine("opened", lesson="L08")] == ["seen"]


def test_a_lesson_with_no_gate_has_no_way_in():
    here = LessonParts(course.lesson("L08"))

    assert here.exercises().cards[0].frame["form"]
    with pytest.raises(AssertionError):
        here.way_in()
