"""Every explorer answers, or says why it does not, whatever is set."""

import random
import re

import pytest

from workbook.errors import FormError

NO_NUMBER = re.compile(r"\b(nan|inf|None)\b")


def assert_answer_or_reason(explorer):
    frame = explorer.stage.frame
    if explorer.result is None:
        assert len(explorer.refusal) > 20, explorer.values
        assert frame["numbers"] == frame["three"] == frame["beside"] == ""
        assert explorer.refusal in frame["spoken"], explorer.values
        assert "pw-refusal" in frame["refusal"], explorer.values
    else:
        assert frame["picture"].startswith("<svg"), explorer.values
        assert frame["words"], explorer.values
        assert not frame["refusal"], explorer.values
    shown = f"{frame['picture']} {frame['numbers']} {frame['spoken']}"
    assert not NO_NUMBER.search(shown), explorer.values


def test_every_value_of_every_control_gives_an_answer_or_a_reason(explorer, values_of):
    answers = 0
    for name, field in explorer.subject.fields.items():
        for value in values_of(field):
            explorer.set(**{**explorer.start, name: value})

            assert_answer_or_reason(explorer)
            answers += explorer.result is not None

    assert answers > 5


def test_controls_set_together_give_an_answer_or_a_reason(explorer, values_of):
    rng = random.Random(7)
    for _ in range(40):
        values = {
            name: rng.choice(values_of(f))
            for name, f in explorer.subject.fields.items()
        }

        explorer.set(**values)

        assert_answer_or_reason(explorer)


def test_an_unknown_name_or_value_is_refused(explorer, numbers):
    name = next(iter(numbers))

    with pytest.raises(FormError, match="nothing called 'colour'"):
        explorer.set(colour=1)
    with pytest.raises(FormError, match="is outside"):
        explorer.set(**{name: 1e9})


def test_a_lesson_reads_an_answer_and_nothing_moves(made, moved):
    explorer = made()

    answer = explorer.at(**moved)

    assert explorer.amounts(answer) == made().amounts(made(moved).result)
    assert explorer.values == explorer.start


def test_a_mistake_in_a_picture_is_shown_and_raised(explorer, moved, monkeypatch):
    def broken(*_args, **_kwargs):
        msg = "no ink"
        raise ZeroDivisionError(msg)

    monkeypatch.setattr(type(explorer.subject), "sheets", broken)

    with pytest.raises(ZeroDivisionError, match="no ink"):
        explorer.set(**moved)

    assert "no ink" in explorer.stage.frame["refusal"]
    assert explorer.stage.frame["picture"] == ""
