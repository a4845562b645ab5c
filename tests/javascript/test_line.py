"""The line to the kernel: the newest move, never a queue, and none that is lost."""

import pytest

MODULE = "widgets/line.js"


@pytest.fixture
def line(page):
    page.evaluate("""() => {
        window.model = new Model({ frame: {} });
        window.told = [];
        window.line = parts.makeLine(model, (how) => told.push(how));
    }""")
    return page


def send(page, **move):
    page.evaluate("move => line.send(move)", move)


def sent(page):
    return page.evaluate("model.sent.map(({ move }) => move)")


def answer(page, seq):
    page.evaluate("seq => line.hear({ answers: seq })", seq)


def value_of(page, field):
    return page.evaluate("field => line.valueOf(field, 'known') ", field)


def test_moves_between_two_pictures_of_the_screen_are_one(line):
    for value in (1, 2, 3):
        send(line, phase="move", values={"lean_deg": value}, grab=7)
    assert sent(line) == []

    line.clock.run_for(17)

    values = {"lean_deg": 3}
    move = {"phase": "move", "values": values, "view": None, "grab": 7, "seq": 1}
    move["way"] = None
    assert sent(line) == [move]
    line.clock.run_for(100)
    assert len(sent(line)) == 1


@pytest.mark.parametrize("phase", ["end", "cancel"])
def test_the_end_goes_at_once_and_takes_along_what_was_waiting(line, phase):
    send(line, phase="move", values={"lean_deg": 4}, view="side")
    send(line, phase=phase, values={"stroke_mm": 5})

    (move,) = sent(line)
    assert move["values"] == {"lean_deg": 4, "stroke_mm": 5}
    assert (move["phase"], move["view"]) == (phase, "side")
    line.clock.run_for(100)
    assert len(sent(line)) == 1


def test_a_move_has_all_that_is_not_answered_yet(line):
    """So a newer one that takes its place on the way loses nothing."""
    send(line, phase="end", values={"lean_deg": 4}, view="side")
    send(line, phase="end", values={"stroke_mm": 5})
    answer(line, 1)
    send(line, phase="end", values={"stroke_mm": 10})
    answer(line, 3)
    send(line, phase="end", values={"stroke_mm": 15})

    assert [move["values"] for move in sent(line)] == [
        {"lean_deg": 4},
        {"lean_deg": 4, "stroke_mm": 5},
        {"lean_deg": 4, "stroke_mm": 10},
        {"stroke_mm": 15},
    ]
    views = [move["view"] for move in sent(line)]
    assert views == ["side", "side", "side", None]
    assert [move["seq"] for move in sent(line)] == [1, 2, 3, 4]


def test_a_value_is_the_hands_own_until_the_newest_move_is_answered(line):
    assert value_of(line, "lean_deg") == "known"
    send(line, phase="end", values={"lean_deg": 4})
    send(line, phase="move", values={"lean_deg": 5})
    answer(line, 1)  # the next one has not gone yet
    assert value_of(line, "lean_deg") == 5
    line.clock.run_for(17)
    answer(line, 1)
    assert value_of(line, "lean_deg") == 5

    answer(line, 2)

    assert value_of(line, "lean_deg") == "known"


def test_a_second_view_of_the_same_model_goes_on_counting(line):
    send(line, phase="end", values={"lean_deg": 4})
    line.evaluate("() => model.set('frame', { answers: 1 })")
    line.evaluate("() => (window.line = parts.makeLine(model, () => {}))")
    send(line, phase="end", values={"lean_deg": 5})
    answer(line, 7)  # to a move of the first view
    send(line, phase="end", values={"lean_deg": 6})

    assert [move["seq"] for move in sent(line)] == [1, 2, 8]


def test_two_moves_are_under_way_and_the_newest_of_the_others_follows(line):
    for value in range(1, 6):
        send(line, phase="move", values={"lean_deg": value})
        line.clock.run_for(17)
    assert [move["values"]["lean_deg"] for move in sent(line)] == [1, 2]

    answer(line, 1)

    assert [move["values"]["lean_deg"] for move in sent(line)] == [1, 2, 5]
    assert value_of(line, "lean_deg") == 5
    answer(line, 2)
    answer(line, 3)
    assert value_of(line, "lean_deg") == "known"


def test_the_end_of_a_move_waits_for_its_turn_and_is_not_lost(line):
    for value in (1, 2, 3):
        send(line, phase="end", values={"lean_deg": value})
    send(line, phase="rest")
    line.clock.run_for(17)

    answer(line, 2)

    ended = [(move["values"]["lean_deg"], move["phase"]) for move in sent(line)]
    assert ended == [(1, "end"), (2, "end"), (3, "rest")]


def test_a_kernel_that_is_slow_is_told_asked_again_once_and_then_given_up(line):
    send(line, phase="end", values={"lean_deg": 3})
    send(line, phase="end", values={"lean_deg": 4})
    line.clock.run_for(450)
    assert line.evaluate("told") == []
    line.clock.run_for(100)
    assert line.evaluate("told") == ["computing"]

    line.clock.run_for(2500)
    _, newest, again = sent(line)
    assert again == {**newest, "seq": 3}
    line.clock.run_for(3000)
    assert line.evaluate("told") == ["computing", "silent"]
    line.clock.run_for(20_000)
    assert len(sent(line)) == 3
    send(line, phase="end", values={"lean_deg": 5})
    assert len(sent(line)) == 4


def test_a_kernel_that_has_gone_is_said_to_be_silent(line):
    line.evaluate("() => { model.send = () => { throw new Error('Cannot send'); }; }")
    send(line, phase="end", values={"lean_deg": 4})
    line.clock.run_for(20_000)

    assert line.evaluate("told") == ["computing", "silent"]


def test_an_answer_in_time_asks_for_nothing_more(line):
    send(line, phase="end", values={"lean_deg": 4})
    line.clock.run_for(450)
    answer(line, 1)
    line.clock.run_for(20_000)

    assert line.evaluate("told") == [""]
    assert len(sent(line)) == 1


def test_a_line_at_its_end_sends_nothing_more(line):
    send(line, phase="end", values={"lean_deg": 4})
    send(line, phase="move", values={"lean_deg": 5})
    line.evaluate("line.end()")
    line.clock.run_for(20_000)

    assert len(sent(line)) == 1
    assert line.evaluate("told") == []
