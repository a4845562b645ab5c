"""Cards that ask: refutation before answer, thinking before the next try, no loss."""

import itertools
import json
from html import unescape
from types import SimpleNamespace

import pytest

import widgets.question
from widgets import ExerciseCard, SignIn, TodaysFive
from workbook.exercises import EXERCISES, exercise, exercises_of, wording
from workbook.exercises.replay import variant_of
from workbook.language import caution, say, text
from workbook.quantities.table import KINDS
from workbook.quantities.units import factor
from workbook.reader.record import FILE, Record, record_here

M10 = text("mistake", "M10_equal_legs")


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    """Time that goes on only when told."""
    now = SimpleNamespace(monotonic=lambda: now.seconds, seconds=100.0)
    monkeypatch.setattr(widgets.question, "time", now)
    return now


@pytest.fixture
def signed_in():
    record_here().sign_in(student="K7", class_key="oak")


def typed_for(card, name=None):
    """Return the right answer, or a mistake's number, as one would type it."""
    variant, unit = card.task.variant, card.task.exercise.answer.unit
    values = {mistake.name: value for mistake, value in variant.armed}
    value = variant.answer if name is None else values[name]
    return f"{value / factor(unit):.6g} {unit}"


def shown(card):
    """Return all text that stands on a card."""
    return json.dumps(card.frame, ensure_ascii=False)


def box(card):
    """Return the name of the answer box."""
    return card.frame["form"]["fields"][0]["name"]


def tools(card):
    return {tool["act"]: tool["text"] for tool in card.frame["tools"]}


def answers():
    return [x for x in Record(record_here().path).lines() if x["kind"] == "answer"]


def press(card, act, **content):
    """Send what the browser sends."""
    card._handle_custom_msg({"act": act, "seconds": None, **content}, [])


# --------------------------------------------------------------- from try to try


def test_a_known_mistake_is_refuted_and_the_answer_not_given():
    card = ExerciseCard("7.2")

    card.answer(typed_for(card, "M10_equal_legs"))

    lines = card.frame["result"]["lines"]
    assert lines[1:5] == [M10["did"], M10["why"], M10["breaks"], M10["try"]]
    assert card.frame["result"]["sign"] == "✗"
    assert wording.answer_text(card.task.variant) not in " ".join(lines)


def test_m10_then_a_factor_of_a_thousand_then_right_in_a_marked_set(signed_in):
    card = ExerciseCard("7.2", marked=True)

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
    assert (kept["seconds"], kept["held"], kept["marked"]) == (12.5, False, False)
    assert len(bytes.fromhex(kept["seed"])) == 32


@pytest.mark.parametrize("typed", ["13.6", "13.6 mm", "13.6 foo", "2 tons"])
def test_a_unit_in_doubt_is_asked_back_and_no_try_is_lost(signed_in, typed):
    card = ExerciseCard("7.2", marked=True)

    card.answer(typed)

    assert card.frame["result"]["sign"] == "?"
    assert say("outcome", "held") in card.frame["result"]["lines"]
    assert "Tries: 0 of 3" in card.frame["foot"][0]
    assert card.frame["ask"] is None


def test_three_wrong_tries_close_a_marked_set_and_show_the_answer(signed_in):
    card = ExerciseCard("7.2", marked=True)

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
    card = ExerciseCard("7.2", marked=True)
    asked = card.frame["form"]

    SignIn().sign_in(student="K7", class_key="oak")

    assert asked is None
    assert card.frame["form"] is not None


def test_nothing_typed_is_no_answer():
    card = ExerciseCard("7.2")

    card.answer("   ")

    assert card.frame["note"] == say("typed", "blank")
    assert not record_here().path.exists()


# ----------------------------------------------------------------- the thinking


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


# --------------------------------------------------------------------- hints


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


# ------------------------------------------------------------ opened once more


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

    card = ExerciseCard("7.2", marked=True)
    card.new_numbers()

    numbers = variant_of(exercise("7.2"), class_key="oak", student="K7").numbers
    assert card.task.variant.numbers == numbers != practised.task.variant.numbers
    assert "new" not in tools(card)


def test_tries_made_in_practice_on_the_same_numbers_count_in_a_marked_set(signed_in):
    ExerciseCard("7.2").answer("5 kN")

    card = ExerciseCard("7.2", marked=True)
    card.answer(typed_for(card))

    assert answers()[-1]["score"] == 0.9


def test_who_signs_in_gets_own_numbers_and_an_answer_to_the_old_ones_is_not_taken():
    card = ExerciseCard("7.2")
    card.new_numbers()
    Record(record_here().path).sign_in(student="K7", class_key="oak")

    card.answer("5 kN")

    own = variant_of(exercise("7.2"), class_key="oak", student="K7", attempt=1)
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


# ------------------------------------------------------- a part that goes on


def test_a_later_part_goes_on_with_the_readers_own_answer():
    first, later = ExerciseCard("8.1"), ExerciseCard("8.2")
    given = later.frame["intro"][0]

    first.answer(f"{1.5 * first.task.variant.answer * 1e3:.6g} mm")
    asked = later.frame["intro"][0]
    own = later.task.variant.carrying(1.5 * first.task.variant.answer)
    later.answer(f"{own.answer / factor('deg'):.6g} deg")

    assert asked == wording.question(later.task.variant, carried=True) != given
    assert answers()[-1]["outcome"] == "right"
    assert answers()[-1]["carried"] == pytest.approx(1.5 * first.task.variant.answer)
    assert ExerciseCard("8.2").task.work.solved


def test_a_later_part_follows_new_numbers_of_the_earlier_one():
    first = ExerciseCard("8.1")
    first.new_numbers()

    later = ExerciseCard("8.2")

    assert later.task.variant.numbers["offset"] == first.task.variant.numbers["offset"]
    assert later.task.attempt == 2


# ------------------------------------------------- worked examples, easier ones


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
    card = ExerciseCard("2.6", marked=True)

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


# ------------------------------------------------------------- what stands there


@pytest.mark.parametrize("id", sorted({id for id, _ in EXERCISES}))
def test_each_exercise_shows_its_cautions_and_a_unit_that_can_be_typed(id):
    card = ExerciseCard(id)

    label = card.frame["form"]["fields"][0]["label"]
    example = label.rpartition("such as ")[2]
    one, answer = card.task.exercise, card.task.exercise.answer
    assert card.frame["foot"][1:] == [caution(c) for c in one.cautions]
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
    assert kinds == ["identity", "answer", "thinking", "numbers"]
    assert told == say("card", "thinking_first")
    assert card.frame["note"] == ""
    assert answers()[0]["seconds"] == 3.2


def test_a_stored_card_is_the_same_text_for_every_reader():
    before = ExerciseCard("7.2")._repr_mimebundle_()[0]["text/plain"]
    record_here().sign_in(student="K7", class_key="oak")

    after = ExerciseCard("7.2")._repr_mimebundle_()[0]["text/plain"]

    assert before == after == "Here comes exercise 7.2: choose Run, Run All Cells."


# ------------------------------------------------------------------ today's five


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
    assert {card.task.attempt for card in five.cards} == {2}
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
