"""All has a name, and no serious fault is left, for ears, keys and weak eyes."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from workbook.course import lessons
from workbook.language import say
from workbook.reader.opening import TEACH, shipped_lessons
from workbook.reader.record import FILE

pytestmark = [pytest.mark.browser, pytest.mark.long]

LESSONS = sorted(name for name in shipped_lessons() if name.endswith(".ipynb"))
FAULTS = {"serious", "critical"}
# Axe takes for hidden what a body without height cuts off.
WITH_HEIGHT = "body { height: 100vh !important }"
# How many pixels of the lesson lie below the edge of the page.
BELOW = """(panel) => Math.ceil(Math.max(0,
  [...panel.querySelectorAll('.jp-Cell')].at(-1).getBoundingClientRect().bottom
    - panel.getBoundingClientRect().bottom))"""
TWO_FRAMES = """new Promise((done) =>
  requestAnimationFrame(() => requestAnimationFrame(done)))"""
COLOURS = {"runOnly": ["color-contrast"]}
LEAST = 50  # texts of a lesson whose colours were judged


NAMELESS = """(panel) => [...panel.querySelectorAll(
    '.jp-OutputArea-output :is(select, input, textarea, button, [role=slider])')]
  .filter((e) => e.offsetParent && !(e.getAttribute('aria-label')?.trim()
    || document.getElementById(e.getAttribute('aria-labelledby'))?.textContent.trim()
    || [...(e.labels ?? [])].some((label) => label.textContent.trim())
    || (e.tagName === 'BUTTON' && e.textContent.trim()) || e.title))
  .map((e) => e.outerHTML.slice(0, 200))"""


def faults(lab, **options):
    """Return what axe finds in the lesson, and how many texts it could judge."""
    found = (
        Axe()
        .run(
            lab.page,
            context=".jp-NotebookPanel:not(.lm-mod-hidden)",
            options={"preload": False, **options},
        )
        .response
    )
    judged = [rule for rule in found["passes"] if rule["id"] == "color-contrast"]
    return [
        (rule["id"], node["html"][:150], node["failureSummary"])
        for rule in found["violations"]
        if rule["impact"] in FAULTS
        for node in rule["nodes"]
    ], sum(len(rule["nodes"]) for rule in judged)


def show_all_of_it(lab):
    """Make the page as long as the lesson: axe judges only colours in sight."""
    lab.page.add_style_tag(content=WITH_HEIGHT)
    for _ in range(10):  # what comes into sight may be longer than it was thought
        lab.page.evaluate(TWO_FRAMES)
        if not (below := lab.panel.evaluate(BELOW)):
            return
        high = lab.page.viewport_size["height"] + below
        lab.page.set_viewport_size({"width": 1366, "height": high})
    pytest.fail(f"{below} px of the lesson are still out of sight")


def is_light(lab):
    return lab.page.evaluate("document.body.dataset.jpThemeLight") == "true"


def choose_theme(lab, name):
    lab.page.locator(".lm-MenuBar-itemLabel", has_text="Settings").first.click()
    lab.page.locator(".lm-Menu-itemLabel", has_text="Theme").first.hover()
    lab.page.locator(".lm-Menu-itemLabel", has_text=f"JupyterLab {name}").first.click()
    light = str(name == "Light").lower()
    lab.page.wait_for_function(f"document.body.dataset.jpThemeLight === '{light}'")
    lab.page.locator("#jupyterlab-splash").wait_for(state="detached")


def pass_by(lab, held):
    """Pass every prediction by, so that pictures are there, and freeze them."""
    for left in range(held.count(), 0, -1):
        expect(held).to_have_count(left, timeout=60_000)
        held.first.get_by_role("button", name=say("prediction", "know")).click()
    expect(held).to_have_count(0, timeout=60_000)
    freeze = say("explorer", "freeze")
    for button in lab.panel.get_by_role("button", name=freeze).all():
        button.click()
    lab.wait_idle()


def teach(lab):
    """Bring the instructor's view as far as its votes and its picture."""
    for act in ("begin", "on"):
        lab.panel.locator(f".pw-teach [data-key={act}]").click()
    lab.panel.locator(".pw-teach input").first.fill("3")
    for act in ("count", "reveal"):
        lab.panel.locator(f".pw-teach [data-key={act}]").click()
    lab.panel.locator(".pw-explorer").wait_for()


@pytest.fixture(scope="module")
def everything(kept_lab):
    """Return the page on which one lesson after another opens with all its parts."""
    kept_lab.show_everything()
    yield kept_lab
    if not is_light(kept_lab):
        choose_theme(kept_lab, "Light")


@pytest.mark.parametrize("lesson", LESSONS)
def test_all_has_a_name_and_axe_finds_no_serious_fault_light_or_dark(
    everything, lesson
):
    lab = everything
    lab.page.goto("about:blank")
    lab.end_kernels()
    (lab.folder / FILE).unlink(missing_ok=True)
    lab.page.set_viewport_size({"width": 1366, "height": 768})
    lab.open_gates()
    lab.open(lesson)
    one = lessons().get(f"L{lesson[:2]}")
    explorers = one.explorers if one else ()
    held = lab.panel.locator("[data-pw-state=open]")
    asked = sum(one.predict is not None for one in explorers)
    expect(held).to_have_count(asked, timeout=60_000)
    if lesson == TEACH:
        teach(lab)
    lab.panel.locator("input").first.wait_for(state="attached")
    lab.panel.locator(".pw-card").last.wait_for()  # where no explorer was waited for
    lab.wait_idle()

    assert lab.panel.evaluate(NAMELESS) == []

    pass_by(lab, held)
    assert lab.panel.evaluate(NAMELESS) == []
    named = lab.panel.get_by_role("combobox", name=say("explorer", "named"))
    assert named.count() == lab.panel.locator(".pw-named select").count()

    show_all_of_it(lab)
    found, judged = faults(lab)
    assert found == []
    assert judged > LEAST
    # The next lesson opens in the theme that this one ends in.
    choose_theme(lab, "Dark" if is_light(lab) else "Light")
    found, judged = faults(lab, **COLOURS)
    assert found == []
    assert judged > LEAST
