"""What holds an explorer is handed in; until it lets go, nothing moves."""

import ipywidgets
import pytest


class Bolt:
    """The least that can hold an explorer."""

    def __init__(self, answer=None):
        self.widget = ipywidgets.HTML("bolted")
        self.answer = answer
        self.on_lock = None

    def show(self):
        """Show the same again."""

    def open(self):
        """Let go."""
        self.answer = "an answer"
        self.on_lock()


@pytest.fixture
def bolted(made, moved):
    return made(lock=Bolt(), named={"moved": moved})


def held(explorer):
    """Return whether each thing that can be moved is held."""
    controls = [*explorer.controls.values(), *explorer.panel.paired.values()]
    parts = [getattr(control, "slider", control.widget) for control in controls]
    parts += [control.box for control in controls if hasattr(control, "box")]
    parts += [explorer.freeze_button, explorer.reset_button, explorer.named_list]
    return {part.disabled for part in (*parts, explorer.code_box.box)}


def test_a_lock_stands_on_the_page_and_holds_every_control(bolted):
    left, *_ = bolted.box.children
    assert bolted.lock.widget in left.children
    assert held(bolted) == {True}


def test_single_keys_do_nothing_while_it_is_held(bolted):
    for key in "rf1":
        bolted.press(key)

    assert bolted.values == bolted.start
    assert not bolted.frozen


def test_other_units_leave_it_held(bolted):
    bolted.use_units("lbf-inch")

    assert held(bolted) == {True}


def test_a_lock_that_opens_lets_every_control_go(bolted):
    bolted.lock.open()

    assert held(bolted) == {False}
    bolted.press("1")
    assert bolted.values != bolted.start


def test_an_answer_of_an_earlier_day_holds_nothing(made):
    explorer = made(lock=Bolt(answer="less"), curtain=True)

    assert held(explorer) == {False}
    assert explorer.stage.frame["picture"]


def test_a_curtain_hides_picture_numbers_and_words_until_it_opens(made):
    explorer = made(lock=Bolt(), curtain=True)
    shown = explorer.stage.frame

    assert shown["picture"] == ""
    assert "<td>" not in shown["numbers"]
    assert shown["spoken"] == "The picture opens when your prediction is locked."

    explorer.lock.open()

    assert explorer.stage.frame["picture"].startswith("<svg")


def test_a_lesson_reads_an_answer_while_the_controls_are_held(bolted, made, moved):
    answer = bolted.at(**moved)

    assert bolted.amounts(answer) == made().amounts(made(moved).result)
    assert bolted.values == bolted.start
