"""The lock of a prediction holds an explorer until something is answered."""

from widgets.prediction import PredictionLock
from workbook.course import lesson

QUESTION = lesson("L00").prediction


def held(explorer):
    return explorer.reset_button.disabled


def test_a_choice_locks_and_lets_the_controls_go(made):
    explorer = made(lock=PredictionLock(QUESTION))
    assert held(explorer)

    explorer.lock.choice.value = "to the right"
    explorer.lock.lock()

    assert explorer.lock.outcome == "slip_sign"
    assert not held(explorer)


def test_an_empty_prediction_does_not_lock_and_is_told(made):
    explorer = made(lock=PredictionLock(QUESTION))

    explorer.lock.lock()

    assert explorer.lock.answer is None
    assert "Choose one" in explorer.lock.note.value
    assert held(explorer)


def test_an_answer_of_ones_own_locks_too(made):
    explorer = made(lock=PredictionLock(QUESTION))
    explorer.lock.choice.value = explorer.lock.other
    explorer.lock.lock()
    assert explorer.lock.answer is None  # chosen, but nothing typed

    explorer.lock.own.value = " about the same "
    explorer.lock.lock()

    assert explorer.lock.answer == "about the same"
    assert explorer.lock.outcome == "none_of_these"
    assert not held(explorer)
