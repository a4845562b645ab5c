"""A set-up written in boxes: one text comes of it, and goes back into them."""

import pytest

MODULE = "widgets/card.js"
PARTS = [
    {
        "key": "lean",
        "name": "ram lean",
        "label": "ram lean (deg)",
        "unit": "deg",
        "now": "10°",
    },
    {
        "key": "extension",
        "name": "extension height, tube",
        "label": "extension height (in)",
        "unit": "in",
        "now": "4 in",
    },
]
FIELD = {"name": "a", "parts": PARTS, "legend": "Your set-up", "code": "or a code"}
FORM = {"act": "answer", "fields": [FIELD], "submit": "check (Enter)"}
FRAME = {"title": "7.7", "form": FORM, "focus": "", "count": 1}


@pytest.fixture
def card(shown):
    return lambda text="": shown({"frame": FRAME, "drafts": {"a": text}, "says": {}})


def box(page, label):
    return page.get_by_label(label, exact=True)


def values(page):
    labels = [*(part["label"] for part in PARTS), "or a code"]
    return [box(page, label).input_value() for label in labels]


def kept(page):
    return page.evaluate("model.get('drafts').a")


def test_each_number_has_a_box_with_its_name_and_what_stands_now(card):
    page = card()

    assert page.get_by_role("group", name="Your set-up").count() == 1
    assert box(page, "ram lean (deg)").get_attribute("placeholder") == "10°"
    assert values(page) == ["", "", ""]


def test_what_is_typed_becomes_one_text_with_units(card):
    page = card()

    box(page, "extension height (in)").fill("6 1/2")
    box(page, "ram lean (deg)").fill("12°")

    assert kept(page) == "ram lean = 12°; extension height, tube = 6 1/2 in"


def test_a_code_stands_in_place_of_all_numbers(card):
    page = card()

    box(page, "ram lean (deg)").fill("12")
    box(page, "or a code").fill("PULL1-22")
    with_code = kept(page)
    box(page, "or a code").fill(" ")

    assert (with_code, kept(page)) == ("PULL1-22", "ram lean = 12 deg")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("extension 150 mm; lean 9 deg", ["9 deg", "150 mm", ""]),
        ("extension height, tube = 5 mm; ram lean = 9°", ["9°", "5 mm", ""]),
        ("ram lean = 5 deg; lean", ["", "", "ram lean = 5 deg; lean"]),
        ("PULL1-ABCD", ["", "", "PULL1-ABCD"]),
        ("width 3 mm", ["", "", "width 3 mm"]),
    ],
)
def test_a_text_comes_back_into_its_boxes(card, text, expected):
    page = card(text)

    assert values(page) == expected


def test_a_text_that_the_kernel_puts_there_is_shown_and_typing_is_not_disturbed(card):
    page = card()
    lean = box(page, "ram lean (deg)")
    lean.fill("1")

    page.evaluate("model.change('drafts', model.get('drafts'))")
    assert lean.input_value() == "1"
    page.evaluate("model.change('drafts', { a: 'lean 7 deg' })")

    assert values(page) == ["7 deg", "", ""]


def test_it_is_done_by_keyboard_alone(card):
    page = card()

    page.keyboard.press("Tab")
    page.keyboard.type("11")
    page.keyboard.press("Tab")
    page.keyboard.type("150 mm")
    page.keyboard.press("Enter")

    (sent,) = page.evaluate("model.sent")
    assert sent["typed"] == {"a": "ram lean = 11 deg; extension height, tube = 150 mm"}
    assert sent["act"] == "answer"


def test_the_focus_stays_in_its_box_when_the_form_is_built_anew(card):
    page = card()
    box(page, "extension height (in)").focus()
    other = {**FIELD, "legend": "Other words"}
    frame = {**FRAME, "form": {**FORM, "fields": [other]}, "count": 2}

    page.evaluate("frame => model.change('frame', frame)", frame)

    assert page.evaluate("document.activeElement.dataset.key") == "extension"
