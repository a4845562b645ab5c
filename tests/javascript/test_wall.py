"""The instructor's wall: keys from anywhere, one line over what fills the screen."""

import pytest

MODULE = "widgets/wall.js"
CLOCK = {"began": 0, "until": 1e9, "text": "{time} · 2 von 7"}
FRAME = {
    "clock": CLOCK, "voted": "A 3", "said": "Alle zeigen.", "step": "/2",
    "next": {"act": "1", "text": "Taste 1"}, "staged": True, "counting": "",
    "keys": "pscve123456789fr",
}  # fmt: skip
SAYS = {
    "script": "Skript (S)", "script_label": "ganz",
    "controls": "Regler (C)", "controls_label": "Regler statt Teilung",
    "next": "weiter", "next_label": "was folgt",
}  # fmt: skip
PAGE = """<div class="jp-Document" style="height: 400px">
    <div class="pw-class" id="room"><div id="place"></div>
    <div class="pw-teach"><div class="pw-form"><input id="hands"></div></div>
    <div id="stage" class="pw-explorer"><input id="typed">
    <button class="pw-swap">Regler</button>
    <span id="slider" role="slider" tabindex="0">x</span>
    <textarea id="code"></textarea></div></div></div>
    <div class="jp-Document"><button id="other">another notebook</button></div>"""


@pytest.fixture
def wall(shown):
    return shown({"frame": FRAME, "says": SAYS}, PAGE)


def acts(wall):
    return wall.evaluate("model.sent.splice(0).map(({ act }) => act)")


def change(wall, **changed):
    wall.evaluate("frame => model.change('frame', frame)", {**FRAME, **changed})


def has(wall, name):
    return wall.locator("#room").get_attribute(f"data-{name}") is not None


@pytest.mark.parametrize(
    ("focus", "key", "act"),
    [
        ("", "PageDown", ["on"]),
        ("", "PageUp", ["back"]),
        ("", "2", ["2"]),
        ("", "v", ["v"]),
        ("", "x", []),
        ("", "Control+1", []),
        ("slider", "PageDown", ["on"]),  # a remote sends it wherever the focus is
        ("slider", "3", ["3"]),
        ("typed", "PageUp", ["back"]),
        ("typed", "2", []),  # somebody types
        ("hands", "PageDown", ["on"]),
        ("hands", "2", []),
        ("hands", "v", ["v"]),  # no count has a letter in it
        ("code", "PageDown", []),
        ("other", "PageDown", []),  # another notebook scrolls as ever
        ("other", "1", []),
    ],
)
def test_a_key_is_heard_from_anywhere_but_where_it_means_something_else(
    wall, focus, key, act
):
    if focus:
        wall.locator(f"#{focus}").focus()

    wall.keyboard.press(key)

    assert acts(wall) == act


def test_a_view_out_of_sight_or_taken_away_hears_nothing(wall):
    wall.locator("#room").evaluate("e => (e.style.display = 'none')")
    wall.keyboard.press("PageDown")
    wall.locator("#room").evaluate("e => (e.style.display = '')")
    wall.keyboard.press("PageUp")
    assert acts(wall) == ["back"]

    wall.evaluate("clean()")
    wall.keyboard.press("PageDown")

    assert acts(wall) == []
    assert wall.evaluate("model.listeners") == []


def test_script_and_picture_fill_the_screen_together(wall):
    wall.keyboard.press("p")
    wall.wait_for_function("document.fullscreenElement?.id === 'room'")
    stage = wall.locator("#stage")
    stage.evaluate("e => (e.style = 'height: 20px; overflow: auto')")
    for key, moved in (("ArrowDown", True), ("ArrowUp", False)):  # what is below it
        wall.keyboard.press(key)
        assert (stage.evaluate("e => e.scrollTop") > 0) is moved
    wall.locator("#slider").focus()
    wall.keyboard.press("p")
    wall.wait_for_function("document.fullscreenElement === null")


def test_c_opens_the_controls_of_the_explorer_in_sight(wall):
    wall.evaluate("""() => document.querySelector(".pw-swap").addEventListener(
        "click", () => (window.swapped = true))""")

    wall.keyboard.press("c")

    assert wall.evaluate("window.swapped")
    assert acts(wall) == []


def test_what_to_say_stands_there_until_the_next_key(wall):
    assert not has(wall, "said")  # a page that has just been opened
    change(wall, step="/3")
    assert has(wall, "said")
    assert wall.locator(".pw-said").inner_text() == "Alle zeigen."

    wall.keyboard.press("1")
    assert not has(wall, "said")
    change(wall, step="/3", voted="A 3 → 4")
    assert not has(wall, "said")
    assert wall.locator(".pw-clock").text_content().endswith("2 von 7")

    wall.get_by_role("button", name="Taste 1").click()
    assert acts(wall) == ["1", "1"]


def test_s_shows_the_script_until_the_next_step(wall):
    assert has(wall, "staged")
    button = wall.get_by_role("button", name="Skript (S)")

    wall.keyboard.press("s")
    assert has(wall, "script")
    assert button.get_attribute("aria-pressed") == "true"
    change(wall, step="/3")

    assert not has(wall, "script")
    assert button.get_attribute("aria-pressed") == "false"
    change(wall, staged=False)
    assert not has(wall, "staged")


def test_hands_are_typed_at_once_where_they_are_asked_for(wall):
    focused = "document.activeElement.id"
    change(wall, counting="/1")
    assert wall.evaluate(focused) == "hands"

    wall.locator("#other").focus()
    change(wall, counting="/2")
    assert wall.evaluate(focused) == "other"  # who works elsewhere is left there
