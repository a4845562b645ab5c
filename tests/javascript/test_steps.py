"""A lesson that is led: parts open in order, answers wait, the place is kept."""

import json

import pytest

MODULE = "workbook/reader/labextensions/pullwright/static/steps.js"
SAYS = {
    "steps": "parts",
    "done": "done",
    "ahead": "ahead",
    "next": "on: {title}",
    "to_explorer": "back",
    "first_see": "first see",
    "first_pass": "first pass",
}
# Cells as (source, tags, HTML that a widget shows).
LESSON = [
    ("# 08 · A lesson", [], ""),
    ("## What you will do", [], ""),
    ("## 1 · Recall", [], ""),
    ("here.recall(1)", [], ""),
    ("## 3 and 4 · Predict", [], ""),
    ("here.explorer()", ["predict"], "slot"),
    ("## 5 · Type", [], ""),
    ("## 6 · Name the idea", ["after-seen"], ""),
    ("here.contrast()", ["after-seen"], ""),
    ("## Bridles", [], ""),
    ("here.explorer('bridle')", ["predict"], "bridle"),
    ("print(1)", ["after-seen"], ""),
    ("## 10 · Exit", [], ""),
]
# One behind a gate: the box that says so, then a part with an explorer.
BEHIND = [
    ("# 12 · A lesson", [], ""),
    ("## What you will do", [], ""),
    ("here.way_in()", ["way-in"], "gate"),
    ("## 1 · Recall", [], ""),
    ("## 3 and 4 · Predict", [], ""),
    ("here.explorer()", ["predict"], "slot"),
    ("## 6 · Name the idea", ["after-seen"], ""),
]
# A notebook on its panel, as far as the steps look at it: each cell is 200 px high.
FAKES = """
class Cell {
  constructor([source, tags, shows], index, outer) {
    this.node = document.createElement("div");
    this.node.style.height = "200px";
    if (source.startsWith("## ")) this.node.innerHTML = "<h2>" + source + "</h2>";
    outer.append(this.node);
    this.shows = shows;
    this.model = {
      id: "c" + index,
      sharedModel: { getSource: () => source },
      getMetadata: () => (tags.length ? tags : undefined),
    };
  }
  toggleClass(name, on) { this.node.classList.toggle(name, on); }
}
window.led = (cells) => {
  document.body.innerHTML = `<style>.pw-shut, [hidden] { display: none !important; }
    h2 { margin: 0; }
    #outer { height: 400px; overflow: auto; position: relative; }</style>
    <div id=notebook><div id=outer></div></div>`;
  const outer = document.querySelector("#outer");
  const widgets = cells.map((cell, index) => new Cell(cell, index, outer));
  const ends = [];
  window.panel = {
    context: { path: "08.ipynb" }, isDisposed: false,
    content: { widgets, outerNode: outer, node: document.querySelector("#notebook") },
    addClass(name) { this.added = name; },
    disposed: { connect: (end, self) => ends.push(() => end.call(self)) },
    dispose() { for (const end of ends) end(); },
  };
  window.steps = new parts.Steps(panel, SAYS);
};
window.tell = (name, state, whose) => {
  for (const { shows, node } of panel.content.widgets) {
    if (shows !== name) continue;
    node.innerHTML ||= `<p><input></p>`;
    Object.assign(node.firstChild.dataset, { pwState: state, pwWhose: whose });
  }
};
"""


@pytest.fixture
def led(page):
    """Return a function that opens the lesson, with its explorers as they stand."""
    page.evaluate("localStorage.clear()")  # of what the last page did on its way out
    page.evaluate(f"() => {{ const SAYS = {json.dumps(SAYS)}; {FAKES} }}")

    def open_(slot="open", bridle="open", whose="me"):
        page.evaluate("cells => led(cells)", LESSON)
        tell(page, "slot", slot, whose)
        tell(page, "bridle", bridle, whose)
        page.evaluate("steps.settle(true)")
        settle(page)
        return page

    return open_


def tell(page, name, state, whose="me"):
    page.evaluate("([n, s, w]) => tell(n, s, w)", [name, state, whose])


def settle(page):
    page.evaluate("() => new Promise((done) => queueMicrotask(done))")
    page.clock.run_for(50)


def seen_cells(page):
    """Return the numbers of the cells that are in sight."""
    return page.evaluate(
        """panel.content.widgets.flatMap(({ node }, index) =>
            node.classList.contains("pw-shut") ? [] : [index])"""
    )


