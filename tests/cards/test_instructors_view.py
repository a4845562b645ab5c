"""The instructor's view: the script by keys, the votes of the class, one picture."""

import html
from pathlib import Path

import pytest
from on_card import press, shown, tools

from widgets import ExerciseCard, Explorer, InstructorsView
from workbook.cli import main
from workbook.course import lessons
from workbook.course.polls import WHOSE, choices_of, voted_on
from workbook.course.predictions import RIGHT, options
from workbook.course.script import script_of
from workbook.language import say
from workbook.quantities.units import METRIC
from workbook.reader.class_votes import CLASS_FILE, ClassVotes, choose, scripted, voted
from workbook.reader.record import Record
from workbook.reader.record_lines import PRACTICE


@pytest.fixture
def view():
    return InstructorsView("L07")


def turned_to(view, name):
    press(view.card, "begin")
    while not view.card.line.name.startswith(name):
        press(view.card, "on")
    return view


def stage(view):
    return view._made[view.on_stage]


def count(card, number, **hands):
    """Type hands for a round, and keep them."""
    typed = {card._field(letter, number): text for letter, text in hands.items()}
    press(card, "count", typed=typed)


@pytest.mark.parametrize("id", scripted())
def test_every_script_is_walked_to_its_end_by_one_key_and_back(id):
    view = InstructorsView(id)
    seen = []
    view.act("on")
    for _ in script_of(lessons()[id]):
        seen.append(view.card.line)
        assert view.card.line.said in view.card.frame["intro"]
        if view.on_stage:
            assert view.box.children[2] is getattr(stage(view), "box", stage(view))
        assert view.wall.frame["staged"] is bool(view.on_stage)
        view.act("on")

    assert tuple(seen) == script_of(lessons()[id])
    assert isinstance(stage(view), ExerciseCard)
    assert "on" not in tools(view.card)
    for _ in seen:
        view.act("back")
    assert view.card.line == seen[0]


def test_the_picture_comes_when_the_choices_are_revealed(view):
    turned_to(view, "predict")
    assert view.box.children == (view.wall, view.card)
    view.act("1")
    count(view.card, 1, B="4")
    assert view.on_stage == ""

    view.act("r")

    assert isinstance(stage(view), Explorer)
    assert view.box.children[2] is stage(view).box


def test_a_class_votes_sees_what_choices_tell_and_votes_again(view):
    card = turned_to(view, "predict").card
    assert "reveal" not in tools(card)

    count(card, 1, A="9", B=" 12 ", C="", D="0", E="")
    assert "reveal" in tools(card)
    told = [choice.tells for choice in card.poll.choices]
    assert not any(tells in shown(card) for tells in told)
    press(card, "reveal")
    press(card, "vote")
    count(card, 2, A="2", B="19")

    counted = ("9 → 2", "12 → 19", *["0 → 0"] * 3)
    assert [text for _, text in card.frame["givens"]] == [
        f"{hands} hands · {tells}" for hands, tells in zip(counted, told, strict=True)
    ]
    assert card.frame["form"] is None
    assert ClassVotes(card.votes.record.path, "L07").rounds == [
        {"A": 9, "B": 12, "C": 0, "D": 0, "E": 0},
        {"A": 2, "B": 19, "C": 0, "D": 0, "E": 0},
    ]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"A": "many"}, "Hands for A: many is no count"),
        ({"B": "-3"}, "Hands for B: -3 is no count"),
        ({"B": "1000"}, "0 to 999"),
        ({"A": "²"}, "is no count"),
        ({"A": "0" * 5000}, "is no count"),
        ({"A": "", "B": " "}, "No hands were typed"),
    ],
)
def test_what_is_no_count_is_asked_back_and_nothing_is_kept(view, typed, says):
    card = turned_to(view, "predict").card

    count(card, 1, **typed)

    assert says in card.frame["note"]
    assert card.votes.rounds == []


def test_a_view_opened_again_goes_on_and_another_class_begins_anew(view):
    turned_to(view, "predict")
    count(view.card, 1, A="3")

    again = InstructorsView("L07").card
    assert (again.line, again.votes.began) == (view.card.line, view.card.votes.began)
    assert again.votes.rounds == view.card.votes.rounds
    assert InstructorsView("L08").card.votes.began is None
    press(again, "begin")
    assert again.votes.rounds == []
    assert again.votes.line == 0


