"""Lesson 08 as a reader goes through it: predict, move by keyboard, compare, type."""

import re

import pytest
from standing import as_it_stands, back_to

from workbook.language import say
from workbook.reader.record import FILE

pytestmark = pytest.mark.browser

LESSON = "08_fork_offset_side_angle_and_bridles.ipynb"
OFFSET = "fork offset, plus to the left"


@pytest.fixture(scope="module")
def lab(kept_lab):
    """Return the page that all tests share."""
    return kept_lab


@pytest.fixture(scope="module")
def explorer(lab):
    """Open the lesson as a reader who has answered nothing; return its explorer."""
    lab.end_kernels()  # which would go on with what an earlier test locked
    (lab.folder / FILE).unlink(missing_ok=True)
    lab.show_everything()
    lab.open(LESSON)
    explorer = lab.panel.locator(".pw-explorer").first
    explorer.locator(".pw-drawn svg").wait_for()
    return explorer


@pytest.fixture(scope="module")
def stood(explorer):
    """Return how the explorer stood at first."""
    return as_it_stands(explorer)


@pytest.fixture
def free(explorer, stood, lab):
    """Lock a prediction, so that the controls are free, and go back to the start."""
    if explorer.locator("[data-pw-state=open]").count():
        explorer.get_by_label("218 mm").check()
        explorer.get_by_role("button", name="lock my prediction").click()
    explorer.get_by_text("You expect:").wait_for()
    # The controls are let go one by one: a key that comes before that is lost.
    explorer.page.wait_for_function(
        "e => !e.querySelector('.pw-held, .pw-left [aria-disabled=true]')",
        arg=explorer.element_handle(),
    )
    back_to(lab, explorer, stood)
    return explorer


def box(explorer, label):
    return explorer.get_by_role("textbox", name=re.compile(re.escape(label)))


def slider(explorer, label):
    return explorer.get_by_role("slider", name=re.compile(re.escape(label)))


def type_in(explorer, label, text):
    box(explorer, label).fill(text)
    box(explorer, label).press("Enter")


def test_controls_are_held_until_a_prediction_is_locked(explorer, lab):
    offset, handle = box(explorer, OFFSET), slider(explorer, OFFSET)
    numbers = explorer.locator(".pw-numbers")
    before = numbers.inner_text()
    handle.focus()
    handle.press("ArrowRight")
    handle.press("f")
    offset.press("9")
    explorer.locator(".pw-why", has_text="First say what you expect").wait_for()

    explorer.get_by_role("button", name="lock my prediction").click()
    explorer.locator("p.pw-note", has_text="Choose one").wait_for()
    assert offset.input_value() == "0"
    assert numbers.inner_text() == before != ""
    assert explorer.locator(".pw-compare").count() == 0

    explorer.get_by_label("218 mm").check()
    explorer.get_by_role("button", name="lock my prediction").click()
    explorer.get_by_text("You expect:").wait_for()
    lab.page.wait_for_function(
        "e => !e.readOnly && !e.ariaDisabled", arg=offset.element_handle()
    )


def test_arrow_keys_steer_the_pull_and_the_words_say_so(free, lab):
    handle = slider(free, OFFSET)
    handle.focus()
    for _ in range(5):
        handle.press("ArrowRight")

    # 50 mm to the left: our own worked example, recomputed by hand in the lesson.
    free.locator(".pw-numbers tr", has_text="head moved to the left").get_by_text(
        "218 mm"
    ).wait_for()
    live = free.locator(".pw-live")
    lab.page.wait_for_function(
        "e => e.textContent.includes('8.3° to the left')", arg=live.element_handle()
    )
    assert "8.3° to the left" in free.locator(".pw-stage > .pw-words").inner_text()
    assert handle.get_attribute("aria-valuetext") == "50"


