"""The card in a browser: parts built once, typed text and focus kept, what is sent."""

import pytest

MODULE = "widgets/card.js"
PAGE = "<button id=elsewhere>elsewhere</button><div id=place></div>"
FORM = {
    "act": "check",
    "legend": "Which was it?",
    "choices": [["sine", "I took the sine."], ["tangent", "I took the tangent."]],
    "fields": [
        {"name": "pull", "label": "Pull, with its unit"},
        {"name": "why", "label": "Why"},
    ],
    "submit": "check (Enter)",
}
FRAME = {
    "title": "Exercise 1",
    "intro": ["A chain pulls.", "How much?"],
    "form": FORM,
    "tools": [{"act": "hint", "text": "hint 1"}, {"act": "new", "text": "new"}],
    "focus": "",
    "count": 1,
}


@pytest.fixture
def card(shown):
    return shown({"frame": FRAME, "drafts": {}, "says": {}}, PAGE)


def change(page, **changes):
    page.evaluate("frame => model.change('frame', frame)", {**FRAME, **changes})


def sent(page):
    return page.evaluate("model.sent")


def field(page, label):
    return page.get_by_label(label, exact=True)


# --------------------------------------------------------------- what it shows


def test_each_part_stands_in_its_place_and_empty_ones_are_hidden(card):
    assert card.locator(".pw-title h4").text_content() == "Exercise 1"
    assert card.locator(".pw-intro p").all_text_contents() == FRAME["intro"]
    assert card.locator(".pw-tools button").all_text_contents() == ["hint 1", "new"]
    assert card.locator(".pw-worked").is_hidden()
    assert card.locator("#place").get_attribute("data-frame") == "1"


def test_a_way_leads_to_another_card_by_keyboard(card):
    places = [["check", "quick check"], ["entry", "entry check"]]
    change(card, nearby={"called": "Go to", "choices": places}, place="entry")

    card.get_by_role("button", name="entry check").focus()
    card.keyboard.press("Enter")

    assert card.evaluate("document.activeElement.value") == "sine"  # its first
    assert sent(card) == []


def test_a_card_is_a_group_named_by_its_title(card):
    group = card.get_by_role("group", name="Exercise 1")

    assert group.get_attribute("data-lm-suppress-shortcuts") == ""


def test_keys_of_what_has_the_focus_are_kept_from_the_notebook(card):
    radio = card.locator("input[type=radio]").first

    radio.focus()

    # The notebook asks the element itself before what it stands in.
    assert radio.get_attribute("data-lm-suppress-shortcuts") == ""


def test_two_cards_on_a_page_keep_their_fields_apart(card):
    card.evaluate(
        """([frame]) => {
        const second = document.createElement("div");
        document.body.append(second);
        const model = new Model({ frame, drafts: {}, says: {} });
        widget.render({ model, el: second });
    }""",
        [FRAME],
    )

    ids = card.evaluate("[...document.querySelectorAll('[id]')].map((e) => e.id)")
    radios = card.locator("input[type=radio]")
    names = [radio.get_attribute("name") for radio in radios.all()]

    assert len(set(ids)) == len(ids)
    assert len(set(names)) == 2


def test_only_a_part_that_changed_is_built_anew(card):
    card.evaluate("""() => {
        window.form = document.querySelector("form");
        window.intro = document.querySelector(".pw-intro p");
    }""")

    change(card, intro=["Another chain pulls."], count=2)

    assert card.evaluate("form.isConnected")
    assert not card.evaluate("intro.isConnected")
    assert card.locator(".pw-intro p").all_text_contents() == ["Another chain pulls."]


def test_text_is_shown_as_text(card):
    change(card, intro=["<b>5</b> & more"], result={"sign": "", "lines": ["<i>x</i>"]})

    assert card.locator(".pw-intro b, .pw-result i").count() == 0
    assert card.locator(".pw-intro").text_content() == "<b>5</b> & more"


def test_a_sketch_is_drawn_and_goes_again(card):
    svg = '<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="rig"/>'

    change(card, sketch=svg)
    assert card.get_by_role("img", name="rig").count() == 1

    change(card, sketch=None)
    assert card.locator(".pw-sketch svg").count() == 0
    assert card.locator(".pw-sketch").is_hidden()


def test_a_worked_example_keeps_one_step_shut(card):
    steps = [{"text": "First."}, {"text": "12 kN", "blank": "Your turn"}]
    change(card, worked={"summary": "Worked", "open": True, "steps": steps})
    fold = card.locator(".pw-worked > details")

    assert fold.get_attribute("open") is not None
    assert card.locator(".pw-worked li").first.text_content() == "First."
    hidden = card.locator(".pw-worked li details")
    assert hidden.get_attribute("open") is None
    hidden.locator("summary").click()
    assert hidden.locator("p").text_content() == "12 kN"
    assert hidden.locator("p").is_visible()


