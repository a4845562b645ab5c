"""From try to try: refutation before answer, thinking before the next try."""

import pytest
from on_card import answers, press, tools, typed_for

from widgets import ExerciseCard, SignIn
from workbook.exercises import wording
from workbook.language import say, text
from workbook.reader.opening import shipped_lessons
from workbook.reader.record import record_here

M10 = text("mistake", "M10_equal_legs")


def test_a_known_mistake_is_refuted_and_the_answer_not_given():
    card = ExerciseCard("7.2")

    card.answer(typed_for(card, "M10_equal_legs"))

    lines = card.frame["result"]["lines"]
    assert lines[1:5] == [M10["did"], M10["why"], M10["breaks"], M10["try"]]
    assert card.frame["result"]["sign"] == "✗"
    assert wording.answer_text(card.task.variant) not in " ".join(lines)


def test_m10_then_a_factor_of_a_thousand_then_right_in_a_marked_set(signed_in):
    card = ExerciseCard("7.2", set="exit")

    card.answer(typed_for(card, "M10_equal_legs"))
    card.think("M10_equal_legs")
    card.answer(typed_for(card).replace("kN", "N"))
    card.think("slip_factor1000")
    card.answer(typed_for(card))

    kept = answers()
    assert [(x["outcome"], x["score"]) for x in kept] == [
        ("M10_equal_legs", 0.0), ("slip_factor1000", 0.6), ("right", 0.7)
    ]  # fmt: skip
    assert [x["try"] for x in kept] == [1, 2, 3]
    assert card.frame["result"]["sign"] == "✓"
    assert "Marks: 70%" in card.frame["foot"][0]
    assert card.frame["form"] is None
    card.answer(typed_for(card))
    assert len(answers()) == 3


def test_every_answer_is_kept_with_all_that_marking_needs(signed_in):
    card = ExerciseCard("7.2")

    card.answer(" 9,3 kN ", seconds=12.5)

    kept = answers()[0]
    assert (kept["student"], kept["class_key"]) == ("K7", "oak")
    assert (kept["lesson"], kept["exercise"], kept["version"]) == ("L07", "7.2", 1)
    assert (kept["attempt"], kept["try"], kept["hints"]) == (1, 1, 0)
    assert (kept["typed"], kept["unit"]) == (" 9,3 kN ", "kN")
    assert kept["value"] == pytest.approx(9300)
    assert (kept["seconds"], kept["held"], kept["set"]) == (12.5, False, "practice")
    assert len(bytes.fromhex(kept["seed"])) == 32


@pytest.mark.parametrize("typed", ["13.6", "13.6 mm", "13.6 foo", "2 tons"])
def test_a_unit_in_doubt_is_asked_back_and_no_try_is_lost(signed_in, typed):
    card = ExerciseCard("7.2", set="exit")

    card.answer(typed)

    assert card.frame["result"]["sign"] == "?"
    assert say("outcome", "held") in card.frame["result"]["lines"]
    assert "Tries: 0 of 3" in card.frame["foot"][0]
    assert card.frame["ask"] is None


def test_three_wrong_tries_close_a_marked_set_and_show_the_answer(signed_in):
    card = ExerciseCard("7.2", set="exit")

    for _ in range(3):
        card.answer("5 kN")

    assert card.frame["form"] is None
    assert wording.answer_text(card.task.variant) in " ".join(
        card.frame["result"]["lines"]
    )
    assert say("outcome", "tries_left", count=0) in card.frame["result"]["lines"]


def test_practice_has_no_limit():
    card = ExerciseCard("7.2")

    for _ in range(5):
        card.answer("5 kN")

    assert len(answers()) == 5
    assert card.frame["form"] is not None


def test_a_marked_set_waits_for_somebody_to_sign_in():
    card = ExerciseCard("7.2", set="exit")
    before = card.frame

    SignIn().sign_in(student="K7", class_key="oak")

    assert before["form"] is None
    assert before["wait"]["text"] == say("card", "marked")
    assert before["wait"]["link"]["file"] in shipped_lessons()
    assert card.frame["form"] is not None
    assert card.frame["wait"] is None
    assert "unmarked" not in tools(card)


def test_who_has_not_signed_in_may_answer_a_marked_question_without_marks():
    ExerciseCard("7.2").answer("1 kN")
    practised = ExerciseCard("7.2")
    practised.answer(typed_for(practised))
    card = ExerciseCard("7.2", set="exit")
    marked = card.task.variant.numbers

    press(card, "unmarked")

    # New numbers: those of this question are for who signs in, the others were solved.
    assert card.frame["form"] is not None
    assert (card.task.set, card.task.attempt) == ("practice", 2)
    numbers = card.task.variant.numbers
    assert marked != numbers != practised.task.variant.numbers
    card.answer(typed_for(card))
    SignIn().sign_in(student="K7", class_key="oak")
    assert card.task.set == "exit"
    assert card.task.work.history.tries == 0


