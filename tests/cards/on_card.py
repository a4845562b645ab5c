"""What tests of cards do: type, press, and look at what stands there."""

import json

from workbook.exercises.answers.picked import Picked
from workbook.reader.record import Record, record_here


def typed_for(card, name=None):
    """Return the right answer, or a mistake's number, as one would type it."""
    variant = card.task.variant
    if name is None:
        return variant.exercise.answer.typed(variant.answer)
    values = {mistake.name: value for mistake, value in variant.armed}
    return variant.exercise.answer.typed(values[name])


def wrong_texts(card):
    """Return what one would type who makes one of the known mistakes."""
    variant = card.task.variant
    answer = variant.exercise.answer
    if isinstance(answer, Picked):
        return [mistake["gives"] for mistake in answer.in_key(variant)["mistakes"]]
    return [answer.typed(value) for _, value in variant.armed]


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