def test_another_class_begins_anew_and_the_first_goes_on_where_it_was():
    for key, hands in (("oak", "7"), ("elm", "8")):
        choose(Path.cwd() / CLASS_FILE, lesson="L07", class_key=key)
        view = InstructorsView()
        assert view.card.votes.began is None
        count(turned_to(view, "predict").card, 1, A=hands)

    choose(Path.cwd() / CLASS_FILE, lesson="L07", class_key="OAK")

    assert InstructorsView().card.votes.rounds[0]["A"] == 7


def test_a_number_key_loads_the_set_up_that_the_script_names(view):
    turned_to(view, "explore_free")
    named = [*stage(view).named]

    view.act("2")

    assert stage(view).loaded == named[1]
    assert stage(view).stage.frame["loaded"].split(maxsplit=1) == ["2", named[1]]
    view.act("9")  # there are not so many
    assert stage(view).loaded == named[1]
    assert not stage(view).held


def test_choices_stand_in_the_order_of_the_printed_page():
    asked = lessons()["L07"].prediction
    printed = options(asked, class_key="oak", student=WHOSE, system=METRIC)

    made = choices_of(asked, class_key="oak", system=METRIC)

    assert [one.text for one in made] == [one.text for one in printed]
    assert [one.right for one in made] == [one.name == RIGHT for one in printed]


def test_the_command_chooses_lesson_and_class_and_opens_the_view(
    tmp_path, monkeypatch, capsys
):
    opened = {}
    monkeypatch.setattr(
        "workbook.reader.opening.open_workbook",
        lambda folder, **said: opened.update(said, folder=folder),
    )

    assert main(["teach", "L08", str(tmp_path), "--no-browser"]) == 0

    assert opened["first"] == "instructors_view.ipynb"
    assert opened["folder"] == tmp_path
    monkeypatch.chdir(tmp_path)
    assert InstructorsView().lesson.id == "L08"
    assert main(["teach", "L99", str(tmp_path)]) == 1
    assert "L99 has no ten-minute script" in capsys.readouterr().err
    assert InstructorsView().lesson.id == "L08"


PLAN = """form = 1
[school]
margin = 0.5
rules = ["Nobody works on the bench alone."]
[lessons.L08]
counts = ["8.1", "8.3"]
"""


