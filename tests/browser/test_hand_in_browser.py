"""The rig in the hand: by Tab and arrows, by mouse, by finger, in a real browser."""

import re

import nbformat
import pytest
from nbformat import v4
from standing import as_it_stands, at_rest, back_to

pytestmark = pytest.mark.browser

NAMES = [
    *("anchor A", "head H", "base of the ram", "set-out line", "clamp C"),
]
# What shows the value that a handle sets.
BOXES = {
    "anchor A": "fork offset",
    "head H": "extension height",
    "base of the ram": "clamp to base",
    "set-out line": "chain angle",
    "clamp C": "clamp height",
}
SOURCE = "from widgets import PullExplorer\nPullExplorer()"


def shown(lab, name="h.ipynb"):
    """Open a notebook with a pull alone, and return its explorer."""
    cells = [v4.new_code_cell(SOURCE)]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    nbformat.write(v4.new_notebook(cells=cells, metadata=kernel), lab.folder / name)
    lab.open(name)
    lab.run_all()
    explorer = lab.panel.locator(".pw-explorer").first
    explorer.locator(".pw-drawn svg").wait_for()
    explorer.get_by_text("more controls").click()
    explorer.scroll_into_view_if_needed()
    return explorer


@pytest.fixture(scope="module")
def opened(kept_lab):
    """Return the explorer that all tests share, and how it stood at first."""
    explorer = shown(kept_lab)
    return explorer, as_it_stands(explorer)


@pytest.fixture
def explorer(opened, kept_lab):
    explorer, stood = opened
    back_to(kept_lab, explorer, stood)
    return explorer


@pytest.fixture
def by_touch(chromium, open_folder, tmp_path, kept_lab):
    """Return the explorer on a tablet, and what a finger does there."""
    context = chromium.new_context(
        viewport={"width": 1180, "height": 820}, has_touch=True
    )
    page = context.new_page()
    page.set_default_timeout(60_000)
    tablet = type(kept_lab)(
        page, folder=open_folder.folder, address=open_folder.address, shots=tmp_path
    )
    explorer = shown(tablet, "touched.ipynb")
    client = context.new_cdp_session(page)

    def touch(kind, *points):
        at = [{"x": x, "y": y} for x, y in points]
        client.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})
        page.wait_for_timeout(30)

    yield explorer, touch
    context.close()


def handle(explorer, name):
    return explorer.locator(".pw-hand").get_by_role("slider", name=re.compile(name))


def box(explorer, label):
    return explorer.get_by_role("textbox", name=re.compile(re.escape(label)))


def value(explorer, name):
    return float(handle(explorer, name).get_attribute("aria-valuenow"))


def centre(explorer, name):
    handle(explorer, name).scroll_into_view_if_needed()
    place = handle(explorer, name).bounding_box()
    return place["x"] + place["width"] / 2, place["y"] + place["height"] / 2


def answered(explorer, name, wanted):
    """Wait until the kernel has set the control, too."""
    explorer.page.wait_for_function(
        "([e, v]) => Math.abs(parseFloat(e.value) - v) < 0.01",
        arg=[box(explorer, BOXES[name]).element_handle(), wanted],
    )


def typed(explorer, label, number):
    box(explorer, label).fill(f"{number:g}")
    box(explorer, label).press("Enter")


def test_every_handle_is_reached_by_tab_and_every_arrow_moves_it(explorer):
    page = explorer.page
    explorer.locator(".pw-turn").focus()
    for name in NAMES:
        page.keyboard.press("Tab")
        at = handle(explorer, name)
        has_focus = "e => e === document.activeElement"
        assert at.evaluate(has_focus), name
        for key in ("ArrowRight", "ArrowUp", "ArrowLeft", "ArrowDown"):
            before = value(explorer, name)
            page.keyboard.press(key)
            assert value(explorer, name) != before, (name, key)
            answered(explorer, name, value(explorer, name))
            assert at.evaluate(has_focus), (name, key)


def test_a_burst_of_keys_loses_no_step(explorer):
    handle(explorer, "head H").focus()
    for _ in range(15):
        explorer.page.keyboard.press("ArrowUp")

    assert value(explorer, "head H") == 300 + 15 * 25
    answered(explorer, "head H", 675)


