"""A card opened once more, by another reader, or after another part: no loss."""

import pytest
from on_card import answers, box, press, tools, typed_for

from widgets import ExerciseCard, SignIn, TodaysFive
from workbook.exercises import EXERCISES, exercise, wording
from workbook.exercises.replay import variant_of
from workbook.exercises.sets import SETS
from workbook.language import say, text
from workbook.quantities.units import factor
from workbook.reader.record import Record, record_here
from workbook.reader.record_file import add_line

M10 = text("mistake", "M10_equal_legs")


def test_a_lesson_opened_again_shows_what_was_there(signed_in, clock):
    card = ExerciseCard("7.2")
    card.hint()
    card.answer("13.6")
    card.answer(typed_for(card, "M10_equal_legs"))

    again = ExerciseCard("7.2", record=Record(record_here().path))

    same = {k: v for k, v in card.frame.items() if k not in {"count", "focus"}}
    assert {k: again.frame[k] for k in same} == same
    assert again.frame["ask"] is not None
    assert again.drafts[box(again)] == typed_for(card, "M10_equal_legs")


def test_showing_a_card_writes_nothing():
    for one in {id for id, _ in EXERCISES}:
        ExerciseCard(one)
    SignIn()
    TodaysFive()

    assert not record_here().path.exists()


def test_new_numbers_are_other_numbers_and_are_kept():
    card = ExerciseCard("7.2")
    first = card.task.variant.numbers
    card.answer("5 kN")

    card.new_numbers()

    assert card.task.variant.numbers != first
    assert card.frame["result"] is None
    assert card.drafts[box(card)] == ""
    assert ExerciseCard("7.2").task.variant.numbers == card.task.variant.numbers
    assert ExerciseCard("7.2", attempt=1).task.variant.numbers == first


def test_a_marked_set_stays_with_the_numbers_of_the_handout(signed_in):
    practised = ExerciseCard("7.2")
    practised.new_numbers()

    card = ExerciseCard("7.2", set="exit")
    card.new_numbers()

    numbers = variant_of(
        exercise("7.2"), class_key="oak", student="K7", set="exit"
    ).numbers
    assert card.task.variant.numbers == numbers != practised.task.variant.numbers
    assert "new" not in tools(card)


@pytest.mark.parametrize("set", ["exit", "test"])
def test_practice_and_review_use_nothing_up_of_a_marked_set(signed_in, set):
    for other in SETS:
        if other != set:
            loose = ExerciseCard("7.2", set=other)
            for _ in range(3):
                loose.answer("5 kN")

    card = ExerciseCard("7.2", set=set)
    card.answer(typed_for(card))

    assert answers()[-1]["score"] == 1.0
    assert answers()[-1]["set"] == set


def test_each_set_has_numbers_of_its_own(signed_in):
    numbers = [str(ExerciseCard("7.2", set=set).task.variant.numbers) for set in SETS]

    assert len({*numbers}) == len(SETS) == 5


def test_a_record_from_before_there_were_sets_uses_nothing_up(signed_in):
    ExerciseCard("7.2").answer("5 kN")
    old = {**answers()[-1], "marked": True}
    del old["set"]
    for _ in range(3):
        add_line(record_here().path, old)

    card = ExerciseCard("7.2", set="exit")

    assert card.task.work.outcomes == ()
    assert len(answers()) == 4


def test_who_signs_in_gets_own_numbers_and_an_answer_to_the_old_ones_is_not_taken():
    card = ExerciseCard("7.2")
    card.new_numbers()
    Record(record_here().path).sign_in(student="K7", class_key="oak")

    card.answer("5 kN")

    own = variant_of(exercise("7.2"), class_key="oak", student="K7", set="practice")
    assert card.task.variant.numbers == own.numbers
    assert card.frame["intro"] == [wording.question(own)]
    assert "Student K7, class oak" in card.frame["note"]
    assert answers() == []


def test_practice_needs_no_sign_in_and_can_be_gone_back_to(signed_in):
    card, sign_in = ExerciseCard("7.2"), SignIn()
    own = card.task.variant.numbers

    press(sign_in, "practise")

    assert card.task.variant.numbers != own
    assert say("card", "nobody") in sign_in.frame["result"]["lines"][0]
    card.answer("5 kN")
    assert answers()[0]["student"] == "practice"


def test_a_wrong_code_is_told_and_nobody_signs_in():
    sign_in = SignIn()

    press(sign_in, "sign_in", typed={"student": "", "class_key": "oak", "pair": ""})

    assert "student code is missing" in sign_in.frame["note"]
    assert not record_here().path.exists()


def test_a_pair_of_students_is_kept_in_every_line():
    typed = {"student": "K7", "class_key": "oak", "pair": "K9"}
    press(SignIn(), "sign_in", typed=typed)

    ExerciseCard("7.2").answer("5 kN")

    assert answers()[0]["pair"] == "K9"