def more(page):
    return page.locator(".pw-go")


def go_on(page, times=1):
    for _ in range(times):
        more(page).evaluate("button => button.click()")
        settle(page)
    return page


def states(page):
    return page.locator(".pw-part").evaluate_all("all => all.map(x => x.dataset.state)")


def here(page):
    return page.locator("[aria-current=step] .pw-part-title").all_text_contents()


# ----------------------------------------------------------------- the parts


def test_parts_begin_with_their_headings_and_have_number_and_name(led):
    page = led()

    assert page.locator(".pw-part-title").all_text_contents() == [
        "What you will do", "Recall", "Predict", "Type", "Name the idea", "Bridles",
        "Exit",
    ]  # fmt: skip
    assert page.locator(".pw-part-short").all_text_contents() == [
        "•", "1", "3–4", "5", "6", "•", "10",
    ]  # fmt: skip
    assert page.evaluate("panel.added") == "pw-led"


def test_where_no_part_has_a_number_they_are_counted(led):
    page = led()

    page.evaluate("led([['## Words', [], ''], ['## Units', [], '']])")

    assert page.locator(".pw-part-short").all_text_contents() == ["1", "2"]


def test_cells_are_named_by_the_part_they_are_in(led):
    page = led()

    named = page.evaluate(
        """panel.content.widgets.map(({ node }) => document.getElementById(
            node.getAttribute("aria-labelledby"))?.textContent)"""
    )

    assert named[:6] == [
        None, "What you will do", "Recall", "Recall", "Predict", "Predict",
    ]  # fmt: skip
    assert named[-1] == "Exit"


def test_what_stands_above_the_first_part_is_always_there(led):
    assert seen_cells(led()) == [0, 1]


def test_parts_open_in_order_one_at_a_time(led):
    page = led()
    assert more(page).text_content() == "on: 1 · Recall"

    go_on(page)

    assert seen_cells(page) == [0, 1, 2, 3]
    assert more(page).text_content() == "on: 3 and 4 · Predict"
    assert states(page) == ["done", "open", *["ahead"] * 5]
    assert here(page) == ["Recall"]
    assert page.evaluate("document.activeElement.textContent") == "## 1 · Recall"


# ---------------------------------------------------------------- what waits


def test_the_idea_waits_until_a_number_was_typed(led):
    page = go_on(led(), 3)
    assert seen_cells(page) == [*range(7)]
    assert more(page).get_attribute("aria-disabled") == "true"
    assert page.locator(".pw-go-on p").text_content() == "first see"

    go_on(page)  # leads to the explorer instead
    assert seen_cells(page) == [*range(7)]
    assert page.evaluate("document.activeElement.tagName") == "INPUT"
    tell(page, "slot", "locked")
    settle(page)
    assert more(page).get_attribute("aria-disabled") == "true"
    tell(page, "slot", "seen")
    settle(page)

    assert more(page).get_attribute("aria-disabled") == "false"
    assert page.locator(".pw-go-on p").text_content() == ""
    go_on(page)
    assert seen_cells(page) == [*range(9)]


def test_who_knows_it_is_not_held_up(led):
    page = go_on(led(slot="known"), 4)

    assert seen_cells(page) == [*range(9)]


def test_what_waits_inside_a_part_stays_shut_and_so_does_the_next(led):
    page = go_on(led(slot="seen"), 5)
    assert seen_cells(page) == [*range(11)]  # not the number behind the bridle
    assert more(page).get_attribute("aria-disabled") == "true"

    tell(page, "bridle", "seen")
    settle(page)

    assert seen_cells(page) == [*range(12)]
    go_on(page)
    assert seen_cells(page) == [*range(13)]
    assert page.locator(".pw-go-on").is_hidden()


def test_each_explorer_opens_its_own_answer_alone(led):
    page = go_on(led(slot="open", bridle="seen"), 3)

    assert more(page).get_attribute("aria-disabled") == "true"


def test_everything_is_shown_at_a_wish_and_again_when_opened_anew(led):
    page = led()

    page.evaluate("steps.showAll(true)")
    everything = seen_cells(page)
    led()
    again = seen_cells(page)
    page.evaluate("steps.showAll(false)")

    assert everything == again == [*range(13)]
    assert seen_cells(page) == [0, 1]


# ---------------------------------------------------------------- the gate


