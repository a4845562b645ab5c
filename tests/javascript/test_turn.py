"""Turning the picture: views from pixels, from keys and from names."""

import pytest

MODULE = "widgets/turn.js"
LIMITS = {"az": 80, "el": [5, 75]}
HOME = {"az": 0, "el": 25}
ABOVE = {"az": -35, "el": 90}


@pytest.fixture
def turned(page):
    def turn(pressed, pixels):
        call = "([view, pixels, limits]) => parts.turned(view, pixels, limits)"
        return page.evaluate(call, [pressed, pixels, LIMITS])

    return turn


@pytest.fixture
def by_key(page):
    def turn(view, key, *, shift=False):
        event = {"key": key, "shiftKey": shift}
        call = "([view, event, limits]) => parts.turnedByKey(view, event, limits)"
        return page.evaluate(call, [view, event, LIMITS])

    return turn


@pytest.mark.parametrize(
    ("pixels", "view"),
    [
        # 0.4 degrees a pixel: what is near goes with the hand, so the eye goes
        # the other way round, and up where the hand goes down.
        ([50, 0], (-20, 25)),
        ([-50, 0], (20, 25)),
        ([0, 50], (0, 45)),
        ([0, -25], (0, 15)),
        ([10, 10], (-4, 29)),
    ],
)
def test_a_hand_turns_the_picture_the_way_it_goes(turned, pixels, view):
    assert turned(HOME, pixels) == pytest.approx({"az": view[0], "el": view[1]})


def test_a_hand_stays_before_the_car_over_the_bench_and_off_the_pole(turned):
    assert turned(HOME, [1000, 1000]) == {"az": -80, "el": 75}
    assert turned(HOME, [-1000, -1000]) == {"az": 80, "el": 5}
    # From straight overhead a hand comes down to where it may turn.
    assert turned(ABOVE, [10, 0]) == {"az": -39, "el": 75}


@pytest.mark.parametrize("pressed", [HOME, ABOVE, {"az": 79.9, "el": 74}])
def test_back_on_the_same_pixel_the_same_view_is_back(turned, pressed):
    away = turned(pressed, [400, 300])

    assert away != pressed
    assert turned(pressed, [0, 0]) == pressed


@pytest.mark.parametrize(
    ("key", "view"),
    [
        ("ArrowRight", (-10, 25)),
        ("ArrowLeft", (10, 25)),
        ("ArrowDown", (0, 35)),
        ("ArrowUp", (0, 15)),
    ],
)
def test_an_arrow_turns_as_a_hand_does_that_goes_its_way(by_key, key, view):
    az, el = view
    assert by_key(HOME, key) == {"az": az, "el": el}
    fine = {"az": az / 5, "el": 25 + (el - 25) / 5}
    assert by_key(HOME, key, shift=True) == pytest.approx(fine)


def test_keys_have_the_limits_of_a_hand_and_others_turn_nothing(by_key):
    assert by_key({"az": -75, "el": 10}, "ArrowRight") == {"az": -80, "el": 10}
    assert by_key({"az": -75, "el": 10}, "ArrowUp") == {"az": -75, "el": 5}
    for key in ("Tab", "Escape", "Home", "r"):
        assert by_key(HOME, key) is None


def test_the_way_between_two_views_starts_at_one_and_ends_at_the_other(page):
    def at(share):
        call = "([from, to, share]) => parts.onTheWay(from, to, share)"
        return page.evaluate(call, [HOME, ABOVE, share])

    assert at(0) == HOME
    assert at(1) == at(2) == ABOVE
    assert at(0.5) == pytest.approx({"az": -17.5, "el": 57.5})
    steps = [at(k / 10)["el"] for k in range(11)]
    assert steps == sorted(steps)
    assert steps[1] - steps[0] < steps[6] - steps[5]  # slow at its ends


def test_a_view_has_a_name_only_where_it_is_the_named_one(page):
    named = {"home": HOME, "above": ABOVE, "flat": None}

    def name(view):
        call = "([view, named]) => parts.nameOf(view, named)"
        return page.evaluate(call, [view, named])

    assert name({"az": 0, "el": 25}) == "home"
    assert name({"az": -35, "el": 90}) == "above"
    assert name({"az": 1, "el": 25}) is None