def test_nothing_typed_is_no_answer():
    card = ExerciseCard("7.2")

    card.answer("   ")

    assert card.frame["note"] == say("typed", "blank")
    assert not record_here().path.exists()


def test_the_thinking_has_to_be_told_before_the_next_try():
    card = ExerciseCard("7.2")
    card.answer(typed_for(card, "M10_equal_legs"))
    asked = dict(card.frame["ask"]["choices"])

    card.answer(typed_for(card))
    held = card.frame["note"]
    card.think("M10_equal_legs")
    card.answer(typed_for(card))

    assert asked == {
        "M10_equal_legs": M10["thought"],
        "none_of_these": text("mistake", "none_of_these", "thought"),
    }
    assert held == say("card", "thinking_first")
    assert [x["outcome"] for x in answers()] == ["M10_equal_legs", "right"]
    assert card.frame["ask"] is None


def test_the_thinking_has_to_be_told_for_each_mistake():
    card = ExerciseCard("7.2")
    card.answer(typed_for(card, "M10_equal_legs"))
    card.think("M10_equal_legs")
    told = card.frame["ask"]

    card.answer(typed_for(card, "M11_ram_half"))

    assert told is None
    assert "M11_ram_half" in dict(card.frame["ask"]["choices"])


@pytest.mark.parametrize("choice", [None, "nonsense", ["M10_equal_legs"]])
def test_no_thinking_is_taken_that_was_not_offered(choice):
    card = ExerciseCard("7.2")
    card.answer(typed_for(card, "M10_equal_legs"))

    card.think(choice)

    assert card.frame["note"] == say("card", "choose")
    assert card.frame["ask"] is not None


def two_that_fit():
    """Return a card, and what to type, where two mistakes lead to one number."""
    card = ExerciseCard("2.1")
    for _ in range(200):
        values = [(m.name, v) for m, v in card.task.variant.armed]
        for name, value in values:
            near = {n for n, v in values if abs(v - value) < 0.009 * abs(value)}
            if len(near) > 1 and not name.startswith("slip"):
                return card, name, f"{value / 1e3:.6g} kN"
        card.new_numbers()
    raise AssertionError


def test_where_two_mistakes_fit_the_one_that_is_told_is_refuted():
    card, name, typed = two_that_fit()
    card.answer("5 kN")
    card.answer("5 kN")

    card.answer(typed)
    before = card.frame["result"]["lines"]
    card.think(name)
    after = card.frame["result"]["lines"]

    did = wording.refutation(card.task.exercise, name)[0]
    assert say("outcome", "two_fit") in before
    assert did not in before
    assert say("outcome", "two_fit") not in after
    assert did in after
    answer = wording.answer_text(card.task.variant)  # after the third try
    assert after[-2:] == before[-2:]
    assert after[-2] == say("outcome", "answer", answer=answer)


def test_a_right_card_stays_right_whatever_comes_after():
    card = ExerciseCard("7.2")
    card.answer(typed_for(card))

    card.answer(typed_for(card, "M10_equal_legs"))
    card.think("M10_equal_legs")

    result = card.frame["result"]
    assert result["sign"] == "✓"
    assert result["lines"][1] == say("outcome", "stays_right")
    assert M10["did"] in result["lines"]


@pytest.mark.parametrize("unit", ["", "mm", "foo"])
def test_a_right_number_with_a_wrong_unit_shows_no_tick(unit):
    card = ExerciseCard("7.2")
    number = typed_for(card).split()[0]

    card.answer(f"{number} {unit}")
    card.answer(f"{number} {unit}")

    assert answers()[-1]["outcome"] == "right"
    assert answers()[-1]["score"] == 0.8
    assert card.frame["result"]["sign"] == "≈"
    assert say("outcome", "right") not in card.frame["result"]["lines"]
    assert say("outcome", "right_number") in card.frame["result"]["lines"]


@pytest.mark.parametrize("set", ["practice", "exit"])
def test_after_the_last_try_the_answer_comes_without_a_hint(signed_in, set):
    card = ExerciseCard("7.2", set=set)
    for mistake in ("M10_equal_legs", "M11_ram_half"):
        card.answer(typed_for(card, mistake))
        card.think(mistake)

    card.answer("5 kN")

    lines = card.frame["result"]["lines"]
    assert say("outcome", "none_of_these") in lines
    assert say("outcome", "first_hint") not in lines
    assert wording.answer_text(card.task.variant) in " ".join(lines)
    assert "hints" not in card.frame or not card.frame["hints"]
    assert "hint" not in tools(card)