@pytest.mark.parametrize("part", ["result", "hints", "note"])
def test_what_is_said_about_an_answer_is_read_out(card, part):
    place = card.locator(f".pw-{part}")

    assert place.get_attribute("role") == "status"
    # A reader's program must know the place before something stands in it.
    assert place.get_attribute("hidden") is None


def test_the_sign_of_a_result_is_not_read_out(card):
    change(card, result={"sign": "✓", "lines": ["Right."]})

    assert card.locator(".pw-sign").get_attribute("aria-hidden") == "true"
    assert card.locator(".pw-result p").text_content() == "Right."


# --------------------------------------------------------------- what is sent


def test_enter_in_a_field_sends_everything_typed_and_chosen(card):
    field(card, "Pull, with its unit").fill("12,4 kN")
    card.get_by_label("I took the sine.").check()
    field(card, "Why").fill("it leans")

    field(card, "Why").press("Enter")

    (message,) = sent(card)
    assert message["act"] == "check"
    assert message["typed"] == {"pull": "12,4 kN", "why": "it leans"}
    assert message["choice"] == "sine"
    # What was typed is with the kernel before it is told to look.
    assert card.evaluate("model.saved.at(-1).drafts") == message["typed"]


def test_the_button_sends_too_and_no_choice_is_none(card):
    card.get_by_role("button", name="check (Enter)").click()

    (message,) = sent(card)
    assert message["typed"] == {"pull": "", "why": ""}
    assert message["choice"] is None


def test_a_form_built_anew_forgets_what_was_chosen(card):
    card.get_by_label("I took the sine.").check()
    change(card, form={**FORM, "submit": "check again"})

    card.get_by_role("button", name="check again").click()

    assert sent(card)[0]["choice"] is None


def test_a_tool_sends_its_act_alone(card):
    card.get_by_role("button", name="hint 1").click()

    assert sent(card) == [{"act": "hint", "seconds": None}]


def test_the_seconds_run_from_the_first_look_into_a_field_to_the_answer(card):
    field(card, "Pull, with its unit").focus()
    card.clock.run_for(7000)
    field(card, "Why").focus()
    card.clock.run_for(5000)
    field(card, "Why").press("Enter")
    card.get_by_role("button", name="hint 1").click()

    first, second = sent(card)
    assert first["seconds"] == pytest.approx(12, abs=0.5)
    assert second["seconds"] is None


def test_typing_on_after_an_answer_starts_the_seconds_anew(card):
    why = field(card, "Why")
    why.press("Enter")
    card.clock.run_for(60_000)  # reading what was said
    why.press("a")
    card.clock.run_for(3000)
    why.press("Enter")

    assert sent(card)[1]["seconds"] == pytest.approx(3, abs=0.5)


# ------------------------------------------------------------------ what is kept


def test_typed_text_goes_to_the_kernel_once_the_keys_rest(card):
    pull = field(card, "Pull, with its unit")
    for key in "12":
        pull.press(key)
        card.clock.run_for(200)
        assert card.evaluate("model.saved") == []

    card.clock.run_for(101)

    assert [s["drafts"] for s in card.evaluate("model.saved")] == [{"pull": "12"}]


def test_typed_text_stays_while_the_rest_of_the_card_changes(card):
    pull = field(card, "Pull, with its unit")
    pull.fill("12.4 k")

    change(card, note="Think first.", count=2)

    assert pull.input_value() == "12.4 k"
    assert card.locator(".pw-note p").text_content() == "Think first."


def test_a_form_built_anew_has_what_was_typed_before(card):
    field(card, "Pull, with its unit").fill("12.4 kN")

    change(card, form={**FORM, "submit": "check again"})

    assert field(card, "Pull, with its unit").input_value() == "12.4 kN"


def test_a_card_opened_again_has_what_was_typed_before(shown):
    page = shown({"frame": FRAME, "drafts": {"why": "it leans"}, "says": {}}, PAGE)

    assert field(page, "Why").input_value() == "it leans"
    assert field(page, "Pull, with its unit").input_value() == ""


def test_what_is_typed_in_another_view_appears_here(card):
    field(card, "Why").fill("old")

    card.evaluate("model.change('drafts', { pull: '3 kN' })")

    assert field(card, "Pull, with its unit").input_value() == "3 kN"
    assert field(card, "Why").input_value() == ""


# ------------------------------------------------------------------------- focus


def focused(page):
    return page.evaluate("document.activeElement.id || document.activeElement.tagName")


def test_focus_stays_in_its_field_when_the_form_is_built_anew(card):
    field(card, "Why").focus()

    change(card, form={**FORM, "submit": "check again"})

    assert card.evaluate("document.activeElement.dataset.field") == "why"


def test_focus_stays_on_its_button_when_the_buttons_are_built_anew(card):
    card.get_by_role("button", name="hint 1").focus()
    tools = [{"act": "new", "text": "new"}, {"act": "hint", "text": "hint 2"}]

    change(card, tools=tools)

    assert card.evaluate("document.activeElement.textContent") == "hint 2"


