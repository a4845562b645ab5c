"""An explorer that several tests use in turn: each brings it back to its start."""

from typing import Any

from playwright.sync_api import Locator, expect

from workbook.language import say

BOXES = ".pw-left .pw-control :is(input, select)"
TYPED = "(boxes) => boxes.map((box) => box.value)"


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
