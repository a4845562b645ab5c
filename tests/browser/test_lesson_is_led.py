"""A lesson is led: parts open in order, the idea waits, the place is kept."""

import pytest

from workbook.language import say
from workbook.reader.record import FILE, Record

pytestmark = pytest.mark.browser

LESSON = "08_fork_offset_side_angle_and_bridles.ipynb"
BEFORE = ["1 · Recall", "2 · Feel it", "3 and 4 · Predict, then explore"]
SHUT = """(heading) => [...document.querySelectorAll(".jp-Cell")]
    .filter((cell) => cell.textContent.includes(heading))
    .every((cell) => cell.offsetParent === null)"""


@pytest.fixture
def led(kept_lab):
    """Open the lesson as a reader who has answered nothing, and wait until it runs."""
    lab = kept_lab
    lab.as_new()
    lab.end_kernels()  # which would go on with what an earlier test locked
    (lab.folder / FILE).unlink(missing_ok=True)
    opened(lab)
    return lab


def opened(lab):
    lab.open(LESSON)
    lab.panel.locator("[data-pw-state]").first.wait_for(state="attached")


def go_on(lab, *titles):
    for title in titles:
        lab.panel.get_by_role("button", name=f"Go on: {title}").click()
        lab.panel.locator("h2", has_text=title).wait_for()


def is_shut(lab, heading):
    return lab.page.evaluate(SHUT, heading)


def prediction(lab):
    return lab.panel.locator(".pw-predict").first


def test_the_idea_and_its_numbers_open_after_a_lock_and_a_number(led):
    lab = led
    assert is_shut(lab, "3 and 4 · Predict")

    go_on(lab, *BEFORE, "5 · Type what you saw")
    further = lab.panel.get_by_role("button", name="Go on: 6 · Name the idea")
    assert further.get_attribute("aria-disabled") == "true"
    further.press("Enter")
    assert is_shut(lab, "6 · Name the idea")
    # The reader is led to what is missing.
    assert prediction(lab).locator(":focus").count() == 1

    prediction(lab).get_by_label("50 mm", exact=True).check()
    prediction(lab).get_by_role("button", name="lock my prediction").click()
    prediction(lab).get_by_text("You expect: 50 mm").wait_for()
    assert further.get_attribute("aria-disabled") == "true"
    assert is_shut(lab, "6 · Name the idea")
    lab.page.keyboard.type("218 mm")  # the box to type in has the focus
    lab.page.keyboard.press("Enter")
    prediction(lab).get_by_text("You typed the same.").wait_for()

    go_on(lab, "6 · Name the idea")
    lab.panel.get_by_text("it moves left").last.wait_for()
    assert is_shut(lab, "7 · Worked example")
    why = prediction(lab).get_by_text("You expected 168 mm less. Why?")
    assert not prediction(lab).locator(".pw-because p").first.is_visible()
    why.click()
    assert prediction(lab).locator(".pw-because p").first.is_visible()


def test_who_knows_it_passes_by_and_it_is_kept(led):
    lab = led
    go_on(lab, *BEFORE)
    lock = prediction(lab).get_by_role("button", name="lock my prediction")
    know = prediction(lab).get_by_role("button", name=say("prediction", "know"))
    sizes = [
        (b["width"], b["height"]) for b in (lock.bounding_box(), know.bounding_box())
    ]
    assert sizes[0] == sizes[1]

    know.click()
    prediction(lab).get_by_text(say("prediction", "known")).wait_for()
    go_on(lab, "5 · Type what you saw", "6 · Name the idea", "7 · Worked example")

    record = Record(lab.folder / FILE)
    assert [line["explorer"] for line in record.mine("known")] == ["slot"]
    # The bridle has a prediction of its own.
    go_on(lab, "Bridles")
    further = lab.panel.get_by_role("button", name="Go on: 8 · Check by hand")
    assert further.get_attribute("aria-disabled") == "true"


def test_a_reload_and_a_new_kernel_keep_the_place(led):
    lab = led
    go_on(lab, *BEFORE)
    prediction(lab).get_by_role("button", name="I know this").click()
    go_on(lab, "5 · Type what you saw", "6 · Name the idea")

    for kernel_died in (False, True):
        lab.page.goto("about:blank")
        if kernel_died:
            lab.end_kernels()
        opened(lab)
        head = lab.panel.get_by_role("heading", name="6 · Name the idea")
        head.wait_for()
        lab.page.wait_for_function(
            """() => {
                const outer = document.querySelector(".jp-WindowedPanel-outer");
                const heads = [...document.querySelectorAll(".jp-Cell h2")];
                const head = heads.find((h) => h.textContent.startsWith("6"));
                const off = head.getBoundingClientRect().top;
                return Math.abs(off - outer.getBoundingClientRect().top) < 60;
            }"""
        )
        here = lab.panel.locator(".pw-course [aria-current=step]")
        assert "Name the idea" in here.inner_text()
        assert is_shut(lab, "7 · Worked example")


def test_the_line_goes_back_by_keyboard_and_everything_can_be_shown(led):
    lab = led
    go_on(lab, *BEFORE)
    here = lab.panel.locator(".pw-course [aria-current=step]")

    here.focus()
    lab.page.keyboard.press("ArrowUp")
    lab.page.keyboard.press("Enter")
    assert lab.panel.get_by_role("heading", name="2 · Feel it").evaluate(
        "e => e === document.activeElement"
    )
    assert lab.panel.locator(".jp-Notebook.jp-mod-editMode").count() == 0
    assert lab.panel.locator(".jp-MarkdownCell:not(.jp-mod-rendered)").count() == 0

    lab.panel.get_by_role("button", name="Show everything").click()
    lab.panel.get_by_role("heading", name="10 · Exit question").wait_for()
    assert not is_shut(lab, "6 · Name the idea")
    lab.page.emulate_media(media="print")
    lab.panel.get_by_role("button", name="Show everything").click()
    assert not is_shut(lab, "10 · Exit question")  # on paper nothing is shut
    lab.page.emulate_media(media="screen")
    assert is_shut(lab, "10 · Exit question")


def test_on_a_narrow_page_the_line_is_on_top(led):
    lab = led
    lab.page.set_viewport_size({"width": 390, "height": 800})
    now = lab.panel.locator(".pw-course-now")

    now.click()
    names = lab.panel.locator(".pw-part-title")
    assert names.first.is_visible()
    now.press("Escape")
    assert not names.first.is_visible()
    assert now.bounding_box()["height"] >= 40
    outer = lab.panel.locator(".jp-WindowedPanel-outer")
    assert outer.evaluate("e => e.scrollWidth - e.clientWidth") == 0
