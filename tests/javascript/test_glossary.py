"""Words with their meaning: which are marked, what shows it, where it stands."""

import pytest

MODULE = "workbook/reader/labextensions/pullwright/static/glossary.js"
WORDS = {
    "ram": [["ram", "rams"], "it pushes"],
    "pull_leg": [["pull leg"], "chain to C"],
    "leg": [["leg"], "part of a chain"],
    "pull": [["pull"], "what the chain does"],
}
STYLE = "<style>.pw-meaning{position:fixed;max-width:100px;height:40px}</style>"


@pytest.fixture
def marked(page):
    """Return a function that marks texts up and returns the words marked in them."""

    def mark(*texts):
        html = STYLE + "".join(f"<div class=text>{text}</div>" for text in texts)
        page.evaluate(
            """([html, words]) => {
                document.body.innerHTML = html;
                window.glossary = new parts.Glossary(words);
                window.texts = document.querySelectorAll(".text");
                window.again = () => glossary.markUp(texts);
                again();
            }""",
            [html, WORDS],
        )
        return page.locator(".pw-word").all_text_contents()

    return mark


def meaning(page):
    note = page.get_by_role("tooltip")
    return note.text_content() if note.is_visible() else None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("<p>The ram, and a ram.", ["ram"]),
        ("<p>Two Rams. <b>RAM</b>", ["Rams"]),
        ("<p>A frame in the program ramp", []),
        ("<p>The pull leg has a leg.", ["pull leg", "leg"]),
        ("<p>The pull\nleg", ["pull\nleg"]),
        ("<h2>The ram</h2><p>A ram", ["ram"]),
        ("<p>Ram<h2>Next</h2><p>ram", ["Ram", "ram"]),
        ("<p><code>ram</code> <a href=x>ram</a>", []),
        ("<ul><li>a ram<li>a leg</ul>", ["ram", "leg"]),
        ("<p>&lt;i&gt;ram", ["ram"]),
    ],
)
def test_a_word_is_marked_where_a_section_has_it_first(marked, text, words):
    assert marked(text) == words


def test_a_word_over_two_lines_is_the_same_word(marked, page):
    marked("<p>The Pull\nleg")

    assert page.locator(".pw-word").get_attribute("data-word") == "pull_leg"


def test_a_section_goes_on_in_the_next_text_until_a_heading(marked):
    assert marked("<h2>One</h2><p>ram", "<p>ram, leg", "<h3>Two</h3><p>ram") == [
        "ram",
        "leg",
        "ram",
    ]


def test_what_is_said_stays_word_for_word_and_marking_again_changes_nothing(
    marked, page
):
    marked("<p>One ram &amp; its <b>pull leg</b>: &lt;i&gt; rams.")
    once = page.content()
    page.evaluate("again()")

    assert page.locator(".text").text_content() == "One ram & its pull leg: <i> rams."
    assert page.content() == once


def test_focus_shows_the_meaning_and_escape_or_leaving_puts_it_away(marked, page):
    marked("<p>A ram, a leg.")
    assert meaning(page) is None

    page.keyboard.press("Tab")
    assert meaning(page) == "it pushes"
    page.keyboard.press("Tab")
    assert meaning(page) == "part of a chain"
    page.keyboard.press("Escape")
    assert meaning(page) is None
    page.keyboard.press("Shift+Tab")
    assert meaning(page) == "it pushes"
    page.keyboard.press("Shift+Tab")
    assert meaning(page) is None


def test_the_pointer_shows_the_meaning_while_it_is_there(marked, page):
    marked("<p>A ram", "<p id=else>else")

    page.locator(".pw-word").hover()
    assert meaning(page) == "it pushes"
    page.locator("#else").hover()
    assert meaning(page) is None


def test_a_tap_shows_the_meaning_where_it_gives_no_focus(marked, page):
    marked("<p>A ram")

    page.evaluate("document.querySelector('.pw-word').click()")

    assert meaning(page) == "it pushes"


def test_a_word_is_described_by_its_meaning_and_keeps_its_keys(marked, page):
    marked("<p>A ram")
    word = page.locator(".pw-word")

    described = page.locator(f"#{word.get_attribute('aria-describedby')}")

    assert described.text_content() == "it pushes"
    assert word.get_attribute("data-lm-suppress-shortcuts") == "true"


@pytest.mark.parametrize("side", ["left:0;top:0", "right:0;bottom:0"])
def test_the_meaning_stays_on_the_page_and_off_its_word(marked, page, side):
    marked(f"<p style='position:fixed;margin:0;{side}'>ram")

    page.locator(".pw-word").focus()

    note = page.get_by_role("tooltip").bounding_box()
    word = page.locator(".pw-word").bounding_box()
    size = page.viewport_size
    assert 0 <= note["x"] <= size["width"] - note["width"]
    assert 0 <= note["y"] <= size["height"] - note["height"]
    assert (
        note["y"] >= word["y"] + word["height"]
        or note["y"] + note["height"] <= word["y"]
    )


def test_the_meaning_follows_its_word_when_the_page_scrolls(marked, page):
    marked("<p>ram", "<p style='height:3000px'>")
    page.locator(".pw-word").focus()
    before = page.get_by_role("tooltip").bounding_box()["y"]

    page.evaluate("scrollTo(0, 10); document.dispatchEvent(new Event('scroll'))")

    assert page.get_by_role("tooltip").bounding_box()["y"] == before - 10