def test_the_session_plan_reaches_the_view_from_where_it_lies(tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.reader.opening.open_workbook", lambda *_, **__: None)
    lessons_here, plan = tmp_path / "lessons", tmp_path / "autumn.toml"
    plan.write_text(PLAN)
    (tmp_path / "class.csv").write_text("name,code,class_key\nAda,K7,oak\n")

    teach = ["teach", "L08", str(lessons_here), "--no-browser"]
    with_class = ["--class", str(tmp_path / "class.csv")]
    assert main([*teach, *with_class, "--session", str(plan)]) == 0
    monkeypatch.chdir(lessons_here)
    view = InstructorsView()
    card = view.card
    assert "Nobody works on the bench alone." in card.frame["caution"]["lines"]
    assert "These make your mark: 8.1, 8.3." in card.frame["foot"]
    assert card.students == 1
    view.from_paper().look_up("k7")  # the form finds the class
    assert not view.from_paper().file.exists()  # and writes nothing before it is asked
    turned_to(view, "explore")
    past = say("session", "past_margin", share=0.64, margin=0.5, show=METRIC.show)
    assert html.unescape(past) in html.unescape(stage(view).past.value)
    stage(view).stage.room = "projector"  # where what stands beside is put away
    assert past in html.unescape(stage(view).stage.frame["refusal"])

    plan.unlink()
    card.show()
    assert "is not there any more" in " ".join(card.frame["caution"]["lines"])
    assert main([*teach, "--session", str(plan)]) == 1
    plan.with_name("session.toml").write_text(PLAN)
    assert main([*teach, *with_class]) == 0  # that beside the class list
    assert "bench alone" in shown(InstructorsView().card)
    assert main(teach) == 0
    assert "bench alone" not in shown(InstructorsView().card)


def test_a_lesson_without_a_script_is_refused(tmp_path):
    with pytest.raises(Exception, match="L00 has no ten-minute script"):
        choose(tmp_path / CLASS_FILE, lesson="L00", class_key="oak")
    assert say("teach", "plain") in repr(InstructorsView()._repr_mimebundle_())


def test_both_votes_stand_beside_what_the_class_sees_and_talk_ends_in_a_vote(view):
    card = turned_to(view, "predict").card
    count(card, 1, A="3", B="12")

    for _ in range(3):
        press(card, "on")
    assert card.line.name == "talk"
    assert "Hands: A 3, B 12." in shown(card)
    assert card.frame["form"] is None  # digits load set-ups, until hands are asked for
    assert view.wall.frame["staged"]
    view.act("v")
    assert card.frame["form"]["submit"] == say("teach", "second")
    assert not view.wall.frame["staged"]
    count(card, 2, B="15")

    assert "Hands: A 3→0, B 12→15." in shown(card)
    assert card.frame["form"] is None
    assert view.wall.frame["staged"]
    assert view.wall.frame["voted"] == "A 3→0, B 12→15"


def test_a_count_is_corrected_and_what_was_kept_before_stays_in_the_file(view):
    card = turned_to(view, "predict").card
    count(card, 1, A="12", B="7")
    press(card, "vote")
    count(card, 2, B="19")

    press(card, "correct_1")
    field = card._field("A", 1)
    assert card.drafts[field] == "12"
    count(card, 1, A="2", B="17")
    press(card, "correct_2")
    press(card, "leave")

    assert [x["B"] for x in card.votes.rounds] == [17, 19]
    assert card.frame["form"] is None
    kept = [x for x in Record(card.votes.record.path).lines() if x["kind"] == "votes"]
    assert [(x["round"], x["counts"]["A"]) for x in kept] == [(1, 12), (2, 0), (1, 2)]


def test_more_hands_than_students_are_asked_back_once(tmp_path):
    choose(Path.cwd() / CLASS_FILE, lesson="L07", class_key="oak", students=24)
    card = turned_to(InstructorsView(), "predict").card

    count(card, 1, A="30", B="10")
    assert "40 hands, and 24 students" in card.frame["note"]
    assert card.votes.rounds == []
    assert card.frame["form"]

    count(card, 1, A="30", B="10")
    assert card.votes.rounds[0]["A"] == 30


def test_an_exercise_is_voted_on_by_the_letters_of_the_cards(view):
    card = turned_to(view, "explore_free").card
    here = card.line
    first, second = voted_on(card.lesson)[:2]

    view.act("e")
    assert (card.votes.about, view.on_stage) == (first, "")
    assert card.frame["title"].startswith(f"{first} · ")
    assert card.frame["sketch"]
    letters = [one.letter for one in card.poll.choices]
    assert letters == [*"ABCDE"][: len(letters)]
    assert sum(one.right for one in card.poll.choices) == 1
    count(card, 1, A="4", B="5")
    view.act("r")
    assert card.poll.choices[0].tells in shown(card)
    assert not card.votes.revealed_of("")
    view.act("e")
    assert card.votes.about == second
    view.act("on")

    assert card.line == here
    assert card.votes.rounds == []
    told = voted(card.votes.record.path, class_key=PRACTICE)
    assert told == []  # nobody chose a class
    choose(card.votes.record.path, lesson="L07", class_key="oak")
    view.act("e")
    count(card, 1, B="6")
    (told,) = voted(card.votes.record.path, class_key="OAK")
    assert (told.about, told.rounds[0]["B"]) == (first, 6)


def test_the_line_over_the_picture_names_the_key_to_press_next(view):
    turned_to(view, "explore_free")
    told = [view.wall.frame["next"]["act"]]

    for _ in range(3):
        view.act(told[-1])
        told.append(view.wall.frame["next"]["act"])

    assert told == ["3", "4", "on", "2"]  # of the step after it
    assert view.wall.frame["clock"]["text"] == "{time} · 5 of 7"


def test_the_bridle_is_on_the_stage_when_the_script_goes_to_it():
    view = turned_to(InstructorsView("L08"), "explore_bridle")

    assert view.on_stage == "bridle"


@pytest.mark.parametrize(
    "line",
    [
        {"kind": "began"},
        {"kind": "began", "at": "soon"},
        {"kind": "began", "at": 10**400},
        {"kind": "page", "line": -9},
        {"kind": "page", "line": "two"},
        {"kind": "votes", "round": 1, "counts": [1]},
        {"kind": "votes", "round": "1", "counts": {"A": 1}},
        {"kind": "votes", "round": 1, "counts": {"A": "x"}},
        {"kind": "chosen", "lesson": "L99"},
        {"kind": "chosen", "lesson": "L00"},
    ],
)
def test_an_odd_line_in_the_file_of_votes_is_passed_over(line):
    choose(Path.cwd() / CLASS_FILE, lesson="8", class_key="oak")
    view = turned_to(InstructorsView(), "predict")
    Record(view.card.votes.record.path).append(**{"lesson": "L08", **line})

    again = InstructorsView()

    assert again.lesson.id == "L08"
    assert again.card.line == view.card.line
    assert again.card.votes.rounds == []
    assert again.card.frame["form"] is not None
