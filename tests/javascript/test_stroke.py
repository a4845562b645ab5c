"""A stroke that is played: pictures in their order, and who stops it."""

import pytest

MODULE = "widgets/stroke.js"
SAYS = {
    "stroke": "Hub",
    "stroke_back": "rück",
    "stroke_on": "vor",
    "play": "los",
    "pause": "halt",
    "playing": "läuft",
    "way": "Klemme",
    "pace": "Dauer",
    "pace_2": "2 s",
    "pace_4": "4 s",
    "pace_8": "8 s",
    "pace_stills": "Bilder",
}
STROKE = {
    "field": "stroke_mm",
    "label": "stroke",
    "value": 0,
    "low": 0,
    "high": 300,
    "step": 5,
    "grain": 0.1,
    "ways": [],
    "way": "",
    "shown": {"per": 1, "places": 1, "ending": " mm"},
}
STAND = """([says, frame, pace]) => {
    document.body.innerHTML = "<div id=bar></div>";
    Object.assign(window, { sent: [], pending: {}, asked: [], drawn: [], spoken: [] });
    Object.assign(window, { calm: false, kept: null });
    const line = {
        send(move) {
            sent.push(move);
            Object.assign(pending, move.values);
        },
        valueOf: (field, known) => pending[field] ?? known,
    };
    window.player = parts.makePlayer({
        bar: document.querySelector("#bar"),
        says,
        line,
        ask: (wish) => asked.push(wish),
        draw: (step) => drawn.push(step.value),
        speak: (words) => spoken.push(words),
        pace: { read: () => pace, keep: (chosen) => (kept = chosen) },
        calm: () => calm,
        playing: (plays) => (window.plays = plays),
    });
    player.show(frame);
}"""


@pytest.fixture
def player(page):
    page.evaluate(STAND, [SAYS, {"stroke": STROKE}, None])
    return page


def show(page, value=0, **changes):
    page.evaluate(
        "frame => { pending = {}; player.show(frame); }",
        {"stroke": {**STROKE, "value": value}, **changes},
    )


def kernel(page, *, last=300):
    """Answer everything that was asked for and not answered yet, as the kernel does."""
    for wish in page.evaluate("asked.splice(0)"):
        values = [wish["first"] + 5 * k for k in range(wish["steps"])]
        for value in values:
            content = {"run": wish["run"]}
            done = value > last
            content |= {"over": True} if done else {"step": {"value": value}}
            page.evaluate("content => player.hear(content)", content)
            if done:
                break


