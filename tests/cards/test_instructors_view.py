"""The instructor's view: the script by keys, the votes of the class, one picture."""

from pathlib import Path

import pytest
from on_card import press, shown, tools

from widgets import ExerciseCard, Explorer, InstructorsView
from workbook.cli import main
from workbook.course import lessons
from workbook.course.predictions import RIGHT, options
from workbook.course.script import WHOSE, choices_of, script_of
from workbook.language import say
from workbook.quantities.units import METRIC
from workbook.reader.class_votes import CLASS_FILE, ClassVotes, choose, scripted
from workbook.reader.record import Record


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


@pytest.mark.parametrize("id", scripted())
def test_every_script_is_walked_to_its_end_by_one_key_and_back(id):
    view = InstructorsView(id)
    seen, keys = [], view.card.frame["keys"]
    press(view.card, keys["pagedown"])
    for _ in script_of(lessons()[id]):
        seen.append(view.card.line)
        assert view.card.line.said in view.card.frame["intro"]
        if view.on_stage:
            assert view.box.children[1] is getattr(stage(view), "box", stage(view))
        press(view.card, keys["pagedown"])

    assert tuple(seen) == script_of(lessons()[id])
    assert isinstance(stage(view), ExerciseCard)
    assert "on" not in tools(view.card)
    for _ in seen:
        press(view.card, keys["pageup"])
    assert view.card.line == seen[0]


def test_the_picture_comes_when_the_choices_are_revealed(view):
    turned_to(view, "predict")
    assert view.box.children == (view.card,)
    press(view.card, "1")
    press(view.card, "count", typed={"B": "4"})
    assert view.on_stage == ""

    press(view.card, "reveal")

    assert isinstance(stage(view), Explorer)
    assert view.box.children[1] is stage(view).box


def test_a_class_votes_sees_what_choices_tell_and_votes_again(view):
    card = turned_to(view, "predict").card
    assert "reveal" not in tools(card)

    press(card, "count", typed={"A": "9", "B": " 12 ", "C": "", "D": "0", "E": ""})
    assert "reveal" in tools(card)
    told = [choice.tells for choice in card._choices()]
    assert not any(tells in shown(card) for tells in told)
    press(card, "reveal")
    press(card, "count", typed={"A": "2", "B": "19"})

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
        ({"B": "1000"}, "from 0 to 999"),
        ({"A": "²"}, "is no count"),
        ({"A": "0" * 5000}, "is no count"),
        ({"A": "", "B": " "}, "No hands were typed"),
    ],
)
def test_what_is_no_count_is_asked_back_and_nothing_is_kept(view, typed, says):
    card = turned_to(view, "predict").card

    press(card, "count", typed=typed)

    assert says in card.frame["note"]
    assert card.votes.rounds == []


def test_a_view_opened_again_goes_on_and_another_class_begins_anew(view):
    turned_to(view, "predict")
    press(view.card, "count", typed={"A": "3"})

    again = InstructorsView("L07").card
    assert (again.line, again.votes.began) == (view.card.line, view.card.votes.began)
    assert again.votes.rounds == view.card.votes.rounds
    assert InstructorsView("L08").card.votes.began is None
    press(again, "begin")
    assert again.votes.rounds == []
    assert again.votes.line == 0


def test_a_number_key_loads_the_set_up_that_the_script_names(view):
    turned_to(view, "explore_free")
    named = [*stage(view).named]

    press(view.card, "2")

    assert stage(view).loaded == named[1]
    press(view.card, "9")  # there are not so many
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


def test_a_lesson_without_a_script_is_refused(tmp_path):
    with pytest.raises(Exception, match="L00 has no ten-minute script"):
        choose(tmp_path / CLASS_FILE, lesson="L00", class_key="oak")
    assert say("teach", "plain") in repr(InstructorsView()._repr_mimebundle_())


def test_both_votes_stand_beside_what_the_class_sees_and_talk_ends_in_a_vote(view):
    card = turned_to(view, "predict").card
    press(card, "count", typed={"A": "3", "B": "12"})

    for _ in range(3):
        press(card, "on")
    assert card.line.name == "talk"
    assert "Hands: A 3, B 12, C 0" in shown(card)
    assert card.frame["form"]["submit"] == say("teach", "second")
    assert card.frame["focus"] == "form"
    press(card, "count", typed={"B": "15"})

    assert "Hands: A 3 → 0, B 12 → 15, C 0 → 0" in shown(card)
    assert card.frame["form"] is None


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
