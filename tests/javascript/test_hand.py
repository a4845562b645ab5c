"""The hand in the picture: handles that live, an area to turn by, mouse and finger."""

import time

import pytest

MODULE = "widgets/hand.js"
SAYS = {
    "first": "erst sagen",
    "grip_locked": "erst drehen",
    "grip_left": "{name}: links",
    "grip_right": "{name}: rechts",
    "grip_up": "{name}: auf",
    "grip_down": "{name}: ab",
    "views": "Ansichten",
    "view_home": "daheim",
    "view_side": "Seite",
    "view_flat": "flach",
    "view_own": "eigene",
    "turn": "drehen",
}
GRIP = {
    "name": "head",
    "field": "extension_mm",
    "label": "extension",
    "text": "300 mm, as told",
    "at": [0.5, 0.5],
    "way": [0, -0.002],  # 1 px up for one more
    "value": 300,
    "low": 0,
    "high": 900,
    "step": 25,
    "grain": 0.1,
    "stops": None,
    "locked": False,
    "shown": {"per": 1, "places": 1, "ending": " mm"},
}
ANCHOR = {
    **GRIP,
    "name": "anchor",
    "field": "fork_offset_mm",
    "label": "offset",
    "at": [0.2, 0.5],
    "way": [0.001, 0],
    "value": 0,
    "low": -300,
    "high": 300,
    "step": 10,
}
SPACE = {
    "views": {
        "home": {"az": 0, "el": 25},
        "side": {"az": -35, "el": 5},
        "flat": None,
    },
    "limits": {"az": 80, "el": [5, 75]},
}
FRAME = {"grips": [GRIP, ANCHOR], "values": {"extension_mm": 300, "fork_offset_mm": 0}}
# An overlay of 1000 x 500 px at (50, 40), and a line that holds what is not answered.
STAND = """([says, space, frame]) => {
    document.body.innerHTML = `<style>
        #hand { position: absolute; left: 50px; top: 40px; width: 1000px;
          height: 500px; }
        .pw-turn { position: absolute; inset: 0; touch-action: pan-y pinch-zoom; }
        .pw-grip { position: absolute; width: 44px; height: 44px; margin: -22px;
          touch-action: none; }
        </style>
        <div id=hand><div class=pw-turn></div></div><div id=bar></div>`;
    const overlay = document.querySelector("#hand");
    window.sent = [];
    window.pending = {};
    window.calm = false;
    const line = {
        send(move) {
            sent.push(move);
            Object.assign(pending, move.values);
        },
        valueOf: (field, known) => pending[field] ?? known,
    };
    window.seen = [];
    window.handles = parts.makeHandles({ overlay, says, line });
    window.turning = parts.makeTurning({
        area: overlay.firstElementChild,
        bar: document.querySelector("#bar"),
        says,
        space,
        turn: (view, phase) => seen.push([view, phase]),
        calm: () => calm,
    });
    handles.show(frame);
}"""


@pytest.fixture
def hand(page):
    page.set_viewport_size({"width": 1200, "height": 700})
    page.evaluate(STAND, [SAYS, SPACE, FRAME])
    return page


def show(page, **changes):
    page.evaluate(
        """frame => {
        pending = {};
        handles.show(frame);
    }""",
        {**FRAME, **changes},
    )


def handle(page, name):
    return page.get_by_role("slider", name=name)


def place(page, name):
    """Return the centre of a handle, from the overlay's corner."""
    box = handle(page, name).bounding_box()
    return box["x"] + box["width"] / 2 - 50, box["y"] + box["height"] / 2 - 40


def sent(page):
    """Return what was sent: phase, way and value."""
    return [
        (move["phase"], move["via"], *move["values"].values())
        for move in page.evaluate("sent")
    ]


def press(page, x, y):
    page.mouse.move(50 + x, 40 + y)
    page.mouse.down()


def to(page, x, y):
    page.mouse.move(50 + x, 40 + y)


# ----------------------------------------------------------------- the handles


