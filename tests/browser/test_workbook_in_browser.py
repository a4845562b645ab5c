"""JupyterLab as ``pullwright open`` sets it up, seen in Chromium."""

from urllib.parse import urlsplit

import nbformat
import pytest
from nbformat import v4

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


@pytest.fixture(scope="module")
def probe(kept_lab):
    """Open a lesson of one folded cell with a slider."""
    lab = kept_lab
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
