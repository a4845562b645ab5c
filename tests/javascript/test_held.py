"""Held controls in a browser: they can be reached and read, and trying says why."""

import pytest

MODULE = "widgets/stage.js"
WHY = "First say what you expect."
BUTTONS = ("projector", "controls", "smaller", "larger", "keys")
SAYS = {
    **dict.fromkeys((*BUTTONS, *(f"{name}_label" for name in BUTTONS)), "x"),
    "keys_on": "x",
    "keys_off": "x",
    "typed": "{name}, typed",
    "first": WHY,
}
FRAME = dict.fromkeys(
    ("picture", "refusal", "three", "beside", "words", "more", "numbers", "spoken"), ""
)
EXPLORER = """
<div class="pw-explorer" tabindex="-1">
  <div class="pw-held">
    <span id="label">lean</span>
    <div id="track"><div role="slider" tabindex="0" id="handle"></div></div>
    <input type="text" id="box" value="12.5"></div>
  <div class="pw-held"><select id="list"><option>one</option><option>two</option>
    </select></div>
  <button id="freeze" class="pw-held">freeze</button>
  <button id="units">kN</button>
  <div id="place"></div>
</div>
"""
HEARD = """() => {
    window.heard = [];
    for (const kind of ["pointerdown", "click", "keydown", "change", "input"])
        for (const id of ["track", "handle", "list", "freeze", "units", "box"])
            document.getElementById(id).addEventListener(
                kind, (event) => heard.push([id, kind, event.key ?? ""].join(" "))
            );
}"""
MOVABLE = ("#handle", "#box", "#list", "#freeze")


@pytest.fixture
def held(shown):
    values = {"frame": {**FRAME, "count": 1}, "says": SAYS, "widths": {}, "space": {}}
    page = shown({**values, "room": "page"}, EXPLORER)
    page.evaluate(HEARD)
    return page


def let_go(page):
    page.evaluate("""() => document.querySelectorAll(".pw-held").forEach(
        (part) => part.classList.remove("pw-held")
    )""")


def why(page):
    return page.locator(".pw-why").text_content()


@pytest.mark.parametrize("part", MOVABLE)
def test_a_held_part_can_be_reached_and_is_told_to_be_held(held, part):
    at = held.locator(part)

    at.focus()

    assert held.evaluate("document.activeElement.id") == part[1:]
    assert at.get_attribute("aria-disabled") == "true"
    assert at.get_attribute("title") == WHY
    assert not at.evaluate("part => part.disabled ?? false")
    assert held.locator("#units").get_attribute("aria-disabled") is None


@pytest.mark.parametrize(
    ("part", "keys"),
    [
        ("#handle", ["ArrowRight", "PageUp", "Home"]),
        ("#list", ["ArrowDown", "t"]),
        ("#freeze", ["Enter", " "]),
    ],
)
def test_keys_on_what_is_held_move_nothing_and_say_why(held, part, keys):
    for key in keys:
        held.locator("#units").focus()
        assert why(held) == ""
        held.locator(part).focus()

        held.keyboard.press(key)

        assert why(held) == WHY
        assert not [x for x in held.evaluate("heard") if "keydown" not in x]
    assert held.locator("#list").input_value() == "one"
    moving = [f"{part[1:]} keydown {key}" for key in keys if len(key) > 1]
    assert part == "#freeze" or not {*moving} & {*held.evaluate("heard")}


def test_what_is_typed_into_a_held_box_stays_out(held):
    held.locator("#box").focus()

    held.keyboard.type("99")

    assert held.locator("#box").input_value() == "12.5"
    assert why(held) == WHY


@pytest.mark.parametrize("part", ["#track", "#list", "#freeze", "#label"])
def test_a_pointer_on_what_is_held_moves_nothing_and_says_why(held, part):
    held.evaluate("document.getElementById('track').style.height = '20px'")

    held.locator(part).click(force=True)

    assert held.evaluate("heard") == []
    assert why(held) == WHY
    assert held.evaluate("document.activeElement.matches('[aria-disabled]')")


def test_single_letters_say_why_too_and_the_projector_is_free(held):
    held.locator("#units").focus()

    held.keyboard.press("f")

    assert why(held) == WHY
    assert held.evaluate("model.sent") == []
    held.locator("#handle").press("p")
    held.wait_for_function("() => document.fullscreenElement")
    held.evaluate("document.exitFullscreen()")


def test_the_reason_stands_under_what_was_tried_and_goes_when_the_reader_goes_on(held):
    held.locator("#freeze").click(force=True)
    told, tried = (held.locator(part).bounding_box() for part in (".pw-why", "#freeze"))
    assert 0 <= told["y"] - tried["y"] - tried["height"] < 20

    held.keyboard.press("Tab")

    assert why(held) == ""


def test_tab_and_the_keys_of_the_browser_pass(held):
    held.locator("#handle").focus()

    held.keyboard.press("Tab")

    assert held.evaluate("document.activeElement.id") == "box"
    held.locator("#list").press("Control+a")
    assert why(held) == ""


def test_what_is_let_go_moves_again_and_is_no_longer_marked(held):
    held.locator("#box").click(force=True)
    assert why(held) == WHY
    let_go(held)

    assert why(held) == ""
    for part in MOVABLE:
        assert held.locator(part).get_attribute("aria-disabled") is None
        assert held.locator(part).get_attribute("title") is None
    held.locator("#box").fill("7")
    held.locator("#list").select_option("two")
    held.locator("#freeze").click()
    held.locator("#handle").press("ArrowRight")
    heard = held.evaluate("heard")
    for told in (
        "box input",
        "list change",
        "freeze click",
        "handle keydown ArrowRight",
    ):
        assert any(x.strip() == told for x in heard), told


def test_a_stage_taken_away_holds_nothing(held):
    held.evaluate("clean()")

    held.locator("#freeze").click(force=True)

    assert "freeze click " in held.evaluate("heard")