def test_every_handle_is_a_slider_with_its_name_its_value_and_words(hand):
    head = handle(hand, "extension")

    assert place(hand, "extension") == pytest.approx((500, 250))
    told = {
        "aria-valuemin": "0",
        "aria-valuemax": "900",
        "aria-valuenow": "300",
        "aria-valuetext": "300 mm, as told",
        "aria-orientation": "vertical",
        "aria-disabled": "false",
        "title": "extension: auf",
    }
    assert {name: head.get_attribute(name) for name in told} == told
    assert handle(hand, "offset").get_attribute("title") == "offset: rechts"


def test_a_handle_outlives_the_pictures(hand):
    head = handle(hand, "extension").element_handle()
    handle(hand, "extension").focus()

    show(hand, grips=[{**GRIP, "at": [0.5, 0.4], "value": 350}, ANCHOR])

    assert place(hand, "extension")[1] == pytest.approx(250)  # 300 is 50 below 350
    assert head.evaluate("e => e === document.activeElement")


def test_a_refused_set_up_keeps_its_handles_and_a_flat_picture_has_none(hand):
    show(hand, grips=None, values={"extension_mm": 400, "fork_offset_mm": 0})
    assert place(hand, "extension") == pytest.approx((500, 150))

    show(hand, grips=[])
    assert hand.get_by_role("slider").count() == 0


def test_a_drag_sends_whole_steps_and_its_end(hand):
    press(hand, 503, 260)  # 10 px below the centre: these stay between
    to(hand, 503, 250)
    to(hand, 503, 246)
    to(hand, 503, 244)
    to(hand, 503, 212)
    assert place(hand, "extension") == pytest.approx((500, 200))
    hand.mouse.up()

    assert sent(hand) == [
        ("move", "mouse", 325),
        ("move", "mouse", 350),
        ("end", "mouse", 350),
    ]
    assert len({move["grab"] for move in hand.evaluate("sent")}) == 1
    assert {move["grip"] for move in hand.evaluate("sent")} == {"head"}


def test_the_first_move_says_that_a_hand_has_taken_it(hand):
    press(hand, 500, 250)
    to(hand, 500, 225)

    assert sent(hand) == [("start", "mouse", 325)]


def test_a_drag_goes_on_outside_of_the_picture_and_stops_at_its_end(hand):
    press(hand, 500, 250)
    to(hand, 1190, -39)
    to(hand, 1190, 655)
    hand.mouse.up()

    # 289 px up are 11.56 steps; 405 px down are more than there is.
    values = [value for *_, value in sent(hand)]
    assert values == [600, 0, 0]


def test_a_tap_only_selects(hand):
    press(hand, 505, 250)
    to(hand, 505, 247)
    hand.mouse.up()

    assert sent(hand) == []
    head = handle(hand, "extension")
    assert head.evaluate("e => e === document.activeElement")
    assert head.get_attribute("data-held") is None


def test_a_press_beside_every_handle_takes_none(hand):
    press(hand, 530, 250)
    to(hand, 530, 200)
    hand.mouse.up()

    assert sent(hand) == []
    assert hand.evaluate("seen.length") > 0  # it turns the picture


def test_the_nearest_of_two_that_overlap_is_taken(hand):
    show(hand, grips=[GRIP, {**ANCHOR, "at": [0.51, 0.5]}])

    press(hand, 508, 250)  # inside of both: the anchor's centre is at 510
    to(hand, 548, 250)
    hand.mouse.up()

    assert {move["grip"] for move in hand.evaluate("sent")} == {"anchor"}


def test_escape_goes_back_and_the_pointer_has_let_go(hand):
    press(hand, 500, 250)
    to(hand, 500, 150)
    hand.keyboard.press("Escape")
    to(hand, 500, 100)
    hand.mouse.up()

    assert sent(hand) == [("start", "mouse", 400), ("cancel", "mouse", 300)]


@pytest.mark.parametrize("event", ["pointercancel", "lostpointercapture"])
def test_a_pointer_that_is_taken_away_stops_where_it_is(hand, event):
    press(hand, 500, 250)
    to(hand, 500, 150)
    handle(hand, "extension").evaluate(
        """(element, name) => element.dispatchEvent(
            new PointerEvent(name, { pointerId: 1, bubbles: true })
        )""",
        event,
    )
    to(hand, 500, 100)
    hand.mouse.up()

    assert sent(hand) == [("start", "mouse", 400), ("end", "mouse", 400)]


