"""The entry check and the refresh: one card, mixed questions, what they lead to."""

import itertools
import json
from datetime import date

import pytest
from on_card import answers, press, tools, typed_for

from widgets import EntryCheck, LessonParts, Refresh
from workbook import course
from workbook.course.mixed import ENTRY, REFRESH
from workbook.exercises import exercise, wording
from workbook.language import say
from workbook.reader.mixed import refresh_round
from workbook.reader.opening import shipped_lessons
from workbook.reader.record import Record, record_here


def answer(card, typed):
    """Type, press Enter, and go on by the first button, as the browser sends it."""
    press(card, "answer", typed={card._field: typed})
    press(card, next(iter(tools(card))))


def through(card, *, right=lambda place: True):
    for place in range(len(card.round.tasks)):
        answer(card, typed_for(card) if right(place) else wrong_of(card))
    return card.frame


def wrong_of(card):
    unit = getattr(card.task.exercise.answer, "unit", None)
    return f"999 {unit}" if unit else next(x for x in "abcd" if x != typed_for(card))


def linked(frame):
    return [link["text"][:2] for link in frame["links"]]


def test_the_lists_are_short_mixed_and_wait_for_no_other_part():
    for ids in (ENTRY, REFRESH):
        lessons = [exercise(id).lesson for id in ids]

        assert len({*ids}) == len(ids)
        assert not any(exercise(id).carry for id in ids)
        assert all(one != two for one, two in itertools.pairwise(lessons))
    assert len({exercise(id).lesson for id in ENTRY}) == len(ENTRY) == 8


def test_an_entry_check_leads_to_the_lessons_missed_and_says_why():
    card = EntryCheck()

    for place in range(8):
        if place == 2:  # 8.4: not known
            press(card, "skip")
            assert wording.rule(exercise("8.4")) in card.frame["result"]["lines"]
            press(card, "next")
        elif place == 4:  # 10.3: with a hint
            press(card, "hint")
            answer(card, typed_for(card))
        elif place == 6:  # 7.2: wrong, and right at another try
            press(card, "answer", typed={card._field: "999 kN"})
            answer(card, typed_for(card))
        else:
            answer(card, typed_for(card))

    frame = card.frame
    assert frame["result"]["lines"][0] == say("mixed", "done", right=5, count=8)
    assert linked(frame) == ["07", "08", "10"]  # as they are taught
    assert [link["tells"].partition(" · ")[0] for link in frame["links"]] == [
        say("mixed", "why", "wrong", number=7),
        say("mixed", "why", "unknown", number=3),
        say("mixed", "why", "helped", number=5),
    ]
    assert {link["file"] for link in frame["links"]} <= {*shipped_lessons()}


@pytest.mark.parametrize("kind", [EntryCheck, Refresh])
def test_all_right_and_all_wrong_have_words_of_their_own(kind):
    through(kind())
    card = kind()
    all_right = card.frame  # also when it is opened again
    press(card, "again")
    all_wrong = through(card, right=lambda place: False)

    assert all_right["result"]["sign"] == "✓"
    assert all_right["result"]["lines"][-1] == say("mixed", kind.name, "none")
    assert all_right["links"] == []
    assert all_wrong["result"]["sign"] == ""
    assert all_wrong["result"]["lines"][-1] == say("mixed", kind.name, "all")
    assert len(all_wrong["links"]) == {"entry": 8, "refresh": 1}[kind.name]


def test_what_was_answered_is_kept_and_gone_on_with():
    card = EntryCheck()
    answer(card, typed_for(card))
    answer(card, wrong_of(card))
    press(card, "skip")

    opened = EntryCheck(record=Record(record_here().path))

    assert [(x["set"], x["exercise"]) for x in answers()] == [
        ("entry", "2.1"),
        ("entry", "11.4"),
    ]
    assert opened.frame["title"].startswith(say("mixed", "number", number=4, count=8))
    press(opened, "stop")
    assert opened.frame["result"]["lines"][1] == say("mixed", "left", count=5)
    assert linked(opened.frame) == ["08", "11"]
    assert say("mixed", "entry", "all") not in opened.frame["result"]["lines"]


def test_enter_checks_and_the_first_button_goes_on():
    card = EntryCheck()

    press(card, "answer", typed={card._field: typed_for(card)})

    assert card.frame["form"] is None  # so that the focus falls on the first button
    assert next(iter(tools(card))) == "next"
    press(card, "next")
    assert card.frame["focus"] == "form"
    press(card, "answer", typed={card._field: wrong_of(card)})
    assert next(iter(tools(card))) == "next"  # wrong too, beside another try
    assert card.frame["form"] is not None


def test_another_round_has_other_numbers_also_when_opened_again():
    card = EntryCheck()
    first = [task.variant.numbers for task in card.round.tasks]

    press(card, "again")
    opened = EntryCheck(record=Record(record_here().path))

    assert [task.attempt for task in opened.round.tasks] == [2] * 8
    assert [task.variant.numbers for task in opened.round.tasks] != first
    assert opened.frame["title"].startswith(say("mixed", "number", number=1, count=8))


def test_a_refresh_asks_what_went_wrong_before_and_another_five_another_day():
    card = Refresh()
    missed = card.task.exercise.id
    through(card, right=lambda place: place > 0)
    ids = [task.exercise.id for task in card.round.tasks]
    lines = [json.loads(x) for x in card.record.path.read_text("utf-8").splitlines()]
    old = "".join(json.dumps(x | {"time": "2026-01-01T09:00:00"}) + "\n" for x in lines)
    card.record.path.write_text(old, "utf-8")

    record = Record(card.record.path)
    again = refresh_round(record, date.today())

    assert again.tasks[0].exercise.id == missed
    assert again.tasks[0].attempt == 2
    assert {task.exercise.id for task in again.tasks[1:]}.isdisjoint(ids)


def test_a_refresh_ends_with_the_one_idea_to_look_at():
    card = Refresh()
    missed = card.round.tasks[1].exercise

    frame = through(card, right=lambda place: place not in {1, 3})

    title, rule = wording.title(missed), wording.rule(missed)
    assert frame["result"]["lines"][-1] == say(
        "mixed", "refresh", "idea", title=title, rule=rule
    )
    assert linked(frame) == [missed.lesson[1:]]


def test_somebody_else_gets_questions_of_their_own():
    card = EntryCheck()
    answer(card, typed_for(card))

    record_here().sign_in(student="K7", class_key="oak")

    assert card.frame["title"].startswith(say("mixed", "number", number=1, count=8))


def test_two_right_at_once_fold_a_worked_example_away():
    here = LessonParts(course.lesson("08"))
    assert "<details>" not in here.worked("bridle").box.value

    for _ in range(2):  # 8.4 in the entry check, with two sets of numbers
        card = EntryCheck()
        card._go_to(2)
        press(card, "answer", typed={card._field: typed_for(card)})
        press(card, "again")

    folded = here.worked("bridle")
    assert f"<details><summary>{say('card', 'not_needed')}" in folded.box.value
    assert repr(folded) == repr(LessonParts(course.lesson("08")).worked("bridle"))
    assert "<details>" not in LessonParts(course.lesson("09")).worked("sag").box.value
