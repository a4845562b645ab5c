"""The stage in a browser: picture and words, names, keys, sizes, and its end."""

import pytest

MODULE = "widgets/stage.js"
SAYS = {
    "typed": "{name} / by hand",
    "projector": "Wand",
    "projector_label": "Wand voll",
    "controls": "Regler",
    "controls_label": "Regler statt Teilung",
    "smaller": "klein",
    "smaller_label": "Schrift klein",
    "larger": "gross",
    "larger_label": "Schrift gross",
    "keys_on": "Tasten an",
    "keys_off": "Tasten aus",
    "keys_label": "Tasten P F R",
    "named": "benannte",
    "units": "Einheiten",
    "first": "Erst sagen.",
}
TOOLS = ("projector", "controls", "smaller", "larger", "keys")
FRAME = {
    "picture": "<svg role=img aria-label=rig></svg>",
    "refusal": "<p>too flat</p>",
    "three": "<p><b>3 kN</b> <span>pull</span></p>",
    "beside": "<svg aria-label=split></svg>",
    "more": "<svg aria-label=path></svg>",
    "numbers": "<table><tr><td>pull</td><td>3 kN</td></tr></table>",
    "words": "It pulls 3 kN.",
    "spoken": "It pulls 3 kN.",
    "count": 1,
}
WIDTHS = {"page": 640, "phone": 390, "projector": 770}
VALUES = {
    "frame": FRAME,
    "says": SAYS,
    "room": "page",
    "letters": 1,
    "widths": WIDTHS,
    "space": {},
}
# The notebook's own widgets round a stage, as far as the stage looks at them.
EXPLORER = """
<div class="pw-explorer" tabindex="-1">
  <div class="pw-units"><button>mm</button><button>in</button></div>
  <div class="pw-control pw-left">
    <div class="widget-slider"><span class="widget-label">lean (deg)</span>
      <div role="slider" tabindex="0" id="handle"></div></div>
    <input type="text" id="box" value="12.5"></div>
  <div><div id="fold" class="jupyter-widget-Collapse-header"><i></i>more</div>
    <div id="folded" class="lm-mod-hidden"></div></div>
  <div class="pw-named"><select><option>one</option></select></div>
  <div id="place"></div>
</div>
<button id="elsewhere">elsewhere</button>
"""


@pytest.fixture
def stage(shown):
    return shown(VALUES, EXPLORER)


def tool(page, name):
    return page.get_by_title(SAYS[f"{name}_label"], exact=True)


def sent(page):
    return page.evaluate("model.sent")


def later(**changes):
    return {**FRAME, **changes}


def change(page, **changes):
    page.evaluate("frame => model.change('frame', frame)", later(**changes))


# --------------------------------------------------------------- what it shows


def test_picture_numbers_and_words_of_a_frame_are_shown(stage):
    assert stage.locator(".pw-picture svg").get_attribute("aria-label") == "rig"
    assert stage.locator(".pw-numbers td").all_text_contents() == ["pull", "3 kN"]
    assert stage.locator(".pw-words").text_content() == "It pulls 3 kN."
    assert stage.locator("#place").get_attribute("data-frame") == "1"


def test_every_part_of_a_frame_has_its_place(stage):
    for part, name in (("picture", "rig"), ("beside", "split"), ("more", "path")):
        drawn = stage.locator(f".pw-{part} svg")
        assert drawn.get_attribute("aria-label") == name
    assert stage.locator(".pw-three").text_content() == "3 kN pull"
    assert stage.locator(".pw-picture .pw-over").text_content() == "too flat"


def test_what_lies_over_the_picture_stays_when_the_picture_changes(stage):
    hand = stage.locator(".pw-picture > .pw-hand").element_handle()

    change(stage, picture="<svg aria-label=next></svg>", count=2)

    assert hand.evaluate("hand => hand.isConnected")
    assert stage.locator(".pw-picture > :last-child.pw-hand").count() == 1


def test_the_next_frame_takes_its_place(stage):
    change(stage, picture="", numbers="", words="<b>No.</b>", count=2)

    assert stage.locator(".pw-drawn *").count() == 0
    assert stage.locator(".pw-words b").text_content() == "No."
    assert stage.locator("#place").get_attribute("data-frame") == "2"