def test_focus_goes_to_the_part_that_the_kernel_names(card):
    card.get_by_role("button", name="check (Enter)").focus()
    ask = {"act": "think", "fields": [{"name": "own", "label": "Own"}], "submit": "go"}

    change(card, ask=ask, focus="ask")

    assert card.evaluate("document.activeElement.dataset.field") == "own"


def test_focus_finds_a_place_on_the_card_where_its_own_is_gone(card):
    card.get_by_role("button", name="hint 1").focus()

    change(card, tools=None)

    assert card.evaluate("place.contains(document.activeElement)")


def test_focus_is_never_taken_from_elsewhere_on_the_page(card):
    card.locator("#elsewhere").focus()

    change(card, focus="form", form={**FORM, "submit": "check again"})

    assert focused(card) == "elsewhere"


# ----------------------------------------------------------------------- its end


def test_a_card_taken_away_listens_no_more_and_saves_nothing(card):
    field(card, "Pull, with its unit").fill("12")
    card.evaluate("clean()")

    card.clock.run_for(1000)

    assert card.evaluate("model.listeners") == []
    assert card.evaluate("model.saved") == []


# ------------------------------------------------------------------ a prediction


def test_what_is_given_stands_with_its_values(card):
    assert card.locator(".pw-givens").is_hidden()

    change(card, givens=[["ram force", "40 kN"], ["lean", "35°"]])

    assert card.locator(".pw-givens dt").all_text_contents() == ["ram force", "lean"]
    assert card.locator(".pw-givens dd").all_text_contents() == ["40 kN", "35°"]


def test_a_second_button_beside_the_first_is_pressed_for_itself(card):
    know = {"act": "know", "text": "I know this"}
    change(card, form={**FORM, "beside": [know]})
    button = card.get_by_role("button", name="I know this")

    button.focus()
    card.keyboard.press("Enter")

    assert [message["act"] for message in sent(card)] == ["know"]


def test_one_line_opens_the_rest(card):
    change(
        card, because={"summary": "You expected 3 kN less. Why?", "lines": ["Look."]}
    )

    assert not card.get_by_text("Look.").is_visible()
    card.get_by_text("You expected 3 kN less. Why?").click()
    assert card.get_by_text("Look.").is_visible()


def test_the_page_can_read_how_far_a_card_is_and_whose(card):
    place = card.locator("#place")
    assert place.get_attribute("data-pw-state") is None

    change(card, state="locked", whose="abc")

    assert place.get_attribute("data-pw-state") == "locked"
    assert place.get_attribute("data-pw-whose") == "abc"


# ----------------------------------------------------------------- projector


FULL = "() => document.fullscreenElement === place"
BACK = "() => document.fullscreenElement === null"


def test_p_and_a_button_fill_the_screen_and_come_back(shown):
    says = {"projector": "Wand (P)", "projector_label": "Wand voll"}
    card = shown({"frame": FRAME, "drafts": {}, "says": says}, PAGE)
    wall = card.get_by_role("button", name="Wand (P)")

    wall.click()
    card.wait_for_function(FULL)
    card.locator("input[type=radio]").first.press("p")
    card.wait_for_function(BACK)

    field(card, "Why").press("p")
    card.clock.run_for(1000)
    assert card.evaluate(BACK)
    assert field(card, "Why").input_value() == "p"
    wall.press("P")
    card.wait_for_function(FULL)
    card.evaluate("document.exitFullscreen()")


def test_a_card_that_fills_no_screen_has_no_such_key(card):
    card.locator("input[type=radio]").first.press("p")

    card.clock.run_for(1000)
    assert card.evaluate(BACK)
    assert card.locator(".pw-project").count() == 0


def test_a_link_to_another_lesson_is_opened_by_the_notebook(card):
    wait = {"text": "Marked.", "link": {"text": "Sign in", "file": "00_a b.ipynb"}}
    card.evaluate("history.replaceState(null, '', '/lab/tree/x y/01_b.ipynb?a')")

    change(card, wait=wait)

    link = card.get_by_role("link", name="Sign in")
    assert link.get_attribute("href").endswith("/lab/tree/x%20y/00_a%20b.ipynb")
    assert link.get_attribute("data-commandlinker-command") == "docmanager:open"
    args = link.get_attribute("data-commandlinker-args")
    assert args == '{"path":"x y/00_a b.ipynb"}'


def test_what_is_said_about_an_answer_comes_into_sight(card):
    card.evaluate("place.style.marginTop = `${innerHeight}px`")
    field(card, "Pull, with its unit").focus()
    said = card.locator(".pw-result")

    change(card, result={"sign": "", "lines": ["Look again."] * 5})

    box = said.bounding_box()
    assert box["y"] + box["height"] <= card.viewport_size["height"] + 1
