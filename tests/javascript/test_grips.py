"""Grips: which one a press takes, and the values that pixels and keys make."""

import pytest

MODULE = "widgets/grips.js"
SIZE = [1000, 500]  # px of the picture
# One more of the value goes 2 px to the right and 1 px up.
GRIP = {
    "name": "head",
    "field": "extension_mm",
    "at": [0.5, 0.5],
    "way": [0.002, -0.002],
    "value": 300,
    "low": 0,
    "high": 900,
    "step": 25,
    "grain": 0.1,
    "stops": None,
    "locked": False,
    "shown": {"per": 1, "places": 1, "ending": " mm"},
}
FORK = {**GRIP, "value": 0, "low": -300, "high": 300, "step": 10}
SLOTS = {**FORK, "stops": [-100, -50, 0, 50, 100]}


@pytest.fixture
def call(page):
    def call(name, *given):
        return page.evaluate("([name, given]) => parts[name](...given)", [name, given])

    return call


def test_a_grip_is_drawn_where_its_own_value_is(call):
    assert call("placeOf", GRIP, 300) == [0.5, 0.5]
    assert call("placeOf", GRIP, 350) == pytest.approx([0.6, 0.4])


def test_the_nearest_centre_within_reach_is_taken(call):
    left, right = {**GRIP, "name": "left"}, {**GRIP, "name": "right", "at": [0.51, 0.5]}
    both = [[left, 300], [right, 300]]  # 10 px apart

    def taken(x, y, reach=12):
        grip = call("nearest", both, [x, y], SIZE, reach)
        return grip and grip["name"]

    assert taken(504, 250) == "left"
    assert taken(506, 250) == "right"
    assert taken(505, 250) == "left"  # as near to both: the first
    assert taken(500, 261) == "left"
    assert taken(500, 263) is None
    assert taken(500, 263, reach=22) == "left"
    # Not where it was drawn last, but where its value is now.
    moved = [[left, 320], [right, 300]]
    assert call("nearest", moved, [540, 240], SIZE, 12)["name"] == "left"


def test_a_finger_reaches_and_may_shake_more_than_a_mouse(call):
    assert [call("reach", kind) for kind in ("mouse", "touch", "pen")] == [12, 22, 22]
    assert [call("tap", kind) for kind in ("mouse", "touch", "pen")] == [4, 8, 8]


@pytest.mark.parametrize(
    ("point", "value"),
    [
        ([500, 250], 300),
        ([600, 200], 350),  # along the way: 50 of them
        ([590, 180], 350),  # across it: the nearest point of the way
        ([520, 240], 300),  # 10 of them: no whole step yet
        ([530, 235], 325),
        ([9000, -4000], 900),  # beyond its end it stays there
        ([-9000, 4000], 0),
    ],
)
def test_a_value_follows_the_point_under_the_hand_in_whole_steps(call, point, value):
    assert call("followed", GRIP, point, SIZE) == value


def test_a_grip_that_points_at_the_reader_follows_no_hand(call):
    assert call("followed", {**GRIP, "locked": True}, [600, 200], SIZE) == 300
    assert call("followed", {**GRIP, "way": [0, 0]}, [600, 200], SIZE) == 300


def test_where_there_are_slots_a_hand_goes_from_slot_to_slot(call):
    values = [
        call("followed", SLOTS, [500 + 2 * k, 250 - k], SIZE)
        for k in (0, 24, 26, 74, 76, 400)
    ]

    assert values == [0, 0, 50, 50, 100, 100]


@pytest.mark.parametrize(
    ("way", "more", "less"),
    [
        ([0.002, 0], ["ArrowRight", "ArrowUp"], ["ArrowLeft", "ArrowDown"]),
        ([-0.002, 0], ["ArrowLeft", "ArrowUp"], ["ArrowRight", "ArrowDown"]),
        ([0, -0.002], ["ArrowUp", "ArrowRight"], ["ArrowDown", "ArrowLeft"]),
        ([0, 0.002], ["ArrowDown", "ArrowRight"], ["ArrowUp", "ArrowLeft"]),
        ([0.002, 0.002], ["ArrowRight", "ArrowDown"], ["ArrowLeft", "ArrowUp"]),
    ],
)
def test_an_arrow_always_moves_and_with_the_eye_where_it_can(call, way, more, less):
    grip = {**GRIP, "way": way}
    for key in more:
        assert call("keyed", grip, 300, {"key": key}, SIZE) == 325
    for key in less:
        assert call("keyed", grip, 300, {"key": key}, SIZE) == 275


