"""Arrows drawn on a sketch or written in rows: one text comes of them."""

import pytest

MODULE = "widgets/card.js"
SVG = (
    '<svg class="pw-sheet" xmlns="http://www.w3.org/2000/svg" role="img" '
    'aria-label="rig" viewBox="0 0 420 340" width="420" height="340"></svg>'
)
BOARD = {
    "places": [{"name": "H", "x": 200, "y": 120}, {"name": "C", "x": 60, "y": 200}],
    "scale": 2.0,
}
WORDS = {
    "legend": "Your arrows", "at": "acts at", "angle": "angle", "add": "add an arrow",
    "arrow": ["Arrow 1", "Arrow 2", "Arrow 3"],
    "turn": [f"turn arrow {n} round" for n in (1, 2, 3)],
    "remove": [f"remove arrow {n}" for n in (1, 2, 3)],
}  # fmt: skip
FIELD = {
    "name": "a", "board": BOARD, "unit": "kN", "step": 0.5, "words": WORDS,
    "size": "size (kN)",
}  # fmt: skip
FORM = {"act": "answer", "fields": [FIELD], "submit": "check (Enter)"}
FRAME = {"title": "7.8", "sketch": SVG, "form": FORM, "focus": "", "count": 1}


@pytest.fixture
def card(shown):
    return lambda text="": shown({"frame": FRAME, "drafts": {"a": text}, "says": {}})


def kept(page):
    return page.evaluate("model.get('drafts').a")


def arrow(page, number):
    return page.get_by_role("group", name=f"Arrow {number}", exact=True)


def at(page, x, y):
    """Return where a point of the sketch is on the page."""
    box = page.locator(".pw-sketch svg").bounding_box()
    return box["x"] + x * box["width"] / 420, box["y"] + y * box["height"] / 340


def drag(page, start, end):
    page.mouse.move(*at(page, *start))
    page.mouse.down()
    page.mouse.move(*at(page, *start))
    page.mouse.move(*at(page, *end))
    page.mouse.up()


def test_an_arrow_is_added_and_written_by_keyboard_alone(card):
    page = card()

    page.get_by_role("button", name="add an arrow").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.tagName") == "SELECT"
    page.keyboard.press("C")
    page.keyboard.press("Tab")
    page.keyboard.type("30")
    page.keyboard.press("Tab")
    page.keyboard.type("12,5")
    page.keyboard.press("Enter")

    (sent,) = page.evaluate("model.sent")
    assert sent["typed"] == {"a": "C 30° 12,5 kN"}


def test_an_arrow_that_is_dragged_out_of_its_point_has_angle_and_size(card):
    page = card()

    drag(page, (200, 120), (260, 60))  # 60 along and 60 up: 45°, 84.9 pixels

    assert kept(page) == "H 45° 42.5 kN"
    assert arrow(page, 1).get_by_label("angle").input_value() == "45"
    assert page.locator(".pw-sketch line.pw-own").count() == 1


def test_a_second_arrow_is_dragged_out_of_the_same_point(card):
    page = card("H 0° 20 kN; H 90° 20 kN")

    drag(page, (200, 120), (100, 120))

    assert kept(page) == "H 0° 20 kN; H 90° 20 kN; H 180° 50 kN"


def test_a_drag_that_goes_nowhere_draws_nothing(card):
    page = card()

    drag(page, (200, 120), (204, 121))

    assert kept(page) in {"", None}
    assert page.locator(".pw-own").count() == 0


def test_the_tip_of_an_arrow_is_dragged_on(card):
    page = card("H 0° 20 kN")

    drag(page, (240, 120), (200, 200))  # straight down: 270°, 80 pixels

    assert kept(page) == "H 270° 40 kN"


def test_escape_puts_an_arrow_back(card):
    page = card("H 0° 20 kN")
    page.mouse.move(*at(page, 240, 120))
    page.mouse.down()
    page.mouse.move(*at(page, 200, 200))

    page.keyboard.press("Escape")
    page.mouse.up()

    assert kept(page) == "H 0° 20 kN"


def test_arrows_are_turned_round_and_removed_by_buttons(card):
    page = card("H 30° 20 kN; C 200° 5 kN")

    page.get_by_role("button", name="turn arrow 1 round").press("Enter")
    turned = kept(page)
    page.get_by_role("button", name="remove arrow 1").press("Enter")

    assert turned == "H 210° 20 kN; C 200° 5 kN"
    assert kept(page) == "C 200° 5 kN"
    assert page.evaluate("document.activeElement.title") == "remove arrow 1"


def test_there_are_no_more_arrows_than_have_a_name(card):
    page = card("H 1° 9 kN; H 2° 9 kN; H 3° 9 kN")

    drag(page, (60, 200), (100, 200))

    assert page.get_by_role("button", name="add an arrow").count() == 0
    assert kept(page) == "H 1° 9 kN; H 2° 9 kN; H 3° 9 kN"


def test_another_unit_stays_as_it_is_typed(card):
    page = card("H 30° 20 kN")

    arrow(page, 1).get_by_label("size (kN)").fill("4500 lbf")

    assert kept(page) == "H 30° 4500 lbf"


def test_a_text_comes_back_into_rows_and_the_picture(card):
    page = card("h 30 deg 20 kN; C 200° 5 kN")

    assert arrow(page, 1).get_by_label("acts at").input_value() == "H"
    assert arrow(page, 2).get_by_label("size (kN)").input_value() == "5"
    assert page.locator(".pw-sketch line.pw-own").count() == 2
    assert page.locator(".pw-sketch text").all_text_contents() == ["1", "2"]


def test_the_arrows_stay_on_the_picture_when_it_is_drawn_anew(card):
    page = card("H 30° 20 kN")

    frame = {**FRAME, "sketch": SVG.replace("rig", "another rig"), "count": 2}
    page.evaluate("frame => model.change('frame', frame)", frame)
    drawn = page.locator(".pw-sketch line.pw-own").count()
    drag(page, (60, 200), (100, 200))

    assert drawn == 1
    assert kept(page) == "H 30° 20 kN; C 0° 20 kN"


def test_a_card_that_is_built_before_it_stands_on_the_page_can_be_drawn_on(card):
    page = card()

    page.evaluate(
        """([frame]) => {
        place.remove();
        const second = document.createElement("div");
        const drafts = { a: "" };
        window.model = new Model({ frame, drafts, says: {} });
        widget.render({ model, el: second });
        document.body.append(second);
    }""",
        [FRAME],
    )
    drag(page, (200, 120), (260, 120))

    assert kept(page) == "H 0° 30 kN"


def test_a_card_without_a_box_lets_the_picture_alone(card):
    page = card("H 30° 20 kN")

    frame = {**FRAME, "form": None, "count": 2}
    page.evaluate("frame => model.change('frame', frame)", frame)

    assert page.locator(".pw-own").count() == 0