def test_a_frame_on_the_way_moves_no_handle_that_is_held(hand):
    press(hand, 500, 250)
    to(hand, 500, 150)
    late = {"extension_mm": 325, "fork_offset_mm": 0}
    hand.evaluate("frame => handles.show(frame)", {**FRAME, "values": late})

    assert place(hand, "extension") == pytest.approx((500, 150))


def test_a_handle_that_goes_away_in_the_hand_is_let_go(hand):
    press(hand, 500, 250)
    to(hand, 500, 150)
    show(hand, grips=[])
    to(hand, 500, 100)
    hand.mouse.up()

    assert [phase for phase, *_ in sent(hand)] == ["start", "end"]


def test_the_value_stands_by_the_hand(hand):
    press(hand, 500, 250)
    to(hand, 500, 150)

    head = handle(hand, "extension")
    assert head.locator(".pw-bubble").text_content() == "400 mm"
    # The kernel's words are those of another value until it has answered.
    assert head.get_attribute("aria-valuetext") == "400 mm"
    assert head.get_attribute("aria-valuenow") == "400"


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("ArrowUp", 325),
        ("ArrowDown", 275),
        ("Shift+ArrowUp", 302.5),
        ("PageUp", 550),
        ("Home", 0),
        ("End", 900),
    ],
)
def test_keys_move_what_has_the_focus(hand, key, value):
    handle(hand, "extension").press(key)

    assert sent(hand) == [("end", "key", value)]
    head = handle(hand, "extension")
    assert head.evaluate("e => e === document.activeElement")


def test_a_burst_of_keys_loses_no_step(hand):
    for _ in range(15):
        handle(hand, "offset").press("ArrowRight")

    assert [value for *_, value in sent(hand)] == [10 * k for k in range(1, 16)]


def test_keys_that_move_nothing_are_left_to_the_page(hand):
    hand.evaluate("""() => {
        window.left = [];
        document.addEventListener("keydown", (e) => left.push(e.key));
    }""")
    for key in ("r", "Escape", "Control+ArrowUp", "ArrowUp"):
        handle(hand, "extension").press(key)

    assert sent(hand) == [("end", "key", 325)]
    assert hand.evaluate("left") == ["r", "Escape", "Control", "ArrowUp"]


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"still": True}, "erst sagen"),
        ({"grips": [{**GRIP, "locked": True}]}, "erst drehen"),
    ],
)
def test_a_handle_that_is_held_is_reached_says_why_and_does_not_move(
    hand, changes, why
):
    show(hand, **changes)
    press(hand, 500, 250)
    to(hand, 500, 150)
    hand.mouse.up()
    head = handle(hand, "extension")
    head.press("ArrowUp")

    assert sent(hand) == []
    assert head.get_attribute("aria-disabled") == "true"
    assert head.get_attribute("aria-valuetext") == head.get_attribute("title") == why
    assert head.evaluate("e => e === document.activeElement")


@pytest.fixture
def touch(hand):
    client = hand.context.new_cdp_session(hand)

    def touch(kind, *points):
        at = [{"x": 50 + x, "y": 40 + y, "id": k} for k, (x, y) in enumerate(points)]
        client.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})
        time.sleep(0.05)  # moves wait for the screen's next picture

    yield touch
    client.detach()


def test_a_finger_takes_a_handle_from_further_away_and_drags_it(hand, touch):
    touch("touchStart", (518, 250))
    touch("touchMove", (518, 244))  # a finger shakes
    assert sent(hand) == []
    touch("touchMove", (518, 225))
    touch("touchMove", (518, 200))
    touch("touchEnd")

    # How many moves between there are hangs on how busy the browser is.
    first, *_, last = sent(hand)
    assert first[:2] == ("start", "touch")
    assert last == ("end", "touch", 350)
    assert hand.evaluate("seen") == []  # it does not turn the picture as well


def test_a_second_finger_does_not_fight_the_first(hand, touch):
    touch("touchStart", (500, 250))
    touch("touchMove", (500, 225))
    touch("touchStart", (500, 225), (200, 250))  # on the other handle
    touch("touchMove", (500, 200), (300, 250))
    touch("touchEnd")

    assert sent(hand)[-1] == ("end", "touch", 350)
    assert {move["grip"] for move in hand.evaluate("sent")} == {"head"}
    assert hand.evaluate("seen") == []


