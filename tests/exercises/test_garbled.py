"""Whatever is typed where an answer is made: an outcome and sentences, no error."""

import random

import pytest

from workbook.exercises import EXERCISES
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.engine import variant_for
from workbook.exercises.marking import History, mark
from workbook.exercises.wording import feedback

MADE = [one for one in EXERCISES.values() if not isinstance(one.answer, Quantity)]
PIECES = [
    "a", "b, c", "d", "z", ":", "2", "→",
    "H", "C", "S", "30", "°", "deg", "kN", "N", "lbf", ";", ",", "-", "−", "=", ":",
    "0", "nan", "inf", "mm", "in", "½", "1'000", "1e99", "ǅ", "ß", "é", " ", "\n",
    "\x00", "\u202e", "clamp_distance", "fork offset", "lean", "PULL1", "ABC",
]  # fmt: skip


def garbled(text, chance):
    """Return a text with a few of its characters replaced by something odd."""
    letters = [*text]
    for _ in range(chance.randint(1, 5)):
        at = chance.randrange(len(letters) + 1)
        letters[at : at + chance.randint(0, 2)] = [chance.choice(PIECES)]
    return "".join(letters)


@pytest.mark.parametrize("one", MADE, ids=lambda one: one.key)
def test_a_garbled_answer_is_held_or_marked_and_told(one):
    chance = random.Random(one.id)
    variant = variant_for(one, class_key="oak", student="K7")
    right = one.answer.typed(variant.answer)
    known = {mistake.name for mistake in one.mistakes} | {*one.answer.also}
    known |= {"right", "close", "two_fit", "none_of_these"}

    for _ in range(300):
        typed = garbled(chance.choice([right, "", right + "; " + right]), chance)
        outcome = mark(variant, typed, history=History(tries=2))

        assert 0 <= outcome.score <= 1
        assert outcome.held or outcome.name in known, typed
        assert all(feedback(outcome, variant, History())), typed
