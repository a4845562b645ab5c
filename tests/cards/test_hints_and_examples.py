"""Hints one at a time, worked examples that fade, easier exercises."""

from on_card import answers, box, press, tools, typed_for

from widgets import ExerciseCard
from workbook.exercises import exercises_of, wording
from workbook.language import say
from workbook.reader.record import record_here


def test_hints_come_one_at_a_time_and_not_faster_than_they_are_read(clock):
    card = ExerciseCard("7.2")

    card.hint()
    card.hint()
    too_soon = card.frame["note"]
    clock.seconds += 4.9
    card.hint()
    one = card.frame["hints"]
    clock.seconds += 0.1
    card.hint()
    two = card.frame["hints"]

    assert too_soon == say("card", "read_first", count=5)
    hints = [f"Hint {k}. {wording.hint(card.task.variant, k)}" for k in (1, 2)]
    assert one == hints[:1]
    assert two == hints
    assert [x["number"] for x in record_here().mine("hint")] == [1, 2]


def test_after_the_last_hint_there_is_no_other(clock):
    card = ExerciseCard("7.2")
    offered = []
    for _ in range(4):
        offered.append(tools(card).get("hint"))
        card.hint()
        clock.seconds += 10

    assert offered == ["hint 1 of 3", "hint 2 of 3", "hint 3 of 3", None]
    assert len(card.frame["hints"]) == len(record_here().mine("hint")) == 3


def test_an_unknown_number_shows_the_first_hint_once_and_it_counts():
    card = ExerciseCard("7.2")

    card.answer("5 kN")

    hint = wording.hint(card.task.variant, 1)
    assert card.frame["hints"] == [f"Hint 1. {hint}"]
    assert hint not in card.frame["result"]["lines"]
    assert tools(card)["hint"] == "hint 2 of 3"
    card.answer("6 kN")
    assert [x["hints"] for x in answers()] == [0, 1]


def blanks(card):
    worked = card.frame["worked"]
    return worked and [bool(step["blank"]) for step in worked["steps"]]


def test_the_worked_example_fades_from_its_end():
    ids = [one.id for one in exercises_of("L07")[:3]]

    faded = [blanks(ExerciseCard(id)) for id in ids]

    assert faded == [
        [False, False, False, True],
        [False, False, True, True],
        None,
    ]


def test_the_worked_example_comes_back_whole_when_asked_for():
    card = ExerciseCard("7.3")

    press(card, "worked")

    assert not any(blanks(card))
    assert card.frame["worked"]["open"]
    assert record_here().mine("worked", exercise="7.3")


def test_two_right_at_once_without_a_hint_fold_the_worked_example_away(clock):
    assert ExerciseCard("7.2").frame["worked"]["open"]
    for id in ("7.1", "7.3"):
        card = ExerciseCard(id)
        card.answer(typed_for(card))

    assert not ExerciseCard("7.2").frame["worked"]["open"]
    card = ExerciseCard("7.4")
    card.hint()
    card.answer(typed_for(card))
    assert ExerciseCard("7.2").frame["worked"]["open"]


def test_an_answer_that_was_held_does_not_bring_the_worked_example_back():
    first, second = ExerciseCard("7.1"), ExerciseCard("7.3")
    first.answer(typed_for(first))
    second.answer("12")
    second.answer(typed_for(second))

    assert second.task.work.outcomes[0].held
    assert not ExerciseCard("7.2").frame["worked"]["open"]


def test_an_easier_exercise_stands_in_and_what_was_typed_stays():
    card = ExerciseCard("2.6")
    card.drafts = {box(card): "half typ"}

    press(card, "easier")
    card.answer(typed_for(card))
    easier = (card.task.exercise.id, card.frame["title"])
    press(card, "back")

    assert easier == ("2.1", "2.1 · The part along the line")
    assert card.task.exercise.id == "2.6"
    assert card.drafts[box(card)] == "half typ"
    assert answers()[0]["exercise"] == "2.1"


def test_an_easier_exercise_in_a_marked_set_is_practice(signed_in):
    card = ExerciseCard("2.6", set="exit")

    card.easier()

    assert card.frame["foot"][0].startswith("Practice")
    assert "new" in tools(card)


def test_a_student_does_not_see_what_another_typed():
    card = ExerciseCard("7.2")
    card.drafts = {box(card): "mine"}
    record_here().sign_in(student="K7", class_key="oak")
    other = card.drafts.get(box(card))

    record_here().practise()

    assert other == ""
    assert card.drafts[box(card)] == "mine"