def behind(page, gate, slot="seen"):
    """Open the lesson behind a gate."""
    page.evaluate("cells => led(cells)", BEHIND)
    tell(page, "gate", gate)
    tell(page, "slot", slot)
    page.evaluate("steps.settle(true)")
    settle(page)
    return page


@pytest.mark.parametrize("everything", [False, True])
def test_behind_a_gate_nothing_opens_until_it_was_passed(led, everything):
    page = behind(led(), "shut")
    page.evaluate("all => steps.showAll(all)", everything)

    go_on(page, 3)

    assert seen_cells(page) == [0, 1, 2]
    assert more(page).get_attribute("aria-disabled") == "true"
    assert page.locator(".pw-go-on p").text_content() == "first pass"
    assert page.evaluate("document.activeElement.tagName") == "INPUT"
    assert states(page)[1:] == ["ahead"] * 3


def test_a_gate_that_was_passed_leaves_the_rest_as_it_always_is(led):
    page = behind(led(), "shut", slot="open")
    tell(page, "gate", "passed")
    settle(page)

    go_on(page, 4)
    waiting = seen_cells(page)
    tell(page, "slot", "seen")
    settle(page)
    go_on(page)

    assert waiting == [*range(6)]
    assert seen_cells(page) == [*range(7)]


def test_one_readers_passing_opens_nothing_for_another(led):
    page = go_on(behind(led(), "passed"), 2)

    tell(page, "gate", "shut", "you")
    tell(page, "slot", "seen", "you")
    settle(page)

    assert seen_cells(page) == [0, 1, 2]


# ------------------------------------------------------------------ the line


def test_the_line_goes_back_and_not_ahead(led):
    page = go_on(led(), 2)
    items = page.locator(".pw-part")

    items.nth(1).evaluate("button => button.click()")
    assert here(page) == ["Recall"]
    assert page.evaluate("document.activeElement.textContent") == "## 1 · Recall"
    items.nth(5).evaluate("button => button.click()")

    assert here(page) == ["Recall"]
    assert items.nth(5).get_attribute("aria-disabled") == "true"


def test_the_line_is_one_stop_and_has_its_keys(led):
    page = go_on(led(), 2)
    stops = page.locator(".pw-part").evaluate_all("all => all.map(x => x.tabIndex)")

    def focused():
        return page.evaluate("document.activeElement.children[1]?.textContent")

    page.locator(".pw-part[tabindex='0']").focus()
    places = []
    for key in ("ArrowUp", "Home", "ArrowUp", "ArrowDown", "End", "ArrowDown"):
        page.keyboard.press(key)
        places.append(focused())

    assert stops.count(0) == 1
    assert places == [
        "Recall", "What you will do", "What you will do", "Recall", "Exit", "Exit",
    ]  # fmt: skip


def test_its_keys_do_not_scroll_the_page(led):
    page = led()

    gone_on = page.locator(".pw-part").first.evaluate(
        """(item) => {
            item.focus();
            const all = { key: "ArrowDown", bubbles: true, cancelable: true };
            return item.dispatchEvent(new KeyboardEvent("keydown", all));
        }"""
    )

    assert gone_on is False


def test_its_keys_are_not_the_notebooks(led):
    page = led()

    assert (
        page.locator("button:not([data-lm-suppress-shortcuts])").all_text_contents()
        == []
    )


def test_on_a_narrow_page_one_button_unfolds_the_line(led):
    page = led()
    button = page.locator(".pw-course-now")
    nav = page.locator(".pw-course")
    assert (button.text_content(), button.get_attribute("aria-expanded")) == (
        "What you will do",
        "false",
    )

    button.click()
    assert "pw-unfolded" in nav.get_attribute("class")
    page.keyboard.press("Escape")

    assert "pw-unfolded" not in nav.get_attribute("class")
    button.click()
    page.evaluate("document.body.dispatchEvent(new Event('pointerdown'))")
    assert "pw-unfolded" not in nav.get_attribute("class")


def test_the_line_does_not_stay_over_the_text_once_a_part_was_chosen(led):
    page = go_on(led(), 2)
    nav, item = page.locator(".pw-course"), page.locator(".pw-part").first

    def away():
        return "pw-away" in nav.get_attribute("class").split()

    # The hand is still over it, so that nothing but a class can put it away.
    item.evaluate("button => button.click()")
    assert away()
    nav.dispatch_event("pointerenter")
    assert not away()

    page.locator(".pw-part[tabindex='0']").focus()
    page.keyboard.press("Escape")
    assert away()
    page.locator(".pw-part").nth(1).focus()
    assert not away()
    page.evaluate("document.body.dispatchEvent(new Event('pointerdown'))")
    assert away()


