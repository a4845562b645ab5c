"""What holds an explorer is handed in; until it lets go, nothing moves."""

import ipywidgets
import pytest


class Bolt:
    """The least that can hold an explorer."""

    def __init__(self, answer=None):
        self.widget = ipywidgets.HTML("bolted")
        self.answer = answer
        self.on_lock = None
        self.sketch = self.expected = None

    def show(self):
        """Show the same again."""

    def open(self):
        """Let go."""
        self.answer = "an answer"
        self.on_lock()


@pytest.fixture
def bolted(made, moved):
    return made(lock=Bolt(), named={"moved": moved})


def movable(explorer):
    """Return the parts that a hand moves, as a page holds them."""
    controls = [*explorer.controls.values(), *explorer.panel.paired.values()]
    parts = [explorer.freeze_button, explorer.reset_button, explorer.code_box.widget]
    return [*(c.widget for c in controls), explorer.named_list.widget, *parts]


def held(explorer):
    """Return whether each thing that can be moved is held."""
    return {"pw-held" in part._dom_classes for part in movable(explorer)}


def pushed(explorer, moved):
    """Push everything, as a page that lets a hand through; yield what was pushed."""
    for control in [*explorer.controls.values(), *explorer.panel.paired.values()]:
        if hasattr(control, "box"):
            control.slider.value = control.slider.min
            control.slider.value = control.slider.max
            yield control.slider
            control.box.value = f"{control.field.low:g}"
            yield control.box
        else:
            control.widget.value = control.field.options[-1]
            yield control.widget
    explorer.named_list.widget.value = "moved"
    yield explorer.named_list.widget
    other = type(explorer)(explorer.subject, {**explorer.start, **moved})
    explorer.code_box.box.value = other.code
    yield explorer.code_box.box
    for button in (explorer.freeze_button, explorer.reset_button):
        button.click()
        yield button


def test_a_lock_stands_on_the_page_and_holds_every_control(bolted):
    left, *_ = bolted.box.children
    assert bolted.lock.widget in left.children
    assert held(bolted) == {True}
    assert bolted.held


def test_a_held_control_can_be_reached_and_moves_nothing(bolted, moved):
    before, frames = bolted.values, bolted.stage.frame["count"]
    shown = values_on(bolted)

    for part in pushed(bolted, moved):
        assert not part.disabled  # a browser would not let Tab get there
        assert bolted.values == before, part

    assert bolted.stage.frame["count"] == frames
    assert not bolted.frozen
    assert values_on(bolted) == shown
    assert "pw-note" not in bolted.code_box.note.value


def test_a_control_let_go_moves_what_a_held_one_did_not(bolted, moved):
    bolted.lock.open()
    before = bolted.values

    changed = [part for part in pushed(bolted, moved) if bolted.values != before]

    assert len(changed) > 3


def values_on(explorer):
    """Return what stands on every widget that shows a value of the set-up."""
    controls = [*explorer.controls.values(), *explorer.panel.paired.values()]
    numbers = [control for control in controls if hasattr(control, "box")]
    choices = [control.widget for control in controls if control not in numbers]
    parts = [explorer.named_list.widget, explorer.code_box.box, *choices]
    return [
        *(pytest.approx(control.slider.value) for control in numbers),
        *(control.box.value for control in numbers),
        *(part.value for part in parts),
    ]


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