def test_words_are_spoken_once_the_controls_rest_and_only_the_last(stage):
    live = stage.locator(".pw-live")
    assert live.get_attribute("aria-live") == "polite"
    for count in (2, 3, 4):
        change(stage, spoken=f"frame {count}", count=count)
        stage.clock.run_for(400)
        assert live.text_content() == ""

    stage.clock.run_for(101)

    assert live.text_content() == "frame 4"
    stage.clock.run_for(5001)
    assert live.text_content() == ""  # the words below the picture say it too


# --------------------------------------------------------------------- names


def test_what_the_notebook_leaves_without_a_name_gets_one(stage):
    def name(selector):
        return stage.locator(selector).get_attribute("aria-label")

    assert name("#handle") == "lean (deg)"
    assert name("#box") == "lean (deg) / by hand"
    assert stage.locator("#handle").get_attribute("aria-valuetext") == "12.5"
    assert name(".pw-named select") == "benannte"
    assert name(".pw-units") == "Einheiten"
    assert stage.locator(".pw-units").get_attribute("role") == "group"


def test_a_slider_made_anew_is_named_after_the_next_rest(stage):
    stage.evaluate("""() => {
        document.querySelector(".widget-label").textContent = "lean (in)";
        document.querySelector("#box").value = "0.5";
    }""")
    change(stage, count=2)
    stage.clock.run_for(501)

    assert stage.locator("#handle").get_attribute("aria-label") == "lean (in)"
    assert stage.locator("#handle").get_attribute("aria-valuetext") == "0.5"


def test_the_fold_of_the_controls_opens_with_keys_and_tells_that_it_is_open(stage):
    turn = '() => folded.classList.toggle("lm-mod-hidden")'
    stage.evaluate(f'fold.addEventListener("click", {turn})')
    fold = stage.get_by_role("button", name="more", exact=True)
    states = [fold.get_attribute("aria-expanded")]

    fold.focus()
    for key in ("Enter", "Space"):
        stage.keyboard.press(key)
        stage.clock.run_for(1)
        states.append(fold.get_attribute("aria-expanded"))

    assert states == ["false", "true", "false"]


def test_a_page_without_these_widgets_is_no_trouble(shown):
    page = shown(VALUES)
    page.clock.run_for(501)

    assert page.locator(".pw-live").text_content() == "It pulls 3 kN."


def test_every_word_of_the_page_comes_from_the_language(stage):
    buttons = stage.locator(".pw-tools button")

    said = ["Wand", "Regler", "klein", "gross", "Tasten an"]
    assert buttons.all_text_contents() == said
    # What is read on a button is its name; what it does is told besides.
    more = [b.get_attribute("title") for b in buttons.all()]
    assert more == [SAYS[f"{n}_label"] for n in TOOLS]
    assert not any(b.get_attribute("aria-label") for b in buttons.all())


# ---------------------------------------------------------------------- keys


@pytest.mark.parametrize("key", ["f", "F", "r", "1", "9"])
def test_single_keys_go_to_the_kernel(stage, key):
    stage.locator("#handle").press(key)

    assert sent(stage) == [{"key": key.lower()}]


@pytest.mark.parametrize("key", ["x", "0", "Enter", "ArrowUp", "Tab"])
def test_other_keys_are_left_to_the_page(stage, key):
    stage.evaluate("""() => document.addEventListener(
        "keydown", (event) => (window.left = !event.defaultPrevented)
    )""")

    stage.locator("#handle").press(key)

    assert sent(stage) == []
    assert stage.evaluate("left")


def test_a_key_that_was_used_is_not_used_again(stage):
    stage.evaluate("""() => document.addEventListener(
        "keydown", (event) => (window.used = event.defaultPrevented)
    )""")

    stage.locator("#handle").press("f")

    assert stage.evaluate("used")


@pytest.mark.parametrize("selector", ["#box", ".pw-named select"])
def test_keys_typed_into_a_box_or_a_list_are_text(stage, selector):
    stage.locator(selector).press("f")

    assert sent(stage) == []


