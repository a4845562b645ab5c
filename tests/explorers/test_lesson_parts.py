"""What a lesson puts on its page: gates and predictions, kept, compared, come back."""

import re
from dataclasses import replace

import pytest

from widgets import LessonParts, SafetyGate
from widgets.prediction import PredictionLock
from workbook.course import lesson, lessons
from workbook.course.predictions import explained
from workbook.language import say, text
from workbook.quantities.typed import read_quantity
from workbook.quantities.units import INCH, METRIC
from workbook.reader.record import Record, record_here

M10 = text("mistake", "M10_equal_legs")


def test_showing_the_parts_of_a_lesson_writes_nothing():
    for one in lessons().values():
        here = LessonParts(one)
        for explorer in one.explorers:
            here.explorer(explorer.name)
        here.exercises()
        for number in range(len(one.gates)):
            here.gate(number + 1)

    assert not record_here().path.exists()


# ----------------------------------------------------------------- safety gate

GATE = lesson("L07").gates[0]


@pytest.fixture
def gate():
    return SafetyGate(GATE)


def test_a_wrong_go_scores_nothing_whatever_comes_after(gate):
    gate.choose("by_hand")
    said = gate.frame["result"]

    gate.choose("lower")

    assert said["sign"] == "✗"
    assert "A held chain can let go without warning." in said["lines"]
    assert gate.passed
    assert gate.score == 0.0


def test_a_right_choice_passes(gate):
    gate.choose("lower")

    assert gate.frame["result"]["sign"] == "✓"
    assert (gate.passed, gate.score) == (True, 1.0)


def test_a_wrong_choice_that_does_not_go_on_can_be_made_good():
    gate = SafetyGate(replace(GATE, options={"by_hand": "wrong", "lower": "right"}))

    gate.choose("by_hand")
    passed = gate.passed
    gate.choose("lower")

    assert (passed, gate.passed, gate.score) == (False, True, 1.0)


def test_to_stop_with_a_reason_is_always_right(gate):
    gate.choose("stop", reason="  ")
    asked = gate.frame["note"]
    sent = {"act": "choose", "choice": "stop", "typed": {"reason": "I am alone."}}
    gate._handle_custom_msg(sent, [])

    assert asked == say("gate", "reason_missing")
    assert (gate.passed, gate.score) == (True, 1.0)
    assert "I am alone." in gate.frame["result"]["lines"]


@pytest.mark.parametrize("choice", [None, "nonsense"])
def test_without_a_choice_nothing_is_kept(gate, choice):
    gate.choose(choice)

    assert gate.frame["note"] == say("card", "choose")
    assert not record_here().path.exists()


def test_a_gate_is_kept_and_comes_back(gate):
    gate.choose("by_hand")

    again = SafetyGate(GATE)

    line = record_here().mine("gate")[0]
    assert (line["lesson"], line["outcome"]) == ("L07", "go")
    assert line["choice"] == "Push it back by hand."
    assert again.frame["result"] == gate.frame["result"]
    assert (again.passed, again.score) == (False, 0.0)


def test_a_gate_answered_in_the_first_versions_comes_back():
    # A line as version 0.1 wrote it: texts alone, and no names.
    record_here().append(
        "gate",
        lesson="L07",
        question="Under load the ram leans more than you planned. What now?",
        outcome="go",
        choice="Push it back by hand.",
        reason="",
    )

    gate = SafetyGate(GATE)

    assert gate.frame["result"]["sign"] == "✗"
    assert (gate.passed, gate.score) == (False, 0.0)


def test_students_see_the_options_in_different_orders_and_stop_last(gate):
    orders = set()
    for n in range(30):
        record_here().sign_in(student=f"student {n}", class_key="oak")
        names = [name for name, _ in gate.frame["form"]["choices"]]
        orders.add(tuple(names))
        assert names[-1] == "stop"

    assert len(orders) == 6


# ------------------------------------------------------------------ predictions

LEAN = lesson("L07").explorer("lean")


def lock(record=None):
    return PredictionLock(LEAN, record=record)


def held_explorer(id="L07"):
    return LessonParts(lesson(id)).explorer()


def choices(lock):
    return lock.frame["form"]["choices"]


def test_a_question_that_is_an_exercise_offers_its_numbers():
    texts = [text for _, text in choices(lock())]

    assert {*texts[:-1]} == {"20.0 kN", "37.2 kN", "40.0 kN", "43.5 kN"}
    assert texts[-1] == say("prediction", "own")


def test_choices_are_in_the_order_of_the_student():
    made, orders = lock(), set()
    for n in range(40):
        record_here().sign_in(student=f"student {n}", class_key="oak")
        orders.add(tuple(name for name, _ in choices(made)))

    assert len(orders) > 12


