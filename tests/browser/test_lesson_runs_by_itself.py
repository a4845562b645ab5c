"""A lesson opens with no click; reopened it runs again; a changed one is left alone."""

import time
from contextlib import suppress

import nbformat
import pytest
from nbformat import v4
from playwright.sync_api import TimeoutError, expect

from workbook.reader.opening import shipped_lessons
from workbook.reader.record import FILE

pytestmark = pytest.mark.browser

LESSON = "08_fork_offset_side_angle_and_bridles.ipynb"
LOST = "Error displaying widget"
READY = ".jp-NotebookPanel-toolbar"  # JupyterLab has opened the notebook
TOP = "document.querySelector('.jp-WindowedPanel-outer').scrollTop"


@pytest.fixture
def new_reader(lab):
    """Give a folder as shipped, whose reader has answered nothing."""
    lab.end_kernels()  # which would write the record of an earlier test again
    (lab.folder / FILE).unlink(missing_ok=True)
    (lab.folder / LESSON).write_bytes(shipped_lessons()[LESSON])
    yield lab
    (lab.folder / LESSON).write_bytes(shipped_lessons()[LESSON])


def line(lab):
    return lab.panel.locator(".pw-lesson-bar [role=status]")


def explorer(lab):
    return lab.panel.locator(".pw-explorer").first


def locked(lab):
    """Return the prediction that the explorer waits for."""
    return explorer(lab).locator("[data-pw-state=open]")


def edit(lab):
    """Change a lesson's code and save it with the widgets of an earlier day."""
    lesson = nbformat.read(lab.folder / LESSON, as_version=4)
    view = "application/vnd.jupyter.widget-view+json"
    old = {view: {"version_major": 2, "version_minor": 0, "model_id": "gone"}}
    shown = v4.new_output("display_data", {**old, "text/plain": "Here comes"})
    lesson.cells.append(v4.new_code_cell("1 + 1", outputs=[shown], execution_count=1))
    nbformat.write(lesson, lab.folder / LESSON)


def test_a_lesson_is_usable_with_no_click_and_its_code_comes_with_one(new_reader):
    lab = new_reader
    began = time.monotonic()
    lab.page.goto(lab.address.replace("00_start_here.ipynb", LESSON) + "&reset")
    lab.page.locator(READY).first.wait_for(state="attached")
    opened = time.monotonic()

    locked(lab).wait_for(state="attached")
    usable = time.monotonic()

    took = f"JupyterLab {opened - began:.1f} s, lesson {usable - opened:.1f} s later"
    print(took)  # noqa: T201
    lab.wait_idle()
    assert usable - opened < 30
    assert lab.page.evaluate(TOP) == 0
    assert line(lab).text_content() == ""
    assert not lab.page.locator("#filebrowser").is_visible()
    assert not lab.panel.get_by_text("Run All Cells").last.is_visible()
    for tool in (READY, ".jp-CodeCell .jp-Cell-inputWrapper", ".jp-Notebook-footer"):
        assert not lab.panel.locator(tool).first.is_visible(), tool

    code = lab.panel.get_by_text("from widgets import lesson")
    assert not code.is_visible()

    lab.panel.get_by_role("button", name="Show code").click()
    code.wait_for()
    assert lab.panel.locator(READY).is_visible()
    lab.open(LESSON)  # the choice is kept

    code.wait_for()


def test_a_lesson_reopened_after_its_kernel_died_runs_again(new_reader):
    lab = new_reader
    lab.open(LESSON)
    locked(lab).wait_for(state="attached")
    lab.page.keyboard.press("ControlOrMeta+S")
    lab.page.wait_for_function(
        "() => !document.querySelector('.lm-mod-current.jp-mod-dirty')"
    )
    stored = (lab.folder / LESSON).read_text("utf-8")
    assert "widget-view" in stored
    lab.page.goto("about:blank")
    lab.end_kernels()

    lab.open(LESSON)

    locked(lab).wait_for(state="attached")
    assert lab.panel.get_by_text(LOST).count() == 0
    assert lab.page.evaluate(TOP) == 0