@pytest.mark.parametrize("held", ["Control", "Alt", "Meta"])
def test_keys_with_another_held_down_belong_to_the_browser(stage, held):
    stage.locator("#handle").press(f"{held}+f")

    assert sent(stage) == []


def test_keys_pressed_elsewhere_on_the_page_do_nothing(stage):
    stage.locator("#elsewhere").press("f")

    assert sent(stage) == []


def test_single_keys_can_be_switched_off_and_stay_off(stage, shown):
    switch = stage.locator(".pw-tools button").last
    assert switch.get_attribute("aria-pressed") == "true"

    switch.click()
    stage.locator("#handle").press("f")

    assert sent(stage) == []
    assert switch.text_content() == "Tasten aus"
    assert switch.get_attribute("aria-pressed") == "false"

    again = shown(VALUES, EXPLORER)
    assert again.locator(".pw-tools button").last.text_content() == "Tasten aus"

    again.locator(".pw-tools button").last.click()
    again.locator("#handle").press("f")
    assert sent(again) == [{"key": "f"}]


@pytest.mark.parametrize("key", ["PageUp", "PageDown"])
def test_a_page_on_a_slider_goes_twice_the_sliders_own_five_steps(stage, key):
    stage.evaluate("""() => {
        window.heard = [];
        const handle = document.querySelector("#handle");
        handle.addEventListener("keydown", (event) => heard.push(event.key));
    }""")

    stage.locator("#handle").press(key)

    assert stage.evaluate("heard") == [key, key]


def test_the_notebooks_own_shortcuts_keep_out(stage):
    root = stage.locator(".pw-explorer")

    assert root.get_attribute("data-lm-suppress-shortcuts") == ""


# --------------------------------------------------------------------- sizes


def size(page, name):
    return page.locator(".pw-explorer").evaluate(
        "(root, name) => +root.style.getPropertyValue(name)", name
    )


def test_text_grows_and_shrinks_in_steps_within_its_ends(stage):
    smaller, larger = (tool(stage, name) for name in ("smaller", "larger"))
    assert size(stage, "--pw-own-words") == 1

    smaller.click()
    assert size(stage, "--pw-own-words") == 1
    larger.click()
    stage.locator("#handle").press("+")
    assert size(stage, "--pw-own-words") == 1.5
    for _ in range(9):
        larger.click()
    assert size(stage, "--pw-own-words") == 2.5
    # Letters inside a picture grow less, and the kernel makes room for them.
    assert stage.evaluate("model.values.letters") == 1.5
    assert stage.evaluate("model.saved.at(-1).letters") == 1.5
    stage.locator("#handle").press("-")
    assert size(stage, "--pw-own-words") == 2.25


def test_the_size_of_text_is_remembered(stage, shown):
    tool(stage, "larger").click()

    again = shown(VALUES, EXPLORER)

    assert size(again, "--pw-own-words") == 1.25


PREFS = "import('/prefs.js').then(({ prefs }) => prefs())"
REMEMBERED = "import('/prefs.js').then(({ remember }) => remember({ text: 2 }))"


def test_a_browser_that_remembers_nonsense_or_nothing_starts_plain(stage):
    plain = {"text": 1, "keys": True}
    stage.evaluate("localStorage.setItem('pullwright', '{nonsense')")
    assert stage.evaluate(PREFS) == plain

    stage.evaluate("""() => {
        Storage.prototype.getItem = Storage.prototype.setItem = () => {
            throw new Error("no storage");
        };
    }""")
    assert stage.evaluate(PREFS) == plain
    assert stage.evaluate(REMEMBERED) == {"text": 2, "keys": True}


# ---------------------------------------------------------------------- room


@pytest.mark.parametrize(
    ("width", "layout", "room"),
    [
        (390, "one", "phone"),
        (640, "under", "page"),
        (900, "two", "page"),
        (1220, "three", "page"),
    ],
)
def test_the_layout_follows_from_the_width_and_the_kernel_hears_of_the_room(
    stage, width, layout, room
):
    stage.locator(".pw-explorer").evaluate(
        "(root, width) => (root.style.width = `${width}px`)", width
    )
    root = f".pw-explorer[data-layout='{layout}'][data-room='{room}']"
    stage.locator(root).wait_for(state="attached")

    assert stage.evaluate("model.values.room") == room
    assert stage.evaluate("model.saved.length") == (room != "page")


