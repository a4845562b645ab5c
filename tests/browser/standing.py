"""Wait until a page stands as it stays, or bring it back to how it stood."""

from typing import Any

from playwright.sync_api import Locator, expect

from workbook.language import say

BOXES = ".pw-left .pw-control :is(input, select)"
# The prompt of a cell that waits or runs is [*], even where its code is folded.
# The notebook's own indicator says idle before there is a kernel; this does not.
BUSY = """() => [...document.querySelectorAll('.jp-InputPrompt')]
    .some((prompt) => prompt.textContent.includes('*'))"""
IDLE = f"""() => document.querySelector('#jp-main-statusbar')
    ?.innerText.includes('| Idle') && !({BUSY})()"""
# The kernel has been idle, and the picture the same, for one second.
AT_REST = f"""(e) => {{
    const stands = e.querySelector(".pw-stage").dataset.frame;
    if (!({IDLE})() || e.stood !== stands) e.since = performance.now();
    e.stood = stands;
    return performance.now() - e.since > 1000;
}}"""
TYPED = "(boxes) => boxes.map((box) => box.value)"


def at_rest(explorer: Locator) -> str:
    """Return an explorer's picture once all that was done to it is answered."""
    explorer.evaluate("e => delete e.stood")
    explorer.page.wait_for_function(AT_REST, arg=explorer.element_handle())
    return explorer.locator(".pw-drawn").inner_html()


def as_it_stands(explorer: Locator) -> tuple[str, list[str]]:
    """Return the code of an explorer's set-up, and what its controls say."""
    code = explorer.get_by_role("textbox", name=say("explorer", "code"))
    return code.input_value(), explorer.locator(BOXES).evaluate_all(TYPED)


def back_to(lab: Any, explorer: Locator, stood: tuple[str, list[str]]) -> None:
    """Bring an explorer back to how it stood, and wait until it says so."""
    code, values = stood
    lab.wait_idle()  # the code follows the picture, and would take the place of ours
    box = explorer.get_by_role("textbox", name=say("explorer", "code"))
    box.fill(f" {code.lower()}")  # the kernel writes it as it should be
    box.press("Enter")
    expect(box).to_have_value(code, timeout=60_000)
    explorer.page.wait_for_function(
        f"""([e, values]) =>
            ({TYPED})([...e.querySelectorAll("{BOXES}")]).join() === values.join()""",
        arg=[explorer.element_handle(), values],
    )
