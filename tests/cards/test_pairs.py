"""Two at one screen: one drives, one checks, they swap, and each answers."""

import time

import pytest
from on_card import answers, press, shown, tools, typed_for

from widgets import ExerciseCard, SignIn
from widgets.prediction import PredictionLock
from widgets.reading import Reading
from workbook import course
from workbook.language import say
from workbook.reader.hand_in import write_hand_ins
from workbook.reader.record import TURN, record_here


@pytest.fixture
def sign_in():
    card = SignIn()
    card.sign_in(student="K7", class_key="oak", pair="K9")
    return card


def test_each_of_a_pair_answers_with_numbers_of_ones_own(sign_in):
    card = ExerciseCard("7.2", set="exit")
    assert say("card", "each_own", partner="K9") in card.frame["foot"]
    first = dict(card.task.variant.numbers)
    assert "swap" not in tools(card)
    card.answer(typed_for(card))

    assert tools(card)["swap"] == say("card", "swap", partner="K9")
    press(card, "swap")

    assert dict(card.task.variant.numbers) != first
    assert card.frame["form"] is not None
    assert "K9 drives, K7 checks" in shown(card)
    card.answer(typed_for(card))
    kept = [(x["student"], x["pair"], x["outcome"]) for x in answers()]
    assert kept == [("K7", "K9", "right"), ("K9", "K7", "right")]


def test_the_card_of_who_works_here_swaps_too(sign_in):
    assert "K7 drives, K9 checks" in shown(sign_in)

    press(sign_in, "swap")

    assert "K9 drives, K7 checks" in shown(sign_in)
    assert record_here().reader.student == "K9"


def test_who_works_alone_is_not_asked_to_swap(signed_in):
    card = ExerciseCard("7.2", set="exit")
    card.answer(typed_for(card))

    press(card, "swap")

    assert "swap" not in tools(card)
    assert record_here().reader.student == "K7"
    assert "swap" not in tools(SignIn())


def test_nobody_is_a_pair_with_oneself(sign_in):
    sign_in.sign_in(student="M3", class_key="oak", pair=" m3")

    assert "Both codes are M3" in sign_in.frame["note"]
    assert record_here().reader.student == "K7"


def test_what_two_predict_and_see_is_of_both_and_each_can_hand_it_in(sign_in, tmp_path):
    one = course.lesson("L07").explorers[0]
    lock = PredictionLock(one)
    lock.lock(next(iter(lock._offered())))
    lock.look("9 kN")
    reading = Reading(one, next(iter(one.readings)))
    reading.read("12 kN")
    press(sign_in, "swap")

    files = write_hand_ins(sign_in.record, folder=tmp_path)

    again = PredictionLock(one)
    assert (again.answer, again.seen) == (lock.answer, lock.seen)
    assert again.record.reader.student == "K9"
    for file in files:
        text = file.read_text(encoding="utf-8")
        kinds = [kind for kind in ("prediction", "observation") if f'"{kind}"' in text]
        assert kinds == ["prediction", "observation"]
        assert text.count('"observation"') == 2


def test_whoever_drove_six_minutes_is_told_to_swap(sign_in, monkeypatch):
    lock = PredictionLock(course.lesson("L07").explorers[0])
    assert "swap" not in [tool["act"] for tool in lock.frame.get("tools", [])]
    begun, gone = time.time(), [TURN]
    monkeypatch.setattr("workbook.reader.record.time.time", lambda: begun + gone[0])

    lock.lock(None)

    assert "K7 has driven for six minutes" in lock.frame["note"]
    assert [*tools(lock)] == ["swap"]
    gone[0] = 0
    press(lock, "swap")
    assert record_here().reader.student == "K9"
    assert lock.frame["note"] == "Student K9 drives, K7 checks, class oak."


def test_whoever_works_alone_is_never_told_to_swap(signed_in, monkeypatch):
    later = time.time() + 10 * TURN
    monkeypatch.setattr("workbook.reader.record.time.time", lambda: later)

    assert not record_here().turn_over
