"""Lettered items under the browser's own controls: one text comes of it."""

import pytest

MODULE = "widgets/card.js"
ITEMS = [
    {"letter": letter, "text": text, "up": f"move {letter} up",
     "down": f"move {letter} down"}
    for letter, text in (("a", "front"), ("b", "middle"), ("c", "rear"))
]  # fmt: skip
MORE = {
    "choose": {"own": {"letter": "d", "text": "none of these"}},
    "tick": {},
    "match": {"places": [["1", "datum"], ["2", "centre-line"]]},
    "order": {"stands": [f"place {n} of 3" for n in (1, 2, 3)]},
}


@pytest.fixture
def card(shown):
    def made(kind, text=""):
        pick = {"kind": kind, "legend": "Pick", "items": ITEMS, **MORE[kind]}
        field = {"name": "a", "label": "Letters", "pick": pick}
        form = {"act": "answer", "fields": [field], "submit": "check (Enter)"}
        frame = {"title": "1.1", "form": form, "focus": "", "count": 1}
        return shown({"frame": frame, "drafts": {"a": text}, "says": {}})

    return made


def kept(page):
    return page.evaluate("model.get('drafts').a")


def ticked(page):
    return page.evaluate(
        "[...document.querySelectorAll('.pw-pick input:checked')].map((i) => i.value)"
    )


def letters(page):
    rows = page.locator(".pw-pick li > span").all_inner_texts()
    return "".join(row[0] for row in rows)


def test_a_choice_is_a_letter_and_the_last_one_asks_for_words(card):
    page = card("choose")

    page.get_by_role("radio", name="b: middle").check()
    first = kept(page)
    page.get_by_role("radio", name="d: none of these").check()

    assert (first, kept(page)) == ("b", "d: ")
    assert page.get_by_role("group", name="Pick").count() == 1


@pytest.mark.parametrize(
    ("text", "on"),
    [("c", ["c"]), (" B ", ["b"]), ("d: no", ["d"]), ("dab", []), ("", []), ("x", [])],
)
def test_a_typed_letter_chooses(card, text, on):
    page = card("choose")

    page.get_by_label("Letters").fill(text)

    assert ticked(page) == on
    assert kept(page) == text or text == ""


def test_ticks_are_written_in_order_and_typed_letters_tick(card):
    page = card("tick", "c")

    before = ticked(page)
    page.get_by_role("checkbox", name="a: front").check()
    both = kept(page)
    page.get_by_label("Letters").fill("B A")

    assert (before, both, ticked(page)) == (["c"], "a, c", ["a", "b"])


def test_places_are_chosen_from_a_list_and_typed(card):
    page = card("match")

    page.get_by_label("c: rear").select_option("2")
    page.get_by_label("a: front").select_option("1 datum")
    chosen = kept(page)
    page.get_by_label("Letters").fill("a 2, b1 c")

    assert chosen == "a 1, c 2"
    values = [page.get_by_label(f"{x['letter']}: ").input_value() for x in ITEMS]
    assert values == ["2", "1", ""]


def test_items_are_moved_by_buttons_that_keep_the_focus(card):
    page = card("order")

    up = page.get_by_role("button", name="move c up")
    named = up.get_attribute("aria-label")
    up.focus()
    page.keyboard.press("Space")
    page.keyboard.press("Space")
    moved = letters(page)
    page.keyboard.press("Space")  # it is on top already

    assert named == "move c up, place 3 of 3"
    assert (moved, kept(page), letters(page)) == ("cab", "c, a, b", "cab")
    focused = page.evaluate("document.activeElement.getAttribute('aria-label')")
    assert focused == "move c up, place 1 of 3"


@pytest.mark.parametrize(
    ("text", "stand"), [("b, c, a", "bca"), ("BCA", "bca"), ("b c", "abc"), ("", "abc")]
)
def test_typed_letters_order_the_list_once_all_are_there(card, text, stand):
    page = card("order")

    page.get_by_label("Letters").fill(text)

    assert letters(page) == stand
    assert kept(page) == text


def test_nothing_is_written_before_something_is_moved(card):
    page = card("order")

    assert page.get_by_label("Letters").input_value() == ""


@pytest.mark.parametrize("kind", [*MORE])
def test_enter_in_the_box_hands_the_text_in(card, kind):
    page = card(kind)

    box = page.get_by_label("Letters")
    box.fill("a")
    box.press("Enter")

    sent = page.evaluate("model.sent.at(-1)")
    assert (sent["act"], sent["typed"]) == ("answer", {"a": "a"})


@pytest.mark.parametrize("kind", [*MORE])
def test_every_control_is_large_enough_for_a_finger(card, kind):
    page = card(kind)
    page.add_style_tag(path="widgets/card.css")

    heights = page.evaluate(
        "[...document.querySelectorAll('.pw-pick :is(label, select, button)')]"
        ".map((x) => x.getBoundingClientRect().height)"
    )
    assert heights
    assert min(heights) >= 24
