"""JupyterLab as ``pullwright open`` sets it up, seen in Chromium."""

from urllib.parse import urlsplit

import nbformat
import pytest
from execute import notebooks
from nbformat import v4

from workbook.language import say

pytestmark = pytest.mark.browser

EXPLORER = """
import ipywidgets
angle = ipywidgets.IntSlider(
    value=5, max=60, description="angle [deg]", layout={"width": "500px"}
)
readout = ipywidgets.HTML()
def show(_=None):
    readout.value = f"<b>angle {angle.value} deg</b>"
angle.observe(show, "value")
show()
ipywidgets.VBox([angle, readout])
"""


@pytest.fixture
def probe(lab):
    """Open a lesson of one folded cell with a slider."""
    hidden = {"jupyter": {"source_hidden": True}}
    cells = [
        v4.new_markdown_cell("# Probe"),
        v4.new_code_cell(EXPLORER, metadata=hidden),
    ]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    lesson = v4.new_notebook(cells=cells, metadata=kernel)
    nbformat.write(lesson, lab.folder / "probe.ipynb")
    lab.open("probe.ipynb")
    return lab


def test_a_key_press_on_a_slider_reaches_the_readout(probe):
    probe.run_all()

    probe.press("angle [deg]", "ArrowRight", times=3)

    probe.html_widgets.get_by_text("angle 8 deg").wait_for()


def test_folded_code_stays_out_of_sight_and_its_result_does_not(probe):
    probe.run_all()

    assert probe.sliders.first.is_visible()
    assert not probe.panel.get_by_text("import ipywidgets").is_visible()


def test_nothing_covers_the_lesson_and_nothing_is_fetched_from_afar(probe):
    probe.page.wait_for_timeout(3_000)

    assert probe.page.locator(".Toastify__toast").count() == 0
    assert probe.page.locator(".jp-Dialog").count() == 0
    assert {urlsplit(url).hostname for url in probe.requests} == {"localhost"}


NAMELESS = """(panel) => [...panel.querySelectorAll(
    '.jp-OutputArea-output :is(select, input, textarea, button, [role=slider])')]
  .filter((e) => e.offsetParent && !(e.getAttribute('aria-label')?.trim()
    || document.getElementById(e.getAttribute('aria-labelledby'))?.textContent.trim()
    || [...(e.labels ?? [])].some((label) => label.textContent.trim())
    || (e.tagName === 'BUTTON' && e.textContent.trim()) || e.title))
  .map((e) => e.outerHTML.slice(0, 200))"""


@pytest.mark.parametrize("lesson", notebooks(), ids=lambda lesson: lesson.stem[:2])
def test_everything_to_be_set_has_a_name_for_a_screen_reader(lab, lesson):
    lab.show_everything()
    lab.open_gates()
    lab.open(lesson.name)
    lab.run_all()
    lab.page.wait_for_timeout(2_000)

    nameless = lab.panel.evaluate(NAMELESS)

    assert nameless == []
    named = lab.panel.get_by_role("combobox", name=say("explorer", "named"))
    assert named.count() == lab.panel.locator(".pw-named select").count()
    assert lab.panel.locator("input").count() > 0