@pytest.mark.parametrize(
    ("way", "arrow"),
    [
        ([0.002, 0.001], "right"),
        ([-0.002, 0.001], "left"),
        ([0.001, -0.003], "up"),
        ([0.001, 0.003], "down"),
    ],
)
def test_the_arrow_that_means_more_is_told(call, way, arrow):
    assert call("plusArrow", {**GRIP, "way": way}, SIZE) == arrow
    key = f"Arrow{arrow.title()}"
    assert call("keyed", {**GRIP, "way": way}, 300, {"key": key}, SIZE) > 300


def test_keys_go_steps_tenths_pages_and_ends(call):
    def keyed(key, value=300, grip=GRIP, **held):
        return call("keyed", grip, value, {"key": key, **held}, SIZE)

    assert keyed("ArrowRight", shiftKey=True) == 302.5
    assert keyed("ArrowLeft", 302.5, shiftKey=True) == 300
    assert keyed("PageUp") == 550
    assert keyed("PageDown") == 50
    assert keyed("Home") == 0
    assert keyed("End") == 900
    assert keyed("ArrowRight", 900) == 900
    assert keyed("PageDown", 100) == 0
    # Never finer than what is kept.
    fine = {**GRIP, "step": 0.2}
    assert keyed("ArrowRight", 10, fine, shiftKey=True) == pytest.approx(10.1)
    for key in ("Tab", "Escape", "Enter", "r"):
        assert keyed(key) is None


def test_keys_go_from_slot_to_slot(call):
    def keyed(key, value, **held):
        return call("keyed", SLOTS, value, {"key": key, **held}, SIZE)

    assert keyed("ArrowRight", 0) == 50
    assert keyed("ArrowLeft", 0) == -50
    assert keyed("ArrowRight", 20) == 50  # between two: the next one
    assert keyed("ArrowLeft", 20) == 0
    assert keyed("ArrowRight", 100) == 100
    assert keyed("PageUp", -50) == 100
    assert keyed("PageDown", 50) == -100
    assert keyed("Home", 0) == -100
    assert keyed("End", 0) == 100
    assert keyed("ArrowRight", 0, shiftKey=True) == 1


def test_a_value_is_shown_in_the_readers_unit(call):
    inches = {**GRIP, "shown": {"per": 1 / 25.4, "places": 2, "ending": " in"}}

    assert call("shown", GRIP, 325) == "325 mm"
    assert call("shown", GRIP, -50) == "−50 mm"
    assert call("shown", GRIP, 302.5) == "302.5 mm"
    assert call("shown", GRIP, -0.02) == "0 mm"
    assert call("shown", inches, 127) == "5 in"
    assert (
        call("shown", {**GRIP, "shown": {**inches["shown"], "ending": "°"}}, 57.15)
        == "2.25°"
    )


# Spots of a hook: three slots side by side, one of another fork below the last.
SPOTS = {
    **GRIP,
    "value": 3,
    "stops": [3, 4, 5, 9],  # what would not stand has no spot
    "spots": [[0.4, 0.5], [0.5, 0.48], [0.6, 0.46], [0.62, 0.7]],
    "names": ["one", "two", "three", "below"],
    "step": 1,
    "grain": 1,
}


def test_a_grip_that_goes_from_spot_to_spot_is_where_its_spot_is(call):
    assert call("placeOf", SPOTS, 5) == [0.6, 0.46]
    assert call("followed", SPOTS, [505, 300], SIZE) == 4
    assert call("followed", SPOTS, [630, 330], SIZE) == 9
    assert call("followed", {**SPOTS, "value": 9}, [-50, 0], SIZE) == 3
    assert call("shown", SPOTS, 9) == "below"


@pytest.mark.parametrize(
    ("key", "value", "there"),
    [
        ("ArrowRight", 3, 4),  # the nearest on that side, not the farthest
        ("ArrowRight", 4, 5),
        ("ArrowLeft", 4, 3),
        ("ArrowDown", 5, 9),
        ("ArrowUp", 9, 5),
        ("ArrowLeft", 3, 3),  # nothing lies there
        ("PageUp", 5, 9),  # the next of them, wherever it is
        ("PageDown", 9, 5),
        ("Home", 9, 3),
        ("End", 3, 9),
    ],
)
def test_an_arrow_goes_to_the_nearest_spot_on_its_side(call, key, value, there):
    assert call("keyed", SPOTS, value, {"key": key}, SIZE) == there