def test_a_changed_lesson_is_left_alone_with_a_line_at_the_top(new_reader):
    lab = new_reader
    edit(lab)

    lab.open(LESSON)

    line(lab).get_by_text("You changed this lesson.").wait_for()
    lab.page.wait_for_timeout(2_000)
    assert explorer(lab).count() == 0
    assert lab.page.locator(".pw-course, .pw-shut, .pw-go").count() == 0
    assert not lab.panel.get_by_text(LOST).first.is_visible()

    beside = lab.page.locator(".jp-SideBar >> visible=true")
    assert beside.count() == 2
    lab.page.set_viewport_size({"width": 390, "height": 800})
    expect(beside).to_have_count(0)
    bar, said = (x.bounding_box() for x in (line(lab).locator(".."), line(lab)))
    assert said["height"] > 25  # on several lines, all of them in sight
    assert bar["y"] <= said["y"]
    assert said["y"] + said["height"] <= bar["y"] + bar["height"]
    assert not line(lab).evaluate(
        "e => document.querySelector('.jp-WindowedPanel-outer')"
        ".getBoundingClientRect().top < e.getBoundingClientRect().bottom"
    )

    lab.page.set_viewport_size({"width": 1366, "height": 768})
    expect(beside).to_have_count(2)
    lab.run_all()
    explorer(lab).wait_for()
    assert line(lab).text_content() == ""
    assert lab.page.locator(".pw-course, .pw-shut, .pw-go").count() == 0


def test_any_other_notebook_is_left_as_it_is(lab):
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    cells = [v4.new_code_cell("print('it ran')")]
    mine = v4.new_notebook(cells=cells, metadata=kernel)
    nbformat.write(mine, lab.folder / "mine.ipynb")

    lab.open("mine.ipynb")
    lab.page.wait_for_timeout(2_000)

    assert lab.panel.get_by_text("it ran", exact=True).count() == 0
    assert lab.panel.locator(READY).is_visible()
    assert lab.page.locator(".pw-lesson-bar").count() == 0


@pytest.fixture(scope="module")
def first_page(kept_lab):
    """Open the first page, whose code nobody has changed, for several tests."""
    kept_lab.show_everything()
    kept_lab.open("00_start_here.ipynb")
    return kept_lab


def test_a_word_tells_its_meaning_by_keyboard_and_leaves_the_notebook_alone(first_page):
    lab = first_page
    word = lab.panel.locator(".pw-word", has_text="fork offset").first
    note = lab.page.get_by_role("tooltip")

    word.focus()
    note.get_by_text("of the set-out line").wait_for()
    for key in ("Enter", "Space", "d", "d", "x", "a"):
        word.press(key)
    word.press("Escape")

    note.wait_for(state="hidden")
    assert word.evaluate("e => e === document.activeElement")
    assert lab.panel.locator(".jp-MarkdownCell:not(.jp-mod-rendered)").count() == 0
    shipped = nbformat.reads(shipped_lessons()["00_start_here.ipynb"], as_version=4)
    assert lab.panel.locator(".jp-Cell").count() == len(shipped.cells)


def test_a_tap_tells_the_meaning_of_a_word(chromium, open_folder):
    address = open_folder.address + "&reset"
    with chromium.new_context(
        has_touch=True, viewport={"width": 390, "height": 800}
    ) as touch:
        page = touch.new_page()
        page.set_default_timeout(60_000)
        page.add_init_script("localStorage.setItem('pullwright:all', 'true')")
        page.goto(address)
        word = page.locator(".pw-word", has_text="fork offset").first
        meaning = page.get_by_role("tooltip").get_by_text("of the set-out line")
        # While the lesson runs the page still moves: a reader taps again.
        for _ in range(5):
            word.tap()
            with suppress(TimeoutError):
                meaning.wait_for(timeout=5_000)
                break

        assert meaning.is_visible()


def test_keys_that_would_delete_or_change_a_cell_do_nothing_to_a_lesson(first_page):
    lab = first_page
    cell = lab.panel.locator(".jp-MarkdownCell").first
    before = lab.panel.locator(".jp-Cell").count()

    cell.click()
    for key in ("Escape", "a", "d", "d", "x", "y", "Enter"):
        lab.page.keyboard.press(key)
    cell.dblclick()

    lab.page.wait_for_timeout(500)
    assert lab.panel.locator(".jp-Cell").count() == before
    assert lab.panel.locator(".jp-MarkdownCell:not(.jp-mod-rendered)").count() == 0
    lab.panel.get_by_role("button", name="Show code").click()
    cell.click()
    lab.page.keyboard.press("a")
    lab.page.wait_for_function(
        f"() => document.querySelectorAll('.jp-Cell').length === {before + 1}"
    )
