"""A card on the projector: large enough to be read from afar, and nothing cut off."""

import json

import pytest

from widgets.gate import SafetyGate
from widgets.question import ExerciseCard
from workbook.course import lessons
from workbook.exercises import EXERCISES

pytestmark = pytest.mark.browser

GATES = [gate for lesson in lessons().values() for gate in lesson.gates]
CARDS = [
    *(
        (f"exercise {id}", ExerciseCard, id)
        for id in sorted({id for id, _ in EXERCISES})
    ),
    *((f"gate {gate.lesson} {gate.name}", SafetyGate, gate) for gate in GATES),
]
# A page of one card, without a notebook.
PAGE = """<style>%s</style><div id=place></div><script type=module>%s
const values = %s;
const model = { get: (name) => values[name], on() {}, off() {}, send() {}, set() {} };
render({ model, el: document.querySelector("#place") });</script>"""
TOO_SMALL = """() => [...document.querySelectorAll("#place *")].filter((e) => {
    const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
    const { width, height } = e.getBoundingClientRect();
    if (!own || !width || !height) return false;
    const svg = e.ownerSVGElement;
    const scale = svg ? svg.getScreenCTM().a : 1;
    return scale * parseFloat(getComputedStyle(e).fontSize) < 28;
}).map((e) => e.textContent)"""
CUT = """() => [...document.querySelectorAll("#place *")].filter((e) => {
    const { left, right, width } = e.getBoundingClientRect();
    const over = e instanceof HTMLElement && e.scrollWidth > e.clientWidth + 1;
    return width && (left < 0 || right > innerWidth || over && e.clientWidth);
}).map((e) => e.outerHTML.slice(0, 100))"""


@pytest.fixture(scope="module")
def wall(chromium):
    page = chromium.new_page(viewport={"width": 1280, "height": 720})
    yield page
    page.close()


@pytest.mark.parametrize(
    ("make", "of"), [card[1:] for card in CARDS], ids=[card[0] for card in CARDS]
)
def test_a_card_fills_the_screen_in_large_letters(wall, make, of):
    card = make(of)
    script = str(card._esm).replace("export default", "window.widget =")
    values = {"frame": card.frame, "drafts": card.drafts, "says": card.says}
    wall.set_content(PAGE % (card._css, script, json.dumps(values)))

    wall.locator("h4").wait_for()
    wall.get_by_role("button").first.press("p")
    wall.wait_for_function("() => document.fullscreenElement?.id === 'place'")

    assert wall.evaluate(TOO_SMALL) == []
    assert wall.evaluate(CUT) == []
    assert wall.locator("h4").bounding_box()["y"] >= 0
    wall.get_by_role("button").last.press("p")
    wall.wait_for_function("() => !document.fullscreenElement")