def test_single_keys_freeze_reset_and_undo_and_leave_the_notebook_alone(free, lab):
    cells = lab.panel.locator(".jp-Cell").count()
    handle = slider(free, OFFSET)
    handle.focus()
    handle.press("ArrowRight")
    handle.press("f")
    free.locator(".pw-compare").wait_for()
    handle.press("PageUp")
    free.locator(".pw-compare th", has_text="now − I").wait_for()
    at = "e => e.value === '110'"  # a page is sent as two moves: wait for both
    lab.page.wait_for_function(at, arg=box(free, OFFSET).element_handle())

    handle.press("r")
    lab.page.wait_for_function(
        "e => +e.getAttribute('aria-valuenow') === 0", arg=handle.element_handle()
    )
    handle.press("r")
    lab.page.wait_for_function(
        "e => +e.getAttribute('aria-valuenow') > 0", arg=handle.element_handle()
    )

    # In a notebook R, F and 1 would turn cells to raw text or headings.
    assert lab.panel.locator(".jp-Cell").count() == cells
    assert lab.panel.locator(".jp-RawCell").count() == 0
    free.get_by_role("button", name=say("explorer", "clear")).click()
    free.locator(".pw-compare").wait_for(state="detached")


def test_what_is_typed_is_read_with_its_unit_or_answered_and_kept(free):
    type_in(free, OFFSET, "9999 mm")
    free.locator(".pw-note", has_text="−300 mm to 300 mm").wait_for()
    assert box(free, OFFSET).input_value() == "9999 mm"

    type_in(free, OFFSET, "3 kN")
    free.locator(".pw-note", has_text="a length is asked for").wait_for()
    assert box(free, OFFSET).input_value() == "3 kN"

    type_in(free, OFFSET, "123,4")
    free.locator(".pw-numbers", has_text="head moved").wait_for()
    free.page.wait_for_function(
        "e => e.value === '123.4'", arg=box(free, OFFSET).element_handle()
    )
    free.page.wait_for_timeout(800)  # a slider would have snapped to 120 by now
    assert box(free, OFFSET).input_value() == "123.4"


def test_units_change_the_words_and_not_the_set_up(free):
    code = free.get_by_role("textbox", name="set-up code").input_value()

    free.get_by_role("button", name="lbf-inch").click()
    free.locator(".pw-words", has_text="5620 lbf").wait_for()
    free.page.wait_for_timeout(800)  # a half-changed slider would have answered
    free.get_by_role("button", name="kN-mm").click()
    free.locator(".pw-words", has_text="25.0 kN").wait_for()
    free.page.wait_for_timeout(800)

    assert free.get_by_role("textbox", name="set-up code").input_value() == code


def test_a_code_restores_the_set_up_and_a_mistyped_one_says_so(free, lab):
    code_box = free.get_by_role("textbox", name="set-up code")
    before = code_box.input_value()
    slider(free, OFFSET).press("PageUp")
    free.locator(".pw-words", has_text="to 100 mm").wait_for()
    free.page.wait_for_function(  # the code comes once all is at rest
        "([e, before]) => e.value !== before", arg=[code_box.element_handle(), before]
    )
    code = code_box.input_value()
    slider(free, OFFSET).press("Home")
    free.locator(".pw-refusal").wait_for()

    code_box.fill(code[:-1] + ("0" if code[-1] != "0" else "1"))
    code_box.press("Enter")
    free.locator(".pw-note", has_text="mistyped").wait_for()
    code_box.fill(f" {code.lower()} ")
    code_box.press("Enter")

    free.page.wait_for_function(
        "e => e.value === '100'", arg=box(free, OFFSET).element_handle()
    )


def test_a_refusal_shows_its_reason_over_what_can_be_drawn(free):
    type_in(free, OFFSET, "300")

    free.locator(".pw-picture .pw-refusal", has_text="45.0°").wait_for()

    free.locator(".pw-drawn svg").wait_for()
    assert free.locator(".pw-three").inner_text() == ""


def test_the_dark_theme_turns_the_paper_dark(free, lab):
    lab.page.evaluate("document.body.dataset.jpThemeLight = 'false'")

    # A picture drawn meanwhile takes the place of the one that is looked at.
    lab.page.wait_for_function(
        """() => getComputedStyle(document.querySelector('.pw-explorer .pw-sheet'))
            .backgroundColor === 'rgb(17, 17, 17)'"""
    )