def drag_by_mouse(explorer, name, way):
    mouse = explorer.page.mouse
    x, y = centre(explorer, name)
    mouse.move(x, y)
    mouse.down()
    for k in range(1, 21):
        mouse.move(x + way[0] * k / 20, y + way[1] * k / 20)
    mouse.up()


def test_a_mouse_ends_where_the_control_does_and_so_does_the_picture(explorer):
    drag_by_mouse(explorer, "head H", (0, -60))
    ended = value(explorer, "head H")
    assert ended > 400
    assert ended % 25 == 0
    answered(explorer, "head H", ended)
    dragged = at_rest(explorer)

    typed(explorer, "extension height", 300)
    assert at_rest(explorer) != dragged
    typed(explorer, "extension height", ended)
    assert at_rest(explorer) == dragged


def test_the_chain_goes_from_slot_to_slot_and_back(explorer):
    anchor = handle(explorer, "anchor A")
    anchor.focus()
    explorer.page.keyboard.press("ArrowRight")
    answered(explorer, "anchor A", value(explorer, "anchor A"))
    assert abs(value(explorer, "anchor A")) == 50
    explorer.page.wait_for_function(
        "e => e.getAttribute('aria-valuetext').includes('of 11')",
        arg=anchor.element_handle(),
    )

    typed(explorer, "fork offset", 0)  # the other way round
    explorer.page.wait_for_function(
        "e => e.getAttribute('aria-valuenow') === '0'", arg=anchor.element_handle()
    )


def test_a_finger_drags_a_handle_and_a_sideways_stroke_turns(by_touch):
    explorer, touch = by_touch
    x, y = centre(explorer, "head H")
    touch("touchStart", (x, y))
    for k in range(1, 21):
        touch("touchMove", (x, y - 3 * k))
    handle(explorer, "head H").locator(".pw-bubble").wait_for()
    touch("touchEnd")
    ended = value(explorer, "head H")
    assert ended > 400
    answered(explorer, "head H", ended)

    explorer.locator(".pw-turn").scroll_into_view_if_needed()
    place = explorer.locator(".pw-turn").bounding_box()
    x, y = place["x"] + 60, place["y"] + 60
    touch("touchStart", (x, y))
    for k in range(1, 21):
        touch("touchMove", (x + 4 * k, y))
    touch("touchEnd")
    explorer.locator(".pw-said", has_text="turned by hand").wait_for()
    assert value(explorer, "head H") == ended


def test_a_chosen_view_stays_and_the_numbers_with_it(explorer, kept_lab):
    numbers = explorer.locator(".pw-three").inner_text()
    home = at_rest(explorer)
    explorer.get_by_role("button", name="above", exact=True).click()
    assert at_rest(explorer) != home
    assert explorer.locator(".pw-three").inner_text() == numbers

    again = shown(kept_lab)  # as who comes back the next day
    above = again.get_by_role("button", name="above", exact=True)
    again.page.wait_for_function(
        "e => e.getAttribute('aria-pressed') === 'true'", arg=above.element_handle()
    )
    again.get_by_role("button", name="home", exact=True).click()
    assert at_rest(again) == home


def test_a_stroke_plays_to_its_end_and_is_then_the_control(explorer):
    explorer.get_by_role("combobox", name=re.compile("how long")).select_option("2")
    before = explorer.locator(".pw-three").inner_text()
    explorer.get_by_role("button", name="play", exact=True).click()
    scrub = explorer.locator(".pw-stroke input")
    explorer.page.wait_for_function("e => +e.value > 20", arg=scrub.element_handle())
    assert explorer.locator(".pw-three").inner_text() != before
    explorer.get_by_role("button", name="play", exact=True).wait_for()

    last = float(scrub.input_value())
    assert last > 100
    explorer.page.wait_for_function(
        "([e, v]) => parseFloat(e.value) === v",
        arg=[box(explorer, "ram stroke").element_handle(), last],
    )
    explorer.page.wait_for_function(
        "e => e.textContent.includes('The stroke was played')",
        arg=explorer.locator(".pw-live").element_handle(),
    )