# ------------------------------------------------------------------ the views


def view(page, name):
    return page.get_by_role("button", name=name)


def test_every_named_view_is_a_button_that_says_whether_it_is_on(hand):
    assert hand.get_by_role("group", name="Ansichten").get_by_role(
        "button"
    ).all_text_contents() == ["daheim", "Seite", "flach"]
    assert view(hand, "daheim").get_attribute("aria-pressed") == "true"
    assert view(hand, "Seite").get_attribute("aria-pressed") == "false"


def test_a_named_view_is_reached_in_a_quarter_of_a_second(hand):
    view(hand, "Seite").click()
    hand.clock.run_for(400)

    seen = hand.evaluate("seen")
    assert seen[-1] == ["side", "end"]
    assert len(seen) > 5
    turns = [at["az"] for at, phase in seen[:-1]]
    assert turns == sorted(turns, reverse=True)
    assert -35 < turns[-1] < turns[0] < 0
    assert view(hand, "Seite").get_attribute("aria-pressed") == "true"


def test_who_wants_no_motion_is_there_at_once_and_flat_always_is(hand):
    view(hand, "flach").click()
    assert hand.evaluate("seen") == [["flat", "end"]]
    assert not hand.locator(".pw-turn").is_visible()
    view(hand, "daheim").click()
    hand.evaluate("calm = true")
    view(hand, "Seite").click()

    assert hand.evaluate("seen.slice(1)") == [["home", "end"], ["side", "end"]]
    assert hand.locator(".pw-turn").is_visible()


def test_a_drag_turns_and_comes_back_to_the_same_view(hand):
    press(hand, 700, 400)
    to(hand, 703, 400)
    assert hand.evaluate("seen") == []  # no drag yet
    to(hand, 750, 450)
    assert hand.evaluate("seen") == [[{"az": -20, "el": 45}, "move"]]
    assert hand.locator(".pw-said").text_content() == "eigene"
    assert view(hand, "daheim").get_attribute("aria-pressed") == "false"
    to(hand, 700, 400)
    hand.mouse.up()

    assert hand.evaluate("seen.slice(1)") == [["home", "move"], ["home", "end"]]
    assert view(hand, "daheim").get_attribute("aria-pressed") == "true"
    assert hand.locator(".pw-said").text_content() == ""


def test_escape_goes_back_to_the_view_before_the_drag(hand):
    hand.locator(".pw-turn").focus()
    press(hand, 700, 400)
    to(hand, 750, 450)
    hand.keyboard.press("Escape")
    to(hand, 790, 450)
    hand.mouse.up()

    assert hand.evaluate("seen.slice(1)") == [["home", "end"]]


def test_arrows_turn_where_the_picture_has_the_focus(hand):
    area = hand.get_by_role("group", name="drehen")
    area.press("ArrowLeft")
    area.press("Shift+ArrowDown")
    area.press("r")

    assert hand.evaluate("seen") == [
        [{"az": 10, "el": 25}, "end"],
        [{"az": 10, "el": 27}, "end"],
    ]


def test_a_finger_turns_sideways_and_a_second_one_stops_it(hand, touch):
    touch("touchStart", (700, 400))
    touch("touchMove", (720, 400))
    touch("touchMove", (750, 400))
    hand.wait_for_timeout(300)
    turned = hand.evaluate("seen.at(-1)")
    assert turned == [{"az": -20, "el": 25}, "move"]

    touch("touchStart", (750, 400), (800, 300))
    touch("touchMove", (760, 420), (900, 200))
    touch("touchEnd")

    assert hand.evaluate("seen.at(-1)") == [{"az": -20, "el": 25}, "end"]


def test_a_view_chosen_elsewhere_is_taken_over_and_told_nobody(hand):
    hand.evaluate("turning.take('side')")

    assert view(hand, "Seite").get_attribute("aria-pressed") == "true"
    assert hand.evaluate("seen") == []
    hand.get_by_role("group", name="drehen").press("ArrowRight")
    assert hand.evaluate("seen.at(-1)") == [{"az": -45, "el": 5}, "end"]