@pytest.mark.parametrize(
    ("typed", "outcome"),
    [("43.4 kN", "right"), ("20 kN", "M11_ram_half"), ("a lot", "none_of_these")],
)
def test_an_answer_of_ones_own_stands_for_what_it_is(typed, outcome):
    made = lock()

    made.lock(None, own=typed)

    assert (made.answer, made.outcome) == (typed, outcome)


def test_prediction_and_observation_are_kept_and_explained_in_this_order():
    made = lock()
    made.lock("M10_equal_legs")
    before = made.frame

    made.look("43 kN")

    locked, seen = record_here().mine("prediction", "observation")
    assert (locked["choice"], locked["outcome"]) == ("37.2 kN", "M10_equal_legs")
    assert (locked["lesson"], locked["explorer"]) == ("L07", "lean")
    assert locked["question"] == "The pull leg carries about"
    assert (seen["lesson"], seen["typed"]) == ("L07", "43 kN")
    assert before["because"] is None
    assert M10["did"] in made.frame["because"]["lines"]


def compared_line(explorer, typed):
    """Return what is said about a number that was read off the screen."""
    explorer.lock.lock("M12_gauge_is_chain")
    explorer.lock.look(typed)
    (line,) = explorer.lock.frame["result"]["lines"]
    return line


@pytest.mark.parametrize(
    ("typed", "said"),
    # The pull leg of the rig at its start carries 43.5 kN, by the rule of sines:
    # 40 sin 100° / sin 65° = 43.46. 9,700 lbf are 43.15 kN.
    [
        ("43.5 kN", "You typed the same."),
        ("43.4 kN", "You typed 43.4 kN: near enough."),
        ("9700 lbf", "You typed 43.1 kN: near enough."),
        ("37 kN", "You typed 6.5 kN less."),
        ("50 kN", "You typed 6.5 kN more."),
    ],
)
def test_what_was_seen_is_compared_with_what_the_explorer_shows(typed, said):
    line = compared_line(held_explorer(), typed)

    assert line.startswith(f"On the screen: pull leg, 43.5 kN. {said}")


def test_what_was_seen_is_compared_in_the_readers_units():
    explorer = held_explorer()
    explorer.use_units(INCH.name)

    line = compared_line(explorer, "9500 lbf")

    # 43,464 N / 4.4482 N per lbf = 9,771 lbf.
    assert line.startswith("On the screen: pull leg, 9771 lbf. You typed 271 lbf less.")


def test_what_another_set_up_shows_is_told_from_what_was_asked_for():
    explorer = held_explorer()
    explorer.lock.lock("right")
    explorer.set(lean_deg=12.5)
    moved = explorer.amounts(explorer.result)["pull leg"][0] / 1e3

    explorer.lock.look(f"{moved:.1f} kN")
    line, which = explorer.lock.frame["result"]["lines"]
    explorer.lock.look("43.5 kN")  # as it was at the start
    (asked,) = explorer.lock.frame["result"]["lines"]

    assert abs(moved - 43.5) > 1
    assert f"On the screen: pull leg, {moved:.1f} kN. You typed the same." in line
    assert which == say("reading", "now")
    assert asked == (
        "Set as the question says, the screen shows: pull leg, 43.5 kN. "
        "You typed the same."
    )


def test_a_first_number_that_is_wrong_does_not_bring_the_answer():
    explorer = held_explorer()
    explorer.lock.lock("M12_gauge_is_chain")

    because = []
    for typed in ("37 kN", "37 kN", "38 kN"):
        explorer.lock.look(typed)
        because.append(explorer.lock.frame["because"])

    assert because[:2] == [None, None]
    assert because[2]["summary"] == "You expected 3.5 kN less. Why?"


@pytest.mark.parametrize("typed", ["43 kN and 25 kN", "about 43", "43"])
def test_what_is_no_single_amount_is_kept_and_asked_back(typed):
    explorer = held_explorer()

    line = compared_line(explorer, typed)

    why = read_quantity(typed, kind="force").sentence
    assert explorer.lock.seen == typed
    assert line == say("prediction", "asked", why=why)


def test_the_number_beside_it_is_named_too():
    explorer = held_explorer()
    explorer.lock.lock("right")

    explorer.lock.look("25.3 kN")  # the anchor leg: 40 sin 35° / sin 65°

    first, second = explorer.lock.frame["result"]["lines"]
    assert "You typed 18.2 kN less." in first  # 43.46 - 25.3 = 18.16
    assert text("amount", "anchor leg") in second


