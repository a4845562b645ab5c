"""The practice bay on the page: a short job by keys alone, nothing typed lost."""

import pytest

from widgets.hand import Move
from widgets.practice_bay import PracticeBay
from workbook.reader.record import FILE, Record

MODULE = "widgets/bay.js"
RULES = {"version": 2, "rating_margin": 0.8, "zone_half_angle_deg": 30.0}
BEGIN = {"act": "begin", **RULES}


@pytest.fixture
def kernel(tmp_path):
    record = Record(tmp_path / FILE)
    record.sign_in(class_key="oak", student="S0")
    return PracticeBay(record=record)


@pytest.fixture
def bay(shown, kernel):
    """Return the page, and a function that lets the kernel answer what was sent."""
    told = {"says": dict(kernel.says), "space": dict(kernel.space)}
    page = shown({"frame": kernel.frame, "drafts": {}, **told})

    def answered():
        for one in page.evaluate("model.sent.splice(0)"):
            kernel._heard(one)
        page.evaluate("(frame) => model.change('frame', frame)", kernel.frame)

    return page, answered


def press(page, key, *keys):
    """Press keys while a part of the page has the focus."""
    page.locator(f'[data-key="{key}"]').focus()
    for one in keys:
        page.keyboard.press(one)


def focused(page):
    return page.evaluate("document.activeElement.dataset.key")


def test_a_short_job_by_keys_alone(bay, kernel):
    page, answered = bay
    press(page, "begin", "Enter", "Tab")
    page.keyboard.type("0.8")
    page.keyboard.press("Tab")
    page.keyboard.type("30")
    page.keyboard.press("Enter")
    answered()
    press(page, "survey", "Enter", "Tab", "Enter")
    answered()
    press(page, "clamp", "Enter", "Tab", "ArrowDown", "Tab", "Enter")
    answered()

    assert kernel.jobs.job.acts == [
        BEGIN,
        {"act": "survey"},
        {"act": "clamp", "station": "right front"},
    ]
    assert focused(page) == "do clamp"
    assert page.locator(".pw-bay-log li").count() == 3


def test_what_was_typed_and_the_focus_stay_when_an_act_is_refused(bay, kernel):
    page, answered = bay
    press(page, "begin", "Enter", "Tab")
    page.keyboard.type("0.8")
    page.keyboard.press("Tab")
    page.keyboard.type("thirty")
    page.keyboard.press("Enter")
    answered()

    assert kernel.jobs.job.acts == []
    assert "number" in page.locator(".pw-bay-told .pw-note").inner_text()
    assert focused(page) == "begin/zone_half_angle_deg"
    press(page, "begin", "Enter", "Enter")  # shut, and opened again
    typed = page.locator("form input").evaluate_all("all => all.map(one => one.value)")
    assert typed == ["0.8", "thirty"]


def test_a_closed_act_says_why_and_has_no_form(bay):
    page, _ = bay
    press(page, "pump", "Enter")

    assert "Begin the job first" in page.locator(".pw-bay-told").inner_text()
    assert page.locator("form").count() == 0
    assert page.evaluate("model.sent.length") == 0


@pytest.mark.parametrize("view", ["bay", "home"])
def test_a_click_in_the_picture_is_a_place_on_the_floor(bay, kernel, view):
    kernel.do(BEGIN)
    kernel.move(Move(view=view, phase="end", via="view"))
    page, answered = bay
    answered()
    press(page, "people", "Enter")
    answered()
    page.locator(".pw-picture").click()  # in the middle

    for part, row in zip(("forward", "left"), kernel.frame["floor"], strict=True):
        typed = page.locator(f'[data-key="people/{part}"]').input_value()
        assert abs(float(typed) - (row[0] / 2 + row[1] / 2 + row[2])) <= 20


def test_a_ram_is_set_out_by_keys_in_the_picture_and_stands_in_the_form(bay, kernel):
    kernel.do(BEGIN)
    page, answered = bay
    answered()
    press(page, "set_out", "Enter")
    answered()
    page.locator('[aria-label="Base of the ram"]').focus()
    page.keyboard.press("ArrowRight")
    answered()
    page.locator('[aria-label="Hook in the fork"]').focus()
    page.keyboard.press("PageUp")
    answered()
    typed = {
        part: page.locator(f'[data-key="set_out/{part}"]').input_value()
        for part in ("socket", "fork", "slot")
    }

    assert typed == {"socket": '"ahead left far"', "fork": '"ahead left"', "slot": "1"}
    assert focused(page) is None  # still in the picture
    page.locator('[data-key="set_out/socket"]').select_option('"side left"')
    answered()
    grip = page.locator('[aria-label="Base of the ram"]')
    assert grip.get_attribute("aria-valuetext") == "side left"


def test_where_somebody_types_no_hand_writes(bay, kernel):
    kernel.do(BEGIN)
    page, answered = bay
    answered()
    press(page, "set_out", "Enter")
    answered()
    page.locator('[data-key="set_out/links"]').focus()
    page.keyboard.type("3")
    first = page.evaluate("model.sent.splice(0)")
    page.keyboard.type("0")
    for one in first:
        kernel._heard(one)
    page.evaluate("(frame) => model.change('frame', frame)", kernel.frame)

    assert page.locator('[data-key="set_out/links"]').input_value() == "30"
    answered()
    assert kernel.given["links"] == "30"


def test_arrows_go_from_act_to_act_and_tab_stops_once(bay, kernel):
    kernel.do(BEGIN)
    page, answered = bay
    answered()
    press(page, "survey", "ArrowDown", "ArrowDown", "ArrowUp")
    assert focused(page) == "story"
    assert page.locator(".pw-act[tabindex='0']").count() == 1
    page.keyboard.press("Home")
    assert focused(page) == "begin"  # which is closed, and tells why
    page.keyboard.press("End")
    assert focused(page) == "record"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert focused(page) == "record/field"


def test_what_came_of_an_act_stands_in_its_form_too(bay, kernel):
    kernel.do(BEGIN)
    page, answered = bay
    answered()
    press(page, "survey", "Enter", "Tab", "Enter")
    answered()
    assert page.locator("form .pw-came").inner_text() == "Done: Measure."
    press(page, "call", "Enter")
    answered()
    assert page.locator('[data-key="call/step"]').input_value() == ""
    press(page, "people", "Enter")
    answered()
    assert page.locator("form .pw-came").inner_text() == ""
    press(page, "do people", "Enter")
    answered()
    assert "Nothing is typed" in page.locator("form .pw-came").inner_text()
