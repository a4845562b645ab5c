"""What stands on a card, and what the browser sends back."""

import pytest
from on_card import answers, box, press, shown, typed_for

from widgets import ExerciseCard
from workbook.exercises import EXERCISES
from workbook.exercises.answers.quantity import Quantity
from workbook.language import caution, say, text
from workbook.quantities.table import KINDS
from workbook.reader.record import record_here

M10 = text("mistake", "M10_equal_legs")


@pytest.mark.parametrize("id", sorted({id for id, _ in EXERCISES}))
def test_each_exercise_shows_its_cautions_and_a_unit_that_can_be_typed(id):
    card = ExerciseCard(id)
    press(card, "give_up")  # a later part waits for the one before

    one, answer = card.task.exercise, card.task.exercise.answer
    assert card.frame["caution"]["lines"] == [caution(c) for c in one.cautions]
    if not isinstance(answer, Quantity):
        return
    label = card.frame["form"]["fields"][0]["label"]
    example = label.rpartition("such as ")[2]
    assert answer.unit == "1" or example.split(" ", 1)[1] in KINDS[answer.kind].typed


def test_what_is_typed_reaches_the_page_as_text():
    card = ExerciseCard("7.2")

    card.answer("<img src=x onerror=alert(1)>")

    source = str(card._esm)  # the page gets text to show, never HTML
    assert source.count("textContent") > 1
    assert "<img src=x onerror=alert(1)>" in shown(card)
    assert "innerHTML" not in source
    assert "insertAdjacentHTML" not in source


def test_a_mistake_in_the_workbook_is_shown_and_raised(monkeypatch):
    def broken(*_args, **_kwargs):
        msg = "no ink"
        raise ZeroDivisionError(msg)

    card = ExerciseCard("7.2")
    monkeypatch.setattr(card, "hint", broken)

    with pytest.raises(ZeroDivisionError):
        card._heard({"act": "hint"})

    assert "no ink" in card.frame["note"]


@pytest.mark.parametrize("content", [{}, {"act": "fly"}, {"act": None}])
def test_a_message_that_means_nothing_does_nothing(content):
    card = ExerciseCard("7.2")

    card._handle_custom_msg(content, [])

    assert card.frame["count"] == 1


def test_the_browser_answers_through_the_same_door():
    card = ExerciseCard("7.2")
    typed = {box(card): typed_for(card, "M10_equal_legs")}

    press(card, "answer", typed=typed, seconds=3.21)
    press(card, "answer", typed=typed)
    told = card.frame["note"]
    press(card, "think", choice="M10_equal_legs")
    press(card, "new")

    kinds = [x["kind"] for x in record_here().lines()]
    assert kinds == ["start", "identity", "answer", "thinking", "numbers"]
    assert told == say("card", "thinking_first")
    assert card.frame["note"] == ""
    assert answers()[0]["seconds"] == 3.2


def test_a_stored_card_is_the_same_text_for_every_reader():
    before = ExerciseCard("7.2")._repr_mimebundle_()[0]["text/plain"]
    record_here().sign_in(student="K7", class_key="oak")

    after = ExerciseCard("7.2")._repr_mimebundle_()[0]["text/plain"]

    assert before == after == "Here comes exercise 7.2: choose Run, Run All Cells."


def test_what_is_being_typed_is_not_echoed_over_what_follows(monkeypatch):
    card, sent = ExerciseCard("7.1"), []
    monkeypatch.setattr(card, "_send", lambda message, **_: sent.append(message))

    name = box(card)

    card.set_state({"drafts": {name: "12"}, "frame": {}})

    assert card.drafts == {name: "12"}
    echoed = [m["state"] for m in sent if m["method"] == "echo_update"]
    assert echoed == [{"frame": {}}]
