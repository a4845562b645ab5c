"""The script of every lesson on the projector: no step has to be scrolled."""

import json

import pytest

from widgets import InstructorsView
from workbook.reader.class_votes import scripted

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("settings_folder")]

# A page of the card alone, in what fills the screen; its frames come one by one.
PAGE = """<style>%s</style><div class="pw-class"><div id="place" class="pw-teach"></div>
</div><script type=module>%s
const values = %s;
const model = { get: (name) => values[name], on(event, heard) { this[event] = heard; },
    off() {}, send() {}, set() {} };
window.change = (frame) => { values.frame = frame; model["change:frame"](); };
render({ model, el: document.querySelector("#place") });</script>"""
TALLEST = {"1.2", "4.4", "4.6", "8.1", "10.4", "12.5", "14.2"}  # found by hand
FITS = """(frame) => {
    change(frame);
    const small = (e) => {
        const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
        const scale = e.ownerSVGElement?.getScreenCTM().a ?? 1;
        const size = scale * parseFloat(getComputedStyle(e).fontSize);
        return own && e.getBoundingClientRect().width && size < 27.9;
    };
    const over = place.scrollHeight - place.clientHeight;
    const wide = place.scrollWidth - place.clientWidth;
    return [over, wide, [...place.querySelectorAll("*")].filter(small).length];
}"""


def steps(card):
    """Yield the card at every step, and all that a vote makes of it."""
    card.press("begin")
    for _ in card.script:
        yield card.line.name
        if card.line.name.startswith("predict"):
            yield from voted(card)
        card.press("on")
    card.press("ask")
    while card.votes.about:
        if card.votes.about in TALLEST:
            yield card.votes.about
            yield from voted(card)
        card.press("ask")


def voted(card):
    card._heard({"act": "count", "typed": {card._field("A", 1): "many"}})
    yield "refused"
    for number in (1, 2):
        hands = {card._field(letter, number): "12" for letter in card._letters()}
        card._heard({"act": "count", "typed": hands})
        yield "counted"
        card.press("vote")
    card.press("leave")
    card.press("reveal")
    yield "revealed"


def test_every_step_and_vote_fits_the_screen_in_large_letters(chromium):
    card = InstructorsView("L07").card
    script = str(card._esm).replace("export default", "window.widget =")
    values = {"frame": card.frame, "drafts": {}, "says": card.says}
    page = chromium.new_page(viewport={"width": 1280, "height": 720})
    page.set_content(PAGE % (card._css, script, json.dumps(values)))
    page.locator("h4").wait_for()
    page.get_by_role("button").first.press("p")
    page.wait_for_function("() => document.fullscreenElement?.className === 'pw-class'")

    wrong = {}
    for id in scripted():
        card = InstructorsView(id).card
        for name in steps(card):
            found = page.evaluate(FITS, card.frame)
            if found != [0, 0, 0]:
                wrong[id, card.votes.about, name] = found
    page.close()

    assert wrong == {}
