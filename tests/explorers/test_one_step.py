"""One move is one step: checked once, solved once, said once, shown once."""

import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from widgets import Explorer
from widgets.controls import Slider
from workbook.figures.pictures.pull import PULL

ROOT = Path(__file__).parents[2]


@pytest.fixture
def solved():
    """Return what the engine was asked, one entry a time."""
    return []


@pytest.fixture
def drawn():
    """Return what the picture was drawn of, one entry a time."""
    return []


@pytest.fixture
def counting(subject, solved, drawn):
    """Return an explorer whose engine and picture keep count."""

    def solve(values):
        solved.append(dict(values))
        return subject.solve(values)

    # What is spatial is seen in space first, and the flat picture is not drawn.
    first = "picture" if subject.in_space is None else "in_space"

    def picture(result, **look):
        drawn.append(result)
        return getattr(subject, first)(result, **look)

    explorer = Explorer(replace(subject, solve=solve, **{first: picture}))
    assert len(solved) == len(drawn) == 1  # the start
    solved.clear()
    drawn.clear()
    return explorer


def entered(action):
    """Run an action; return how often each function of the project was entered."""
    count = Counter()

    def note(frame, event, _argument):
        code = frame.f_code
        if event == "call" and code.co_filename.startswith(str(ROOT)):
            owner = frame.f_locals.get("self")
            count[code.co_name, getattr(owner, "name", "")] += 1

    sys.setprofile(note)
    try:
        action()
    finally:
        sys.setprofile(None)
    return count


def slide(explorer, numbers):
    """Move the first slider in front by one step, as a browser does."""
    control = next(numbers[name] for name in explorer.front if name in numbers)
    slider = explorer.controls[control.field.name].slider

    def move():
        slider.value += slider.step if slider.value < slider.max else -slider.step

    return control.field.name, move


def test_a_moved_slider_is_one_step(counting, numbers, solved, drawn):
    before = counting.stage.frame["count"]
    name, move = slide(counting, numbers)

    count = entered(move)

    assert len(solved) == 1
    assert solved[0] == counting.values != counting.start
    assert counting.stage.frame["count"] == before + 1
    assert drawn == [counting.result]
    # The picture says itself in words, and these are the words beside it.
    assert sum(n for (f, _), n in count.items() if f.startswith("describe")) <= 1
    assert sum(n for (f, _), n in count.items() if f == "encode") == 0
    checks = {whose: n for (f, whose), n in count.items() if f == "checked"}
    followers = {pair.field.name for pair in counting.subject.paired}
    assert checks == dict.fromkeys({name} | followers, 1)


def test_the_code_of_what_moved_is_shown_at_rest(counting, numbers):
    _, move = slide(counting, numbers)
    before = counting.code

    move()
    moving = counting.code_box.box.value
    counting.stage.move = {"phase": "rest"}

    assert moving == before != counting.code
    assert counting.code_box.box.value == counting.code


def test_many_controls_set_at_once_are_one_step(counting, moved, solved):
    counting.set(**moved)
    counting.reset()
    counting.restore(counting.code)

    assert len(solved) == 3


def test_what_is_only_looked_at_anew_is_not_solved_anew(counting, solved):
    frames = counting.stage.frame["count"]

    counting.freeze()
    counting.use_units("lbf-inch")
    counting.stage.room = "projector"
    counting.clear()

    assert solved == []
    assert counting.stage.frame["count"] == frames + 4


def test_a_value_set_to_what_it_is_moves_nothing(counting, solved):
    for control in counting.controls.values():
        control.value = control.value

    assert solved == []


def test_a_value_outside_its_range_is_refused_by_the_control(counting, numbers, solved):
    for name in numbers:
        control = counting.controls[name]
        before = control.value

        with pytest.raises(ValueError, match="outside"):
            control.value = control.field.high + 1

        assert control.value == before
    assert solved == []


def test_a_move_of_a_slider_is_not_sent_back(monkeypatch):
    control, sent = Explorer(PULL).controls["fork_offset_mm"], []
    monkeypatch.setattr(Slider, "_send", lambda _, message, **__: sent.append(message))
    moved = control.value + control.step
    control.slider.set_state({"value": moved})
    assert control.value == moved
    assert sent == []