@pytest.mark.parametrize(
    ("width", "letters"), [(390, 1), (300, 1.3), (200, 1.5), (640, 1), (540, 1.2)]
)
def test_letters_grow_where_a_picture_is_shown_smaller_than_it_is_drawn(
    stage, width, letters
):
    stage.locator(".pw-explorer").evaluate(
        "(root, width) => (root.style.width = `${width}px`)", width
    )

    stage.wait_for_function("letters => model.values.letters === letters", arg=letters)


def test_larger_words_stand_in_fewer_columns(stage):
    root = stage.locator(".pw-explorer")
    assert root.get_attribute("data-layout") == "three"

    for _ in range(4):
        tool(stage, "larger").click()

    assert root.get_attribute("data-layout") == "two"


# ----------------------------------------------------------------- projector


def test_the_projector_fills_the_screen_and_the_kernel_is_told(stage):
    wall = stage.locator(".pw-tools button").first

    wall.click()
    stage.wait_for_function("() => model.values.room === 'projector'")
    filled = "document.fullscreenElement === document.querySelector('.pw-explorer')"
    assert stage.evaluate(filled)
    assert stage.evaluate("model.saved.at(-1).room") == "projector"

    # Keys go on from there, also where the controls are put away.
    assert stage.evaluate("document.activeElement.title") == "Wand voll"
    stage.keyboard.press("c")
    assert tool(stage, "controls").get_attribute("aria-pressed") == "true"
    assert stage.evaluate("document.activeElement.id") == "handle"
    stage.keyboard.press("c")
    assert stage.locator(".pw-explorer[data-controls]").count() == 0
    stage.keyboard.press("p")
    stage.wait_for_function("() => model.values.room === 'page'")
    assert stage.evaluate("document.fullscreenElement") is None
    assert stage.evaluate("model.saved.length") == 2
    stage.keyboard.press("c")  # on a page they are never put away
    assert stage.locator(".pw-explorer[data-controls]").count() == 0


def test_what_stands_on_a_wall_fills_the_screen_with_all_of_it(stage):
    stage.evaluate("document.body.classList.add('pw-class')")

    stage.locator(".pw-tools button").first.click()

    stage.wait_for_function("() => model.values.room === 'projector'")
    assert stage.evaluate("document.fullscreenElement === document.body")
    stage.evaluate("document.body.classList.remove('pw-class')")


# ----------------------------------------------------------------- its end


def test_a_stage_taken_away_listens_no_more(stage):
    change(stage, spoken="too late", count=2)
    stage.evaluate("clean()")

    stage.clock.run_for(1000)
    stage.locator("#handle").press("f")
    stage.evaluate("""() => document.querySelector(".pw-explorer").dispatchEvent(
        new Event("fullscreenchange")
    )""")

    assert stage.evaluate("model.listeners") == []
    assert stage.locator(".pw-live").text_content() == ""
    assert sent(stage) == []
    assert stage.evaluate("model.saved") == []


def test_a_stage_taken_away_before_it_stood_on_the_page_never_joins(page):
    asked = page.evaluate(
        """([frame, says]) => {
            const el = document.createElement("div");
            const model = new Model({ frame, says, widths: {}, space: {}, move: {} });
            widget.render({ model, el })();
            document.body.append(el);
            window.late = el;
            return model.listeners.length;
        }""",
        [FRAME, SAYS],
    )
    page.clock.run_for(100)

    assert asked == 0
    assert page.evaluate("late.getAttribute('data-lm-suppress-shortcuts')") is None


def test_a_stage_put_on_the_page_later_joins_then(page):
    page.evaluate(
        """([frame, says]) => {
            window.late = document.createElement("div");
            window.model = new Model({ frame, says, widths: {}, space: {}, move: {} });
            widget.render({ model, el: late });
        }""",
        [FRAME, SAYS],
    )
    page.clock.run_for(200)

    page.evaluate("late.tabIndex = 0; document.body.append(late); late.focus()")
    page.clock.run_for(50)
    page.keyboard.press("f")

    assert sent(page) == [{"key": "f"}]