def test_the_line_follows_what_is_read(led):
    page = go_on(led(), 2)

    page.evaluate("document.querySelector('#outer').scrollTop = 205")
    page.wait_for_function("() => document.querySelector('#outer').scrollTop === 205")
    page.evaluate("steps.look()")

    assert here(page) == ["What you will do"]


# ----------------------------------------------------------------- the place


def test_a_reader_comes_back_to_where_they_stood(led):
    page = go_on(led(slot="seen"), 4)
    page.locator(".pw-part").nth(2).evaluate("button => button.click()")

    led(slot="seen")

    assert seen_cells(page) == [*range(9)]
    page.wait_for_function("() => document.querySelector('#outer').scrollTop === 800")
    assert here(page) == ["Predict"]


def test_what_was_seen_stays_open_while_the_explorer_is_not_there_yet(led):
    page = go_on(led(slot="seen"), 4)

    led(slot="open")

    assert seen_cells(page) == [*range(9)]


def test_what_was_seen_is_kept_at_once(led):
    page = go_on(led(), 3)
    tell(page, "slot", "seen")
    settle(page)

    led(slot="open")

    assert more(page).get_attribute("aria-disabled") == "false"


def test_another_reader_begins_at_the_beginning(led):
    page = go_on(led(slot="seen", whose="me"), 4)

    led(slot="open", whose="you")

    assert seen_cells(page) == [0, 1]
    led(slot="open", whose="me")
    assert seen_cells(page) == [*range(9)]


def test_a_place_from_before_the_record_began_is_taken_over_once(led):
    page = go_on(led(whose=""), 2)

    led(whose="me")
    mine = seen_cells(page)
    led(whose="you")

    assert mine == [*range(6)]
    assert seen_cells(page) == [0, 1]


def test_a_record_that_begins_meanwhile_changes_nothing(led):
    page = go_on(led(whose=""), 3)

    tell(page, "slot", "seen", "me")
    settle(page)
    go_on(page)

    assert seen_cells(page) == [*range(9)]
    led(slot="seen", whose="me")
    assert seen_cells(page) == [*range(9)]


def test_a_reader_who_signs_in_meanwhile_keeps_the_place_and_sees_no_answer(led):
    page = go_on(led(slot="seen", whose="me"), 5)

    tell(page, "slot", "open", "you")
    tell(page, "bridle", "open", "you")
    settle(page)

    assert seen_cells(page) == [*range(7)]
    assert page.evaluate("steps.place.open") == 5


@pytest.mark.parametrize(
    ("kept", "cells"), [("{", 2), ('{"open": 99, "at": 99, "seen": []}', 13)]
)
def test_a_place_that_makes_no_sense_stops_nobody(led, kept, cells):
    page = led(slot="seen", bridle="seen")
    page.evaluate("kept => localStorage.setItem(steps.place.key, kept)", kept)

    led(slot="seen", bridle="seen")

    assert seen_cells(page) == [*range(cells)]


def test_a_browser_that_keeps_nothing_leads_all_the_same(led):
    page = led()
    page.evaluate(
        """() => {
            for (const does of ["getItem", "setItem", "removeItem"]) {
                Storage.prototype[does] = () => { throw new Error("not here"); };
            }
        }"""
    )

    go_on(led(slot="seen"), 4)

    assert seen_cells(page) == [*range(9)]


def test_a_reader_who_moves_is_not_taken_back(led):
    page = go_on(led(), 2)
    page.evaluate("cells => led(cells)", LESSON)
    page.evaluate(
        "document.querySelector('#outer').dispatchEvent(new WheelEvent('wheel'))"
    )
    tell(page, "slot", "open")
    page.evaluate("steps.settle(true)")
    settle(page)

    assert page.evaluate("document.querySelector('#outer').scrollTop") == 0


def test_a_closed_lesson_looks_at_nothing(led):
    page = go_on(led(), 3)

    page.evaluate("panel.dispose()")
    tell(page, "slot", "seen")
    settle(page)

    assert more(page).get_attribute("aria-disabled") == "true"
