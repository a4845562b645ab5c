"""An exercise by keyboard alone: type, Enter, say the thinking, ask for a hint."""

import json

import nbformat
import pytest
from nbformat import v4

from workbook.exercises import exercise
from workbook.exercises.replay import variant_of
from workbook.reader.record import FILE

pytestmark = pytest.mark.browser

VARIANT = variant_of(
    exercise("7.2"), class_key="practice", student="practice", set="practice"
)
EQUAL_LEGS = {m.name: v for m, v in VARIANT.armed}["M10_equal_legs"]


@pytest.fixture(scope="module")
def lab(kept_lab):
    """Open a lesson of two cards, 7.2 and 7.1, for a new reader."""
    lab = kept_lab
    (lab.folder / FILE).unlink(missing_ok=True)
    source = "from widgets import ExerciseCard\nExerciseCard('{}')"
    cells = [v4.new_code_cell(source.format(id)) for id in ("7.2", "7.1")]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    lesson = v4.new_notebook(cells=cells, metadata=kernel)
    nbformat.write(lesson, lab.folder / "card.ipynb")
    lab.open("card.ipynb")
    lab.run_all()
    return lab


@pytest.fixture
def card(lab):
    """Return the card of 7.1, which several tests use."""
    return lab.panel.locator(".pw-card").nth(1)


def test_an_exercise_is_done_by_keyboard_alone(lab):
    card = lab.panel.locator(".pw-card").first
    keyboard = lab.page.keyboard
    card.get_by_label("Your answer with its unit").focus()

    keyboard.type(f"{EQUAL_LEGS / 1e3:.4g} kN", delay=30)  # ms: no hand is quicker
    keyboard.press("Enter")
    thinking = card.get_by_role("group", name="Which was your thinking?")
    thinking.wait_for()  # the focus is in it
    keyboard.press("Space")
    keyboard.press("Enter")
    thinking.wait_for(state="detached")  # and back in the box
    keyboard.press("ControlOrMeta+A")
    keyboard.type(f"{VARIANT.answer / 1e3:.4g} kN")
    keyboard.press("Enter")

    card.get_by_role("status").get_by_text("Right.").wait_for()
    lines = (lab.folder / FILE).read_text(encoding="utf-8").splitlines()
    kept = [json.loads(line) for line in lines]
    kinds = [line["kind"] for line in kept]
    assert kinds == ["start", "identity", "answer", "thinking", "answer"]
    assert kept[2]["seconds"] > 0


def test_markup_that_is_typed_is_shown_as_text(card, lab):
    card.get_by_label("Your answer with its unit").fill("<img src=x> kN")
    lab.page.keyboard.press("Enter")

    card.get_by_text("<img src=x> kN").wait_for()
    assert card.locator("img").count() == 0


def test_what_is_typed_and_not_yet_checked_outlives_a_reload(card, lab):
    box = card.get_by_label("Your answer with its unit")
    box.fill("12,4 k")
    lab.panel.locator('[data-command="docmanager:save"]').first.click()
    lab.page.wait_for_timeout(1_000)  # no key for a while, then it is told
    lab.wait_idle()

    lab.page.reload()
    box.wait_for()

    assert box.input_value() == "12,4 k"


def test_the_card_fits_a_narrow_page(card, lab):
    card.evaluate("card => card.style.width = '328px'")

    over = card.evaluate(
        "card => [...card.querySelectorAll('*')]"
        ".filter((e) => e.scrollWidth > e.clientWidth + 1 && e.clientWidth).length"
    )

    assert over == 0