def run_for(page, milliseconds, **ends):
    for _ in range(milliseconds // 50):
        kernel(page, **ends)
        page.clock.run_for(50)


def press(page, name):
    page.get_by_role("button", name=name).click()


def slider(page):
    return page.get_by_role("slider", name="stroke")


def drawn(page):
    return page.evaluate("drawn")


def sent(page):
    return [
        (move["phase"], move["via"], *move["values"].values())
        for move in page.evaluate("sent")
    ]


def test_steps_follow_from_the_time_and_stay_within_the_stroke(page):
    def steps(milliseconds, seconds):
        call = "([ms, s, stroke]) => parts.stepsIn(ms, s, stroke)"
        return page.evaluate(call, [milliseconds, seconds, STROKE])

    assert [steps(0, 4), steps(66, 4), steps(67, 4), steps(4000, 4)] == [0, 0, 1, 60]
    assert steps(1000, 2) == 2 * steps(1000, 4) == 4 * steps(1000, 8) + 2

    def at(start, steps):
        call = "([stroke, from, steps]) => parts.strokeAt(stroke, from, steps)"
        return page.evaluate(call, [STROKE, start, steps])

    assert [at(0, 3), at(290, 3), at(5, -3), at(12.5, 1)] == [15, 300, 0, 17.5]


def test_nothing_plays_by_itself(player):
    player.clock.run_for(5000)

    assert player.evaluate("asked") == drawn(player) == []
    assert player.evaluate("spoken") == sent(player) == []


def test_the_whole_stroke_takes_four_seconds_in_order_and_stops_at_its_end(player):
    press(player, "los")
    run_for(player, 2000)
    half = drawn(player)
    assert half == sorted(half)
    assert 140 <= half[-1] <= 155
    assert player.evaluate("sent.length") == 0

    run_for(player, 2500)

    assert drawn(player)[-1] == 300
    assert sent(player) == [("end", "play", 300)]
    assert player.evaluate("sent[0].since") == 0
    assert player.get_by_role("button", name="los").count() == 1
    length = len(drawn(player))
    run_for(player, 5000)
    assert len(drawn(player)) == length  # it does not begin again


def test_it_is_said_that_it_plays_and_nothing_between(player):
    press(player, "los")
    run_for(player, 3000)

    assert player.evaluate("spoken") == ["läuft"]


def test_a_pause_keeps_what_is_seen_and_it_goes_on_from_there(player):
    assert not player.evaluate("plays")
    press(player, "los")
    run_for(player, 1000)
    assert player.evaluate("plays")
    press(player, "halt")
    assert not player.evaluate("plays")
    seen = drawn(player)[-1]
    assert sent(player) == [("end", "play", seen)]
    assert slider(player).input_value() == f"{seen}"
    run_for(player, 1000)
    assert drawn(player)[-1] == seen

    show(player, seen)
    press(player, "los")
    run_for(player, 500)

    assert drawn(player)[-1] > seen
    assert seen not in drawn(player)[len(drawn(player)) - 3 :]


def test_a_kernel_that_is_late_makes_the_stroke_wait_and_skips_nothing_then(player):
    press(player, "los")
    player.clock.run_for(3000)
    assert drawn(player) == []

    run_for(player, 1000)

    assert 60 <= drawn(player)[-1] <= 80  # a second of the stroke, not four


def test_steps_are_asked_for_before_they_are_needed_and_once(player):
    press(player, "los")
    firsts = []
    for _ in range(30):
        firsts += player.evaluate("asked.map((wish) => wish.first)")
        kernel(player)
        player.clock.run_for(50)

    assert firsts[:3] == [0, 40, 80]
    assert len(firsts) == len(set(firsts))


def test_it_stops_where_the_rig_no_longer_stands(player):
    press(player, "los")
    run_for(player, 4000, last=120)

    assert drawn(player)[-1] == 120
    assert sent(player) == [("end", "play", 120)]


def test_at_its_end_it_begins_again_from_the_start(player):
    show(player, 300)
    press(player, "los")
    run_for(player, 200)
    assert 0 < drawn(player)[0] <= 10

    show(player, 120)
    player.evaluate("drawn.length = asked.length = 0")
    press(player, "los")
    run_for(player, 400, last=120)
    assert 0 < drawn(player)[0] <= 10


def test_whatever_moves_the_rig_meanwhile_ends_what_is_played(player):
    press(player, "los")
    run_for(player, 1000)
    count = len(drawn(player))

    show(player, 45)
    run_for(player, 1000)

    assert len(drawn(player)) == count
    assert sent(player) == []
    assert slider(player).input_value() == "45"


def test_it_rests_where_it_is_when_the_picture_is_turned(player):
    player.evaluate("player.rest()")
    assert sent(player) == []
    press(player, "los")
    run_for(player, 1000)

    player.evaluate("player.rest()")

    assert sent(player) == [("end", "play", drawn(player)[-1])]


def test_buttons_go_ten_millimetres_and_stop_what_is_played(player):
    press(player, "vor")
    press(player, "vor")
    press(player, "rück")
    assert [value for *_, value in sent(player)] == [10, 20, 10]

    show(player, 10)
    press(player, "los")
    run_for(player, 500)
    seen = drawn(player)[-1]
    press(player, "vor")
    run_for(player, 500)
    assert sent(player)[-1] == ("end", "typed", seen + 10)
    assert drawn(player)[-1] == seen


def test_the_slider_is_the_stroke_itself(player):
    scrub = slider(player)
    assert scrub.get_attribute("aria-valuetext") == "0 mm"
    assert (scrub.get_attribute("min"), scrub.get_attribute("max")) == ("0", "300")

    scrub.press("ArrowRight")

    assert [(phase, value) for phase, _, value in sent(player)] == [
        ("move", 5),
        ("end", 5),
    ]
    assert scrub.get_attribute("aria-valuetext") == "5 mm"
    assert player.locator("output").text_content() == "5 mm"
    # A whole scrub is one move; the next one is another.
    scrub.press("ArrowRight")
    grabs = [move["grab"] for move in player.evaluate("sent")]
    assert grabs[0] == grabs[1] != grabs[2] == grabs[3]


def test_a_reader_chooses_the_pace_and_it_is_kept(player):
    player.get_by_role("combobox", name="Dauer").select_option("2")
    assert player.evaluate("kept") == "2"
    press(player, "los")
    run_for(player, 1000)
    assert 140 <= drawn(player)[-1] <= 160

    player.evaluate(STAND, [SAYS, {"stroke": STROKE}, "8"])
    assert player.get_by_role("combobox").input_value() == "8"
    player.evaluate(STAND, [SAYS, {"stroke": STROKE}, "nonsense"])
    assert player.get_by_role("combobox").input_value() == "4"


@pytest.mark.parametrize("wanted", ["by the reader", "by the system"])
def test_who_wants_no_motion_gets_stills_on_one_picture(player, wanted):
    if wanted == "by the system":
        player.evaluate("calm = true")
    else:
        player.get_by_role("combobox").select_option("stills")

    press(player, "los")
    player.clock.run_for(1000)

    assert player.evaluate("asked") == [{"stills": "stroke_mm"}]
    assert player.evaluate("spoken") == []
    player.evaluate("player.hear({ stills: { value: 'five' } })")
    assert drawn(player) == ["five"]


def test_held_controls_hold_the_stroke_too(player):
    show(player, still=True)

    # What has this class is kept in reach and does not move: held.js.
    assert player.locator(".pw-held").get_by_role("button").count() == 3
    assert player.locator(".pw-held").get_by_role("slider").count() == 1
    show(player)
    assert player.locator(".pw-held").count() == 0


def test_where_there_is_no_stroke_there_is_no_player(player):
    player.evaluate("player.show({})")

    assert player.get_by_role("button").count() == 0
    assert slider(player).count() == 0


def test_at_its_end_it_asks_and_draws_no_more(player):
    press(player, "los")
    player.evaluate("player.end()")
    run_for(player, 1000)

    assert drawn(player) == []


def test_what_the_clamp_does_is_a_choice_that_is_sent_with_the_stroke(player):
    assert not player.get_by_label("Klemme").is_visible()
    ways = [["stays", "bleibt"], ["follows", "folgt"]]
    show(player, value=40, stroke={**STROKE, "value": 40, "ways": ways, "way": "stays"})
    choice = player.get_by_label("Klemme")
    assert choice.input_value() == "stays"

    choice.select_option("folgt")

    move = player.evaluate("sent.at(-1)")
    assert (move["way"], move["values"], move["phase"]) == (
        *("follows", {"stroke_mm": 40}, "end"),
    )
    # Whatever brings another set-up has the clamp where it was.
    show(player, stroke={**STROKE, "ways": ways, "way": "stays"})
    assert choice.input_value() == "stays"
