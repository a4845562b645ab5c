"""An explorer on a screen: all in sight on a laptop, sensible on less, and big."""

from itertools import combinations

import pytest
from standing import at_rest

from workbook.figures.drawing.rooms import ROOMS
from workbook.language import say
from workbook.reader.record import FILE

pytestmark = pytest.mark.browser

LESSON = "08_fork_offset_side_angle_and_bridles.ipynb"
# What a reader needs at once, without scrolling.
NEEDED = {
    "what is held fixed": ".pw-badge",
    "prediction": ".pw-predict",
    "controls": ".pw-left .pw-control >> visible=true",
    "more controls": ".pw-left .jupyter-widget-Collapse",
    "named set-ups": ".pw-named",
    "freeze and reset": ".pw-set button >> visible=true",
    "picture": ".pw-drawn svg",
    "three numbers": ".pw-three",
    "split": ".pw-beside svg",
    "words": ".pw-stage > .pw-words",
}
PARTS = (
    *(".pw-left", ".pw-picture", ".pw-three", ".pw-bar", ".pw-beside", ".pw-compared"),
    *(".pw-stage > .pw-words", ".pw-cautions", ".pw-code"),
)
SIZES = """(part) => [...part.querySelectorAll("text, p, b, span")].flatMap((one) => {
    if (!one.textContent.trim() || !one.getClientRects().length) return [];
    const drawn = one.ownerSVGElement?.getScreenCTM().a ?? 1;
    return parseFloat(getComputedStyle(one).fontSize) * drawn;
})"""


@pytest.fixture(scope="module")
def opened(kept_lab):
    """Open the lesson as a reader who has answered nothing; return its explorer."""
    lab = kept_lab
    lab.end_kernels()
    (lab.folder / FILE).unlink(missing_ok=True)
    lab.show_everything()
    lab.open(LESSON)
    explorer = lab.panel.locator(".pw-explorer").first
    explorer.locator(".pw-drawn svg").wait_for()
    return explorer


@pytest.fixture
def lab(kept_lab):
    """Return the page that all tests share, the size of a cheap laptop's screen."""
    kept_lab.page.set_viewport_size({"width": 1366, "height": 768})
    return kept_lab


@pytest.fixture
def explorer(opened, lab):
    return opened


def lock(explorer):
    if not explorer.locator(".pw-held").count():  # an earlier test did it
        return
    explorer.get_by_label("218 mm").check()
    explorer.get_by_role("button", name="lock my prediction").click()
    explorer.page.wait_for_function(
        "e => !e.querySelector('.pw-held')", arg=explorer.element_handle()
    )


def to_top(explorer):
    for _ in range(3):  # what is drawn above it meanwhile moves it
        explorer.evaluate("e => e.scrollIntoView({ block: 'start' })")
        explorer.page.wait_for_timeout(400)


def edges(box):
    return box["x"], box["y"], box["x"] + box["width"], box["y"] + box["height"]


def outside(explorer, lab, needed):
    """Return what does not lie wholly within the notebook's visible part."""
    seen = lab.panel.locator(".jp-WindowedPanel-outer, .jp-Notebook").first
    left, top, right, bottom = edges(seen.bounding_box())
    found = []
    for name, selector in needed.items():
        parts = explorer.locator(selector).all()
        assert parts, name
        for part in parts:
            x0, y0, x1, y1 = edges(part.bounding_box())
            if x0 < left or y0 < top or x1 > right or y1 > bottom:
                found.append((name, (x0, y0, x1, y1)))
    return found


def overlapping(explorer):
    """Return the pairs of parts that lie on each other."""
    boxes = {
        selector: edges(box)
        for selector in PARTS
        if (box := explorer.locator(selector).first.bounding_box()) and box["height"]
    }
    assert {".pw-picture", ".pw-three", ".pw-bar", ".pw-beside"} <= boxes.keys()
    return [
        (a, b)
        for a, b in combinations(boxes, 2)
        if min(boxes[a][2], boxes[b][2]) - max(boxes[a][0], boxes[b][0]) > 1
        and min(boxes[a][3], boxes[b][3]) - max(boxes[a][1], boxes[b][1]) > 1
    ]


@pytest.mark.parametrize(("width", "height"), [(1024, 768), (800, 900), (390, 844)])
def test_on_a_narrow_page_nothing_is_cut_and_the_picture_comes_first(
    explorer, lab, width, height
):
    lab.page.set_viewport_size({"width": width, "height": height})
    at_rest(explorer)
    to_top(explorer)

    seen = lab.panel.locator(".jp-WindowedPanel-outer, .jp-Notebook").first
    left, _, right, _ = edges(seen.bounding_box())
    for selector in (*PARTS, ".pw-left input", ".pw-left button", ".pw-left select"):
        for part in explorer.locator(f"{selector} >> visible=true").all():
            x0, _, x1, _ = edges(part.bounding_box())
            assert left <= x0 < x1 <= right, selector
    assert overlapping(explorer) == []
    picture, hand = (
        explorer.locator(part).bounding_box() for part in (".pw-picture", ".pw-left")
    )
    assert picture["y"] <= hand["y"]
    # What is drawn is to be read, also where it is drawn small.
    assert min(explorer.locator(".pw-drawn").evaluate(SIZES)) >= 9
    if width == 390:
        assert picture["width"] >= 0.85 * (right - left)


def test_all_that_a_reader_needs_is_in_sight_at_once(explorer, lab):
    to_top(explorer)
    assert outside(explorer, lab, NEEDED) == []
    assert overlapping(explorer) == []

    lock(explorer)
    handle = explorer.locator("[role=slider]").first
    handle.focus()
    for _ in range(3):
        handle.press("f")
        handle.press("ArrowRight")
    explorer.locator(".pw-compare th", has_text="now − III").wait_for()
    to_top(explorer)

    compared = {"comparison": ".pw-compare", "with which": ".pw-with"}
    assert outside(explorer, lab, {**NEEDED, **compared}) == []
    assert overlapping(explorer) == []
    explorer.get_by_role("button", name=say("explorer", "clear")).click()
    explorer.locator(".pw-compare").wait_for(state="detached")


def test_picture_split_and_three_numbers_fill_the_projector(explorer, lab):
    lock(explorer)
    lab.page.set_viewport_size({"width": 1280, "height": 720})
    handle = explorer.locator("[role=slider]").first
    for _ in range(8):  # the largest words
        handle.press("+")

    handle.press("p")
    wide = ROOMS["projector"].picture[0]
    explorer.locator(f".pw-drawn svg[viewBox^='0 0 {wide:g} ']").wait_for()
    at_rest(explorer)

    shown = (".pw-three", ".pw-drawn svg", ".pw-beside svg")
    for part in shown:
        x0, y0, x1, y1 = edges(explorer.locator(part).bounding_box())
        assert 0 <= x0 < x1 <= 1280, part
        assert 0 <= y0 < y1 <= 720, part
        assert min(explorer.locator(part).evaluate(SIZES)) >= 27.9, part
    assert overlapping(explorer) == []
    assert not explorer.locator(".pw-left").is_visible()

    explorer.get_by_title("Controls in place of the split").click()

    _, y0, _, y1 = edges(explorer.locator(".pw-control").first.bounding_box())
    assert 0 <= y0 < y1 <= 720
    assert explorer.locator(".pw-drawn svg").is_visible()
    assert not explorer.locator(".pw-beside").is_visible()

    lab.page.keyboard.press("p")
    lab.page.wait_for_function("() => document.fullscreenElement === null")
    explorer.locator(".pw-left").wait_for()