def test_a_folder_that_cannot_be_written_is_told_and_work_goes_on(monkeypatch):
    def full(*_args):
        raise OSError(28, "No space left on device")

    card = ExerciseCard("7.2")
    monkeypatch.setattr("workbook.reader.record.add_line", full)

    card.answer("5 kN")

    assert "no space left on device" in card.frame["note"]
    assert card.frame["result"] is not None


@pytest.mark.parametrize("act", ["answer", "hint", "new_numbers"])
def test_a_record_renamed_under_an_open_lesson_is_said_at_the_next_action(act):
    card, other = ExerciseCard("7.2"), ExerciseCard("7.1")
    card.answer("5 kN")
    record_here().path.rename("mine.jsonl")

    if act == "answer":
        other.answer("6 mm")
    else:
        getattr(other, act)()

    assert "renamed, deleted or changed" in other.frame["note"]
    assert str(record_here().path) in other.frame["note"]
    assert ExerciseCard("7.2").task.work.typed == "5 kN"
    assert Record(record_here().path).mine("answer")[0]["typed"] == "5 kN"


def test_what_is_too_long_to_be_kept_is_said_on_the_card(monkeypatch):
    card = ExerciseCard("7.2")
    monkeypatch.setattr("workbook.reader.record_lines.LONGEST_LINE", 500)

    card._heard({"act": "answer", "typed": {card._field: "\x01" * 200}})

    assert "Shorten it" in card.frame["note"]
    assert answers() == []


def own_angle(card, share):
    return f"{share * card.task.variant.answer / factor('deg'):.6g} deg"


def test_a_later_part_goes_on_with_the_readers_own_answer():
    first, later = ExerciseCard("7.6a"), ExerciseCard("7.6b")

    first.answer(own_angle(first, 1.2))
    own = later.task.variant.carrying(1.2 * first.task.variant.answer)
    later.answer(f"{own.answer / 1e3:.6g} kN")

    asked = later.frame["intro"][0]
    assert asked == wording.question(later.task.variant, carried=True)
    assert answers()[-1]["outcome"] == "right"
    angle = 1.2 * first.task.variant.answer
    assert answers()[-1]["carried"] == pytest.approx(angle, rel=1e-5)
    assert ExerciseCard("7.6b").task.work.solved


def test_a_later_part_goes_on_with_the_last_of_several_answers():
    first, later = ExerciseCard("7.6a"), ExerciseCard("7.6b")

    for share in (1.5, 1.2):
        first.answer(own_angle(first, share))
        first.think("none_of_these")
    first.answer("12 kN")  # held: no angle

    own = 1.2 * first.task.variant.answer
    assert later.task.carried == pytest.approx(own, rel=1e-5)


def test_a_later_part_follows_new_numbers_of_the_earlier_one():
    first, open_already = ExerciseCard("7.6a"), ExerciseCard("7.6b")
    first.answer(own_angle(first, 1.0))
    first.new_numbers()

    for later in (open_already, ExerciseCard("7.6b")):
        numbers = later.task.variant.numbers
        assert numbers["extension"] == first.task.variant.numbers["extension"]
        assert later.task.attempt == 2
        assert later.task.waits
        assert "new" not in tools(later)


def test_a_later_part_waits_for_the_earlier_one_and_takes_no_answer():
    later = ExerciseCard("7.6b")

    later.answer("20 kN")
    press(later, "hint")
    press(later, "new")

    first = say("card", "first_do", id="7.6a", title=wording.title(exercise("7.6a")))
    assert later.frame["intro"] == [first]
    assert later.frame.keys() == {
        "title", "intro", "tools", "foot", "note", "focus", "count"
    }  # fmt: skip
    assert record_here().lines() == []


@pytest.mark.parametrize("set", ["practice", "exit"])
def test_an_earlier_part_that_is_given_up_shows_its_answer_and_is_closed(
    signed_in, set
):
    first, later = (ExerciseCard(id, set=set) for id in ("7.6a", "7.6b"))

    press(later, "give_up")

    told = wording.given_up(first.task.variant)
    assert first.frame["result"] == {"sign": "", "lines": [*told]}
    assert first.frame["form"] is None
    assert later.frame["intro"] == [wording.question(later.task.variant)]
    first.answer(typed_for(first))
    assert answers() == []
    later.answer(typed_for(later))
    assert answers()[-1]["outcome"] == "right"
    assert "carried" not in answers()[-1]
    assert first.task.work.best == 0
    assert ExerciseCard("7.6a", set=set).frame["form"] is None


def test_what_was_answered_cannot_be_given_up_for_a_later_part():
    first, later = ExerciseCard("7.6a"), ExerciseCard("7.6b")
    first.answer(own_angle(first, 1.2))

    press(later, "give_up")

    assert record_here().mine("given_up") == []
    assert later.task.carried is not None