@pytest.mark.parametrize(
    ("choice", "own", "line"),
    [
        ("right", "", "You expected that. Why?"),
        # 43.46 - 40 and 43.46 - 20; 50 - 43.46.
        ("M12_gauge_is_chain", "", "You expected 3.5 kN less. Why?"),
        ("M11_ram_half", "", "You expected 23.5 kN less. Why?"),
        (None, "50 kN", "You expected 6.5 kN more. Why?"),
        (None, "a lot", "You expected a lot. Why?"),
    ],
)
def test_one_line_tells_how_far_off_the_prediction_was_and_opens_why(choice, own, line):
    explorer = held_explorer()
    explorer.lock.lock(choice, own=own)
    explorer.lock.look("43 kN")

    why = explorer.lock.frame["because"]

    assert why["summary"] == line
    assert [*why["lines"]] == [
        *explained(explorer.lock.prediction, explorer.lock.outcome)
    ]


@pytest.mark.parametrize("one", lessons().values(), ids=lessons())
def test_the_right_choice_is_what_the_explorer_shows(one):
    for declared in one.explorers:
        explorer = LessonParts(one).explorer(declared.name)
        explorer.lock.lock("right")
        explorer.lock.look("1")

        told = explorer.lock._beside(explorer.lock.answer, first=True).told

        # The first ones ask for a direction and for a place, in words.
        in_words = one.id in {"L00", "L01", "L11", "L12", "L13", "L16"}
        assert told == (None if in_words else "there"), declared.name


def test_a_prediction_made_before_comes_back_locked_with_what_was_seen():
    made = lock()
    made.lock("M10_equal_legs")
    made.look("43 kN")

    again = lock(Record(record_here().path))
    explorer = held_explorer()

    assert (again.answer, again.outcome) == ("37.2 kN", "M10_equal_legs")
    assert again.seen == "43 kN"
    assert again.drafts["look"] == "43 kN"
    assert again.frame["state"] == "seen"
    assert not explorer.held
    assert len(record_here().mine("prediction", "observation")) == 2


def test_a_lesson_opened_again_compares_what_was_seen_before():
    line = compared_line(held_explorer(), "37 kN")

    assert held_explorer().lock.frame["result"]["lines"] == [line]


@pytest.mark.parametrize(
    ("lesson_then", "question", "explorer"),
    [
        (
            "L08",
            "The anchor moves one slot, 50 mm to the left. The head moves left",
            "slot",
        ),
        (
            "L08 bridle",
            "A 24 kN pull, 120° between the legs. Each leg carries about",
            "bridle",
        ),
    ],
)
def test_a_prediction_of_the_first_versions_comes_back(lesson_then, question, explorer):
    # Lines as version 0.1 wrote them: no explorer, the question tells.
    about = {"lesson": lesson_then, "question": question}
    record_here().append("prediction", **about, choice="9 mm", outcome="none_of_these")
    record_here().append("observation", **about, typed="218 mm")

    locks = {one.name: PredictionLock(one) for one in lesson("L08").explorers}

    assert locks.pop(explorer).seen == "218 mm"
    assert [other.answer for other in locks.values()] == [None]


def test_another_student_predicts_anew():
    made = lock()
    made.lock("M10_equal_legs")
    record_here().sign_in(student="K7", class_key="oak")

    explorer = held_explorer()

    assert explorer.lock.answer is None
    assert explorer.held


def test_signing_in_brings_a_students_own_prediction_back():
    record_here().sign_in(student="K7", class_key="oak")
    made = lock()
    made.lock("M12_gauge_is_chain")
    record_here().practise()
    explorer = held_explorer()
    held = explorer.held

    record_here().sign_in(student="k7", class_key="oak")

    assert held
    assert explorer.lock.answer == "40.0 kN"
    assert not explorer.held


@pytest.mark.parametrize("one", lessons().values(), ids=lessons())
def test_every_predict_question_can_be_locked_by_each_choice(one):
    for explorer in one.explorers:
        made = PredictionLock(explorer)
        assert len(choices(made)) > 3
        for name, offered in choices(made)[:-1]:
            made.lock(name)

            assert (made.outcome, made.answer) == (name, offered)


def test_lesson_10_tells_the_gauge_and_the_part_that_governs_first():
    explorer = LessonParts(lesson("L10")).explorer()
    explorer.lock.know()
    explorer.freeze()
    explorer.set(ram_force_kn=30)

    # 108 bar on a bore of 42 mm are 15 kN; the pull leg has 1.088 of it, of 30.9 kN.
    big = explorer.stage.frame["three"]
    assert re.findall("<b>(.*?)</b>", big) == ["217 bar", "pull leg", "106%"]
    head, *rows = re.findall("<tr>(.*?)</tr>", explorer.compare.table.value)
    assert re.findall("<th>(.*?)</th>", head)[0] == "gauge pressure"
    assert [re.findall("<td>(.*?)</td>", row) for row in rows] == [
        ["108 bar", "pull leg", "53%"],
        ["217 bar", "pull leg", "106%"],
        ["+108 bar", "", ""],
    ]
    assert ("gauge pressure", "217 bar") in explorer.subject.numbers(
        explorer.result, METRIC
    )
